package kernel

import (
	"context"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// sample is the specimens an analysis uses: those the condition picks, that are not
// set aside and have a value in every column the analysis needs.
type sample struct {
	series string
	frame  *frames.Frame // only the specimens used
	whole  *frames.Frame // every specimen
	rows   []int         // of whole, one a specimen used
	aside  []int         // of whole: picked by the condition, but set aside
	counts page.Specimens
}

// sample picks the specimens that have a value in all the columns, and books the count.
func (k *call) sample(columns ...string) (*sample, error) {
	name, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	picked := make([]bool, f.Len())
	for i := range picked {
		picked[i] = true
	}
	at := 0
	if c := k.c.Clauses.For; c != nil {
		at = c.Place()
		if picked, err = where(f, c); err != nil {
			return nil, err
		}
	}
	s := &sample{series: name, whole: f}
	missing := make([]bool, f.Len())
	for _, c := range columns {
		in, err := f.MissingIn(c)
		if err != nil {
			return nil, err
		}
		for row, gone := range in {
			missing[row] = missing[row] || gone
		}
	}
	keep := make([]bool, f.Len())
	s.rows = make([]int, 0, f.Len())
	for row, in := range picked {
		parallel.LookAt(k.ctx, row)
		if !in {
			continue
		}
		if _, aside := f.Aside(row); aside {
			s.counts.SetAside++
			s.aside = append(s.aside, row)
			continue
		}
		if missing[row] {
			s.counts.Missing++
			continue
		}
		keep[row] = true
		s.rows = append(s.rows, row)
	}
	s.counts.Used = len(s.rows)
	if s.counts.Used == 0 {
		p := &page.Problem{Code: "no-specimens", At: at, Message: "no specimen of " + name + " is left to work with"}
		switch {
		case s.counts.SetAside > s.counts.Missing:
			p.Hint = "they are set aside; type show aside to see why"
		case s.counts.Missing > 0:
			p.Hint = "every one lacks a value that is needed; type look to see what is missing"
		case at > 0:
			p.Hint = "widen the condition after `for`"
		}
		return nil, p
	}
	s.frame = f
	if s.counts.Used < f.Len() {
		s.frame = f.Subset(k.ctx, keep)
	}
	counts := s.counts
	k.e.Specimens = &counts
	return s, nil
}

// only keeps some of the specimens.
func (s *sample) only(ctx context.Context, keep []bool) {
	var rows []int
	for i, row := range s.rows {
		if keep[i] {
			rows = append(rows, row)
		}
	}
	s.frame, s.rows, s.counts.Used = s.frame.Subset(ctx, keep), rows, len(rows)
}

// number reads a number column of the sample.
func (s *sample) number(column string) ([]float64, error) { return s.frame.Numbers(column) }

// response is what an analysis explains: a column or a function of one.
type response struct {
	column   frames.Column
	function string // "" or ln, …
	values   []float64
}

// responseNames are the functions a response may have.
var functions = map[string]func(float64) float64{
	"": func(x float64) float64 { return x }, "ln": math.Log, "log10": math.Log10,
	"sqrt": math.Sqrt, "exp": math.Exp, "abs": math.Abs,
}

// respond reads the response of the sample; a value its function cannot take is a problem.
func (k *call) respond(s *sample, r phrase.Response) (*response, error) {
	values, err := s.number(r.Column.Column)
	if err != nil {
		return nil, placed(err, r.At)
	}
	c, _ := s.frame.Column(r.Column.Column)
	out := &response{column: c, function: r.Function, values: make([]float64, len(values))}
	f := functions[r.Function]
	for i, x := range values {
		parallel.LookAt(k.ctx, i)
		y := f(x)
		if math.IsNaN(y) || math.IsInf(y, 0) {
			return nil, &page.Problem{Code: "impossible-value", At: r.At,
				Message: r.Function + " of " + c.Name + " does not exist for specimen " + s.frame.SpecimenName(i),
				Hint:    "leave it out with for " + c.Name + " > 0"}
		}
		out.values[i] = y
	}
	return out, nil
}

// measured picks the specimens that have the command's response and a value in the other
// columns, and reads the response.
func (k *call) measured(columns ...string) (*sample, *response, error) {
	y := k.c.Slots["y"].(phrase.Response)
	s, err := k.sample(append([]string{y.Column.Column}, columns...)...)
	if err != nil {
		return nil, nil, err
	}
	r, err := k.respond(s, y)
	return s, r, err
}

// name is the response as a person types it: load, ln(load).
func (r *response) name() string {
	if r.function == "" {
		return r.column.Name
	}
	return r.function + "(" + r.column.Name + ")"
}

// measure is the response in the middle of a sentence: "break load".
func (r *response) measure() string { return inSentence(r.column) }

// inSentence is a column's label for the middle of a sentence: its first letter small
// unless the word is all capitals.
func inSentence(c frames.Column) string {
	if c.Label == "" {
		return c.Name
	}
	runes := []rune(c.Label)
	if len(runes) > 1 && isUpper(runes[0]) && !isUpper(runes[1]) {
		runes[0] += 'a' - 'A'
	}
	return string(runes)
}

func isUpper(r rune) bool { return r >= 'A' && r <= 'Z' }

// unit is the unit of the response's values; none for a function of a column.
func (r *response) unit() string {
	switch r.function {
	case "", "abs":
		return r.column.Unit.String()
	}
	return ""
}

// logged reports whether differences are ratios: they are then told as percents.
func (r *response) logged() bool { return r.function == "ln" }

// group is the specimens of one level.
type group struct {
	level  string
	values []float64
	rows   []int // of the sample
}

// levelled takes the specimens with a response and a level of a category, and the response
// level by level.
func (k *call) levelled(by phrase.ColumnRef) (*sample, *response, []group, error) {
	s, r, err := k.measured(by.Column)
	if err != nil {
		return nil, nil, nil, err
	}
	groups, err := k.groups(s, r.values, by)
	return s, r, groups, err
}

// groups splits values by the levels of a category column, in the column's order;
// levels without a specimen are left out.
func (k *call) groups(s *sample, values []float64, column phrase.ColumnRef) ([]group, error) {
	codes, err := s.frame.Codes(k.ctx, column.Column)
	if err != nil {
		return nil, placed(err, column.At)
	}
	c, _ := s.frame.Column(column.Column)
	all := make([]group, len(c.Levels))
	for i, l := range c.Levels {
		all[i].level = l
	}
	for i, code := range codes {
		parallel.LookAt(k.ctx, i)
		all[code].values = append(all[code].values, values[i])
		all[code].rows = append(all[code].rows, i)
	}
	return slices.DeleteFunc(all, func(g group) bool { return len(g.values) == 0 }), nil
}

// variables reads columns of the sample as a model sees them, side by side.
func (s *sample) variables(ctx context.Context, names []string) ([]design.Variable, error) {
	out := make([]design.Variable, len(names))
	err := parallel.All(ctx, len(names), func(ctx context.Context, i int) (err error) {
		out[i], err = s.variable(ctx, names[i])
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// variable reads one column of the sample as a model sees it. A text column stands as
// a category.
func (s *sample) variable(ctx context.Context, name string) (design.Variable, error) {
	c, _ := s.frame.Column(name)
	v := design.Variable{Name: c.Name, Unit: c.Unit.String()}
	var err error
	if c.Kind == frames.Number {
		v.Numbers, err = s.frame.Numbers(name)
		return v, err
	}
	v.Codes, err = s.frame.Codes(ctx, name)
	v.Levels = c.Levels
	return v, err
}
