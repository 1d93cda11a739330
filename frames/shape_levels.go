package frames

import (
	"context"
	"math"
	"slices"
	"strconv"

	"github.com/go-gota/gota/series"

	"breakbook/frames/meant"
	"breakbook/models/parallel"
)

// Merge makes one level of several. Where a level is called so already, it takes the
// others in. The new level stands where the first of them stood. A word that is no
// level is an *Error with code "unknown-level"; it is ctx's own where that ends.
func (f *Frame) Merge(ctx context.Context, column string, levels []string, into string) (_ *Frame, err error) {
	defer parallel.Catch(&err)
	i, err := f.category(column)
	if err != nil {
		return nil, err
	}
	h := f.held[i]
	known := map[string]bool{}
	for _, l := range h.Levels {
		known[l] = true
	}
	merged := map[string]bool{into: true}
	for _, l := range levels {
		if !known[l] {
			return nil, &Error{Code: "unknown-level", Column: column, Word: l, Hint: meant.Hint(l, h.Levels),
				Detail: column + " has no level " + l}
		}
		merged[l] = true
	}
	var order []string
	code := make([]int, len(h.Levels)) // of what each level becomes
	taken := -1                        // that of the new one
	for at, l := range h.Levels {
		switch {
		case !merged[l]:
			code[at], order = len(order), append(order, l)
		case taken < 0:
			taken = len(order)
			code[at], order = taken, append(order, into)
		default:
			code[at] = taken
		}
	}
	s := seriesOf(ctx, series.Int, f.Len(), func(row int) any {
		if level := f.level(i, row); level >= 0 {
			return code[level]
		}
		return -1
	})
	h.words = order
	h.setOrder(order)
	return f.replaced(i, h, s), nil
}

// Band cuts a number column at values in its own unit, each above the one before, into
// a new category: "under 500", "500 to 600", "600 and over", in that order. A value
// that is a cut belongs to the level above it. Fewer cuts than one, or cuts out of
// order, are an *Error with code "bad-cuts"; it is ctx's own where that ends.
func (f *Frame) Band(ctx context.Context, column string, cuts []float64, name, label string) (_ *Frame, err error) {
	defer parallel.Catch(&err)
	values, err := f.Numbers(column)
	if err != nil {
		return nil, err
	}
	for i := 1; i < len(cuts); i++ {
		if !(cuts[i] > cuts[i-1]) {
			return nil, &Error{Code: "bad-cuts", Column: column, Detail: "cuts go upwards, and " + shortest(cuts[i]) +
				" is not above " + shortest(cuts[i-1])}
		}
	}
	if len(cuts) == 0 {
		return nil, &Error{Code: "bad-cuts", Column: column, Detail: "at least one cut is needed"}
	}
	bands := []string{BandUnder(cuts[0])}
	for i := 1; i < len(cuts); i++ {
		bands = append(bands, shortest(cuts[i-1])+" to "+shortest(cuts[i]))
	}
	bands = append(bands, shortest(cuts[len(cuts)-1])+" and over")
	c, _ := f.Column(column)
	next, err := f.WithWords(ctx, Column{Name: name, Label: label, Unit: c.Unit}, func(row int) (string, bool) {
		if math.IsNaN(values[row]) {
			return "", false
		}
		at, found := slices.BinarySearch(cuts, values[row])
		if found {
			at++
		}
		return bands[at], true
	})
	if err != nil {
		return nil, err
	}
	h := &next.held[len(next.held)-1]
	h.setOrder(slices.DeleteFunc(bands, func(b string) bool { return !slices.Contains(h.words, b) }))
	return next, nil
}

// BandUnder is what Band calls the level below its first cut.
func BandUnder(cut float64) string { return "under " + shortest(cut) }

// Cuts finds n − 1 values that cut the specimens that take part into n levels as equal
// in number as ties allow; each is the roundest number between the two specimens it
// parts. Fewer different values than n are an *Error with code "too-few-values"; it is ctx's own where that ends.
func (f *Frame) Cuts(ctx context.Context, column string, n int) (_ []float64, err error) {
	defer parallel.Catch(&err)
	all, err := f.Numbers(column)
	if err != nil {
		return nil, err
	}
	var values []float64
	for row, x := range all {
		parallel.LookAt(ctx, row)
		if _, aside := f.Aside(row); !aside && !math.IsNaN(x) {
			values = append(values, x)
		}
	}
	parallel.Sort(ctx, values)
	var gaps []int // a cut may stand before these
	for i := 1; i < len(values); i++ {
		if values[i-1] < values[i] {
			gaps = append(gaps, i)
		}
	}
	if n < 2 || len(gaps) < n-1 {
		return nil, &Error{Code: "too-few-values", Column: column,
			Detail: column + " has " + strconv.Itoa(min(len(values), len(gaps)+1)) +
				" different values, which cannot make " + strconv.Itoa(n) + " levels"}
	}
	var cuts []float64
	from := 0
	for i := 1; i < n; i++ {
		ideal := float64(i) * float64(len(values)) / float64(n)
		last := len(gaps) - (n - i) // leaves a gap for each cut to come
		best := from
		for g := from; g <= last; g++ {
			parallel.LookAt(ctx, g)
			if math.Abs(float64(gaps[g])-ideal) < math.Abs(float64(gaps[best])-ideal) {
				best = g
			}
		}
		cuts = append(cuts, roundest(values[gaps[best]-1], values[gaps[best]]))
		from = best + 1
	}
	return cuts, nil
}

// roundest is the number with the fewest digits above low and not above high.
func roundest(low, high float64) float64 {
	for e := int(math.Ceil(math.Log10(math.Max(math.Abs(low), math.Abs(high))))) + 1; e > -18; e-- {
		step := math.Pow(10, math.Abs(float64(e)))
		x := math.Floor(high/step) * step
		if e < 0 {
			x = math.Floor(high*step) / step
		}
		if x > low && x <= high {
			return x
		}
	}
	return high
}
