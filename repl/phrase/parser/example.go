package parser

import (
	"slices"
	"strings"

	"breakbook/frames/units"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/scan"
)

// exampleSeries is what the examples of the table are written on.
type exampleSeries struct{ phrase.NoPast }

func (exampleSeries) Current() string       { return "gates" }
func (exampleSeries) SeriesNames() []string { return []string{"gates", "gates_spring"} }
func (exampleSeries) Columns(string) []phrase.KnownColumn {
	return []phrase.KnownColumn{
		{Name: "load", Label: "Load", Kind: "number", Unit: "N"},
		{Name: "density", Label: "Density", Kind: "number", Unit: "kg/m3"},
		{Name: "pins", Label: "Pins", Kind: "category", Levels: []string{"none", "single", "pair", "offset"}},
		{Name: "thickness", Label: "Thickness", Kind: "category", Unit: "mm", Levels: []string{"34", "44"}},
		{Name: "failure", Label: "Failure", Kind: "category", Levels: []string{"glue", "wood", "pins"}},
		{Name: "board", Label: "Board", Kind: "category", Levels: []string{"b1", "b2", "b3"}},
		{Name: "specimen", Label: "Specimen", Kind: "text"},
		{Name: "series", Label: "series", Kind: "category", Levels: []string{"gates", "gates_spring"}},
	}
}
func (exampleSeries) RoleColumn(string, string) string { return "" }

// Results holds one of every kind the table can give, called as the table calls it, and
// an older fit beside.
func (exampleSeries) Results() []phrase.KnownResult {
	out := []phrase.KnownResult{{Name: "fit2", Kind: "fit", Series: "gates", Columns: []string{"density", "pins"}}}
	for _, e := range slices.Backward(phrase.Table) {
		if e.Result != "" {
			out = append(out, phrase.KnownResult{Name: e.Result + "1", Kind: e.Kind, Series: "gates",
				Columns: []string{"density", "pins"}})
		}
	}
	return out
}

// example is an entry's example on the user's own columns, levels, results and
// series where there are any that suit; else as the table has it.
func example(l *phrase.Language, e *phrase.Entry, k phrase.Known) string {
	p := readExample(l, e)
	if p == nil || k == nil || k.Current() == "" {
		return e.Example
	}
	m := newMapping(p, k)
	out, at := strings.Builder{}, 0
	for _, s := range p.spans {
		text, ok := m.text(p, s)
		if !ok {
			return e.Example
		}
		start := p.toks[s.start].Start
		out.WriteString(string(p.in[at:start]) + text)
		at = p.toks[s.end-1].End
	}
	out.WriteString(string(p.in[at:]))
	return out.String()
}

// readExample is the example of an entry, read; nil where it is not a command.
func readExample(l *phrase.Language, e *phrase.Entry) *parser {
	in := []rune(e.Example)
	for i := range l.Commands() {
		if l.Commands()[i].Entry != e {
			continue
		}
		p := newParser(l, &l.Commands()[i], in, scan.Tokens(in), exampleSeries{})
		if p.command(); p.error() == nil {
			return p
		}
	}
	return nil
}

// exampleGiving is the example of the first command that gives a result of one of the kinds, or ""; where that takes no
// blocked fit and the latest is one, of the last.
func exampleGiving(l *phrase.Language, kinds []string, k phrase.Known) string {
	latest, _ := (&mapping{known: k}).latest("fit", 0)
	last := ""
	for i := range l.Commands() {
		e := l.Commands()[i].Entry
		if e.Result == "" || len(kinds) > 0 && !slices.Contains(kinds, e.Kind) {
			continue
		}
		first := last == "" && !(e.Plain && latest.Blocked)
		if last = phrase.Try(example(l, e, k)); first {
			return last
		}
	}
	return last
}

// mapping turns the names of an example into the user's own.
type mapping struct {
	known  phrase.Known
	series string
	levels map[string][]string // the levels the example uses, by its column
	named  map[string][]string // the results it names, by their kind
	chosen map[string]phrase.KnownColumn
}

func newMapping(p *parser, k phrase.Known) *mapping {
	m := &mapping{known: k, series: k.Current(), levels: map[string][]string{}, named: map[string][]string{},
		chosen: map[string]phrase.KnownColumn{}}
	for _, s := range p.spans {
		switch s.kind {
		case levelSpan:
			if used := m.levels[s.column.Name]; !slices.Contains(used, s.name) {
				m.levels[s.column.Name] = append(used, s.name)
			}
		case resultSpan:
			if typed := p.typed(s.start, s.end); !slices.Contains(m.named[s.name], typed) {
				m.named[s.name] = append(m.named[s.name], typed)
			}
			if r, ok := m.latest(s.name, 0); ok && r.Series != "" {
				m.series = r.Series
			}
		}
	}
	return m
}

// latest is the user's latest result of a kind that has as many after it.
func (m *mapping) latest(kind string, after int) (phrase.KnownResult, bool) {
	for _, r := range slices.Backward(m.known.Results()) {
		if r.Kind != kind {
			continue
		}
		if after == 0 {
			return r, true
		}
		after--
	}
	return phrase.KnownResult{}, false
}

// text is what stands in place of one name of the example.
func (m *mapping) text(p *parser, s span) (string, bool) {
	typed := p.typed(s.start, s.end)
	switch s.kind {
	case columnSpan:
		c, ok := m.column(s.column)
		return phrase.Typed(c.Name), ok
	case levelSpan:
		c, ok := m.column(s.column)
		k := slices.Index(m.levels[s.column.Name], s.name)
		if !ok || k >= len(c.Levels) {
			return "", false
		}
		return phrase.Typed(c.Levels[k]), true
	case resultSpan:
		after := len(m.named[s.name]) - 1 - slices.Index(m.named[s.name], typed)
		if r, ok := m.latest(s.name, after); ok {
			return phrase.Typed(r.Name), true
		}
		if _, some := m.latest(s.name, 0); some { // too few for the example: none would stand in it twice
			return "", false
		}
	case seriesSpan:
		return m.seriesFor(s.name), true
	case amountSpan:
		if c, ok := m.column(s.column); ok && !sameDimension(c, s.column) {
			return strings.TrimSpace("10 " + c.Unit), true // a figure that suits most units
		}
	}
	return typed, true
}

// column chooses a column of the user's for one of the example's: of its kind, with
// levels enough, not chosen before; the one marked as load for the load, and one
// that measures the same before another.
func (m *mapping) column(of phrase.KnownColumn) (phrase.KnownColumn, bool) {
	if c, ok := m.chosen[of.Name]; ok {
		return c, true
	}
	load := m.known.RoleColumn(m.series, "load")
	best, most := phrase.KnownColumn{}, 0
	for _, c := range m.known.Columns(m.series) {
		if c.Kind != of.Kind || len(c.Levels) < max(len(m.levels[of.Name]), min(2, len(of.Levels))) || m.taken(c.Name) {
			continue
		}
		score := 1
		if c.Name == of.Name {
			score += 4
		}
		if sameDimension(c, of) {
			score += 2
		}
		if load != "" && (c.Name == load) == (of.Name == "load") {
			score += 8
		}
		if score > most {
			best, most = c, score
		}
	}
	if most > 0 {
		m.chosen[of.Name] = best
	}
	return best, most > 0
}

// seriesFor is the user's series for one of the example's: the current one for the
// example's own, and for another one another, where there is one.
func (m *mapping) seriesFor(name string) string {
	if name == (exampleSeries{}).Current() {
		return phrase.Typed(m.series)
	}
	for _, other := range m.known.SeriesNames() {
		if other != m.series {
			return phrase.Typed(other)
		}
	}
	return name
}

func (m *mapping) taken(name string) bool {
	for _, c := range m.chosen {
		if c.Name == name {
			return true
		}
	}
	return false
}

func sameDimension(a, b phrase.KnownColumn) bool {
	u, _ := units.Parse(a.Unit)
	v, _ := units.Parse(b.Unit)
	return u.Dimension() == v.Dimension()
}
