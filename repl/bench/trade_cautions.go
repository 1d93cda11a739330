package bench

import (
	"context"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/models/compare"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/series/specimens"
	"breakbook/repl/session"
)

// What the trade knows of how joints scatter, and where from.
const (
	// Coefficients of variation of glued joints of one batch: 10 to 25 % is ordinary;
	// under the first copied or averaged rows are suspected, over the second mixed
	// failure modes or units. Common practice, no source.
	leastCV, mostCV = 0.05, 0.40

	// fewestForCV is the smallest group whose coefficient of variation is judged: with
	// a true one of 15 %, five specimens come out under 5 % in about 2 of 100 groups
	// (chi-squared, 4 degrees of freedom), three in about 10.
	fewestForCV = 5
)

// chalkPoint warns that a line was laid through temperatures where a step is expected.
func chalkPoint(column string, low, high, at float64, unit string) page.Sentence {
	n := func(x float64) page.Num { return page.Num{Value: x, Unit: unit, Style: page.Exact} }
	return page.Say(column+" runs from ", n(low), " to ", n(high), ", across the glue's chalk point, taken as ", n(at),
		": colder than that a white glue dries chalky and weak, so a step is to be expected there and no straight "+
			"line. For where it is, read the tin,"+
			" and say chalk point and the figure. For a step: work out cured = \"warm\" if "+column+" >= ", n(at),
		", otherwise \"cold\"; then fit on cured in place of "+column+".")
}

// spreadCautions warn of groups whose strength scatters less or more than joints do.
func spreadCautions(ctx context.Context, r *session.Response, cells []session.Cell) []page.Sentence {
	switch d := r.Column.Unit.Dimension(); {
	case !r.Plain():
		return nil
	case d != "force" && d != "moment" && d != "energy" && d != "stress" && r.Column.Role != frames.Load:
		return nil
	}
	percent := func(x float64) page.Num { return page.Share(x) }
	add := func(to page.Sentence, c session.Cell, cv float64) page.Sentence {
		if to == nil {
			return page.Say("The coefficient of variation is ", percent(cv), " in "+c.Level)
		}
		return page.Say(to, ", ", percent(cv), " in "+c.Level)
	}
	var narrow, wide page.Sentence
	for _, c := range cells {
		if len(c.Values) < fewestForCV {
			continue
		}
		switch cv := compare.Summarise(ctx, c.Values, 0.95).CV; {
		case cv < leastCV:
			narrow = add(narrow, c, cv)
		case cv > mostCV:
			wide = add(wide, c, cv)
		}
	}
	var out []page.Sentence
	if narrow != nil {
		out = append(out, page.Say(narrow, ": under ", percent(leastCV),
			" broken joints are more alike than is "+
				"usual (10 to 25 % is ordinary). Are rows copied, or averages of several breaks?"))
	}
	if wide != nil {
		out = append(out, page.Say(wide, ": over ", percent(mostCV),
			" is more than joints of one kind usually "+
				"scatter (10 to 25 % is ordinary). Are failure modes or units mixed?"))
	}
	return out
}

// chalkCautions warn where cure temperatures on both sides of the glue's chalk point
// enter a fit as a line.
func chalkCautions(k *session.Call) []page.Sentence {
	terms, ok := phrase.Part[phrase.Terms](k.Command)
	if !ok {
		return nil
	}
	degC, _ := units.Parse("degC")
	var out []page.Sentence
	var named []string
	for _, t := range terms.List {
		if t.Change() != "" {
			continue // no line, but what is to be expected there
		}
		for _, factor := range t.Factors {
			c, _ := k.Analysis.Sample.Frame.Column(factor.Column.Column)
			if c.Kind != frames.Number || !cureTemperature(c) || slices.Contains(named, c.Name) {
				continue
			}
			values, _ := k.Analysis.Sample.Frame.Numbers(c.Name)
			lo, hi := session.MinMax(values)
			at, err := units.Convert(k.Session.Settings().ChalkPoint, degC, c.Unit)
			if err == nil && lo < at && at < hi {
				named = append(named, c.Name)
				out = append(out, chalkPoint(c.Name, session.Seen(lo, lo, hi, "").Value,
					session.Seen(hi, lo, hi, "").Value, session.Seen(at, lo, hi, "").Value, c.Unit.String()))
			}
		}
	}
	return out
}

// cureTemperature reports whether a column is the temperature that glue cured at, and
// not that of a test or a laboratory.
func cureTemperature(c frames.Column) bool {
	return c.Unit.Dimension() == "temperature" && !c.Difference &&
		!slices.ContainsFunc(strings.Split(c.Name, "_"), func(word string) bool {
			return slices.Contains([]string{"test", "tested", "testing", "lab", "laboratory"}, word)
		})
}

// tradeCautions are those of the trade that go with every analysis.
func tradeCautions(k *session.Call) []page.Sentence {
	a := k.Analysis
	var used []frames.Column
	for _, c := range a.Sample.Frame.Columns() {
		if c.Name == a.Response.Column.Name || slices.Contains(a.Columns, c.Name) {
			used = append(used, c)
		}
	}
	out := append(specimens.DensityCautions(a.Sample.Frame, used), chalkCautions(k)...)
	return append(out, scatterOfGroups(k)...)
}

// scatterOfGroups judges the groups that a command sets side by side.
func scatterOfGroups(k *session.Call) []page.Sentence {
	grouped, ok := phrase.Facet[phrase.Grouped](k.Command)
	if _, measures := phrase.Part[phrase.Response](k.Command); !ok || !measures || len(grouped.Categories()) == 0 {
		return nil
	}
	cells, err := k.Cells(k.Analysis.Sample, k.Analysis.Response.Values, grouped.Categories())
	if err != nil {
		return nil // what is wrong with the groups is the command's to say
	}
	return spreadCautions(k.Context, k.Analysis.Response, cells)
}

// setChalkPoint says where the glue's chalk point is.
func setChalkPoint(k *session.Call, cmd *phrase.SetChalkPoint) (*session.Outcome, error) {
	a := cmd.Amount
	u, err := session.UnitOf(a)
	if err != nil {
		return nil, err
	}
	degC, _ := units.Parse("degC")
	if u.None() {
		u = degC
	}
	x, err := units.Convert(session.TypedValue(a), u, degC)
	if err != nil {
		return nil, session.WithPlace(err, a.At)
	}
	if x < -20 || x > 60 {
		return nil, page.Refuse(page.CodeOutOfRange, a.At, "no glue has its chalk point there", "chalk point 13 degC")
	}
	n := k.Session.With(func(s *session.Settings) { s.ChalkPoint = x })
	k.Entry.Findings = []page.Sentence{page.Say("The glue's chalk point is now taken as ",
		page.In(session.TypedValue(a), u.String()), ".")}
	return session.Becomes(n), nil
}
