package plan

import (
	"math"

	"breakbook/models/dist"
	"breakbook/models/lists"
	"breakbook/models/stages"
)

// look is one time that a series is looked at.
type look struct {
	at    float64 // the share of the planned specimens that is there
	spent float64 // the share by which error is given out; 1 at the last
	df    float64
}

// looking is a row of looks at a plan, and the p at which each may end the series.
type looking struct {
	df1      float64
	perLevel int // that the plan ends with
	looks    []look
	differs  []float64
	stop     []float64 // NaN at the last, and where nothing is marked
}

// ending are the chances to end at a look, with "differs" or without.
type ending struct{ differs, stop float64 }

// ends are the chances to end at each look.
func (m *looking) ends(all []seen) []ending {
	path := stages.NewPath(correlations(all))
	var out []ending
	for i, s := range all {
		end, mark := s.statistic(m.differs[i]), 0.0
		if m.stop[i] < 1 {
			mark = s.statistic(m.stop[i])
		}
		out = append(out, ending{path.Chance(s.beyond(end)...), path.Chance(s.inside(mark)...)})
		path.GoOn(s.between(mark, end)...)
	}
	return out
}

// chanceOf is the chance to end with "differs" at any look.
func chanceOf(ends []ending) float64 {
	sum := 0.0
	for _, e := range ends {
		sum += e.differs
	}
	return sum
}

// seen is how a look sees a true difference: by t where df1 is 1, else by F. A value of the statistic is put
// to the normal value that is exceeded with the same chance, so that each look by itself is exact; that
// these are jointly normal is not, and holds to about a percentage point (shown by simulation).
type seen struct {
	df1, df2 float64
	drift    float64 // the true difference of the pair in standard errors
	at       float64
}

// correlations are those of each look's normal value with the next: that of the means; of F, which is about a
// noncentral chi-square, that of two of those.
func correlations(all []seen) []float64 {
	out := stages.Correlations(lists.Mapped(all, func(s seen) float64 { return s.at }))
	for i, r := range out {
		if s, next := all[i], all[i+1]; s.df1 > 1 {
			variance := func(s seen) float64 { return 4*s.drift*s.drift + 2*s.df1 }
			out[i] = (4*s.drift*next.drift*r + 2*s.df1*r*r) / math.Sqrt(variance(s)*variance(next))
		}
	}
	return out
}

// statistic is the size of t, or the F, that is exceeded with chance p where there is no difference.
func (s seen) statistic(p float64) float64 {
	if !(p > 0) {
		return math.Inf(1)
	}
	f := dist.FPoint(p, s.df1, s.df2)
	if s.df1 == 1 {
		return math.Sqrt(f)
	}
	return f
}

// p is the chance with which the statistic is exceeded where there is no difference.
func (s seen) p(statistic float64) float64 {
	if s.df1 == 1 {
		return dist.TwoSidedT(statistic, s.df2)
	}
	return dist.FTail(statistic, s.df1, s.df2)
}

// place is the normal value that is exceeded as often as t, or F, exceeds x.
func (s seen) place(x float64) float64 {
	if math.IsInf(x, 0) {
		return x
	}
	above, below := 0.0, 0.0
	if s.df1 == 1 {
		above, below = dist.NoncentralTTail(x, s.df2, s.drift), dist.NoncentralTTail(-x, s.df2, -s.drift)
	} else {
		above = dist.NoncentralFTail(x, s.df1, s.df2, s.drift*s.drift)
		below = dist.NoncentralF(x, s.df1, s.df2, s.drift*s.drift)
	}
	if above < below {
		return stages.Upper(above)
	}
	return -stages.Upper(below)
}

// beyond is where the statistic is larger than x, inside where it is smaller, and between where it is from
// mark to end.
func (s seen) beyond(x float64) []stages.Region {
	up := stages.Region{Low: s.place(x), High: math.Inf(1)}
	if s.df1 > 1 {
		return []stages.Region{up}
	}
	return []stages.Region{{Low: math.Inf(-1), High: s.place(-x)}, up}
}

func (s seen) inside(x float64) []stages.Region {
	switch {
	case x == 0:
		return nil
	case s.df1 > 1:
		return []stages.Region{{Low: math.Inf(-1), High: s.place(x)}}
	}
	return []stages.Region{{Low: s.place(-x), High: s.place(x)}}
}

func (s seen) between(mark, end float64) []stages.Region {
	up := stages.Region{Low: s.place(mark), High: s.place(end)}
	if mark == 0 {
		up.Low = math.Inf(-1)
	}
	if s.df1 > 1 {
		return []stages.Region{up}
	}
	if mark == 0 {
		return []stages.Region{{Low: s.place(-end), High: up.High}}
	}
	return []stages.Region{{Low: s.place(-end), High: s.place(-mark)}, up}
}
