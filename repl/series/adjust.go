package series

import (
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/functions"
	"breakbook/frames/notation"
	"breakbook/frames/origin"
	"breakbook/frames/units"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// givenFinding tells a slope that was given.
func givenFinding(of string, rate page.Num, rises bool, step page.Num, per string) page.Sentence {
	direction := "falls"
	if rises {
		direction = "rises"
	}
	own := ""
	if rate.Style == page.Fraction {
		own = " of its own value"
	}
	return page.Say("By the slope given, "+of+" "+direction+" by ", rate, own+" for each ", step, " of "+per+".")
}

// noRule says what a slope that was given rests on.
func noRule(column string, moisture bool) page.Sentence {
	if !moisture {
		return page.Say("The slope of " + column +
			" was given and not measured here, so nothing here says how far it is right.")
	}
	return page.Say("A strength that changes by so much per 1 % of " + column +
		" is a rule of the trade, for joints common practice with no source. For clear wood the US Forest Products " +
		"Laboratory gave 6 % (crushing) and 4 % (bending) more strength per 1 % drier; 3 % (shear) is from memory.")
}

// target is a column that another is brought to a value of.
type target struct {
	frames.Column
	at    float64 // in the column's unit
	given bool    // its slope is
	item  phrase.GivenItem
}

// slopeRow is what a column was brought to the reference of, and by which slope.
type slopeRow struct {
	Column string        `id:"column"`
	To     page.Quantity `id:"to"`
	Slope  page.Quantity `id:"slope"`
	Low    page.Quantity `id:"low"`
	High   page.Quantity `id:"high"`
	From   string        `id:"from"`
}

// Adjust brings a column to reference conditions: y − b·(x − x₀) by the slopes of a fit, or by a slope that is given.
func Adjust(k *session.Call, cmd *phrase.Adjust) (*session.Outcome, error) {
	series, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	targets, err := targetsOf(f, cmd)
	if err != nil {
		return nil, err
	}
	y, _ := f.Column(cmd.Column.Column)
	values, err := f.Numbers(y.Name)
	if err != nil {
		return nil, session.WithPlace(err, cmd.Column.At)
	}
	a := &adjusting{k: k, frame: f, series: series, y: y, values: values, moved: slices.Clone(values)}
	var rest []target
	for _, t := range targets {
		if !t.given {
			rest = append(rest, t)
		} else if err := a.bySlope(cmd.Slope, t); err != nil {
			return nil, err
		}
	}
	if len(rest) == 0 && cmd.Fit != nil {
		return nil, page.Refuse(page.CodeTwoWays, cmd.Fit.At, "the slope is given, so "+cmd.Fit.Text+
			" has nothing to say here", "leave out of "+cmd.Fit.Text+", or the slope after by")
	}
	if len(rest) > 0 {
		if err := a.byFit(cmd, rest); err != nil {
			return nil, err
		}
	}
	k.Entry.Series, k.Entry.Specimens = series, nil // whatever the fit was of
	return a.added(cmd, targets)
}

// targetsOf are the reference conditions, each in its column's unit.
func targetsOf(f *frames.Frame, cmd *phrase.Adjust) ([]target, error) {
	var out []target
	for _, item := range cmd.Given.List {
		c, _ := f.Column(item.Column.Column)
		switch v := item.Values[0]; {
		case c.Name == cmd.Column.Column:
			return nil, page.Refuse(page.CodeResponseAmongTerms, item.At,
				c.Name+" cannot be brought to a value of its own", "name the conditions, as in density 640")
		case c.Kind != frames.Number:
			return nil, page.Refuse(page.CodeNotANumberColumn, item.At, c.Name+" is a "+c.Kind.String()+
				" and has no slope", "to hold it equal, compare by another column with "+c.Name+" in the fit")
		case len(item.Values) > 1:
			return nil, page.Refuse(page.CodeOneValue, item.At, "a column can be brought to one value of "+c.Name, "")
		case slices.ContainsFunc(out, func(t target) bool { return t.Name == c.Name }):
			return nil, page.Refuse(page.CodeGivenTwice, item.At, c.Name+" is given twice", "")
		case v.Amount == nil:
			return nil, page.Refuse(page.CodeExpectedNumber, v.At, c.Name+" needs a number, not "+v.Text, "")
		default:
			x, err := amountIn(*v.Amount, c.Unit, units.Change.Apply)
			if err != nil {
				return nil, err
			}
			out = append(out, target{c, x, cmd.Slope != nil && cmd.Slope.Per.Column == c.Name, item})
		}
	}
	if s := cmd.Slope; s != nil && !slices.ContainsFunc(out, func(t target) bool { return t.given }) {
		return nil, page.Refuse(page.CodeNotAdjustedTo, s.Per.At, "a slope is given for "+s.Per.Column+
			", and no value of it to bring "+cmd.Column.Column+" to", "name it after to, as in to "+s.Per.Column+" 12")
	}
	return out, nil
}

// amountIn is an amount in a column's unit; one without a unit is in it already.
func amountIn(a phrase.Amount, to units.Unit, by func(units.Change, float64) float64) (float64, error) {
	from, err := session.UnitOf(a)
	x := session.TypedValue(a)
	if err != nil || from.None() {
		return x, err
	}
	change, err := units.To(from, to)
	if err != nil {
		return 0, session.WithPlace(err, a.At)
	}
	return by(change, x), nil
}

// adjusting is a column on its way to reference conditions.
type adjusting struct {
	k             *session.Call
	frame         *frames.Frame
	series        string
	y             frames.Column
	values, moved []float64
	rows          []slopeRow
	to            []origin.Reference
	notes         []page.Sentence
}

// reference notes what the column is brought to.
func (a *adjusting) reference(t target, row slopeRow, curved, exact bool) {
	row.Column, row.To = t.Name, page.Quantity{Value: t.at, Unit: t.Unit.String()}
	a.rows = append(a.rows, row)
	a.to = append(a.to, origin.Reference{Column: t.Name, Value: t.at, Unit: t.Unit.String(), Curved: curved,
		Exact: exact})
}

// moistureNames are how columns of the wood's moisture are called, by the first word or a part of it.
var moistureNames = []string{"moisture", "mc", "feuchte", "holzfeuchte", "humidity", "humidite", "humedad", "umidita",
	"vlaga"}

// isMoisture reports whether a column is of the wood's moisture, by its name.
func isMoisture(c frames.Column) bool {
	return slices.ContainsFunc(strings.Split(c.Name, "_"), func(w string) bool {
		return slices.Contains(moistureNames, w)
	})
}

// strength reports whether a column is of what joints or wood carry.
func strength(c frames.Column) bool {
	return c.Role == frames.Load || slices.Contains([]string{"force", "stress", "moment", "energy"}, c.Unit.Dimension())
}

// bySlope moves the column by a slope that was given: a share of each value, or an amount, for each step. Wood
// grows weaker as it takes up moisture, so a rate of moisture without a sign falls with it; any other rises.
func (a *adjusting) bySlope(s *phrase.Slope, t target) error {
	step, err := amountIn(s.Step, t.Unit, units.Change.ApplyDifference)
	if err != nil {
		return err
	}
	if !(step > 0) {
		return page.Refuse(page.CodeOutOfRange, s.Step.At, "a slope is for a step of more than 0", "")
	}
	if s.Rate.Value == 0 {
		return page.Refuse(page.CodeOutOfRange, s.Rate.At, "a slope of 0 moves nothing", "")
	}
	rate := s.Rate.Value
	said := page.Share(math.Abs(rate))
	unit := "percent"
	if !s.Rate.Percent {
		if rate, err = amountIn(s.Rate, a.y.Unit, units.Change.ApplyDifference); err != nil {
			return err
		}
		unit = a.y.Unit.String()
		said = page.Difference(math.Abs(rate), unit)
	}
	if a.y.LnOf != nil && s.Rate.Percent {
		return page.Refuse(page.CodeWrongDimension, s.Rate.At, a.y.Name+" is a logarithm, which no percentage is of",
			"adjust what it is the logarithm of")
	}
	moisture := isMoisture(t.Column) && strength(a.y)
	if moisture {
		rate = -math.Abs(rate)
	}
	x, err := a.frame.Numbers(t.Name)
	if err != nil {
		return session.WithPlace(err, s.Per.At)
	}
	for row := range a.moved {
		b := rate / step
		if s.Rate.Percent {
			b *= a.values[row]
		}
		a.moved[row] -= b * (x[row] - t.at)
	}
	shown := rate / step
	if s.Rate.Percent {
		shown *= 100
	}
	of, _ := units.Parse(unit)
	none := page.Quantity{Value: math.NaN()}
	a.reference(t, slopeRow{Slope: page.Quantity{Value: shown, Unit: units.Per(of, t.Unit)}, Low: none, High: none,
		From: "given"}, false, true)
	a.notes = append(a.notes, givenFinding(session.InSentence(a.y), said, rate > 0, page.In(step, t.Unit.String()),
		t.Name))
	a.k.Entry.Warn(noRule(t.Name, moisture))
	return nil
}

// fitFor is the fit that is named, else the latest of this series that has the column as its response and the
// conditions among its numbers.
func (a *adjusting) fitFor(cmd *phrase.Adjust, targets []target) (*fitted.Fit, string, error) {
	fits := func(f *fitted.Fit) bool {
		return f.Y.Column.Name == a.y.Name && (f.Y.Function == "" || f.Y.Function == functions.Ln) &&
			!slices.ContainsFunc(targets, func(t target) bool { return variableOf(f, t) < 0 })
	}
	if cmd.Fit != nil {
		f, err := fitted.Named(a.k, *cmd.Fit)
		if err != nil {
			return nil, "", err
		}
		if !fits(f) {
			return nil, "", a.noFit(cmd, targets, cmd.Fit.Text+" is not a fit of "+a.y.Name+" with a slope of "+
				namesOf(targets))
		}
		return f, cmd.Fit.Text, nil
	}
	for _, known := range slices.Backward(a.k.Session.Results()) {
		r, _ := a.k.Session.Result(known.Name)
		if f, ok := fitted.Of(r); ok && r.Series == a.series && fits(f) {
			return f, r.Name, nil
		}
	}
	return nil, "", a.noFit(cmd, targets, "no fit of this series gives "+a.y.Name+" a slope of "+namesOf(targets))
}

// noFit says that no fit has the slopes, with the line that makes one.
func (a *adjusting) noFit(cmd *phrase.Adjust, targets []target, message string) error {
	fit := &phrase.Fit{OnTerms: phrase.OnTerms{Y: session.Plainly(a.y.Name)}}
	for _, t := range targets {
		fit.Terms.List = append(fit.Terms.List, phrase.TermOf(t.Name))
	}
	p := page.Refuse(page.CodeNoSlope, cmd.Given.At, message, phrase.Try(phrase.Line(fit)))
	if cmd.Fit != nil {
		p.At = cmd.Fit.At
	}
	return p
}

func namesOf(targets []target) string {
	return strings.Join(lists.Mapped(targets, func(t target) string { return t.Name }), " and ")
}

// variableOf is the place of a condition among the numbers of a fit, -1 where it has none.
func variableOf(f *fitted.Fit, t target) int {
	v := slices.Index(f.Columns(), t.Name)
	if v >= 0 && f.Model().Variables[v].IsCategory() {
		return -1
	}
	return v
}

// byFit moves the column by the slopes of a fit.
func (a *adjusting) byFit(cmd *phrase.Adjust, targets []target) error {
	f, name, err := a.fitFor(cmd, targets)
	if err != nil {
		return err
	}
	if u := a.y.Unit.String(); f.Y.Column.Unit.String() != u {
		return otherUnit(cmd, a.y.Name, name, f.Y.Column.Unit.String(), u)
	}
	at := map[int]float64{}
	given := phrase.Given{At: cmd.Given.At}
	for _, t := range targets {
		v := variableOf(f, t)
		at[v] = t.at
		if u := f.Model().Variables[v].Unit; u != t.Unit.String() {
			return otherUnit(cmd, t.Name, name, u, t.Unit.String())
		}
		given.List = append(given.List, t.item)
	}
	moves, err := f.ExpectedChange(a.k.Context, a.frame, at)
	if err != nil {
		return session.WithPlace(err, cmd.Given.At)
	}
	for row, m := range moves {
		if f.Y.Function == functions.Ln {
			a.moved[row] *= math.Exp(-m)
		} else {
			a.moved[row] -= m
		}
	}
	a.k.Entry.Warn(fitted.OutsideSeen(a.k, f, given)...)
	for _, t := range targets {
		if err := a.slopeOf(f, name, t, cmd); err != nil {
			return err
		}
	}
	return nil
}

// otherUnit refuses a fit whose column was in another unit than it is now.
func otherUnit(cmd *phrase.Adjust, column, fit, was, is string) error {
	p := page.Refuse(page.CodeOtherUnit, cmd.Given.At, fit+" has "+column+" in "+was+
		", and it is in "+is+" here", "make the fit again")

	if cmd.Fit != nil {
		p.At = cmd.Fit.At
	}
	return p
}

// slopeOf notes the slope of one condition in a fit: that at the reference, where it is one number for all.
func (a *adjusting) slopeOf(f *fitted.Fit, name string, t target, cmd *phrase.Adjust) error {
	v := variableOf(f, t)
	none := page.Quantity{Value: math.NaN()}
	row := slopeRow{Slope: none, Low: none, High: none, From: name}
	straight, curved := f.OwnTermsOnly(v)
	logged := f.Y.Function == functions.Ln
	if straight {
		w := make([]float64, len(f.Coefficients))
		unit := ""
		for i, c := range f.Coefficients {
			if c.Label.Term < 0 || f.Model().Terms[c.Label.Term].Factors[0].Variable != v {
				continue
			}
			if c.Dependent {
				return a.noFit(cmd, []target{t}, "in "+name+" "+t.Name+
					" always changed together with other terms, so it has no slope there")
			}
			if w[i] = 1; unit == "" {
				unit = f.EffectUnit(c.Label)
			} else { // of the square
				w[i] = 2 * (t.at - f.Matrix.Centre[v])
			}
		}
		e, ok := f.Combination(a.k.Context, w)
		if !ok {
			return a.noFit(cmd, []target{t}, name+" has no slope of "+t.Name)
		}
		low, high := session.IntervalOf(e, a.k.Confidence())
		row.Slope, row.Low, row.High = page.Quantity{Value: e.Value, Unit: unit}, page.Quantity{Value: low, Unit: unit},
			page.Quantity{Value: high, Unit: unit}
	}
	if p := f.TogetherOf(a.k.Context, v); p >= 1-a.k.Confidence() {
		lead := page.Say("The slope of " + t.Name + " in " + name + " is not clear of zero")
		if !straight || curved {
			lead = page.Say("What "+t.Name+" does in "+name+" is not clear of zero (all its terms together, ",
				page.Chance(p), ")")
		}
		a.k.Entry.Warn(page.Say(lead, ": adjusting by it may add more scatter than it takes away."))
	}
	a.reference(t, row, curved, !straight || logged || f.Sample.Series != a.series)
	if !math.IsNaN(row.Slope.Value) {
		of := session.InSentence(a.y)
		if logged {
			of = "ln of " + of
		}
		var bent page.Sentence
		if curved {
			bent = page.Say(" at ", page.Num{Value: t.at, Unit: t.Unit.String(), Style: page.Exact}, ", on its curve")
		}
		a.notes = append(a.notes, page.Say("By "+name+", "+of+" changes by ", page.In(row.Slope.Value, row.Slope.Unit),
			" of "+t.Name, bent, " (", page.Share(a.k.Confidence()), " interval ",
			page.Span{Low: row.Low.Value, High: row.High.Value}, ")."))
	}
	return nil
}

// adjusted ends the name of a column that was brought to reference conditions.
const adjusted = "_adjusted"

// added is the series with the new column.
func (a *adjusting) added(cmd *phrase.Adjust, targets []target) (*session.Outcome, error) {
	k := a.k
	name, label, at := a.y.Name, "Adjusted "+session.InSentence(a.y), cmd.Column.At
	if a.y.Role == frames.Load { // as it is typed
		name = string(frames.Load)
	}
	if a.y.Adjusted != nil {
		label = a.y.Label
	}
	name = strings.TrimSuffix(name, adjusted) + adjusted
	if as := cmd.As; as != nil {
		name, label, at = notation.PlainName(as.Text), as.Text, as.At
	}
	if _, taken := a.frame.Column(name); taken {
		again := *cmd
		again.As = &phrase.Name{Text: name + "_2"}
		return nil, page.Refuse(page.CodeNameTaken, at, "there is a column "+name+" already",
			phrase.Try(phrase.Line(&again)))
	}
	digits := a.frame.Digits(k.Context, a.y.Name)
	for _, t := range targets {
		digits = min(digits, a.frame.Digits(k.Context, t.Name))
	}
	next, err := a.frame.WithNumbers(k.Context, frames.NumberColumn{Name: name, Label: label, Unit: a.y.Unit,
		Values: a.moved, Step: notation.StepAt(k.Context, a.moved, digits), Difference: a.y.Difference, LnOf: a.y.LnOf,
		Adjusted: a.y.Adjusted.Further(a.y.Name, a.to)})
	if err == nil {
		next, err = next.SetRole(name, frames.Result) // it came out of the test, as what it is made of
	}
	if err != nil {
		return nil, session.WithPlace(err, at)
	}
	k.Entry.Findings = append([]page.Sentence{page.Say(name+" is "+session.InSentence(a.y)+" brought to ",
		reached(targets), ", for ", present(next, name), " of ", next.Len(), " specimens; rename "+name+
			" to … gives it another name.")}, a.notes...)
	least, most, sum, n := math.Inf(1), math.Inf(-1), 0.0, 0
	for row, x := range a.moved {
		if d := x - a.values[row]; !math.IsNaN(d) {
			least, most, sum, n = min(least, d), max(most, d), sum+d, n+1
		}
	}
	if n == 0 {
		return nil, page.Refuse(page.CodeNoSpecimens, at, "no specimen has a value in "+a.y.Name+
			" and "+namesOf(targets), "")
	}
	u := page.DifferenceUnit(a.y.Unit.String())
	k.Entry.Find(page.Say("The furthest moves are ", page.In(least, u), " and ", page.In(most, u),
		"; on average it is ", page.In(sum/float64(n), u), "."))
	slopes := page.Table{ID: "slopes", Title: page.Say("What it was adjusted by")}
	if slices.ContainsFunc(a.rows, func(r slopeRow) bool { return !math.IsNaN(r.Low.Value) }) {
		slopes.Note = page.Say("low and high: ", page.Share(k.Confidence()), " interval of the slope")
	}
	k.Entry.Tables = []page.Table{page.Filled(slopes, a.rows, nil)}
	return session.Becomes(reshape(k, a.series, next, name)), nil
}

// reached are the conditions as a sentence has them.
func reached(targets []target) page.Sentence {
	return page.Joined(targets, " and ", func(t target) page.Sentence {
		return page.Say(t.Name+" ", page.Num{Value: t.at, Unit: t.Unit.String(), Style: page.Exact})
	})
}
