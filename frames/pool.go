package frames

import (
	"context"
	"slices"
	"strings"

	"github.com/go-gota/gota/series"

	"breakbook/frames/origin"
	"breakbook/frames/units"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// Part is one of the series that make a new one.
type Part struct {
	Name  string
	Frame *Frame
}

// SeriesColumn is the column that says where a pooled specimen comes from.
const SeriesColumn = "series"

// Mismatch is a column that the parts of a pool do not share as it is. The codes:
//
//	only-in       the column is only in Series; Count specimens of the others lack it
//	unit-assumed  it has no unit in Series and was taken to be in Unit, as in the others
//	kinds-differ  it is numbers in Series and words in others; it is words now
//	loads-apart   the load columns have different names, so they were not put together:
//	              Column is the first one's, Other the one of Series
type Mismatch struct {
	Code          string
	Column, Other string
	Series        []string
	Unit          string
	Count         int
}

// Pool puts series one below the other. Columns go by name, numbers turn into the unit
// of the first part that gives one, and a category's levels are in natural order where
// they were in every part, else in the order of the first with what it lacks after. The
// column "series" says where a specimen is from; a part that was pooled before keeps its
// own. What is set aside stays so. A column whose units differ in dimension is an *Error
// with code "wrong-dimension", a column "series" of numbers one with "name-taken"; it is ctx's
// own where that ends.
func Pool(ctx context.Context, parts []Part) (_ *Frame, _ []Mismatch, err error) {
	defer parallel.Catch(&err)
	p := &pooling{ctx: ctx, parts: parts,
		next: &Frame{at: map[string]int{}, decimal: parts[0].Frame.decimal, thousands: parts[0].Frame.thousands,
			dates: parts[0].Frame.dates}}
	names := p.names()
	for _, name := range names {
		h, s, err := p.column(name)
		if err != nil {
			return nil, nil, err
		}
		p.next.at[name] = len(p.next.held)
		p.next.held = append(p.next.held, h)
		p.next.columns = append(p.next.columns, s)
	}
	p.loadsApart()
	return p.next, p.odd, p.rows()
}

type pooling struct {
	ctx   context.Context // of the one call that pools
	parts []Part
	next  *Frame
	odd   []Mismatch
}

// names are the columns of the pool, those of the first part first, `series` last.
func (p *pooling) names() []string {
	var names []string
	for _, part := range p.parts {
		for _, h := range part.Frame.held {
			if h.Name != SeriesColumn && !slices.Contains(names, h.Name) {
				names = append(names, h.Name)
			}
		}
	}
	return append(names, SeriesColumn)
}

// column makes one column of the pool: what stands beside it, and a gota series of it.
func (p *pooling) column(name string) (held, series.Series, error) {
	if name == SeriesColumn {
		return p.origin()
	}
	var h held
	var in, numbers, words, texts []string
	lacking := 0
	for _, part := range p.parts {
		i, ok := part.Frame.at[name]
		if !ok {
			lacking += part.Frame.Len()
			continue
		}
		c := part.Frame.held[i]
		if in == nil {
			h.Column = c.Column
			h.Step = 0
		}
		h.Made, h.Adjusted, h.From = h.Made && c.Made, h.Adjusted.And(c.Adjusted), union(h.From, c.From)
		in = append(in, part.Name)
		switch c.Kind {
		case Number:
			numbers = append(numbers, part.Name)
		case Category:
			words = append(words, part.Name)
		default:
			texts = append(texts, part.Name)
		}
		if h.Role == NoRole {
			h.Role = c.Role
		}
	}
	if !h.Role.several() && slices.ContainsFunc(p.next.held, func(o held) bool { return o.Role == h.Role }) {
		h.Role = NoRole
	}
	if len(in) < len(p.parts) && h.Role != Order { // each series has an order of testing of its own
		p.odd = append(p.odd, Mismatch{Code: "only-in", Column: name, Series: in, Count: lacking})
	}
	if len(numbers) > 0 && len(numbers) < len(in) {
		p.odd = append(p.odd, Mismatch{Code: "kinds-differ", Column: name, Series: numbers})
	}
	if err := p.unit(&h); err != nil {
		return h, series.Series{}, err
	}
	p.logarithms(&h)
	switch {
	case len(words) > 0: // what is levels in one part is so in all
		h.Kind = Category
		s := p.words(&h)
		return h, s, nil
	case len(texts) > 0:
		h.Kind, h.Levels = Text, nil
		s := p.texts(&h)
		return h, s, nil
	}
	s := p.numbers(&h)
	return h, s, nil
}

// unit settles the unit of a column: that of the first part that gives one.
func (p *pooling) unit(h *held) error {
	var bare []string
	first := ""
	for _, part := range p.parts {
		c, ok := part.Frame.Column(h.Name)
		switch {
		case !ok:
		case c.Unit.None():
			bare = append(bare, part.Name)
		case first == "":
			first, h.Unit, h.Difference = part.Name, c.Unit, c.Difference
		default:
			if _, err := units.To(c.Unit, h.Unit); err != nil || c.Difference != h.Difference {
				e := &Error{Code: "wrong-dimension", Column: h.Name, Word: part.Name, Err: err,
					Detail: h.Name + " is in " + h.Unit.String() + " in " + first + " and in " + c.Unit.String() +
						" in " + part.Name + ", which cannot be put together"}
				if c.Unit.Dimension() == "mass" || h.Unit.Dimension() == "mass" {
					e.Hint = "if the mass was a load, say so in that series: unit " + h.Name + " is kgf"
				}
				return e
			}
		}
	}
	if first != "" && len(bare) > 0 && h.Kind == Number {
		p.odd = append(p.odd, Mismatch{Code: "unit-assumed", Column: h.Name, Series: bare, Unit: h.Unit.String()})
	}
	return nil
}

// logarithms keeps that a column holds logarithms where it does so in every part that has it,
// of numbers that can be brought to one unit.
func (p *pooling) logarithms(h *held) {
	for _, part := range p.parts {
		c, ok := part.Frame.Column(h.Name)
		if !ok || h.LnOf == nil {
			continue
		}
		if c.LnOf == nil {
			h.LnOf = nil
		} else if _, err := origin.LnShift(c.LnOf.Unit, h.LnOf.Unit); err != nil {
			h.LnOf = nil
		}
	}
}

// numbers turns every part's numbers into the one unit, and logarithms into those of numbers
// in one unit.
func (p *pooling) numbers(h *held) series.Series {
	var all []float64
	for _, part := range p.parts {
		parallel.Look(p.ctx)
		c, ok := part.Frame.Column(h.Name)
		if !ok {
			all = append(all, repeated(nan, part.Frame.Len())...)
			continue
		}
		values, _ := part.Frame.Numbers(h.Name) // all are numbers where the pool's are
		if !c.Unit.None() && c.Unit != h.Unit {
			change, _ := units.To(c.Unit, h.Unit) // of one dimension: see unit
			for row, x := range values {
				parallel.LookAt(p.ctx, row)
				if values[row] = change.Apply(x); c.Difference {
					values[row] = change.ApplyDifference(x)
				}
			}
		}
		if h.LnOf != nil {
			shift, _ := origin.LnShift(c.LnOf.Unit, h.LnOf.Unit) // of one dimension: see logarithms
			for row := range values {
				parallel.LookAt(p.ctx, row)
				values[row] += shift
			}
		}
		all = append(all, values...)
	}
	h.Step = p.pooledStep(h)
	h.missing = maskOf(len(all), func(row int) bool { return all[row] != all[row] })
	return numbersOf(p.ctx, all)
}

// loadsApart notes load columns that could not meet because their names differ.
func (p *pooling) loadsApart() {
	first, ok := p.parts[0].Frame.RoleColumn(Load)
	if !ok {
		return
	}
	for _, part := range p.parts[1:] {
		c, ok := part.Frame.RoleColumn(Load)
		if _, shared := part.Frame.at[first.Name]; ok && !shared && c.Name != first.Name {
			p.odd = append(p.odd, Mismatch{Code: "loads-apart", Column: first.Name, Other: c.Name,
				Series: []string{part.Name}})
		}
	}
}

// rows puts together what belongs to rows and files.
func (p *pooling) rows() error {
	var paths []string
	aside := false
	for _, part := range p.parts {
		f := part.Frame
		before := len(p.next.lines)
		p.next.corrected = append(p.next.corrected, moved(f.corrected, func(row int) int { return before + row })...)
		p.next.lines = append(p.next.lines, f.lines...)
		for row := range f.Len() {
			parallel.LookAt(p.ctx, row)
			reason, _ := f.Aside(row)
			p.next.aside = append(p.next.aside, reason)
			aside = aside || reason != ""
		}
		for _, w := range f.absent {
			p.next.absent = lists.With(p.next.absent, w)
		}
		paths = append(paths, f.source.Path)
		p.next.files = append(p.next.files, f.Files()...)
	}
	if !aside {
		p.next.aside = nil
	}
	p.next.source = Source{Path: strings.Join(paths, ", ")}
	var err error
	p.next.slips, err = poolCurves(p.parts)
	return err
}
