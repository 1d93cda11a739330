package fitted

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/mixed"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// Method is how a command asks for its terms to be fitted.
type Method struct {
	Weight    phrase.ColumnRef // Column "" without weights
	Blocks    []phrase.BlockRef
	Uneven    bool
	Resistant bool
	Differ    *phrase.Amount // by which series, the one of the blocks, are given to differ; nil: estimated
	Known     float64        // that, as a sd of the response
	Few       bool           // answers hold for few blocks too: Fit.ForFewBlocks
}

// methodOf reads a command's options; two that cannot be had together are a problem.
func methodOf(options phrase.FitOptions, resistant bool) (Method, error) {
	w := Method{Uneven: options.UnevenSpread, Resistant: resistant, Differ: options.Differ}
	if options.Weight != nil {
		w.Weight = *options.Weight
	}
	at := 0
	if b := options.Blocks; b != nil {
		w.Blocks, at = b.List, b.At
	}
	if asked := w.asked(); len(asked) > 1 {
		return w, page.Refuse(page.CodeTwoWays, at, strings.Join(asked,
			" and ")+" are two ways to fit and cannot both be asked for",
			"ask for one of them, or fit twice and set the results side by side")
	}
	return w, nil
}

// asked are the words of the methods asked for that are not plain least squares.
func (w Method) asked() []string {
	var out []string
	for _, one := range []struct {
		is   bool
		said string
	}{{w.Blocks != nil, "blocked by"}, {w.Uneven, "uneven spread"}, {w.Resistant, "resistant"},
		{w.Differ != nil, "series differ by"}} {
		if one.is {
			out = append(out, one.said)
		}
	}
	return out
}

// knownSpread is the sd by which series are given to differ: an amount, or a share of the response's mean over the
// whole series, as the size worth having is.
func (w *Method) knownSpread(k *session.Call, r *session.Response) error {
	a := w.Differ
	switch {
	case a == nil:
		return nil
	case a.Percent && r.Logged():
		w.Known = math.Log1p(a.Value)
	case a.Percent:
		w.Known = a.Value * math.Abs(k.MeanOfSeries(r))
	default:
		x, err := session.InUnit(a.Value, a.Unit, r.Unit(), a.At)
		if err != nil {
			return err
		}
		w.Known = x
	}
	if !(w.Known > 0) || math.IsInf(w.Known, 0) {
		return page.Refuse(page.CodeOutOfRange, a.At, "series differ by more than 0",
			"leave it out: each series then has a term of its own")
	}
	return nil
}

// bySeries makes blocks of the series that are given to differ; where the specimens are of one, it refuses.
func (w *Method) bySeries(k *session.Call) error {
	if w.Differ == nil {
		return nil
	}
	_, frame, err := k.Frame()
	if err != nil {
		return err
	}
	if c, ok := frame.Column(frames.SeriesColumn); ok && c.Kind == frames.Category {
		at := w.Differ.At
		w.Blocks = []phrase.BlockRef{{Column: phrase.ColumnRef{Column: c.Name, At: at}, At: at}}
		return nil
	}
	return page.Refuse(page.CodeNoSeriesColumn, w.Differ.At,
		"there is no column series here to say which specimen is of which series",
		"draw past series in by with series A, or put them together: pool A, B as NAME")
}

// columns are those the method needs beside the terms.
func (w Method) columns() []string {
	var out []string
	if w.Weight.Column != "" {
		out = append(out, w.Weight.Column)
	}
	for _, b := range w.Blocks {
		for _, ref := range append([]phrase.ColumnRef{b.Column}, b.Within...) {
			out = lists.With(out, ref.Column)
		}
	}
	return out
}

// check finds columns of the method that have another part in the model already.
func (w Method) check(y phrase.Response, terms []string) error {
	if c := w.Weight; c.Column != "" && c.Column == y.Column.Column {
		return page.Refuse(page.CodeResponseAsWeight, c.At, c.Column+" cannot weigh itself", "weight by another column")
	}
	for _, b := range w.Blocks {
		switch name := b.Column.Column; {
		case name == y.Column.Column:
			return page.Refuse(page.CodeResponseAsBlock, b.At, name+" cannot be its own block",
				"block by another column")
		case len(b.Within) == 0 && slices.Contains(terms, name):
			return page.Refuse(page.CodeBlockAmongTerms, b.At, name+" is among the terms and cannot be a block too",
				"leave it out of the terms, or out of the blocks")
		}
	}
	return nil
}

// Said is the method as a title has it.
func (w Method) Said() string {
	out := ""
	if w.Weight.Column != "" {
		out += ", weighted by " + w.Weight.Column
	}
	if w.Differ != nil {
		out += ", series differ by " + phrase.SpelledAmount(*w.Differ)
	} else if len(w.Blocks) > 0 {
		out += ", blocked by " + strings.Join(lists.Mapped(w.Blocks, phrase.BlockRef.Name), " and ")
	}
	if w.Uneven {
		out += ", uneven spread"
	}
	if w.Resistant {
		out += ", resistant"
	}
	return out
}

// weigh reads the weights and leaves out the specimens of weight 0, with how many they are.
func weigh(k *session.Call, s *session.Sample, ref phrase.ColumnRef) (weights []float64, zero int, err error) {
	all, err := s.Number(ref.Column)
	if err != nil {
		return nil, 0, session.WithPlace(err, ref.At)
	}
	keep := make([]bool, len(all))
	for i, w := range all {
		if w < 0 {
			return nil, 0, page.Refuse(page.CodeBadWeight, ref.At,
				fmt.Sprintf("specimen %s has the %s %g, and a weight cannot be below 0", s.Frame.SpecimenName(i),
					ref.Column, w), "")
		}
		if keep[i] = w > 0; keep[i] {
			weights = append(weights, w)
		}
	}
	zero = len(all) - len(weights)
	if len(weights) == 0 {
		return nil, 0, page.Refuse(page.CodeNoSpecimens, ref.At, "every specimen has the weight 0", "")
	}
	if zero > 0 {
		s.Only(k.Context, keep)
		k.Entry.Specimens = new(s.Counts)
	}
	return weights, zero, nil
}

func (w Method) fit(ctx context.Context, s *session.Sample, y []float64,
	m design.Model) (*linear.Fit, linear.Estimator, error) {
	if w.Blocks != nil {
		blocks := make([]mixed.Block, len(w.Blocks))
		for i, b := range w.Blocks {
			blocks[i].Codes = s.BlockCodes(ctx, b)
		}
		var f *mixed.Fit
		var err error
		switch {
		case w.Known > 0:
			f, err = mixed.SolveKnown(ctx, y, m, blocks[0], w.Known, mixed.Restricted)
		case w.Few:
			f, err = mixed.SolveFew(ctx, y, m, blocks)
		default:
			f, err = mixed.Solve(ctx, y, m, blocks, mixed.Restricted)
		}
		if err != nil {
			return nil, nil, w.Problem(err)
		}
		return f.Fit, f, nil
	}
	f, err := linear.Solve(ctx, y, m)
	switch {
	case err != nil:
		return nil, nil, err
	case w.Uneven:
		u, err := f.Uneven(ctx)
		if err != nil {
			return nil, nil, err
		}
		return u.Fit, u, nil
	case w.Resistant:
		r, err := f.Resistant(ctx)
		if err != nil {
			return nil, nil, err
		}
		return r.Fit, r, nil
	}
	return f, f, nil
}

// Problem words what keeps blocks from being fitted.
func (w Method) Problem(err error) error {
	var e *mixed.Error
	if !errors.As(err, &e) {
		return err
	}
	p := &page.Problem{Code: page.Code(e.Code), At: w.Blocks[0].At}
	name, other := "the blocks", ""
	if e.Block >= 0 {
		name, p.At = w.Blocks[e.Block].Name(), w.Blocks[e.Block].At
	}
	if e.Other >= 0 {
		other = w.Blocks[e.Other].Name()
	}
	switch e.Code {
	case "one-block":
		p.Message, p.Hint = name+" is the same for every specimen used", "leave it out of the blocks"
	case "each-its-own":
		p.Message, p.Hint = "no two specimens share "+name+", so its scatter cannot be distinguished from theirs",
			"leave it out of the blocks"
	case "blocks-in-terms":
		p.Message, p.Hint = "the terms leave nothing of "+name+": it changes wholly with them, and its scatter "+
			"cannot be estimated", "leave "+name+" out of the blocks, or those terms out of the fit"
	case "blocks-alike":
		p.Message = "the scatter of " + name + " and of the other blocks cannot be distinguished in these specimens"
		if other != "" {
			p.Message = name + " divides the specimens just as " + other + " does"
		}
		p.Hint = "block by one of them"
	case "too-many-blocks":
		p.Message = "there are more blocks here than can be fitted: beside the column with most of them, 300 in all"
		p.Hint = "block by fewer columns"
	case "nothing-left-over":
		p.Message, p.Hint = "terms and blocks account for every specimen exactly, so nothing is left to "+
			"judge the spread by", "leave terms or blocks out"
	default:
		p.Message = name + ": " + e.Error()
	}
	return p
}

func (f *Fit) Names(specimens []int) []string {
	return lists.Mapped(specimens, f.Sample.Frame.SpecimenName)
}

// aloneProblem is the reason why levels of a fit with uneven spread have no intervals; nil
// where that is not it.
func (f *Fit) aloneProblem(at int) *page.Problem {
	by, ok := f.Estimator.(*linear.Uneven)
	if !ok || len(by.Alone) == 0 {
		return nil
	}
	for _, l := range f.Coefficients {
		if math.IsNaN(l.SE) && !l.Dependent {
			return page.Refuse(page.CodeAloneOnLevel, at,
				"specimen "+session.Listed(f.Names(by.Alone))+
					" is alone on its level: with uneven spread nothing tells how such specimens scatter",
				"fit without uneven spread, or leave that level out with `for`")
		}
	}
	return nil
}
