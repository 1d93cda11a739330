package specimens

import (
	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// mostOdd is how many odd cells of a column are named.
const mostOdd = 5

// OtherMark tells which few numbers of a column that is read as words have another decimal mark than all its
// others, and gives the lines that correct them; nil where they are many, or the others are no numbers.
func OtherMark(f *frames.Frame, column string) page.Sentence {
	t := telling{f}
	numbers := 0
	var rows []int
	var named []string
	lines := phrase.Line(&phrase.Treat{Column: phrase.ColumnRef{Column: column}, Kind: phrase.Choice{Word: "number"}})
	for row := range f.Len() {
		cell, there := f.Cell(column, row)
		if !there {
			continue
		}
		if _, ok := f.NumberIn(cell); ok {
			numbers++
			continue
		}
		x, ok := f.OtherMark(column, row)
		if rows = append(rows, row); !ok || len(rows) > mostOdd {
			return nil
		}
		named = append(named, "“"+cell+"” of "+t.where(row))
		lines += "; " + phrase.Line(&phrase.Correct{Column: phrase.ColumnRef{Column: column}, Specimen: t.one(row),
			Value: phrase.Cell{Amount: &phrase.Amount{Value: x}}})
	}
	if len(rows) == 0 || numbers < 4*len(rows) {
		return nil
	}
	n := len(rows)
	return advice{page.Say(column+" has ", n, say.Plural(n, " number", " numbers")+" with another decimal mark than "+
		"the file's, "+say.Listed(named)+"; it is read as words."),
		"If " + say.Plural(n, "that is its decimal mark", "those are their decimal marks"), lines}.sentence()
}
