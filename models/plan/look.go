package plan

import (
	"math"
	"slices"

	"breakbook/models/lists"
	"breakbook/models/stages"
)

// Look is a look at a series that was planned, by the share of its specimens that is there: what it may
// end with, and what it costs.
type Look struct {
	Share    float64
	Stage    int     // the planned stage that it is, from 1; 0: none
	Last     bool    // nothing more is planned after it
	PDiffers float64 // p below which there is a difference; 0: no error is left to spend
	PTwice   float64 // the same at twice the error, by which it is said that there is none worth having
	PStop    float64 // p above which one may stop without; NaN where nothing is marked
	Spent    float64 // the error given out once it is made
	Course   []Mark  // all looks, with this one: those before it that were planned or made, and those to come

	// Of a look that was not planned: the chance of the whole plan to end with "differs" where Delta is true,
	// and the p of its last stage, with this look and without it. NaN for one that was, and for the last.
	Chance, ChanceWithout float64
	LastP, LastPWithout   float64
	// The false alarms of all looks, were each made at the whole error; of one that has nothing left to spend,
	// were it made at the whole error after the others at theirs. NaN for a planned look.
	AlarmsAtWhole float64
}

// Mark is a look with where it may end the series.
type Mark struct {
	Share    float64
	Stage    int // planned; 0: none
	PDiffers float64
	PStop    float64 // NaN where nothing is marked
}

// Taken is an earlier look: the share that was there, and whether it was the last, which used up the error.
type Taken struct {
	Share float64
	Last  bool
}

// nearStage is how far from a planned stage a look may be to be taken for it, as a share of all, at most;
// a quarter of a stage, where that is less.
const nearStage = 0.1

// LookAt is a look once the share of a plan of perLevel specimens a level is there. taken are the looks
// at the series before; that it was also looked at after each planned stage before this is
// taken for granted, so that the boundary holds either way. closed says that no more specimens will come: then a
// share that falls short of the whole by a few that were spoiled is the last look.
func (s Stages) LookAt(perLevel int, share float64, taken []Taken, closed bool) (*Look, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	if !(share > 0) || perLevel < 2 {
		return nil, &Error{"too-few-specimens"}
	}
	near := min(nearStage, 0.25/float64(s.Number))
	same := func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }
	var before, after []float64
	over := math.Inf(1) // where all of the error was used
	for _, t := range taken {
		if t.Share > share || same(t.Share, share) {
			continue
		}
		if !slices.ContainsFunc(before, func(b float64) bool { return same(b, t.Share) }) {
			before = append(before, t.Share)
		}
		if t.Last {
			over = min(over, t.Share)
		}
	}
	out := &Look{Share: share, Chance: math.NaN(), ChanceWithout: math.NaN(), LastP: math.NaN(),
		LastPWithout: math.NaN(), AlarmsAtWhole: math.NaN()}
	stageAt := func(share float64) int {
		for i := range s.Number {
			if math.Abs(float64(i+1)/float64(s.Number)-share) < near {
				return i + 1
			}
		}
		return 0
	}
	for i := range s.Number {
		planned := float64(i+1) / float64(s.Number)
		last := i == s.Number-1
		made := slices.ContainsFunc(before, func(t float64) bool { return math.Abs(t-planned) < near })
		if last {
			made = over < share
		}
		switch {
		case made:
		case last && (share >= 1 || same(share, 1) || closed && planned-share < near),
			!last && math.Abs(planned-share) < near:
			out.Stage = i + 1
		case planned < share:
			before = append(before, planned)
		default:
			after = append(after, planned)
		}
	}
	slices.Sort(before)
	out.Last = over < share || len(after) == 0
	with := append(s.looksAt(perLevel, before), s.looksAt(perLevel, append([]float64{share}, after...))...)
	for i := range with {
		if with[i].at >= over || i == len(before) && out.Last {
			with[i].spent = 1
		}
	}
	m := s.mark(with, s.nominal(with, 1-s.Confidence), perLevel)
	at := len(before)
	out.PDiffers, out.PStop = m.differs[at], m.stop[at]
	out.PTwice = s.nominal(with, 2*(1-s.Confidence))[at]
	out.Spent = s.Spending.Spent(1-s.Confidence, with[at].spent)
	for i, l := range with {
		mark := Mark{Share: l.at, Stage: stageAt(l.at), PDiffers: m.differs[i], PStop: m.stop[i]}
		if i == at {
			mark.Stage = out.Stage
		}
		out.Course = append(out.Course, mark)
	}
	if !(out.PDiffers > 0) {
		out.AlarmsAtWhole = s.falseAlarms(with[:at+1], append(slices.Clone(m.differs[:at]), 1-s.Confidence))
	}
	if out.Stage > 0 || out.Last {
		return out, nil
	}
	others := s.looksAt(perLevel, append(slices.Clone(before), after...))
	without := s.mark(others, s.nominal(others, 1-s.Confidence), perLevel)
	out.Chance, out.ChanceWithout = s.chance(m, s.Delta, s.SD, s.blockSD()),
		s.chance(without, s.Delta, s.SD, s.blockSD())
	out.LastP, out.LastPWithout = m.differs[len(m.differs)-1], without.differs[len(without.differs)-1]
	out.AlarmsAtWhole = s.falseAlarms(with, slices.Repeat([]float64{1 - s.Confidence}, len(with)))
	return out, nil
}

// looksAt are looks at shares of a plan.
func (s Stages) looksAt(perLevel int, shares []float64) []look {
	var out []look
	for _, x := range shares {
		n := max(2, int(math.Round(x*float64(perLevel))))
		out = append(out, look{x, min(x, 1), max(1, s.df(0, n))})
	}
	return out
}

// falseAlarms is the chance of a false "differs" where the looks end with these p.
func (s Stages) falseAlarms(looks []look, p []float64) float64 {
	all := stages.FalseAlarms(s.Levels[0]-1, lists.Mapped(looks, func(l look) float64 { return l.at }), p)
	return all[len(all)-1]
}
