package mixed

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"breakbook/models/linear"
	"breakbook/models/parallel"
)

// mostLevels bounds the time of a fit: of all block columns but the one with most levels,
// for which there is no bound.
const mostLevels = 300

// nothingLeft is the share of a block column below which what the terms leave of it is
// rounding.
const nothingLeft = 1e-10

// grouping is one block column: the level of each specimen, numbered as they are met.
type grouping struct {
	at     int // index into the caller's block columns
	levels int
	codes  []int
}

// parts is all that the likelihood needs to know of the data. The block column with most
// levels, Z₁, comes first and is kept apart: Z₁'WZ₁ is diagonal. The others, Z, stand with
// the coordinates Q of the terms and the least-squares residuals e as inner columns [Z, Q, e].
type parts struct {
	groups   []grouping    // the one with most levels first
	from, to []int         // of groups[1:]: their inner columns
	size     []float64     // Z₁'WZ₁
	cross    *mat.Dense    // Z₁'W[Z, Q, e]
	inner    *mat.SymDense // [Z, Q, e]'W[Z, Q, e]
	others   int           // columns of Z
	width    int           // columns of Z and Q
	freedom  float64       // n − p, or n with the full likelihood
	full     bool
	constant float64 // of −2 log likelihood: what does not depend on the variances
	rss      float64 // e'We
}

// takeApart gathers the parts. Errors are *Error.
func takeApart(ctx context.Context, base *linear.Fit, groups []grouping, c Criterion) (*parts, error) {
	p := &parts{groups: groups, rss: base.RSS, freedom: base.DF, full: c == Full}
	for _, g := range groups[1:] {
		p.from = append(p.from, p.others)
		p.others += g.levels
		p.to = append(p.to, p.others)
	}
	if p.others > mostLevels {
		return nil, &Error{"too-many-blocks", -1, -1}
	}
	p.width = p.others + len(base.Coefficients)
	p.size = make([]float64, groups[0].levels)
	p.cross, p.inner = mat.NewDense(len(p.size), p.width+1, nil), mat.NewSymDense(p.width+1, nil)
	spread := mat.NewSymDense(len(base.Coefficients), nil)
	for i, row := range base.Rows(ctx) {
		parallel.LookAt(ctx, i)
		if row != nil {
			w := base.Weight(i)
			p.constant -= math.Log(w)
			spread.SymRankOne(spread, 1, mat.NewVecDense(len(row), row))
			p.add(i, w, row, base.Residuals[i])
		}
	}
	for j := p.others; j < p.width; j++ {
		p.inner.SetSym(j, j, 1) // a dependent one touches nothing
	}
	p.inner.SetSym(p.width, p.width, p.rss)
	if p.full {
		p.freedom = float64(base.N)
	} else {
		p.constant -= logDeterminant(spread)
	}
	return p, nil
}

// add takes in one specimen.
func (p *parts) add(i int, w float64, row []float64, residual float64) {
	line := p.cross.RawRowView(p.groups[0].codes[i])
	p.size[p.groups[0].codes[i]] += w
	for j, v := range row {
		line[p.others+j] += w * v
	}
	line[p.width] += w * residual
	for k, g := range p.groups[1:] {
		a := p.from[k] + g.codes[i]
		line[a] += w
		for l, h := range p.groups[1 : k+2] {
			b := p.from[l] + h.codes[i]
			p.inner.SetSym(a, b, p.inner.At(a, b)+w)
		}
		for j, v := range row {
			p.inner.SetSym(a, p.others+j, p.inner.At(a, p.others+j)+w*v)
		}
		p.inner.SetSym(a, p.width, p.inner.At(a, p.width)+w*residual)
	}
}

// logDeterminant is of Q'Q; dependent columns take no part.
func logDeterminant(spread *mat.SymDense) float64 {
	for j := range spread.SymmetricDim() {
		if spread.At(j, j) == 0 {
			spread.SetSym(j, j, 1)
		}
	}
	var c mat.Cholesky
	if !c.Factorize(spread) {
		return math.NaN()
	}
	return c.LogDet()
}

// group numbers the levels met of every block column, most levels first, and finds those
// whose variance the specimens cannot tell.
func group(ctx context.Context, base *linear.Fit, blocks []Block) ([]grouping, error) {
	if !(base.RSS > 0) {
		return nil, &Error{"nothing-left-over", -1, -1}
	}
	rows := base.Rows(ctx)
	var groups []grouping
	for k, b := range blocks {
		if len(b.Codes) != len(base.Response) {
			return nil, &Error{"uneven-lengths", k, -1}
		}
		g := number(b.Codes, rows)
		g.at = k
		switch {
		case g.levels < 2:
			return nil, &Error{"one-block", k, -1}
		case g.levels == base.N:
			return nil, &Error{"each-its-own", k, -1}
		case g.inTerms(base, rows):
			return nil, &Error{"blocks-in-terms", k, -1}
		}
		for _, o := range groups {
			if o.levels == g.levels && o.met(g, rows) == g.levels {
				return nil, &Error{"blocks-alike", k, o.at}
			}
		}
		groups = append(groups, g)
	}
	slices.SortStableFunc(groups, func(a, b grouping) int { return b.levels - a.levels })
	return groups, nil
}

func number(codes []int, rows [][]float64) grouping {
	g := grouping{codes: make([]int, len(codes))}
	numbers := map[int]int{}
	for i, code := range codes {
		if rows[i] == nil {
			continue
		}
		at, met := numbers[code]
		if !met {
			at = g.levels
			numbers[code] = at
			g.levels++
		}
		g.codes[i] = at
	}
	return g
}

// inTerms reports whether the terms leave nothing of the block column.
func (g grouping) inTerms(base *linear.Fit, rows [][]float64) bool {
	along := make([][]float64, g.levels)
	all, held := 0.0, 0.0
	for i, row := range rows {
		if row == nil {
			continue
		}
		w := base.Weight(i)
		all += w
		if along[g.codes[i]] == nil {
			along[g.codes[i]] = make([]float64, len(row))
		}
		for j, v := range row {
			along[g.codes[i]][j] += w * v
		}
	}
	for _, a := range along {
		held += floats.Dot(a, a)
	}
	return all-held <= nothingLeft*all
}

// met is how many pairs of levels of two block columns some specimen has.
func (g grouping) met(o grouping, rows [][]float64) int {
	pairs := map[[2]int]bool{}
	for i, row := range rows {
		if row != nil {
			pairs[[2]int{g.codes[i], o.codes[i]}] = true
		}
	}
	return len(pairs)
}
