package specimens

import (
	"math"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

const (
	mostOdd    = 5   // odd cells of a column that are named
	mostMended = 100 // that one line corrects
)

// OtherMark tells which numbers of a column that is read as words have another decimal mark than all its others, and
// gives the lines that correct them; nil where the others are no numbers, or the file may have that mark throughout:
// where they are the most, or many, and none of the others has a decimal.
func OtherMark(f *frames.Frame, column string) page.Sentence {
	t := telling{f}
	numbers, decimals, parted := 0, 0, false
	var rows []int
	var named []string
	lines := phrase.Line(&phrase.Treat{Column: phrase.ColumnRef{Column: column}, Kind: phrase.Choice{Word: "number"}})
	for row := range f.Len() {
		cell, there := f.Cell(column, row)
		if !there {
			continue
		}
		if x, ok := f.NumberIn(cell); ok {
			if numbers++; x != math.Trunc(x) {
				decimals++
			}
			continue
		}
		x, ok := f.OtherMark(column, row)
		if rows = append(rows, row); !ok || len(rows) > mostMended {
			return nil
		}
		if at := strings.LastIndexAny(cell, ".,"); len(cell)-at == 4 {
			parted = true // 1,234 may be a thousand and more
		}
		if len(named) < mostOdd {
			named = append(named, "“"+cell+"” of "+t.where(row))
		}
		lines += "; " + phrase.Line(&phrase.Correct{Column: phrase.ColumnRef{Column: column}, Specimen: t.one(row),
			Value: phrase.Cell{Amount: &phrase.Amount{Value: x}}})
	}
	n := len(rows)
	if n == 0 || (n > mostOdd || numbers < 4*n) && (decimals == 0 || parted || n > numbers) {
		return nil
	}
	if n > mostOdd {
		named = append(named, strconv.Itoa(n-mostOdd)+" more")
	}
	return advice{page.Say(column+" has ", n, say.Plural(n, " number", " numbers")+" with another decimal mark than "+
		"the file's, "+say.Listed(named)+"; it is read as words."),
		"If " + say.Plural(n, "that is its decimal mark", "those are their decimal marks"), lines}.sentence()
}
