// Package past puts earlier series below the one that is asked about, for an analysis of all of them as one: in come a
// call and the names of the series; out come a call on the series put together, and the kinds of specimen that all
// hold.
package past

import (
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// Drawn is a series with past ones drawn in, one below the other, and the kinds of specimen that all of them hold.
type Drawn struct {
	Series     string           // the name of the series put together
	Newest     string           // the one that the past ones are drawn into
	Past       []string         // the others
	Kinds      phrase.Condition // the specimens of the kinds that all hold; nil: all are
	Shared     []string         // those kinds: "none, shed"
	By         []string         // the categories that they are kinds by
	LeftOut    int              // specimens of other kinds
	OtherKinds []string         // those kinds
}

// DrawIn puts the past series below the one that the command is about, for an analysis of a response by columns that
// each of them has to have; by are the categories that make the kinds of specimen. The call that comes back is on the
// session with that series, which stays open but is not the current one.
func DrawIn(k *session.Call, past phrase.NameList, y phrase.ColumnRef, columns []phrase.ColumnRef,
	by []string) (*session.Call, *Drawn,
	error) {
	base, frame, err := k.Frame()
	if err != nil {
		return nil, nil, err
	}
	parts := []frames.Part{{Name: base, Frame: frame}}
	d := &Drawn{Newest: base, By: by}
	met := labelsOf(parts[0])
	for _, n := range past.List {
		f, ok := k.Session.Frame(n.Text)
		if !ok {
			return nil, nil, page.Refuse(page.CodeUnknownSeries, n.At, "there is no series "+n.Text, "")
		}
		for _, label := range labelsOf(frames.Part{Name: n.Text, Frame: f}) {
			if slices.Contains(met, label) {
				return nil, nil, page.Refuse(page.CodeSeriesTwice, n.At, label+" is in there already",
					"name each series once; what was put together holds those that it was made of")
			}
			met = append(met, label)
		}
		for _, c := range append([]phrase.ColumnRef{y}, columns...) {
			if err := refuseUnlike(frame, f, c, n); err != nil {
				return nil, nil, err
			}
		}
		parts = append(parts, frames.Part{Name: n.Text, Frame: f})
	}
	next, odd, err := frames.Pool(k.Context, parts)
	if err != nil {
		return nil, nil, session.WithPlace(err, past.At)
	}
	for _, m := range odd {
		if m.Code == "unit-assumed" && (m.Column == y.Column || slices.ContainsFunc(columns,
			func(c phrase.ColumnRef) bool {
				return c.Column == m.Column
			})) {
			k.Entry.Warn(page.Say(m.Column + " has no unit in " + say.Listed(m.Series) +
				" and is taken to be in " + m.Unit + " there."))
		}
	}
	all, _ := next.Column(frames.SeriesColumn) // every pool has it
	for _, level := range all.Levels {
		if !slices.Contains(labelsOf(parts[0]), level) {
			d.Past = append(d.Past, level)
		}
	}
	if c, _ := next.Column(y.Column); c.Role == frames.Load || c.Unit.Dimension() == "force" {
		k.Entry.Cautions = append(k.Entry.Cautions,
			MixedUnits(k, all.Levels, medians(k.Context, next, y.Column), c, base)...)
	}
	d.Series = nameDrawn(k, parts, next)
	out := *k
	out.Session = k.Session.WithFrame(d.Series, next).SwitchedTo(k.Session.Current())
	return &out, d, nil
}

// refuseUnlike refuses a past series that lacks a column, or has words where there are numbers.
func refuseUnlike(now, then *frames.Frame, c phrase.ColumnRef, past phrase.Name) error {
	own, _ := now.Column(c.Column)
	other, ok := then.Column(c.Column)
	if !ok {
		p := page.Refuse(page.CodeNotInSeries, past.At, past.Text+" has no column "+c.Column,
			"leave "+c.Column+" out, or rename the column of "+past.Text+" that holds it")
		meant, _ := then.Likely(own.Role)
		if marked, ok := then.RoleColumn(own.Role); ok && own.Role != frames.NoRole {
			meant = marked.Name
		}
		if meant != "" {
			p.Hint = phrase.Try(phrase.Line(&phrase.SwitchTo{Series: past}) + "; " + phrase.Line(&phrase.Rename{
				Column: phrase.ColumnRef{Column: meant}, Name: phrase.Text{Text: c.Column}}))
		}
		return p
	}
	if (own.Kind == frames.Number) != (other.Kind == frames.Number) {
		return page.Refuse(page.CodeKindsDiffer, past.At,
			c.Column+" is a "+own.Kind.String()+" here and a "+other.Kind.String()+" in "+past.Text,
			phrase.Try(phrase.Line(&phrase.SwitchTo{Series: past})+
				"; "+phrase.Line(&phrase.Treat{Column: phrase.ColumnRef{Column: c.Column},
				Kind: phrase.Choice{Word: own.Kind.String()}})))
	}
	return nil
}

// labelsOf are the series that a part is of: one that was put together before keeps those that it was made of.
func labelsOf(p frames.Part) []string {
	if c, ok := p.Frame.Column(frames.SeriesColumn); ok && c.Kind == frames.Category {
		return slices.Clone(c.Levels)
	}
	return []string{p.Name}
}

// nameDrawn is what the series is called: gates_with_spring, unless another series or result is called so.
func nameDrawn(k *session.Call, parts []frames.Part, next *frames.Frame) string {
	past := lists.Mapped(parts[1:], func(p frames.Part) string { return p.Name })
	name := parts[0].Name + "_with_" + strings.Join(past, "_")
	is, _ := next.Column(frames.SeriesColumn)
	for {
		f, open := k.Session.Frame(name)
		if open {
			if was, _ := f.Column(frames.SeriesColumn); slices.Equal(was.Levels, is.Levels) {
				return name // made before, of what the series were then
			}
		}
		if !open && !k.Session.NameTaken(name) {
			return name
		}
		name += "_2"
	}
}

// Share finds the kinds of specimen, the combinations of levels of d.By, that every series holds among the specimens
// of a sample, and the condition that picks them. A Problem "no-shared-kind" where that leaves a series fewer than two.
func (d *Drawn) Share(k *session.Call, s *session.Sample, at int) error {
	series, err := s.Frame.Codes(k.Context, frames.SeriesColumn)
	if err != nil {
		return err
	}
	of, _ := s.Frame.Column(frames.SeriesColumn)
	cells := map[string]*sharedKind{}
	var order []*sharedKind
	for row := range s.Frame.Len() {
		parallel.LookAt(k.Context, row)
		var levels []string
		for _, c := range d.By {
			text, _ := s.Frame.Cell(c, row)
			levels = append(levels, text)
		}
		key := strings.Join(levels, "\x00")
		if cells[key] == nil {
			cells[key] = &sharedKind{levels: levels, n: make([]int, len(of.Levels))}
			order = append(order, cells[key])
		}
		cells[key].n[series[row]]++
	}
	d.sort(s.Frame, order)
	remain := make([]int, len(of.Levels))
	for _, c := range order {
		if !slices.Contains(c.n, 0) {
			for i, n := range c.n {
				remain[i] += n
			}
			d.Shared = append(d.Shared, strings.Join(c.levels, " "))
			continue
		}
		d.OtherKinds = append(d.OtherKinds, strings.Join(c.levels, " "))
		for _, n := range c.n {
			d.LeftOut += n
		}
	}
	if slices.Min(remain) < 2 || len(of.Levels) < 2 {
		return page.Refuse(page.CodeNoSharedKind, at, "the series share too few specimens of one "+
			"kind (by "+say.Listed(d.By)+") to be taken as one", "name fewer categories, or merge levels that are "+
			"spelled differently")
	}
	if d.LeftOut > 0 {
		d.Kinds = d.condition(order)
	}
	return nil
}

// sharedKind is a combination of levels, with how many specimens of each series are of it.
type sharedKind struct {
	levels []string
	n      []int
}

// sort puts kinds in the order of their columns' levels.
func (d *Drawn) sort(f *frames.Frame, kinds []*sharedKind) {
	slices.SortStableFunc(kinds, func(a, b *sharedKind) int {
		for i, name := range d.By {
			c, _ := f.Column(name)
			if x := slices.Index(c.Levels, a.levels[i]) - slices.Index(c.Levels, b.levels[i]); x != 0 {
				return x
			}
		}
		return 0
	})
}

// condition picks the shared kinds: by the levels of each column where these and no others make them up, else kind by
// kind.
func (d *Drawn) condition(kinds []*sharedKind) phrase.Condition {
	levels := make([][]string, len(d.By))
	for _, c := range kinds {
		for i, l := range c.levels {
			if !slices.Contains(c.n, 0) && !slices.Contains(levels[i], l) {
				levels[i] = append(levels[i], l)
			}
		}
	}
	inside := func(c *sharedKind) bool {
		for i, l := range c.levels {
			if !slices.Contains(levels[i], l) {
				return false
			}
		}
		return true
	}
	if !slices.ContainsFunc(kinds, func(c *sharedKind) bool { return slices.Contains(c.n, 0) && inside(c) }) {
		var all phrase.Condition
		for i, name := range d.By {
			other := func(c *sharedKind) bool { return !slices.Contains(levels[i], c.levels[i]) }
			if slices.ContainsFunc(kinds, other) {
				all = andAlso(all, among(name, levels[i]...))
			}
		}
		return all
	}
	var any phrase.Condition
	for _, c := range kinds {
		if slices.Contains(c.n, 0) {
			continue
		}
		var one phrase.Condition
		for i, name := range d.By {
			one = andAlso(one, among(name, c.levels[i]))
		}
		if any == nil {
			any = one
		} else {
			any = phrase.Or{Left: any, Right: one}
		}
	}
	return any
}

func among(column string, levels ...string) phrase.Condition {
	is := phrase.Is{Column: phrase.ColumnRef{Column: column}}
	for _, l := range levels {
		is.Values = append(is.Values, phrase.Value{Text: l})
	}
	return is
}

func andAlso(a, b phrase.Condition) phrase.Condition {
	switch {
	case a == nil:
		return b
	case b == nil:
		return a
	}
	return phrase.And{Left: a, Right: b}
}

// Picking is a condition that picks the shared kinds too.
func (d *Drawn) Picking(own phrase.Condition) phrase.Condition { return andAlso(own, d.Kinds) }

// PastOnly is a condition that leaves the newest series out.
func (d *Drawn) PastOnly(own phrase.Condition) phrase.Condition {
	return andAlso(own, among(frames.SeriesColumn, d.Past...))
}

// NewestOnly is a condition that leaves the past series out.
func (d *Drawn) NewestOnly(own phrase.Condition) phrase.Condition {
	is := among(frames.SeriesColumn, d.Past...).(phrase.Is)
	is.Negate = true
	return andAlso(own, is)
}
