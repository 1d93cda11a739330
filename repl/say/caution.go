package say

import (
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
)

// Blocks warns that specimens share boards, batches or days.
func Blocks(specimens, blocks int, column string) page.Sentence {
	return page.Say("The ", specimens, " specimens share ", blocks, " values of "+column+
		". Specimens of one "+column+" are alike, so they count for less than their number, and the ranges here are too narrow if "+
		column+" matters.")
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
