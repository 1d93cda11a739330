package bench

import (
	"slices"
	"strconv"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// correctedIn are the values that an analysis used and that were corrected; what was only filled in is none.
func correctedIn(s *session.Sample) (values []string) {
	for _, c := range s.Frame.Corrections() {
		if c.Was != "" && slices.Contains(s.Needed, c.Column) {
			values = append(values, c.Column+" of "+calledIn(s.Frame, c.Row))
		}
	}
	return values
}

// calledIn is a specimen's name, else its row in the whole series.
func calledIn(f *frames.Frame, row int) string {
	if c, ok := f.RoleColumn(frames.Specimen); ok {
		if name, there := f.Cell(c.Name, row); there {
			return name
		}
	}
	return "line " + strconv.Itoa(f.Line(row))
}

// correctedKey is the notice that so many values in use of a series were corrected.
func correctedKey(n int) string { return session.Corrected + strconv.Itoa(n) }

// correctionCautions say, once a series and again when more are, that values were corrected, with the line that lists
// them.
func correctionCautions(k *session.Call) []page.Sentence {
	values := correctedIn(k.Analysis.Sample)
	n := len(values)
	if n == 0 || k.Session.Knows(k.Entry.Series, correctedKey(n)) {
		return nil
	}
	return []page.Sentence{page.Say(n, " of the values used here "+say.Plural(n, "was", "were")+" corrected by hand: "+
		say.ShortList(values)+". To see how, type: "+phrase.Line(&phrase.ShowAside{}))}
}
