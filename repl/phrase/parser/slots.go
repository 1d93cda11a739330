package parser

import (
	"slices"
	"strings"
	"unicode"

	"breakbook/frames/units"
	"breakbook/models/lists"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

// slotType says how one type of slot is read and what it could hold.
type slotType struct {
	show string // how help shows it; empty: the slot's name in capitals
	want func(*parser, pattern.Slot) want
	read func(*parser, pattern.Slot) (any, bool) // false: reading has stopped with an error
}

// slotTypes is every type the notation knows. It is a function because the readers
// come back to it.
func slotTypes() map[string]slotType { return allSlotTypes }

var allSlotTypes map[string]slotType

func init() {
	allSlotTypes = map[string]slotType{
		"response":   {want: wantColumn("number"), read: readResponse},
		"number":     {want: wantColumn("number"), read: readOneColumn("number")},
		"category":   {want: wantColumn("category"), read: readOneColumn("category")},
		"column":     {want: wantColumn(""), read: readOneColumn("")},
		"columns":    {show: "COLUMN, …", want: wantColumn(""), read: readColumns},
		"stack":      {show: "COLUMN, … [below COLUMN, …]", want: wantColumn(""), read: readStack},
		"terms":      {want: wantTerm, read: readTerms},
		"level":      {want: wantLevel, read: readLevelSlot},
		"levels":     {show: "LEVEL, …", want: wantLevel, read: readLevels},
		"blocks":     {show: "COLUMN [within COLUMN], …", want: wantColumn(""), read: readBlocks},
		"condition":  {show: "CONDITION", want: wantColumn(""), read: readCondition},
		"mode":       {show: "MODE is LEVEL", want: wantColumn("category"), read: readMode},
		"which":      {show: "specimen NAME, … or row N, … or for CONDITION", want: wantWhich, read: readWhich},
		"specimen":   {show: "SPECIMEN or row N", want: wantSpecimen, read: readSpecimen},
		"cell":       {show: "VALUE or missing", want: wantCell, read: readCell},
		"expression": {show: "EXPRESSION", want: wantOperand, read: readExpression},
		"given":      {show: "COLUMN VALUE, …", want: wantColumn(""), read: readGiven},
		"result":     {want: wantResult, read: readResult},
		"results":    {show: "RESULT, …", want: wantResult, read: readResults},
		"series":     {show: "SERIES", want: wantSeries, read: readSeries},
		"manyseries": {show: "SERIES, …", want: wantSeries, read: readManySeries},
		"name":       {show: "NAME", want: fixed("a new name", "name"), read: readNewName},
		"file":       {show: "FILE", want: wantFile, read: readFile},
		"files":      {show: "FILE …", want: wantFile, read: readFiles},
		"sheet":      {show: `"NAME"`, want: wantSheet, read: readSheet},
		"rest":       {want: wantRest, read: readRest},
		"words":      {want: fixed("a word or a text in quotation marks", "text"), read: readWords},
		"newcolumn":  {show: "NAME", want: fixed("a name that starts with a letter", "name"), read: readNewColumn},
		"quoted":     {show: `"TEXT"`, want: fixed("text in quotation marks", "text"), read: readQuoted},
		"texts":      {show: `"TEXT", …`, want: fixed("a word or a text in quotation marks", "text"), read: readTexts},
		"headers":    {show: "COLUMN, …", want: fixed("a column of the file", "column"), read: readHeaders},
		"amount":     {show: "AMOUNT", want: fixed("a number", "number"), read: readAmountSlot},
		"amounts":    {show: "AMOUNT, …", want: fixed("a number", "number"), read: readAmounts},
		"percent":    {show: "N%", want: fixed("a percentage between 0% and 100%", "percent"), read: readPercent},
		"count":      {show: "N", want: fixed("a whole number", "number"), read: readCount},
		"extent":     {show: "N or N to M", want: fixed("a whole number", "number"), read: readExtent},
		"unit":       {want: wantUnit, read: readUnit},
		"choice":     {want: wantChoice, read: readChoice},
		"perlevel":   {show: "N or N LEVEL, …", want: fixed("a whole number", "number"), read: readPerLevel},
		"prices":     {show: "PRICE LEVEL, …", want: fixed("a number", "number"), read: readPrices},
		"costunit":   {show: "UNIT", want: fixed("a word such as minute", "unit"), read: readCostUnit},
	}
}

// fixed is a want of which the slot may name some that are common: {worth:amount 5% 10%}.
func fixed(what, code string) func(*parser, pattern.Slot) want {
	return func(_ *parser, s pattern.Slot) want {
		w := want{what: what, code: code}
		if s.Kind == "amount" || s.Kind == "percent" {
			w.common = slices.DeleteFunc(slices.Clone(s.Args), func(a string) bool { return a == "beside" })
		}
		return w
	}
}

// list reads one item after another as long as commas join them.
func (p *parser) list(item func() bool) bool {
	for item() {
		if !p.moreAfterComma() {
			return true
		}
		p.i++
	}
	return false
}

// listOf is list with what each item is.
func listOf[T any](p *parser, item func() (T, bool)) (out phrase.ListOf[T], ok bool) {
	out.At = p.place()
	ok = p.list(func() bool {
		one, ok := item()
		out.List = append(out.List, one)
		return ok
	})
	return out, ok
}

func wantResult(p *parser, s pattern.Slot) want {
	return want{what: a(orKinds(s.Args)), code: "result", words: func() []string {
		return lists.Mapped(p.fitting(s.Args), func(r phrase.KnownResult) string { return r.Name })
	}}
}

// findName finds the name at a token among names: spelled exactly so, else in another case.
func (p *parser) findName(at int, names []string) int {
	t := p.toks[at]
	if t.Kind != scan.Word && t.Kind != scan.Quote {
		return -1
	}
	exact := t.Text
	if t.Kind == scan.Word {
		exact = p.typed(at, at+1)
	}
	if k := slices.Index(names, exact); k >= 0 {
		return k
	}
	return slices.IndexFunc(names, func(n string) bool { return strings.EqualFold(n, t.Text) })
}

func readResult(p *parser, s pattern.Slot) (any, bool) { return p.result(s.Args) }

func (p *parser) result(kinds []string) (phrase.Name, bool) {
	t := p.tok()
	if t.Kind != scan.Word && t.Kind != scan.Quote || p.stops() {
		return phrase.Name{}, p.need(wantResult(p, pattern.Slot{Args: kinds}))
	}
	at, typed := p.place(), p.typed(p.i, p.i+1)
	p.i++
	all := p.known.Results()
	fitting := p.fitting(kinds)
	names := lists.Mapped(fitting, func(r phrase.KnownResult) string { return r.Name })
	if k := p.findName(p.i-1, names); k >= 0 {
		p.spans = append(p.spans, span{start: p.i - 1, end: p.i, kind: resultSpan, name: fitting[k].Kind})
		return phrase.Name{Text: names[k], At: at}, true
	}
	if k := p.findName(p.i-1, lists.Mapped(all, func(r phrase.KnownResult) string { return r.Name })); k >= 0 {
		p.wrongName("wrong-kind", at, all[k].Name+" is "+a(all[k].Kind)+elsewhere(kinds, all[k].Kind), names,
			func() string {
				if len(names) == 0 && strings.HasPrefix(elsewhere(kinds, all[k].Kind), aMeasure) {
					return phrase.Try("show " + phrase.Typed(all[k].Name))
				}
				return phrase.Meant(typed, names, "there is")
			})
		return phrase.Name{Text: all[k].Name, At: at}, true
	}
	names = slices.DeleteFunc(names, func(name string) bool { // a list names each once
		return slices.ContainsFunc(p.spans, func(s span) bool {
			return s.kind == resultSpan && p.typed(s.start, s.end) == name
		})
	})
	message := "there is no " + orKinds(kinds) + " called " + shown(typed)
	line := p.known.MadeBy(t.Text)
	if line != "" {
		message, names = shown(typed)+" was forgotten", nil
	}
	p.wrongName("unknown-result", at, message, names, func() string {
		switch {
		case line != "":
			return phrase.Try(line)
		case len(names) == 0:
			return exampleGiving(p.lang, kinds, strings.TrimRight(t.Text, "0123456789"), p.known)
		}
		return phrase.Meant(typed, names, "there is")
	})
	return phrase.Name{At: at}, true
}

func readResults(p *parser, s pattern.Slot) (any, bool) {
	return listOf(p, func() (phrase.Name, bool) { return p.result(s.Args) })
}

func wantSeries(p *parser, _ pattern.Slot) want {
	return want{what: "the name of a series", code: "series", words: p.known.SeriesNames}
}

func readSeries(p *parser, s pattern.Slot) (any, bool) { return p.seriesName(s) }

func (p *parser) seriesName(s pattern.Slot) (phrase.Name, bool) {
	t := p.tok()
	if t.Kind != scan.Word && t.Kind != scan.Quote && t.Kind != scan.Number {
		return phrase.Name{}, p.need(wantSeries(p, s))
	}
	at, from := p.place(), p.i
	names := p.known.SeriesNames()
	k, n := findQuoted(t.Text, names), 1
	if t.Kind != scan.Quote {
		k, n = p.longest(names)
	}
	if k < 0 {
		typed := p.tokenText(p.i)
		p.i++
		if len(names) == 0 {
			p.wrong("no-series", at, "no series is open", mend(p.lang, phrase.NoSeries, "", ""))
		} else {
			p.wrongName("unknown-series", at, "there is no series called "+shown(typed), names,
				func() string { return phrase.Meant(typed, names, "open are") })
		}
		return phrase.Name{At: at}, true
	}
	p.i += n
	p.spans = append(p.spans, span{start: from, end: p.i, kind: seriesSpan, name: names[k]})
	if slices.Contains(s.Args, "own") {
		p.series = names[k]
	}
	return phrase.Name{Text: names[k], At: at}, true
}

// readManySeries reads two series or more, and the columns after them are the first one's; of past series one is
// enough, and the columns stay those of the series that they are drawn into.
func readManySeries(p *parser, s pattern.Slot) (any, bool) {
	out, ok := listOf(p, func() (phrase.Name, bool) { return p.seriesName(s) })
	switch past := slices.Contains(s.Args, "past"); {
	case !ok:
		return nil, false
	case !past && len(out.List) < 2:
		return nil, p.need(want{what: "a comma and another series", code: "series"})
	case !past && out.List[0].Text != "":
		p.series = out.List[0].Text
	}
	return out, true
}

func readNewName(p *parser, s pattern.Slot) (any, bool) {
	t := p.tok()
	text := p.typed(p.i, min(p.i+1, len(p.toks)))
	if t.Kind == scan.Quote {
		text = t.Text
	}
	if t.Kind != scan.Word && t.Kind != scan.Quote || text == "" || !unicode.IsLetter([]rune(text)[0]) {
		return nil, p.need(want{what: "a name that starts with a letter", code: "name"})
	}
	at := p.place()
	p.i++
	return phrase.Name{Text: text, At: at}, true
}

// wantUnit is a unit, where the slot names a column one that it can be in.
func wantUnit(p *parser, s pattern.Slot) want {
	c := p.columnOf(s)
	return want{what: "a unit", code: "unit", words: func() []string { return unitsFor(c) }}
}

func readUnit(p *parser, s pattern.Slot) (any, bool) {
	at := p.place()
	if p.end() || p.tok().Kind == scan.Comma {
		return nil, p.need(wantUnit(p, s))
	}
	if u, ok := p.unitHere(); ok {
		return phrase.UnitRef{Unit: u.String(), At: at}, true
	}
	typed := p.tokenText(p.i)
	p.i++
	p.unknownUnit(typed, at)
	return phrase.UnitRef{At: at}, true
}

func (p *parser) unknownUnit(typed string, at int) {
	p.wrongName("unknown-unit", at, "there is no unit "+shown(typed), slices.Concat(units.Known(), units.Words()),
		func() string { return unitHint(typed) })
}

func wantChoice(_ *parser, s pattern.Slot) want { return literal(s.Args) }

func readChoice(p *parser, s pattern.Slot) (any, bool) {
	at := p.place()
	if !p.word(s.Args...) {
		return nil, p.need(literal(s.Args))
	}
	return phrase.Choice{Word: p.toks[p.i-1].Text, At: at}, true
}
