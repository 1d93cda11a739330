// Package mixed fits linear models with random levels a block: specimens of one board,
// batch or day share a shift of their own, so that each counts for less than one specimen.
//
// The model is y = Xb + Σ Z_k u_k + e with u_k ~ N(0, sd_k²) for the levels of block column
// k, independent of each other and of e ~ N(0, Sigma²/weight). Variances are those of the
// largest restricted likelihood (Patterson and Thompson 1971, Biometrika 58), found as
// ratios to Sigma², which is profiled out; coefficients are generalised least squares at them.
package mixed

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/parallel"
)

// Block is one column of blocks: the code of each specimen's level, from 0.
type Block struct{ Codes []int }

// Criterion is which likelihood is made largest.
type Criterion uint8

const (
	Restricted Criterion = iota
	Full                 // for setting models with different terms against each other
)

// Component is the random part of one block column.
type Component struct {
	Levels     int     // met among the specimens used
	SD         float64 // 0 where the variance was estimated as zero
	Proportion float64 // of all variances, the left-over one included
}

// Fit is a fitted model with random blocks. Of the embedded fit, Coefficients, AtZero,
// Sigma, F, FDF2, P and LogLikelihood are this model's; DF is still n − p, and what is
// asked about has degrees of freedom of its own. Fitted and Residuals hold the blocks'
// predicted shifts. RSS is what the expected values without the blocks leave, and
// Explained 1 − RSS/TSS, the share of the total they account for; it is at most that of
// least squares. ExplainedAdjusted and ExplainedUnseen are NaN.
//
// LogLikelihood is restricted to error contrasts K'y with K'K = I (Harville 1974,
// Biometrika 61), constants included, so that it does not depend on how terms are coded:
// −½[(n−p) ln 2π + ln|V| + ln|X'V⁻¹X| − ln|X'X| + y'Py]; where another program's differs, it
// is mostly by ½ ln|X'X| left out. AICc is NaN, for restricted
// likelihoods of different terms cannot be compared; with Full both are those of the full one.
type Fit struct {
	*linear.Fit
	Components []Component // by block column
	Blocks     []Block     // as they were given

	criterion Criterion
	parts     *parts      // of the block columns whose variance is not zero; nil without one
	at        *point      // where their likelihood is largest
	inverse   [][]float64 // asymptotic covariance of Sigma² and their ratios to it
	known     float64     // the sd of the one block column where it was given; 0: estimated

	added *mat.SymDense // what few blocks add to the covariance of the coordinates, over Sigma²; nil outside SolveFew
}

// Error says why blocks cannot be fitted. Codes: "uneven-lengths", "one-block" (one
// level), "each-its-own" (every specimen is a block of its own), "blocks-in-terms" (the
// terms leave nothing of the blocks), "blocks-alike" (Block cannot be distinguished from Other),
// "too-many-blocks" and "nothing-left-over" (the blocks account for every specimen exactly).
type Error struct {
	Code         string
	Block, Other int // index into the block columns, or -1
}

func (e *Error) Error() string {
	return fmt.Sprintf("%s (block column %d, %d)", e.Code, e.Block, e.Other)
}

// Solve fits y (one a specimen) on the model with random levels for each block column.
// Errors are *Error, *linear.Error or ctx's own.
func Solve(ctx context.Context, y []float64, m design.Model, blocks []Block, c Criterion) (_ *Fit, err error) {
	defer parallel.Catch(&err)
	return largest(ctx, y, m, blocks, c, false)
}

func largest(ctx context.Context, y []float64, m design.Model, blocks []Block, c Criterion, few bool) (*Fit, error) {
	base, err := linear.Solve(ctx, y, m)
	if err != nil {
		return nil, err
	}
	groups, err := group(ctx, base, blocks)
	if err != nil {
		return nil, err
	}
	all, err := takeApart(ctx, base, groups, c)
	if err != nil {
		return nil, err
	}
	ratios, err := all.search(ctx)
	if err != nil {
		return nil, err
	}
	f := &Fit{Fit: new(*base), criterion: c, Components: make([]Component, len(blocks)), Blocks: blocks}
	for _, g := range groups {
		f.Components[g.at].Levels = g.levels
	}
	if few && f.keep(all, ratios) == nil {
		f.finish(ctx, all)
		return f, nil
	}
	var kept []grouping
	var above []float64
	for k, g := range groups {
		if ratios[k] > 0 {
			kept, above = append(kept, g), append(above, ratios[k])
		}
	}
	if len(kept) == 0 {
		f.finish(ctx, all)
		return f, nil
	}
	if len(kept) == len(groups) {
		f.parts = all
	} else if f.parts, err = takeApart(ctx, base, kept, c); err != nil {
		return nil, err
	}
	if f.at, err = f.parts.at(above, true); err != nil {
		return nil, err
	}
	if f.inverse, err = f.parts.information(f.at); err != nil {
		return nil, err
	}
	f.finish(ctx, f.parts)
	return f, nil
}

// variances works out Sigma and the blocks' parts.
func (f *Fit) variances(p *parts) {
	if f.at == nil {
		f.Sigma = math.Sqrt(p.rss / p.freedom)
		return
	}
	f.Sigma = math.Sqrt(f.at.rss / p.freedom)
	if f.known > 0 {
		f.Sigma = f.known / math.Sqrt(f.at.ratios[0])
	}
	total := 1.0
	for _, ratio := range f.at.ratios {
		total += ratio
	}
	for k, g := range p.groups {
		f.Components[g.at].SD = f.Sigma * math.Sqrt(f.at.ratios[k])
		f.Components[g.at].Proportion = f.at.ratios[k] / total
	}
}

// shift is what takes the least-squares coordinates to this fit's.
func (f *Fit) shift() []float64 {
	if f.at == nil {
		return make([]float64, len(f.Coefficients))
	}
	return f.at.shift[f.parts.others:]
}
