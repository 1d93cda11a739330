package say

import (
	"strings"

	"breakbook/repl/page"
)

// Safety is what everybody at a rig is told, a line each.
func Safety() []string {
	return []string{
		"A loaded joint stores energy and lets go all at once.",
		"Put a guard between you and the joint, and wear eye protection.",
		"Stand clear of the line of pull, and secure the pieces so that they cannot fly.",
	}
}

// Sheet tells what a test sheet holds and what is to be filled in.
func Sheet(plan, file string, specimens, blocks int, everyKind bool, fill []string) page.Sentence {
	s := page.Say(file+" has the ", specimens, " specimens of "+plan+" in a random order")
	if blocks > 0 {
		s = append(s, page.Say(", in ", blocks, plural(blocks, " block", " blocks"))...)
		if everyKind {
			s = append(s, page.Word(plural(blocks, " that holds every kind", " that each hold every kind")))
		}
	}
	return append(s, page.Word(". To be filled in: "+strings.Join(fill, ", ")+"."))
}

// SheetComesBack tells how a sheet is read once it is filled in.
func SheetComesBack(file, look string) page.Sentence {
	return page.Say("Once filled in, open " + file + " finds every column marked, as long as " + look + " lies beside it.")
}

// SheetLeft tells that a sheet was there already, and how far it is filled in.
func SheetLeft(file, plan string, results, of int) page.Sentence {
	return page.Say(file+" is there already and belongs to "+plan+": left as it is, ", results, " of ", of, plural(of, " result", " results")+" filled in.")
}
