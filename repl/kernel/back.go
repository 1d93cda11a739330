package kernel

import (
	"math"

	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/progress"
	"breakbook/repl/say"
)

// mostReruns bounds how many single specimens are brought back one by one; all of them
// together are always tried.
const mostReruns = 40

// asideCautions reruns the analysis quietly with each specimen that was set aside back,
// and with all of them, and tells where the main answer would change: another answer,
// another sign, or a move of more than half its range.
func (k *call) asideCautions() []page.Sentence {
	a := k.analysis
	rows := a.sample.aside
	if len(rows) == 0 || len(a.mains) == 0 {
		return nil
	}
	var out []page.Sentence
	if len(rows) > 1 {
		if s := k.withBack(rows); s != nil {
			out = append(out, s)
		}
	}
	for i, row := range rows {
		if i == mostReruns || k.ctx.Err() != nil {
			break
		}
		if s := k.withBack([]int{row}); s != nil {
			out = append(out, s)
		}
	}
	return out
}

// withBack reruns the command with some rows back; nil where the main answer stands.
func (k *call) withBack(rows []int) page.Sentence {
	s := k.analysis.sample
	mask := make([]bool, s.whole.Len())
	for _, row := range rows {
		mask[row] = true
	}
	names := make([]string, len(rows))
	for i, row := range rows {
		names[i] = s.whole.SpecimenName(row)
	}
	frame := s.whole.BringBack(mask)
	again := &call{ctx: progress.With(k.ctx, nil), s: k.s.withFrame(s.series, frame), c: k.c, e: &page.Entry{}, all: k.all, back: mask}
	o, err := k.handlerOf(k.c)(again)
	if err != nil {
		return say.BackFails(names, k.problem(err).Message)
	}
	if o == nil || o.analysis == nil {
		return nil
	}
	was := k.analysis.mains[0]
	for _, now := range o.analysis.mains {
		if now.key == was.key && changed(was.gap.Value, now.gap.Value, was.gap.Range, was.gap.Answer, now.gap.Answer) {
			return say.BackChanges(names, now.told)
		}
	}
	return nil
}

// changed is the rule for telling: the answer or its sign is another, or the estimate
// has moved by more than half its range.
func changed(was, now float64, r verdict.Range, before, after verdict.Answer) bool {
	return before != after || was*now < 0 || math.Abs(now-was) > (r.High-r.Low)/2
}
