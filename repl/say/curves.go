package say

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/models/curves"
	"breakbook/repl/page"
)

// Listed names a few things, and says how many more there are.
func Listed(names []string) string {
	const most = 12
	if len(names) > most+1 {
		return strings.Join(names[:most], ", ") + " and " + strconv.Itoa(len(names)-most) + " more"
	}
	return strings.Join(names, ", ")
}

// CurvesRead tells how many curves were read and measured.
func CurvesRead(readings, all, measured int) page.Sentence {
	s := page.Say(readings, " readings of ", all, plural(all, " curve", " curves")+"; ")
	if measured == all {
		return append(s, page.Word(plural(all, "it belongs", "all belong")+" to a specimen and "+plural(all, "was", "were")+" measured."))
	}
	return append(s, page.Say(measured, plural(measured, " belongs", " belong")+" to a specimen and "+plural(measured, "was", "were")+" measured.")...)
}

// WithoutCurve names the specimens that have none.
func WithoutCurve(names []string) page.Sentence {
	return page.Say(len(names), plural(len(names), " specimen has", " specimens have")+" no curve, so the figures are missing there: "+Listed(names)+".")
}

// Strangers names the curves that belong to no specimen.
func Strangers(names []string) page.Sentence {
	return page.Say(len(names), plural(len(names), " curve belongs", " curves belong")+" to no specimen of the series and "+
		plural(len(names), "was", "were")+" left alone: "+Listed(names)+".")
}

// NotMeasured names the specimens whose curve holds nothing that can be measured.
func NotMeasured(names []string) page.Sentence {
	return page.Say(len(names), plural(len(names), " curve", " curves")+" could not be measured (the table of missing figures says why): "+Listed(names)+".")
}

// FileRemarks puts what was odd about several files into words: of each kind of
// remark the first, and in how many more places the like was met.
func FileRemarks(all []frames.FileRemark) []page.Sentence {
	var out []page.Sentence
	for i, r := range all {
		like := func(o frames.FileRemark) bool { return o.Code == r.Code }
		if r.Code == "mass-as-load" || slices.IndexFunc(all, like) < i {
			continue
		}
		more := -1
		for _, o := range all {
			if like(o) {
				more++
			}
		}
		for _, s := range Remarks([]frames.Remark{r.Remark}) {
			s = append(page.Say(r.File+": "), s...)
			if more > 0 {
				s = append(s, page.Say(" The like was met in ", more, plural(more, " place", " places")+" more.")...)
			}
			out = append(out, s)
		}
	}
	return out
}

// LoadsInMass warns of readings whose loads are in kg or lb.
func LoadsInMass(unit string) page.Sentence {
	return page.Say("The loads of the readings are in " + unit + ", a mass. If they were forces, say so in the header of the file (kgf, lbf).")
}

// SkippedReadings counts the rows that are no readings.
func SkippedReadings(n int) page.Sentence {
	return page.Say(n, plural(n, " row has", " rows have")+" no specimen, no slip or no load and "+plural(n, "was", "were")+" left out.")
}

// OddCurves are specimens whose curves had to be put right, or are short of something.
type OddCurves struct {
	Zeroed, Sorted, Looped, CutShort, ShortLine []string
}

// Sentences has one caution for each thing; zero is the furthest a curve's slack was
// from no load.
func (o OddCurves) Sentences(zero page.Num) []page.Sentence {
	var out []page.Sentence
	say := func(names []string, one, many string) page.Sentence {
		return page.Say(len(names), plural(len(names), one, many)+": "+Listed(names)+".")
	}
	if len(o.Zeroed) > 0 {
		out = append(out, append(say(o.Zeroed, " curve does not start from no load, so the level of its slack was taken off",
			" curves do not start from no load, so the level of their slack was taken off"), page.Say(" The furthest was ", zero, ".")...))
	}
	for _, c := range []struct {
		names     []string
		one, many string
	}{
		{o.Sorted, " curve has its readings in no order of testing, so they were put in order of slip", " curves have their readings in no order of testing, so they were put in order of slip"},
		{o.Looped, " specimen was unloaded and loaded again; the energies leave that loop out", " specimens were unloaded and loaded again; the energies leave those loops out"},
		{o.CutShort, " curve ends above 20 % of its largest load, so energy_total is less than it would have been", " curves end above 20 % of their largest load, so energy_total is less than it would have been"},
		{o.ShortLine, " curve starts above 10 % of its largest load, so the stiffness is of the readings there are up to 40 %", " curves start above 10 % of their largest load, so the stiffness is of the readings there are up to 40 %"},
	} {
		if len(c.names) > 0 {
			out = append(out, say(c.names, c.one, c.many))
		}
	}
	return out
}

// FigureLabel is the column label of a figure.
func FigureLabel(k curves.Kind) string {
	return Capital(strings.ReplaceAll(k.Key(), "_", " "))
}

// CurveReason says in words why a curve does not hold a figure.
func CurveReason(r curves.Reason) string {
	if words, ok := reasons[r]; ok {
		return words
	}
	return string(r)
}

var reasons = map[curves.Reason]string{
	curves.StartsHigh:    "the first reading is already above a quarter of the largest load",
	curves.Upright:       "the slip does not move between 10 % and 40 % of the largest load",
	curves.NotRising:     "the load does not rise with slip between 10 % and 40 % of the largest load",
	curves.DropsEarly:    "it drops before 40 % of the largest load is reached",
	curves.NoStiffness:   "it needs the stiffness, which this curve does not hold",
	curves.NeverDrops:    "the load never drops and stays down",
	curves.NothingAfter:  "there is no reading after the drop",
	curves.NeverSoftens:  "the curve stays steeper than a sixth of its stiffness",
	curves.MeetsOffCurve: "the two lines of the yield load meet off the curve",
}

// CurveError says in words why nothing can be measured on a curve.
func CurveError(err error) string {
	var e *curves.Error
	if errors.As(err, &e) {
		if words, ok := faults[e.Code]; ok {
			return words
		}
	}
	return err.Error()
}

var faults = map[string]string{
	"too-few-readings":  "there are fewer than five readings",
	"not-a-number":      "a reading is endless",
	"too-large":         "a reading is too large to work with",
	"slip-stands-still": "the slip never moves",
	"slip-backwards":    "the slip counts down; its sign may be turned round",
	"no-rise":           "the load never rises above its first reading",
	"upside-down":       "the loads run below zero; their sign may be turned round",
}

// LevelCount is how many curves of a level a picture shows.
type LevelCount struct {
	Level string
	N     int
}

// CurvesAlt tells what a picture of load–slip curves shows.
func CurvesAlt(n, drops int, by string, levels []LevelCount) page.Sentence {
	s := page.Say("Load against slip of ", n, plural(n, " specimen", " specimens"))
	for i, l := range levels {
		lead := ", "
		if i == 0 {
			lead = " by " + by + ": "
		}
		s = append(s, page.Say(lead+l.Level+" ", l.N)...)
	}
	if drops == 0 {
		return append(s, page.Word("; the load of none of them drops."))
	}
	return append(s, page.Say("; a mark on ", drops, " of them shows the first drop.")...)
}
