package fitted

import (
	"context"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat"

	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// Within is one setting of the factors that another is combined with in a fit: a level of each
// category, a low or a high value of each number.
type Within struct {
	Key   string        // of answers and tables: "glue warm", "density 10th percentile"
	Words page.Sentence // "within glue warm", "at density 561 kg/m³ (10th percentile)"
	Point linear.Point
}

// Partners are the factors that another is combined with in a fit: those it is told within, and
// those it is averaged over.
type Partners struct {
	Settings   []Within // none: told as one
	within     []int    // variables
	categories []string // of those within
	numbers    []string
	Over       []string // averaged over: the combined term makes no difference worth having, or it was asked
}

// lowShare and highShare are where a number partner is taken: at the smallest of its values with
// a tenth, and with nine tenths, of the specimens at or below it.
const lowShare, highShare = 0.1, 0.9

// combines reports whether a fit has a combined term of a variable and a column.
func (f *Fit) combines(variable int, column string) bool {
	return slices.ContainsFunc(f.Model().Terms, func(t design.Term) bool {
		return slices.ContainsFunc(variablesOf(t, variable),
			func(v int) bool { return f.Model().Variables[v].Name == column })
	})
}

// PartnersOf finds what a factor is combined with in a fit, and lays out its settings; those asked
// for are averaged over.
func PartnersOf(k *session.Call, f *Fit, variable int, conf float64, asked ...string) (Partners, error) {
	var all, within []int
	for term, t := range f.Model().Terms {
		others := variablesOf(t, variable)
		if others == nil {
			continue
		}
		for _, v := range others {
			all = lists.With(all, v)
		}
		w, err := k.WorthOf(f.Y)
		if err != nil {
			return Partners{}, err
		}
		if a := f.jointAnswer(k.Context, term, conf, w.Value); a == verdict.NoDifferenceWorth ||
			a == verdict.DiffersLessThanWorth {
			continue
		}
		for _, v := range others {
			if !slices.Contains(within, v) && !slices.Contains(asked, f.Model().Variables[v].Name) {
				within = append(within, v)
			}
		}
	}
	slices.Sort(all)
	slices.Sort(within)
	p := Partners{within: within}
	for _, v := range all {
		if !slices.Contains(within, v) {
			p.Over = append(p.Over, f.Model().Variables[v].Name)
		}
	}
	f.named(&p)
	return p, nil
}

// without takes out what is given at a point: the factor is told there and nowhere else.
func (p *Partners) without(f *Fit, at linear.Point) {
	p.within = slices.DeleteFunc(p.within, func(v int) bool { return isGiven(at, v) })
	p.Over = slices.DeleteFunc(p.Over, func(name string) bool {
		return isGiven(at, slices.Index(f.Columns(), name))
	})
	p.categories, p.numbers = nil, nil
	f.named(p)
}

// Combined reports whether the factor is combined with any other.
func (p Partners) Combined() bool { return len(p.Settings) > 0 || len(p.Over) > 0 }

// Within reports whether the factor is told within another variable.
func (p Partners) Within(variable int) bool { return slices.Contains(p.within, variable) }

// Names are the columns that the factor is told within.
func (p Partners) Names() []string { return append(slices.Clone(p.categories), p.numbers...) }

// Short ends the name of what is told within a setting: ", glue warm", ", averaged over board".
func (p Partners) Short(setting int) string {
	if len(p.Settings) == 0 {
		return p.overSaid()
	}
	return ", " + p.Settings[setting].Key + p.overSaid()
}

// Said names what a factor is told within, as the end of a sentence: "within each level of glue".
func (p Partners) Said() string {
	var parts []string
	if len(p.categories) > 0 {
		parts = append(parts, "within each level of "+session.And(p.categories))
	}
	if len(p.numbers) > 0 {
		parts = append(parts, "at the 10th and the 90th percentile of "+session.And(p.numbers))
	}
	return session.And(parts)
}

// Title is the end of a table's title: ", within each level of glue, averaged over board".
func (p Partners) Title() string {
	if s := p.Said(); s != "" {
		return ", " + s + p.overSaid()
	}
	return p.overSaid()
}

// overSaid is the end of a name or a title: ", averaged over board", or "".
func (p Partners) overSaid() string {
	if len(p.Over) == 0 {
		return ""
	}
	return ", averaged over " + session.And(p.Over)
}

// settings are all settings of some variables; none of no variable.
func (f *Fit) settings(variables []int) []Within {
	if len(variables) == 0 {
		return nil
	}
	out := []Within{{}}
	for _, v := range variables {
		var grid []Within
		for _, a := range out {
			for _, b := range f.settingsOf(v) {
				grid = append(grid, a.and(b))
			}
		}
		out = grid
	}
	return out
}

func (f *Fit) settingsOf(variable int) []Within {
	v := f.Model().Variables[variable]
	var out []Within
	if v.IsCategory() {
		for _, l := range f.Matrix.Present[variable] {
			said := v.Name + " " + v.Levels[l]
			words := said
			if v.Unit != "" {
				words += " " + v.Unit
			}
			out = append(out, Within{said, page.Say("within " + words), linear.Point{Levels: map[int]int{variable: l}}})
		}
		return out
	}
	var used []float64
	for row, x := range v.Numbers {
		if f.Model().Weight(row) > 0 {
			used = append(used, x)
		}
	}
	smallest, largest := session.MinMax(used)
	names := [2]string{"10th percentile", "90th percentile"}
	low, high, ends := OuterDeciles(used)
	if ends {
		names = [2]string{"smallest", "largest"}
	}
	for i, x := range [2]float64{low, high} {
		out = append(out, Within{v.Name + " " + names[i],
			page.Say("at "+v.Name+" ", session.Seen(x, smallest, largest, v.Unit), " ("+names[i]+")"),
			linear.Point{Numbers: map[int]float64{variable: x}}})
	}
	return out
}

// OuterDeciles are the smallest of some numbers with a tenth, and with nine tenths, of them at or below it;
// where most of them share one value, the smallest and the largest, and ends is true.
func OuterDeciles(numbers []float64) (low, high float64, ends bool) {
	sorted := slices.Sorted(slices.Values(numbers))
	low = stat.Quantile(lowShare, stat.Empirical, sorted, nil)
	high = stat.Quantile(highShare, stat.Empirical, sorted, nil)
	if low == high {
		return sorted[0], sorted[len(sorted)-1], true
	}
	return low, high, false
}

// and is both settings at once.
func (w Within) and(other Within) Within {
	out := Within{Key: other.Key, Words: other.Words, Point: w.At(other.Point)}
	if w.Key == "" {
		return out
	}
	out.Key = w.Key + ", " + other.Key
	words := slices.Clone(other.Words)
	if word, ok := words[0].(page.Word); ok && len(w.Point.Numbers) == 0 { // one "within" for both
		words[0] = page.Word(strings.TrimPrefix(string(word), "within "))
	}
	out.Words = page.Say(w.Words, " and ", words)
	return out
}

// At is a point with the setting's variables given too.
func (w Within) At(p linear.Point) linear.Point { return w.Point.With(p) }

// holds reports whether a specimen has the levels of the setting; numbers are not asked.
func (w Within) holds(f *Fit, row int) bool {
	for v, l := range w.Point.Levels {
		if f.Model().Variables[v].Codes[row] != l {
			return false
		}
	}
	return true
}

// variablesOf are the other variables of a combined term that holds one; nil where it does not.
func variablesOf(t design.Term, variable int) []int {
	var others []int
	holds := false
	for _, factor := range t.Factors {
		if factor.Variable == variable {
			holds = true
		} else {
			others = append(others, factor.Variable)
		}
	}
	if !holds {
		return nil
	}
	return others
}

// jointAnswer is what a combined term makes of a difference, over the ranges seen of its numbers,
// its rows adjusted for their number.
func (f *Fit) jointAnswer(ctx context.Context, term int, conf, worth float64) verdict.Answer {
	rows := f.RowsOf(term)
	var answers []verdict.Answer
	for _, i := range rows {
		w := make([]float64, len(f.Coefficients))
		w[i] = f.RangeProduct(term)
		if e, ok := f.Combination(ctx, w); ok && e.SE > 0 {
			o := compare.Options{Confidence: conf, Worth: worth, Unplanned: true}
			answers = append(answers, compare.Single(ctx, e.Value, e.SE, e.DF, o, len(rows)).Answer)
		}
	}
	return say.Overall(answers)
}

// RowsOf are the coefficients of a term that could be estimated.
func (f *Fit) RowsOf(term int) []int {
	var rows []int
	for i, c := range f.Coefficients {
		if c.Label.Term == term && !c.Dependent {
			rows = append(rows, i)
		}
	}
	return rows
}

// RangeProduct is the product of the ranges seen of a term's number factors; 1 without any.
func (f *Fit) RangeProduct(term int) float64 {
	s := 1.0
	m := f.Model()
	for _, factor := range m.Terms[term].Factors {
		if v := m.Variables[factor.Variable]; !v.IsCategory() {
			lo, hi := session.MinMax(v.Numbers)
			s *= hi - lo
		}
	}
	return s
}

// PartnersLeft are the factors that those given at a point are combined with, and that are not given
// themselves.
func PartnersLeft(k *session.Call, f *Fit, p linear.Point, conf float64, asked *phrase.Columns) (Partners, error) {
	var out Partners
	var given []string
	for v, name := range f.Columns() {
		if isGiven(p, v) {
			given = append(given, name)
		}
	}
	over, err := f.averaged(asked, given...)
	if err != nil {
		return out, err
	}
	for v := range f.Model().Variables {
		if !isGiven(p, v) {
			continue
		}
		one, err := PartnersOf(k, f, v, conf, over...)
		if err != nil {
			return out, err
		}
		for _, w := range one.within {
			if !isGiven(p, w) && !slices.Contains(out.within, w) {
				out.within = append(out.within, w)
			}
		}
	}
	out.Over = over
	slices.Sort(out.within)
	f.named(&out)
	return out, nil
}

// Points are what is asked, within each setting.
func (p Partners) Points(asked []GivenJoint) []GivenJoint {
	if len(p.Settings) == 0 {
		return asked
	}
	var out []GivenJoint
	for _, w := range p.Settings {
		for _, a := range asked {
			out = append(out, GivenJoint{Text: a.Text + ", " + w.Key, Words: page.Say(a.Words, ", "+w.Key),
				Point: w.At(a.Point)})
		}
	}
	return out
}

// named fills in the names and the settings of the partners within.
func (f *Fit) named(p *Partners) {
	for _, v := range p.within {
		name := f.Model().Variables[v].Name
		if f.Model().Variables[v].IsCategory() {
			p.categories = append(p.categories, name)
		} else {
			p.numbers = append(p.numbers, name)
		}
	}
	p.Settings = f.settings(p.within)
}
