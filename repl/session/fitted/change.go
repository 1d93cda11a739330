package fitted

import (
	"context"
	"errors"
	"math"
	"slices"
	"strconv"

	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/place"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// Change is a term of a fit that changes at a place found in the response.
type Change struct {
	*place.Found
	Term, Variable int // of the model
	Name           string
	Column         string
	Unit           string
	Confidence     float64 // of the intervals
}

// Jump says "jump" or "kink".
func (c *Change) Jump() string {
	if c.Kind == place.Kink {
		return "kink"
	}
	return "jump"
}

// oneChange refuses what a change cannot be fitted beside: another, and ways of fitting without one sum
// of squares that every place can be judged by.
func (w Method) oneChange(terms phrase.Terms, throughZero bool) error {
	var first *phrase.Term
	for i, t := range terms.List {
		switch {
		case t.Change() == "":
		case first != nil:
			return page.Refuse(page.CodeTwoChanges, t.At, "one step or kink is looked for in a fit, and this is "+
				"the second", "fit each on its own, and set the fits against each other with rivals")
		default:
			first = &terms.List[i]
		}
	}
	if first == nil {
		return nil
	}
	methods := w.asked()
	if throughZero {
		methods = append(methods, "through zero")
	}
	if len(methods) == 0 {
		return nil
	}
	if w.Differ != nil {
		methods = []string{"series differ by"} // the series are the blocks
	}
	hint := "leave " + methods[0] + " out"
	if w.Blocks != nil && w.Differ == nil {
		hint = "leave blocked by out and give the block as a term: its levels are then held equal"
	}
	return page.Refuse(page.CodeChangePlainly, first.At,
		first.Change()+"("+first.Factors[0].Column.Column+") is looked for by plain least squares and not "+methods[0],
		hint)
}

// seek finds the place of the model's change, if it has one, and puts it into the model.
func seek(k *session.Call, y []float64, m *design.Model) (*Change, error) {
	term := slices.IndexFunc(m.Terms, func(t design.Term) bool { return t.Factors[0].Function.IsChange() })
	if term < 0 {
		return nil, nil
	}
	factor := m.Terms[term].Factors[0]
	v := m.Variables[factor.Variable]
	c := &Change{Term: term, Variable: factor.Variable, Name: session.TermName(*m, term), Column: v.Name, Unit: v.Unit,
		Confidence: k.Confidence()}
	kind, data, err := searched(k.Context, y, *m, term)
	if err != nil {
		return nil, err
	}
	o := place.Options{Confidence: c.Confidence, Seed: k.Session.Settings().Seed, Progress: k.Progress()}
	if kind == place.Step {
		o.Line = v.Numbers
	}
	if c.Found, err = place.Find(k.Context, kind, data, o); err != nil {
		return nil, changeProblem(k, err, c, k.TermPlace(term))
	}
	*m = place.Placed(*m, term, c.At)
	return c, nil
}

// searched is the data that a change of a model is looked for in.
func searched(ctx context.Context, y []float64, m design.Model, term int) (place.Kind, place.Data, error) {
	factor := m.Terms[term].Factors[0]
	kind := place.Step
	if factor.Function == design.Kink {
		kind = place.Kink
	}
	base := m
	base.Terms = slices.Delete(slices.Clone(m.Terms), term, term+1)
	matrix, err := design.Spell(ctx, len(y), base, design.FromBaseline)
	if err != nil {
		var e *design.Error
		if errors.As(err, &e) && e.Term >= term {
			e.Term++
		}
		return kind, place.Data{}, linear.Taken(err)
	}
	return kind, place.Data{Y: y, Weights: m.Weights, Base: matrix.Columns,
		X: m.Variables[factor.Variable].Numbers}, nil
}

// changeProblem words what keeps a place from being looked for.
func changeProblem(k *session.Call, err error, c *Change, at int) error {
	var e *place.Error
	if !errors.As(err, &e) {
		return err
	}
	p := &page.Problem{Code: page.CodeNoChange, At: at}
	what := "a " + c.Name[:4] // step or kink
	switch e.Code {
	case "few-values":
		p.Message = c.Column + " has " + strconv.Itoa(e.Have) +
			" different values among the specimens used; to look for " +
			what + " it takes " + strconv.Itoa(e.Need) + " or more"
		p.Hint = "with so few, treat " + phrase.Spelled(c.Column) + " as category and fit on it"
		if e.Have == 1 {
			p.Message = c.Column + " is the same for every specimen used"
			p.Hint = k.OrWiden("leave it out")
		}
	case "few-beside":
		p.Message = "no place along " + c.Column + " has " + strconv.Itoa(e.Need) + " of these " +
			strconv.Itoa(e.Have) + " specimens on each side, which " + what + " takes"
		p.Hint = "use more specimens"
	case "not-apart":
		p.Message = what + " of " + c.Column + " cannot be distinguished from the other terms at any place: in these " +
			"specimens they always changed together"
		p.Hint = "leave the terms out that changed with " + c.Column
	case "no-freedom-left":
		p.Message = strconv.Itoa(e.Have) + " specimens leave nothing to judge the spread by beside " + what +
			" and its place; it takes " + strconv.Itoa(e.Need) + " or more"
		p.Hint = "leave terms out, or use more specimens"
	case "too-many-specimens":
		p.Message = "a place is looked for among at most " + strconv.Itoa(e.Need) + " specimens, and these are " +
			strconv.Itoa(e.Have)
		p.Hint = "use fewer of them, with for"
	default:
		p.Message = e.Error()
	}
	return p
}

// FixedPlaceNote says for what question the place of the fit's change is taken as known.
func (f *Fit) FixedPlaceNote(what string) page.Sentence {
	c := f.Change
	return page.Say("For "+what+" the "+c.Jump()+" along "+c.Column+" is held at ", page.In(c.At, c.Unit),
		", as if that place were known; it was found in these specimens", c.interval(), ".")
}

// interval is that of the place in brackets, nothing where it reaches to an end of what was looked at.
func (c *Change) interval() page.Sentence {
	if c.LowIsEnd || c.HighIsEnd {
		return nil
	}
	return page.Say(" (", page.Share(c.Confidence), " interval ",
		page.Span{Low: c.Low, High: c.High, Unit: c.Unit}, ")")
}

// AllFixed refuses what takes every term as fixed beforehand, for a fit whose place was found.
func (f *Fit) AllFixed(what string, at int) error {
	if f.Change == nil {
		return nil
	}
	return page.Refuse(page.CodePlaceFound, at, what+" takes every term as fixed beforehand, and the "+
		"place of "+f.Change.Name+" was found in the response", "the fit itself has its p over all places looked "+
		"at; rivals sets it against other fits")
}

// mostLeftOut is how many specimens are each left out and predicted from the others, with the place
// found anew each time.
const mostLeftOut = 300

// unseen is the share explained of each specimen predicted from the others, the place found anew without
// it; NaN over mostLeftOut specimens, or where that cannot be found.
func (f *Fit) unseen(ctx context.Context) (float64, error) {
	if f.N > mostLeftOut {
		return math.NaN(), nil
	}
	press := 0.0
	for i := range f.Response {
		if f.Model().Weight(i) == 0 {
			continue
		}
		m := f.Model()
		m.Weights = make([]float64, len(f.Response))
		for row := range m.Weights {
			m.Weights[row] = f.Model().Weight(row)
		}
		m.Weights[i] = 0
		rest, err := f.refound(ctx, m)
		if err != nil {
			return math.NaN(), ctx.Err()
		}
		if len(rest.Coefficients) != len(f.Coefficients) { // alone on its level
			return math.NaN(), nil
		}
		expected := 0.0
		for j, c := range rest.Coefficients {
			if c.Dependent {
				return math.NaN(), nil
			}
			expected += c.Estimate * rest.Matrix.Columns[j][i]
		}
		off := f.Response[i] - expected
		press += f.Model().Weight(i) * off * off
	}
	return 1 - press/f.TSS, nil
}

// refound fits a model with the place of its change found anew.
func (f *Fit) refound(ctx context.Context, m design.Model) (*linear.Fit, error) {
	kind, data, err := searched(ctx, f.Response, m, f.Change.Term)
	if err != nil {
		return nil, err
	}
	at, err := place.Least(ctx, kind, data)
	if err != nil {
		return nil, err
	}
	return linear.Solve(ctx, f.Response, place.Placed(m, f.Change.Term, at))
}

// Places is the fit with the place of its change left open; nil for one without a change, or that meets
// every value.
func (f *Fit) Places(ctx context.Context) (*place.Open, error) {
	if f.Change == nil || f.Sigma == 0 {
		return nil, nil
	}
	return place.LeaveOpen(ctx, f.Response, f.Model(), f.Change.Term, f.Change.Found)
}

// Breakpoints are the values of a number that a line through the fit has to be told at beside others: on both
// sides of a jump along it, or at a kink.
func (f *Fit) Breakpoints(variable int) []float64 {
	c := f.Change
	switch {
	case c == nil || c.Variable != variable:
		return nil
	case c.Kind == place.Kink:
		return []float64{c.At}
	}
	return []float64{c.At, math.Nextafter(c.At, math.Inf(1))}
}

// TurnNote says what a drawn line and the band about it make of the place of the change.
func (f *Fit) TurnNote() page.Sentence {
	c := f.Change
	return page.Say(c.Jump()+" of the line at ", page.In(c.At, c.Unit), c.interval(), ", which the shade leaves open")
}
