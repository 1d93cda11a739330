package say

import (
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
)

// Opened tells what a file was taken for.
func Opened(path string, specimens, columns int, r *frames.Reading) page.Sentence {
	s := page.Say(path+": ", specimens, plural(specimens, " specimen", " specimens"), " in ", columns,
		plural(columns, " column", " columns"), ", read as "+r.Encoding+", cells separated by "+r.Separator+
			", decimal "+r.Decimal+", header in line ", r.HeaderLine)
	if r.UnitsLine > 0 {
		s = append(s, page.Say(", units in line ", r.UnitsLine)...)
	}
	if r.Thousands != "none" {
		s = append(s, page.Word(", thousands parted by "+r.Thousands))
	}
	if r.Dates != "" {
		s = append(s, page.Word(", dates "+r.Dates))
	}
	if r.Packed {
		s = append(s, page.Word(", unpacked from a gzip"))
	}
	if len(r.MissingWords) > 0 {
		s = append(s, page.Word("; taken as missing: "+strings.Join(quoted(r.MissingWords), ", ")))
	}
	return append(s, page.Word("."))
}

// Counted is "3 series are open.", with the word for one.
func Counted(n int, one, many string) page.Sentence {
	return page.Say(n, " "+plural(n, one, many)+".")
}

// LostCells lists the cells that became missing when a column was made a number column.
func LostCells(column string, lost []frames.Lost) []page.Sentence {
	if len(lost) == 0 {
		return nil
	}
	s := page.Say(len(lost), plural(len(lost), " cell of ", " cells of ")+column+
		" held no number and "+plural(len(lost), "is", "are")+" now missing: ")
	for i, l := range lost {
		if i == 5 {
			s = append(s, page.Word(" and more"))
			break
		}
		if i > 0 {
			s = append(s, page.Word(", "))
		}
		s = append(s, page.Say("line ", l.Line, " “"+l.Word+"”")...)
	}
	return []page.Sentence{append(s, page.Word("."))}
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

func quoted(words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		if w == "" {
			out[i] = "an empty cell"
			continue
		}
		out[i] = "“" + w + "”"
	}
	return out
}
