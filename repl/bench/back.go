package bench

import (
	"math"
	"strings"

	"breakbook/models/lists"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// mostReruns bounds how many single specimens are brought back one by one; all of them
// together are always tried.
const mostReruns = 40

// asideCautions reruns the analysis quietly with each specimen that was set aside back,
// and with all of them, and tells where the main answer would change: another answer,
// another sign, or a move of more than half its interval.
func asideCautions(k *session.Call) []page.Sentence {
	a := k.Analysis
	rows := a.Sample.Aside
	if len(rows) == 0 || len(a.Answers) == 0 {
		return nil
	}
	var back [][]int
	if len(rows) > 1 {
		back = append(back, rows)
	}
	for _, row := range rows[:min(mostReruns, len(rows))] {
		back = append(back, []int{row})
	}
	var out []page.Sentence
	for _, rows := range back {
		if k.Context.Err() != nil {
			break
		}
		if s := withBack(k, rows); s != nil {
			out = append(out, s)
		}
	}
	return out
}

// withBack reruns the command with some rows back; nil where the main answer stands.
func withBack(k *session.Call, rows []int) page.Sentence {
	s := k.Analysis.Sample
	mask := make([]bool, s.Whole.Len())
	for _, row := range rows {
		mask[row] = true
	}
	names := lists.Mapped(rows, func(row int) string { return s.Whole.SpecimenName(row) })
	back := k.Session.WithFrame(s.Series, s.Whole.BringBack(mask))
	o, err := carry(k.Quiet(back, k.Command, mask))
	aside := say.Plural(len(names), "Specimen ", "Specimens ") + strings.Join(names, ", ") +
		say.Plural(len(names), " is", " are") + " set aside"
	them := say.Plural(len(names), "it", "them all")
	if err != nil {
		return page.Say(aside + "; with " + them + " back this cannot be worked out: " + k.Problem(err).Message + ".")
	}
	if o == nil || o.Analysis == nil {
		return nil
	}
	was := k.Analysis.Answers[0]
	for _, now := range o.Analysis.Answers {
		if now.Key == was.Key && changed(was.Gap.Value, now.Gap.Value, was.Gap.Range, was.Told(), now.Told()) {
			return say.After(page.Say(aside+", and the main answer depends on that. With "+them+" back: "), now.Finding)
		}
	}
	return nil
}

// changed is the rule for telling: the answer or its sign is another, or the estimate
// has moved by more than half its interval.
func changed(was, now float64, r verdict.Range, before, after verdict.Answer) bool {
	return before != after || was*now < 0 || math.Abs(now-was) > (r.High-r.Low)/2
}
