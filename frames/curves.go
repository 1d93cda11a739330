package frames

import (
	"math"
	"slices"
	"strings"

	"breakbook/frames/units"
)

// Curves are load–slip readings, a curve a specimen, all in the same two units.
type Curves struct {
	Names              []string // of the specimens, as their files have them
	Files              []string // the file each curve came from
	LoadUnit, SlipUnit units.Unit
	Sources            []Source     // the files read
	Remarks            []FileRemark // what was odd about them
	Skipped            int          // readings without a slip or a load
	// significant digits of the loads as read, counted on the largest; 0 where there are none
	LoadDigits int
	SlipDigits int     // the same of the slips
	Drop       float64 // the share of load that makes a drop, where asked for; else 0

	from       []int // nil for none; curve i is the readings from[i] to from[i+1]
	slip, load []float64
}

// FileRemark is a remark on one of several files.
type FileRemark struct {
	File string
	Remark
}

// Add sorts the readings of a file by specimen, in their own order: of is the place of each
// one's specimen in names, -1 for none. What it skips is -1 in of afterwards.
func (c *Curves) Add(path string, names []string, of []int, slips, loads []float64) {
	counts := make([]int, len(names))
	for row, i := range of {
		if i < 0 || math.IsNaN(slips[row]) || math.IsNaN(loads[row]) {
			of[row] = -1
			c.Skipped++
			continue
		}
		counts[i]++
	}
	if c.from == nil {
		c.from = []int{0}
	}
	base := len(c.slip)
	next := make([]int, len(names))
	for i, n := range counts {
		next[i] = base
		base += n
		c.from = append(c.from, base)
		c.Names, c.Files = append(c.Names, names[i]), append(c.Files, path)
	}
	c.slip = append(c.slip, make([]float64, base-len(c.slip))...)
	c.load = append(c.load, make([]float64, base-len(c.load))...)
	for row, i := range of {
		if i >= 0 {
			c.slip[next[i]], c.load[next[i]] = slips[row], loads[row]
			next[i]++
		}
	}
}

// Len is the number of curves.
func (c *Curves) Len() int { return len(c.Names) }

// Readings is how many readings the curves have together.
func (c *Curves) Readings() int { return len(c.slip) }

// Curve is one curve's readings in the order of its file. They are shared, not copied.
func (c *Curves) Curve(i int) (slip, load []float64) {
	return c.slip[c.from[i]:c.from[i+1]], c.load[c.from[i]:c.from[i+1]]
}

// rowCurves says which curve belongs to which row of a frame.
type rowCurves struct {
	curves *Curves
	of     []int // by row, -1 for none
}

func (r *rowCurves) pick(rows []int) *rowCurves {
	if r == nil {
		return nil
	}
	return &rowCurves{r.curves, pick(r.of, rows)}
}

// Matching is what WithCurves found no partner for.
type Matching struct {
	Without   []int // rows that have no curve
	Strangers []int // curves that have no row
}

// WithCurves gives each row the curve that is called as its cell of the key column is:
// spelled so, or else so but for case. Two rows of one name are an *Error with code
// "key-twice", and no row at all with a curve one with code "no-partners".
func (f *Frame) WithCurves(c *Curves, key string) (*Frame, Matching, error) {
	var m Matching
	if _, err := f.find(key); err != nil {
		return nil, m, err
	}
	exact, folded := make(map[string]int, c.Len()), make(map[string]int, c.Len())
	for i, name := range c.Names {
		exact[name] = i
		lower := strings.ToLower(name)
		if _, twice := folded[lower]; twice {
			folded[lower] = -1
			continue
		}
		folded[lower] = i
	}
	of := make([]int, f.Len())
	row := make([]int, c.Len()) // of a curve, from 1; 0 for none
	for r := range of {
		of[r] = -1
		cell, ok := f.Cell(key, r)
		i, found := exact[cell]
		if !found {
			if i, found = folded[strings.ToLower(cell)]; found && i < 0 {
				found = false
			}
		}
		if !ok || !found {
			m.Without = append(m.Without, r)
			continue
		}
		if row[i] > 0 {
			return nil, m, &Error{Code: "key-twice", Column: key, Word: cell,
				Detail: "two specimens have the " + key + " " + cell + ", so nobody can say which the curve belongs to"}
		}
		of[r], row[i] = i, r+1
	}
	for i, r := range row {
		if r == 0 {
			m.Strangers = append(m.Strangers, i)
		}
	}
	if len(m.Strangers) == c.Len() {
		return nil, m, &Error{Code: "no-partners", Column: key, Word: c.Names[0],
			Detail: "no curve belongs to a specimen: " + key + " has none called " + c.Names[0]}
	}
	next := f.Using(c.Sources...)
	next.slips = &rowCurves{c, of}
	return next, m, nil
}

// Curves are the readings given to the frame, nil where there are none.
func (f *Frame) Curves() *Curves {
	if f.slips == nil {
		return nil
	}
	return f.slips.curves
}

// CurveOf is the curve of a row, as Curves counts them; false where it has none.
func (f *Frame) CurveOf(row int) (int, bool) {
	if f.slips == nil || row < 0 || row >= len(f.slips.of) || f.slips.of[row] < 0 {
		return 0, false
	}
	return f.slips.of[row], true
}

// OfLoads is the readings with loads turned into another unit.
func (c *Curves) OfLoads(u units.Unit) (*Curves, error) {
	if u == c.LoadUnit {
		return c, nil
	}
	change, err := units.To(c.LoadUnit, u)
	if err != nil {
		return nil, err
	}
	next := *c
	next.LoadUnit, next.load = u, slices.Clone(c.load)
	for i, x := range next.load {
		next.load[i] = change.Apply(x)
	}
	return &next, nil
}
