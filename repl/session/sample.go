package session

import (
	"context"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/frames/functions"
	"breakbook/frames/proofread"
	"breakbook/models/design"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// Sample is the specimens an analysis uses: those the condition picks, that are not
// set aside and have a value in every column the analysis needs.
type Sample struct {
	Series   string
	Frame    *frames.Frame // only the specimens used
	Whole    *frames.Frame // every specimen
	Rows     []int         // of whole, one a specimen used
	Aside    []int         // of whole: picked by the condition, but set aside
	Lost     []int         // of whole: picked and not set aside, but a needed value is missing
	Needed   []string      // the columns that a specimen needs a value in
	Unbroken []int         // of whole: left out of a question about how specimens fail, because they did not break
	Counts   page.Specimens
}

// Sample picks the specimens that have a value in all the columns, and books the count.
func (k *Call) Sample(columns ...string) (*Sample, error) {
	name, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	picked := slices.Repeat([]bool{true}, f.Len())
	at := 0
	if c := k.Command.Clauses().For; c != nil {
		at = c.Place()
		if picked, err = Where(k.Context, f, c); err != nil {
			return nil, err
		}
	}
	s := &Sample{Series: name, Whole: f, Needed: columns}
	if k.Taken == nil {
		k.Taken = s
	}
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
	toCome, _ := ToCome(f)
	waiting := 0
	keep := make([]bool, f.Len())
	s.Rows = make([]int, 0, f.Len())
	for row, in := range picked {
		parallel.LookAt(k.Context, row)
		if !in {
			continue
		}
		if reason, aside := f.Aside(row); aside {
			if !proofread.IsSum(reason) { // which is no specimen
				s.Counts.SetAside++
				s.Aside = append(s.Aside, row)
			}
			continue
		}
		if missing[row] && toCome != nil && toCome[row] {
			waiting++
			continue
		}
		if missing[row] {
			s.Counts.Missing++
			s.Lost = append(s.Lost, row)
			continue
		}
		keep[row] = true
		s.Rows = append(s.Rows, row)
	}
	s.Counts.Used = len(s.Rows)
	if s.Counts.Used == 0 {
		p := page.Refuse(page.CodeNoSpecimens, at, "no specimen of "+name+" is left to work with", "")
		switch {
		case s.Counts.SetAside > s.Counts.Missing:
			p.Hint = "they are set aside; type show aside to see why"
		case waiting > s.Counts.Missing:
			p.Hint = "they are still to come: open the sheet again once it is filled in"
		case s.Counts.Missing > 0:
			p.Hint = "every one lacks a value that is needed; type look to see what is missing"
		case at > 0:
			p.Hint = "widen the condition after `for`"
		}
		return nil, p
	}
	s.Frame = f
	if s.Counts.Used < f.Len() {
		s.Frame = f.Subset(k.Context, keep)
	}
	k.NoteSample(s)
	return s, nil
}

// NoteSample books which specimens the call took.
func (k *Call) NoteSample(s *Sample) {
	if k.Taken == nil {
		k.Taken = s
	}
	k.Entry.Specimens = new(s.Counts)
}

// Only keeps some of the specimens.
func (s *Sample) Only(ctx context.Context, keep []bool) {
	var rows []int
	for i, row := range s.Rows {
		if keep[i] {
			rows = append(rows, row)
		}
	}
	s.Frame, s.Rows, s.Counts.Used = s.Frame.Subset(ctx, keep), rows, len(rows)
}

// Number reads a number column of the sample.
func (s *Sample) Number(column string) ([]float64, error) { return s.Frame.Numbers(column) }

// Response is what an analysis explains: a column or a function of one.
type Response struct {
	Column   frames.Column
	Function string // "" or ln, …
	Values   []float64
}

// ReadResponse reads the response of the sample; a value its function cannot take is a problem.
func (k *Call) ReadResponse(s *Sample, r phrase.Response) (*Response, error) {
	values, err := s.Number(r.Column.Column)
	if err != nil {
		return nil, WithPlace(err, r.At)
	}
	c, _ := s.Frame.Column(r.Column.Column)
	out := &Response{Column: c, Function: r.Function, Values: make([]float64, len(values))}
	f, _ := functions.Named(r.Function)
	for i, x := range values {
		parallel.LookAt(k.Context, i)
		y := f(x)
		if math.IsNaN(y) || math.IsInf(y, 0) {
			return nil, page.Refuse(page.CodeImpossibleValue, r.At,
				r.Function+" of "+c.Name+" does not exist for specimen "+s.Frame.SpecimenName(i),
				KeepAboveZero(k.Context, s.Whole, c, "it"))
		}
		out.Values[i] = y
	}
	return out, nil
}

// Measured picks the specimens that have the response and a value in the other
// columns, and reads the response.
func (k *Call) Measured(y phrase.Response, columns ...string) (*Sample, *Response, error) {
	s, err := k.Sample(append([]string{y.Column.Column}, columns...)...)
	if err != nil {
		return nil, nil, err
	}
	r, err := k.ReadResponse(s, y)
	return s, r, err
}

// Mode is the way of breaking as what the analysis explains; it has no numbers, and zeros
// stand for them.
func (s *Sample) Mode(column string) *Response {
	c, _ := s.Frame.Column(column)
	return &Response{Column: c, Values: make([]float64, s.Frame.Len())}
}

// KeepAboveZero is the hint where a column has to be over zero, and one or more values (it, them) are not: to leave
// these out, or where all are below, to turn the sign.
func KeepAboveZero(ctx context.Context, f *frames.Frame, c frames.Column, these string) string {
	if f.Extent(ctx, c.Name).Most < 0 {
		return phrase.Try(phrase.SignTurned(c.Name, c.Name+"_as_read", string(c.Role)))
	}
	return "leave " + these + " out with for " +
		phrase.ConditionText(phrase.Inequality{Column: phrase.ColumnRef{Column: c.Name}, Op: ">"})
}

// IsOf is the condition that a column has a level.
func IsOf(column, level string) phrase.Condition {
	return phrase.Is{Column: phrase.ColumnRef{Column: column}, Values: []phrase.Value{{Text: level}}}
}

// Plainly is a column as a response.
func Plainly(column string) phrase.Response {
	return phrase.Response{Column: phrase.ColumnRef{Column: column}}
}

// Name is the response as a person types it: load, ln(load).
func (r *Response) Name() string {
	if r.Function == "" {
		return r.Column.Name
	}
	return r.Function + "(" + r.Column.Name + ")"
}

// Measure is the response in the middle of a sentence: "break load"; of a column of
// logarithms it is what they are of.
func (r *Response) Measure() string {
	if r.ColumnLogged() {
		return InSentence(Unlogged(r.Column))
	}
	return InSentence(r.Column)
}

// Unlogged is what a column of logarithms was made of, by its name, label and unit; any other
// column is itself.
func Unlogged(c frames.Column) frames.Column {
	if c.LnOf == nil {
		return c
	}
	return frames.Column{Name: c.LnOf.Of, Label: c.LnOf.Label, Kind: frames.Number, Unit: c.LnOf.Unit}
}

// InSentence is a column's label for the middle of a sentence: its first letter small
// unless the word is all capitals.
func InSentence(c frames.Column) string {
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

// Unit is the unit of the response's values; none for a function of a column.
func (r *Response) Unit() string {
	switch r.Function {
	case "", functions.Abs:
		return r.Column.Unit.String()
	}
	return ""
}

// Logged reports whether differences are ratios, by ln typed or made before: they are then told
// as percents.
func (r *Response) Logged() bool { return r.Function == functions.Ln || r.ColumnLogged() }

// ColumnLogged reports whether the column as it stands holds logarithms.
func (r *Response) ColumnLogged() bool { return r.Function == "" && r.Column.LnOf != nil }

// Plain reports whether the response is what was measured, and no function of it.
func (r *Response) Plain() bool { return r.Function == "" && r.Column.LnOf == nil }

// Medians is the column whose medians the levels of a logarithm are: of ln(load) and of what
// was made by it, load.
func (r *Response) Medians() frames.Column {
	if r.ColumnLogged() {
		return Unlogged(r.Column)
	}
	return r.Column
}

// Level is a level of the response as it is told: of a logarithm the median, in the unit of what it was taken of.
func (r *Response) Level(x float64) float64 {
	if r.Logged() {
		return math.Exp(x)
	}
	return x
}

// LevelUnit is the unit of a level as it is told.
func (r *Response) LevelUnit() string {
	if r.Logged() {
		return r.Medians().Unit.String()
	}
	return r.Unit()
}

// LevelSaid is a level of the response in the middle of a sentence: "break load", "median break load".
func (r *Response) LevelSaid() string {
	if r.Logged() {
		return "median " + InSentence(r.Medians())
	}
	return r.Expected()
}

// Group is the specimens of one level.
type Group struct {
	Level  string
	Values []float64
	Rows   []int // of the sample
}

// LevelCodes are the levels of groups, and the place of each of n rows among them.
func LevelCodes(groups []Group, n int) (levels []string, codes []int) {
	codes = make([]int, n)
	for l, g := range groups {
		levels = append(levels, g.Level)
		for _, row := range g.Rows {
			codes[row] = l
		}
	}
	return levels, codes
}

// MeasuredByLevel takes the specimens with a response and a level of a category, and the response
// level by level.
func (k *Call) MeasuredByLevel(by phrase.ByLevels) (*Sample, *Response, []Group, error) {
	s, r, err := k.Measured(by.Y, by.A.Column)
	if err != nil {
		return nil, nil, nil, err
	}
	groups, err := k.Groups(s, r.Values, by.A)
	return s, r, groups, err
}

// Groups splits values by the levels of a category column, in the column's order;
// levels without a specimen are left out.
func (k *Call) Groups(s *Sample, values []float64, column phrase.ColumnRef) ([]Group, error) {
	codes, err := s.Frame.Codes(k.Context, column.Column)
	if err != nil {
		return nil, WithPlace(err, column.At)
	}
	c, _ := s.Frame.Column(column.Column)
	all := make([]Group, len(c.Levels))
	for i, l := range c.Levels {
		all[i].Level = l
	}
	size := make([]int, len(all))
	for i, code := range codes {
		parallel.LookAt(k.Context, i)
		size[code]++
	}
	for i, n := range size {
		all[i].Values, all[i].Rows = make([]float64, 0, n), make([]int, 0, n)
	}
	for i, code := range codes {
		parallel.LookAt(k.Context, i)
		all[code].Values = append(all[code].Values, values[i])
		all[code].Rows = append(all[code].Rows, i)
	}
	return slices.DeleteFunc(all, func(g Group) bool { return len(g.Values) == 0 }), nil
}

// Variables reads columns of the sample as a model sees them, side by side.
func (s *Sample) Variables(ctx context.Context, names []string) ([]design.Variable, error) {
	out := make([]design.Variable, len(names))
	err := parallel.All(ctx, len(names), func(_ context.Context, i int) (err error) {
		out[i], err = s.Variable(ctx, names[i])
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// Variable reads one column of the sample as a model sees it. A text column stands as
// a category.
func (s *Sample) Variable(ctx context.Context, name string) (design.Variable, error) {
	c, _ := s.Frame.Column(name)
	v := design.Variable{Name: c.Name, Unit: c.Unit.String()}
	var err error
	if c.Kind == frames.Number {
		v.Numbers, err = s.Frame.Numbers(name)
		return v, err
	}
	v.Codes, err = s.Frame.Codes(ctx, name)
	v.Levels = c.Levels
	return v, err
}

// IsLoad reports whether it is a load: marked so, or a force.
func (r *Response) IsLoad() bool {
	return r.Column.Role == frames.Load || r.Medians().Unit.Dimension() == "force"
}

// mostLeftOut is how many specimens are named that an analysis left out.
const mostLeftOut = 100

// LeftOut names the first specimens that were left out because a value is missing, with what they lack.
func (s *Sample) LeftOut() []page.LeftOut {
	rows := s.Lost[:min(len(s.Lost), mostLeftOut)]
	out := make([]page.LeftOut, len(rows))
	for i, row := range rows {
		out[i].Specimen = s.Whole.SpecimenName(row)
	}
	for _, c := range s.Needed {
		in, err := s.Whole.MissingIn(c)
		for i, row := range rows {
			if err == nil && in[row] && !slices.Contains(out[i].Lacks, c) {
				out[i].Lacks = append(out[i].Lacks, c)
			}
		}
	}
	return out
}
