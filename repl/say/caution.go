package say

import (
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
)

// Block is a column of boards, batches or days, with how many there were.
type Block struct {
	Column string
	N      int
}

// Blocks warns that specimens share boards, batches or days.
func Blocks(specimens int, blocks []Block) page.Sentence {
	s := page.Say("The ", specimens, " specimens share ")
	var names []string
	for i, b := range blocks {
		if i > 0 {
			s = append(s, page.Word(" and "))
		}
		s = append(s, page.Say(b.N, " values of "+b.Column)...)
		names = append(names, b.Column)
	}
	either := strings.Join(names, " or ")
	return append(s, page.Word(". Specimens of one "+either+" are alike, so they count for less than their number: the ranges here are too narrow if "+
		either+" matters."))
}

// Together warns that two terms of a fit can hardly be told apart.
func Together(first, second string, strength float64) page.Sentence {
	return page.Say(first+" and "+second+" went together in these specimens (strength ", page.Num{Value: strength, Style: page.Ratio},
		" of 1), so the fit can hardly tell which of them did it. More specimens of the same kind would not help; some that part the two would.")
}

// Dependent names a term that cannot be told apart from others.
func Dependent(term string, on []string) page.Sentence {
	if len(on) == 0 {
		return page.Say(term + " has no specimen of its own and was left out.")
	}
	return page.Say(term + " cannot be told apart from " + strings.Join(on, " and ") +
		": in these specimens they always went together. It was left out.")
}

// Remarks puts what was odd about a file into words.
func Remarks(remarks []frames.Remark) []page.Sentence {
	var out []page.Sentence
	for _, r := range remarks {
		if s := remark(r); s != nil {
			out = append(out, s)
		}
	}
	return out
}

func remark(r frames.Remark) page.Sentence {
	if s := lookRemark(r); s != nil {
		return s
	}
	switch r.Code {
	case "duplicate-header":
		return page.Say("The header “" + r.Word + "” stands twice; the second is called " + r.Column + ".")
	case "stray-word":
		return page.Say(r.Column+" would be numbers but for “"+r.Word+"” in line ", r.Line,
			"; it is kept as words. Type treat "+r.Column+" as number to make such cells missing.")
	case "mass-as-load":
		return page.Say(r.Column + " is in kg, a mass. If it was a load on a lever, type unit " + r.Column + " is kgf.")
	case "leading-zeros":
		return page.Say(r.Column + " has numbers with leading zeros and is kept as words, so that none is lost.")
	case "short-row":
		return page.Say("Line ", r.Line, " is short; the cells it lacks are missing.")
	}
	return page.Say(strings.TrimSpace(r.Code+" "+r.Column+" "+r.Word)+" (line ", r.Line, ").")
}
