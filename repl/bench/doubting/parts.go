package doubting

import (
	"context"
	"slices"
	"strings"

	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/session"
)

// questionParts questions an answer that was put together from several analyses, such as what drove how
// joints failed: each of them is carried out quietly and questioned, and what speaks against one of its
// answers speaks against the same one here. Terms together have been tried. It
// reports whether boards are allowed for in each, or told in a doubt.
func questionParts(k *session.Call, o *session.Outcome, by Bench) (blocksKnown bool) {
	of := &inquiry{k: k, by: by}
	parts := make([]*inquiry, len(o.Parts))
	parallel.Heed(parallel.Each(k.Context, len(parts), func(_ context.Context, i int) error {
		if parts[i] = of.part(o.Parts[i]); parts[i] != nil {
			parts[i].ask((*inquiry).oneBlock, (*inquiry).confounded, (*inquiry).repeated, (*inquiry).single,
				(*inquiry).fewResidualDF, (*inquiry).modeLeftOut, (*inquiry).modeBlocks)
		}
		return nil
	}))
	var held []page.Doubt
	blocksKnown = true
	for _, q := range parts {
		if q == nil {
			blocksKnown = false
			continue
		}
		blocksKnown = blocksKnown && (q.known || q.holds("one-block"))
		for _, d := range q.found {
			d.Of = theirs(k.Analysis.Answers, d.Of)
			at := slices.IndexFunc(held, func(h page.Doubt) bool { return h.Code == d.Code && h.About == d.About })
			switch {
			case at >= 0:
				held[at].Of = append(held[at].Of, d.Of...)
			case len(d.Of) > 0:
				held = append(held, d)
			}
		}
	}
	k.Entry.Doubts = append(held, k.Entry.Doubts...)
	tellDoubts(k)
	return blocksKnown
}

// part is the inquiry into one of the analyses, carried out quietly; nil where it cannot be made.
func (q *inquiry) part(do any) *inquiry {
	quiet := q.quietly(q.k.Session, do)
	made, err := q.by.Carry(quiet)
	if err != nil || made == nil || made.Analysis == nil {
		return nil
	}
	quiet.Analysis, quiet.Back = made.Analysis, nil
	out, err := inquire(quiet, made, q.by)
	if err != nil {
		return nil
	}
	return out
}

// theirs are the keys of the answers that are about the column and the way of failing of one of some keys: a
// part tells a factor between levels, the whole perhaps at another's settings.
func theirs(answers []session.Answer, keys []string) (out []string) {
	about := func(key string) [2]string {
		column, _, _ := strings.Cut(strings.ReplaceAll(key, ":", ";"), ";")
		return [2]string{column, key[strings.LastIndex(key, ";")+1:]}
	}
	for _, a := range answers {
		if slices.ContainsFunc(keys, func(key string) bool { return about(key) == about(a.Key) }) {
			out = append(out, a.Key)
		}
	}
	return out
}

// ask makes checks one after the other; what cannot be checked holds nothing.
func (q *inquiry) ask(checks ...func(*inquiry) error) {
	for _, one := range checks {
		if one(q) != nil {
			parallel.Look(q.k.Context)
		}
	}
}

// askTogether makes checks side by side, each knowing what was held before all of them; what they hold is kept in their
// order.
func (q *inquiry) askTogether(checks ...func(*inquiry) error) {
	each := make([]inquiry, len(checks))
	parallel.Heed(parallel.Each(q.k.Context, len(checks), func(_ context.Context, i int) error {
		each[i] = *q
		each[i].found = slices.Clip(q.found)
		each[i].ask(checks[i])
		return nil
	}))
	before := len(q.found)
	for _, one := range each {
		q.found = append(q.found, one.found[before:]...)
		q.known = q.known || one.known
		if one.allowed != nil {
			q.allowed, q.recounted, q.about = one.allowed, one.recounted, one.about
		}
	}
}
