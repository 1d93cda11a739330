package bench

import (
	"slices"

	"breakbook/models/lists"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// commandWithout is the command that takes the specimens, its own or that of the earlier fit it is about,
// less some columns: without the terms, blocks and weights that need them. ok is false where it cannot do
// without one of them, as without its response or its only term.
func commandWithout(k *session.Call, columns []string) (c *phrase.Command, ok bool) {
	c = fitsBy(k).Copy()
	w := &dropping{columns: columns}
	switch cmd := c.Do.(type) {
	case *phrase.Fit:
		cmd.Terms = w.terms(cmd.Terms)
		w.fitOptions(&cmd.FitOptions)
		ok = len(cmd.Terms.List) > 0
	case *phrase.Anova:
		on, is := cmd.Subject.(phrase.AnovaOnTerms)
		on.Terms = w.terms(on.Terms)
		w.fitOptions(&on.FitOptions)
		cmd.Subject = on
		ok = is && len(on.Terms.List) > 0
	case *phrase.ShareOut:
		switch on := cmd.Subject.(type) {
		case phrase.WeightedOnTerms:
			on.Terms = w.terms(on.Terms)
			on.Weight = w.column(on.Weight)
			cmd.Subject = on
			ok = len(on.Terms.List) > 1 // one factor shares with none
		case phrase.ModeOnTerms:
			on.Terms = w.terms(on.Terms)
			cmd.Subject = on
			ok = len(on.Terms.List) > 1
		}
	case *phrase.Odds:
		cmd.Terms = w.terms(cmd.Terms)
		ok = len(cmd.Terms.List) > 0
	case *phrase.Until:
		if cmd.Terms != nil {
			terms := w.terms(*cmd.Terms)
			if cmd.Terms = &terms; len(terms.List) == 0 {
				cmd.Terms = nil
			}
			ok = true
		}
	case *phrase.Average:
		if cmd.B != nil && w.drops(cmd.A.Column) {
			cmd.A, cmd.B = *cmd.B, &cmd.A
		}
		cmd.B = w.column(cmd.B)
		ok = true
	case *phrase.Characteristic:
		if of, is := cmd.Subject.(phrase.LimitsByLevels); is {
			of.Blocks = w.blocks(of.Blocks)
			cmd.Subject = of
			ok = true
		}
	}
	return c, ok && len(w.dropped) == len(columns)
}

// dropping takes columns out of the parts of a command, and remembers which were met.
type dropping struct {
	columns, dropped []string
}

// drops reports whether a column is to go.
func (w *dropping) drops(column string) bool {
	if !slices.Contains(w.columns, column) {
		return false
	}
	w.dropped = lists.With(w.dropped, column)
	return true
}

// column is a column that may be left out; nil where it goes.
func (w *dropping) column(ref *phrase.ColumnRef) *phrase.ColumnRef {
	if ref == nil || w.drops(ref.Column) {
		return nil
	}
	return ref
}

// terms are terms without the factors that go: of together(pins, glue) without glue, pins stays.
func (w *dropping) terms(t phrase.Terms) phrase.Terms {
	var out []phrase.Term
	for _, term := range t.List {
		factors := lists.Where(term.Factors, func(f phrase.Factor) bool { return !w.drops(f.Column.Column) })
		if len(factors) == 0 {
			continue
		}
		if term.Factors = factors; len(factors) == 1 {
			term.Together = false
		}
		out = append(out, term)
	}
	t.List = out
	return t
}

// fitOptions drops the weight and the blocks that go from what is asked of a fit.
func (w *dropping) fitOptions(f *phrase.FitOptions) {
	f.Weight, f.Blocks = w.column(f.Weight), w.blocks(f.Blocks)
}

// blocks are blocks without those that go, or that lie within one that goes; nil where none is left.
func (w *dropping) blocks(b *phrase.Blocks) *phrase.Blocks {
	if b == nil {
		return nil
	}
	var out []phrase.BlockRef
	for _, ref := range b.List {
		gone := w.drops(ref.Column.Column)
		for _, within := range ref.Within {
			gone = w.drops(within.Column) || gone
		}
		if !gone {
			out = append(out, ref)
		}
	}
	if len(out) == 0 {
		return nil
	}
	return &phrase.Blocks{List: out, At: b.At}
}
