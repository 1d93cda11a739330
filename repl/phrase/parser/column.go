package parser

import (
	"math"
	"slices"
	"strings"

	"breakbook/frames/meant"
	"breakbook/models/lists"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

func wantColumn(kind string) func(*parser, pattern.Slot) want {
	return func(p *parser, _ pattern.Slot) want { return p.columnWant(kind) }
}

func (p *parser) columnWant(kind string) want {
	w := want{what: "a column", code: "column"}
	switch kind {
	case "number":
		w.what = "a number column"
	case "category":
		w.what = "a column with levels"
	}
	series := p.series
	w.words = func() []string {
		var out []string
		for _, c := range p.known.Columns(series) {
			if kind == "" || c.Kind == kind {
				out = append(out, c.Name)
			}
		}
		return out
	}
	w.roles = func() []string { return p.roleWords(series, kind) }
	return w
}

// roleWords are the words that stand for a column of a kind ("": any) of a series, where no column has
// that name.
func (p *parser) roleWords(series, kind string) []string {
	var out []string
	columns := p.known.Columns(series)
	for _, role := range phrase.RoleWords() {
		marked := p.known.RoleColumn(series, role)
		own := slices.ContainsFunc(columns, func(c phrase.KnownColumn) bool { return c.Name == role })
		if marked != "" && !own && slices.ContainsFunc(columns, func(c phrase.KnownColumn) bool {
			return c.Name == marked && (kind == "" || c.Kind == kind)
		}) {
			out = append(out, role)
		}
	}
	return out
}

// column reads the name of a column of a kind ("": any). An unknown or unfit one is
// recorded and read past; then the column's name is empty or it is as it is.
func (p *parser) column(kind string) (c phrase.KnownColumn, ref phrase.ColumnRef, ok bool) {
	from := p.i
	ref.At = p.place()
	t := p.tok()
	if t.Kind != scan.Word && t.Kind != scan.Quote && t.Kind != scan.Number || p.stops() && !p.columnHere() {
		return c, ref, p.need(p.columnWant(kind))
	}
	if p.series == "" {
		p.wrong("no-series", ref.At, "no series is open", mend(p.lang, phrase.NoSeries, "", ""))
		p.i++
		return c, ref, true
	}
	c, found := p.readColumn()
	if !found {
		p.unknownColumn()
		return c, ref, true
	}
	ref.Column = c.Name
	p.spans = append(p.spans, span{start: from, end: p.i, kind: columnSpan, column: c})
	p.checkKind(c, kind, ref.At)
	return c, ref, true
}

// columnHere reports whether a column's name stands at the current token.
func (p *parser) columnHere() bool {
	from := p.i
	_, found := p.readColumn()
	p.i = from
	return found
}

// mostMended is how many faults of a line a way out is looked for; the first is told.
const mostMended = 20

// unknownColumn records that no column is called so, and reads past the name: as
// many words as together come near to a column, else one.
func (p *parser) unknownColumn() {
	at, from := p.place(), p.i
	if len(p.soft) >= mostMended {
		p.i++
		p.wrong("unknown-column", at, "there is no column "+shown(p.tokenText(from))+" in "+p.series, "")
		return
	}
	names := p.columnWant("").words()
	meanable := append(slices.Clone(names), p.roleWords(p.series, "")...)
	typed, hint := p.tokenText(from), ""
	if p.probing {
		if _, sure := p.markRole(typed); sure {
			meanable = nil // marking the column is the way out
		}
		p.skipTo(p.tok().Start + len([]rune(typed)))
		p.i = max(p.i, from+1)
		p.wrongName("unknown-column", at, "", meanable, nil)
		return
	}
	for n := 3; n >= 1 && hint == ""; n-- {
		if p.plainWords(from, n) {
			if now := p.known.NowCalled(p.series, p.typed(from, from+n)); now != "" {
				typed, hint = p.typed(from, from+n), "type "+phrase.Typed(now)+": it is called so now"
				p.i = from + n
			}
		}
	}
	mark, sure := p.markRole(typed)
	if hint == "" && sure {
		hint, p.i = mark, from+1
	}
	for n := 3; n >= 1 && hint == ""; n-- {
		if !p.plainWords(from, n) {
			continue
		}
		if c := meant.By(p.typed(from, from+n), meanable); c != "" {
			typed, hint = p.typed(from, from+n), "did you mean "+phrase.Typed(c)+"?"
			p.i = from + n
		}
	}
	if p.i == from {
		p.i++
		if hint = mark; hint == "" {
			hint = phrase.Meant(typed, names, "the columns are")
		}
	}
	p.wrong("unknown-column", at, "there is no column "+shown(typed)+" in "+p.series, hint)
}

// markRole is the line that marks the column which most likely has the role that was typed
// in place of a column, where none has it; sure says whether that is more than a guess.
func (p *parser) markRole(typed string) (line string, sure bool) {
	role := strings.ToLower(typed)
	if !slices.Contains(phrase.RoleWords(), role) {
		return "", false
	}
	column, sure := p.known.LikelyColumn(p.series, role)
	if column == "" {
		return "", false
	}
	return phrase.Try(phrase.Line(&phrase.Mark{Column: phrase.ColumnRef{Column: column},
		Role: phrase.Choice{Word: role}})), sure
}

// tokenText is a token with what is glued to it: a bare word as it stands.
func (p *parser) tokenText(k int) string {
	end := k + 1
	for p.toks[k].Kind != scan.Quote && p.toks[end].Glued && (p.toks[end].Kind == scan.Word ||
		p.toks[end].Kind == scan.Number) {
		end++
	}
	return p.typed(k, end)
}

// plainWords reports whether n words stand from token k on that nothing else claims.
func (p *parser) plainWords(k, n int) bool {
	from := p.i
	defer func() { p.i = from }()
	for p.i = k; p.i < k+n; p.i++ {
		if p.end() || p.i > k && p.stops() {
			return false
		}
		if kind := p.tok().Kind; kind != scan.Word && kind != scan.Number && kind != scan.Quote {
			return false
		}
	}
	return true
}

// checkKind records that a column is of another kind than needed.
func (p *parser) checkKind(c phrase.KnownColumn, kind string, at int) {
	if kind == "" || c.Kind == kind {
		return
	}
	needed, others, mended := "a number column", "number columns", ""
	switch {
	case kind != "number":
		needed, others = "a column with levels", "columns with levels"
		if c.Kind == "number" || p.known.RoleColumn(p.series, "specimen") != c.Name { // whose names are no levels
			mended = mend(p.lang, phrase.NeedCategory, c.Name, "")
		}
	case c.Kind == "text" && p.known.MostlyNumbers(p.series, c.Name) || numericLevels(c):
		mended = mend(p.lang, phrase.NeedNumber, c.Name, "")
	}
	if names := p.columnWant(kind).words(); mended == "" && len(names) > 0 {
		mended = others + " are " + phrase.Listed(lists.Mapped(names, phrase.Typed), 8)
	}
	p.wrong("wrong-kind", at, c.Name+" is "+a(c.Kind)+" column; "+needed+" is needed here", mended)
}

func numericLevels(c phrase.KnownColumn) bool {
	return len(c.Levels) > 0 && !slices.ContainsFunc(c.Levels, func(l string) bool { return math.IsNaN(scan.Float(l)) })
}

func readOneColumn(kind string) func(*parser, pattern.Slot) (any, bool) {
	return func(p *parser, _ pattern.Slot) (any, bool) {
		_, ref, ok := p.column(kind)
		return ref, ok
	}
}

// readStack reads lists of columns with `below` between them.
func readStack(p *parser, _ pattern.Slot) (any, bool) {
	out := phrase.Stack{At: p.place()}
	p.follow = append([]string{"below"}, p.follow...)
	for {
		list, ok := p.columns()
		out.List = append(out.List, list)
		if !ok || !p.word("below") {
			return out, ok
		}
	}
}

func readColumns(p *parser, _ pattern.Slot) (any, bool) {
	list, ok := p.columns()
	return list, ok
}

func (p *parser) columns() (phrase.Columns, bool) {
	return listOf(p, p.anyColumn)
}

// anyColumn reads the name of a column of whatever kind.
func (p *parser) anyColumn() (phrase.ColumnRef, bool) {
	_, ref, ok := p.column("")
	return ref, ok
}
