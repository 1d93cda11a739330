package compare

import (
	"context"
	"math"

	"breakbook/models/dist"
)

// family is a set of differences whose t values are judged together.
type family interface {
	// critical is what the largest |t| of the family passes with chance alpha.
	critical(ctx context.Context, alpha float64) float64
	// tail is the chance that the largest |t| passes t, and its error.
	tail(ctx context.Context, t float64) (p, within float64)
	// planned is the family of the same differences with as many specimens at every level
	// and df degrees of freedom.
	planned(df float64) family
}

// shared is one of several families told together, adjusted for their number by Bonferroni's
// inequality.
type shared struct {
	family
	of float64
}

func (f shared) critical(ctx context.Context, alpha float64) float64 {
	return f.family.critical(ctx, alpha/f.of)
}

func (f shared) tail(ctx context.Context, t float64) (p, within float64) {
	p, within = f.family.tail(ctx, t)
	return math.Min(1, f.of*p), f.of * within
}

func (f shared) planned(df float64) family { return shared{f.family.planned(df), f.of} }

// pairs are all pairs of levels (Tukey 1953; Kramer 1956 for unequal numbers).
type pairs struct{ *dist.StudentisedRange }

func (f pairs) critical(_ context.Context, alpha float64) float64 { return f.Point(alpha) / math.Sqrt2 }

func (f pairs) tail(_ context.Context, t float64) (p, within float64) {
	return f.Tail(math.Sqrt2 * t), 0
}

func (f pairs) planned(df float64) family { return pairs{dist.NewStudentisedRange(f.K, df)} }

// against is every level against one (Dunnett 1955, 1964).
type against struct {
	levels int     // without the one
	rho    float64 // how the differences go together with as many specimens at every level
	*dist.ManyToOne
}

func (f against) critical(ctx context.Context, alpha float64) float64 { return f.Point(ctx, alpha) }

func (f against) tail(ctx context.Context, t float64) (p, within float64) { return f.Tail(ctx, t) }

func (f against) planned(df float64) family {
	half := make([][]float64, f.levels)
	for i := range half {
		half[i] = make([]float64, f.levels)
		for j := range half[i] {
			half[i][j] = f.rho
		}
		half[i][i] = 1
	}
	return against{f.levels, f.rho, dist.NewManyToOne(half, df)}
}

// bonferroni is a number of t values with nothing known of how they go together.
type bonferroni struct{ of, df float64 }

func (f bonferroni) critical(_ context.Context, alpha float64) float64 {
	return -dist.TQuantile(alpha/(2*f.of), f.df)
}

func (f bonferroni) tail(_ context.Context, t float64) (p, within float64) {
	return math.Min(1, f.of*dist.TwoSidedT(t, f.df)), 0
}

func (f bonferroni) planned(df float64) family { return bonferroni{f.of, df} }

// sidak is a number of t values, each with degrees of freedom of its own, joined by the
// inequality of Šidák (1967).
type sidak struct{ of, df float64 }

func (f sidak) critical(_ context.Context, alpha float64) float64 {
	return -dist.TQuantile(-math.Expm1(math.Log1p(-alpha)/f.of)/2, f.df)
}

func (f sidak) tail(_ context.Context, t float64) (p, within float64) {
	return -math.Expm1(f.of * math.Log1p(-dist.TwoSidedT(t, f.df))), 0
}

func (f sidak) planned(df float64) family { return sidak{f.of, df} }
