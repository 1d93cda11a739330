package bench

import (
	"math"
	"strings"

	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// backChanges says that the main answer would be another with specimens back.
func backChanges(names []string, finding page.Sentence) page.Sentence {
	s := page.Say(setAside(names) + ", and the main answer depends on that. With " +
		say.Plural(len(names), "it", "them all") + " back: ")
	return say.After(s, finding)
}

// backFails says that the analysis cannot be done with specimens back.
func backFails(names []string, why string) page.Sentence {
	return page.Say(setAside(names) + "; with " + say.Plural(len(names), "it", "them all") +
		" back this cannot be worked out: " + why + ".")
}

func setAside(names []string) string {
	return say.Plural(len(names), "Specimen ", "Specimens ") + strings.Join(names, ", ") +
		say.Plural(len(names), " is", " are") + " set aside"
}

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
	var out []page.Sentence
	if len(rows) > 1 {
		if s := withBack(k, rows); s != nil {
			out = append(out, s)
		}
	}
	for i, row := range rows {
		if i == mostReruns || k.Context.Err() != nil {
			break
		}
		if s := withBack(k, []int{row}); s != nil {
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
	names := make([]string, len(rows))
	for i, row := range rows {
		names[i] = s.Whole.SpecimenName(row)
	}
	back := k.Session.WithFrame(s.Series, s.Whole.BringBack(mask))
	o, err := carry(k.Quiet(back, k.Command, mask))
	if err != nil {
		return backFails(names, k.Problem(err).Message)
	}
	if o == nil || o.Analysis == nil {
		return nil
	}
	was := k.Analysis.Answers[0]
	for _, now := range o.Analysis.Answers {
		if now.Key == was.Key && changed(was.Gap.Value, now.Gap.Value, was.Gap.Range, was.Gap.Answer, now.Gap.Answer) {
			return backChanges(names, now.Finding)
		}
	}
	return nil
}

// changed is the rule for telling: the answer or its sign is another, or the estimate
// has moved by more than half its interval.
func changed(was, now float64, r verdict.Range, before, after verdict.Answer) bool {
	return before != after || was*now < 0 || math.Abs(now-was) > (r.High-r.Low)/2
}
