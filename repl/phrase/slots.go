package phrase

import (
	"reflect"
	"slices"
	"strings"
	"unicode"

	"breakbook/frames/units"
)

// slotType says how one type of slot is read and what it could hold.
type slotType struct {
	gives reflect.Type // what it reads
	show  string       // how help shows it; empty: the slot's name in capitals
	want  func(*parser, slot) want
	read  func(*parser, slot) (Node, bool) // false: reading has stopped with an error
}

// slotTypes is every type the notation knows. It is a function because the readers
// come back to it.
func slotTypes() map[string]slotType { return allSlotTypes }

var allSlotTypes map[string]slotType

func init() {
	allSlotTypes = map[string]slotType{
		"response":   {gives: reflect.TypeFor[Response](), want: wantColumn("number"), read: readResponse},
		"number":     {gives: reflect.TypeFor[ColumnRef](), want: wantColumn("number"), read: readOneColumn("number")},
		"category":   {gives: reflect.TypeFor[ColumnRef](), want: wantColumn("category"), read: readOneColumn("category")},
		"column":     {gives: reflect.TypeFor[ColumnRef](), want: wantColumn(""), read: readOneColumn("")},
		"columns":    {gives: reflect.TypeFor[Columns](), show: "COLUMN, …", want: wantColumn(""), read: readColumns},
		"terms":      {gives: reflect.TypeFor[Terms](), want: wantTerm, read: readTerms},
		"level":      {gives: reflect.TypeFor[LevelRef](), want: wantLevel, read: readLevelSlot},
		"levels":     {gives: reflect.TypeFor[Levels](), show: "LEVEL, …", want: wantLevel, read: readLevels},
		"blocks":     {gives: reflect.TypeFor[Blocks](), show: "COLUMN [within COLUMN], …", want: wantColumn(""), read: readBlocks},
		"condition":  {gives: reflect.TypeFor[Condition](), show: "CONDITION", want: wantColumn(""), read: readCondition},
		"mode":       {gives: reflect.TypeFor[Is](), show: "MODE is LEVEL", want: wantColumn("category"), read: readMode},
		"which":      {gives: reflect.TypeFor[Which](), show: "specimen NAME, … or for CONDITION", want: wantWhich, read: readWhich},
		"expression": {gives: reflect.TypeFor[Expression](), show: "EXPRESSION", want: wantOperand, read: readExpression},
		"given":      {gives: reflect.TypeFor[Given](), show: "COLUMN VALUE, …", want: wantColumn(""), read: readGiven},
		"result":     {gives: reflect.TypeFor[Name](), want: wantResult, read: readResult},
		"results":    {gives: reflect.TypeFor[NameList](), show: "RESULT, …", want: wantResult, read: readResults},
		"series":     {gives: reflect.TypeFor[Name](), show: "SERIES", want: wantSeries, read: readSeries},
		"manyseries": {gives: reflect.TypeFor[NameList](), show: "SERIES, …", want: wantSeries, read: readManySeries},
		"name":       {gives: reflect.TypeFor[Name](), show: "NAME", want: fixed("a new name", "name"), read: readNewName},
		"file":       {gives: reflect.TypeFor[File](), show: "FILE", want: wantFile, read: readFile},
		"files":      {gives: reflect.TypeFor[Files](), show: "FILE …", want: wantFile, read: readFiles},
		"rest":       {gives: reflect.TypeFor[Text](), want: fixed("text", "text"), read: readRest},
		"words":      {gives: reflect.TypeFor[Text](), want: fixed("a word or a text in quotation marks", "text"), read: readWords},
		"newcolumn":  {gives: reflect.TypeFor[Text](), show: "NAME", want: fixed("a name that starts with a letter", "name"), read: readNewColumn},
		"quoted":     {gives: reflect.TypeFor[Text](), show: `"TEXT"`, want: fixed("text in quotation marks", "text"), read: readQuoted},
		"texts":      {gives: reflect.TypeFor[Texts](), show: `"TEXT", …`, want: fixed("a word or a text in quotation marks", "text"), read: readTexts},
		"headers":    {gives: reflect.TypeFor[Texts](), show: "COLUMN, …", want: fixed("a column of the file", "column"), read: readHeaders},
		"amount":     {gives: reflect.TypeFor[Amount](), show: "AMOUNT", want: fixed("a number", "number"), read: readAmountSlot},
		"amounts":    {gives: reflect.TypeFor[Amounts](), show: "AMOUNT, …", want: fixed("a number", "number"), read: readAmounts},
		"percent":    {gives: reflect.TypeFor[Amount](), show: "N%", want: fixed("a percentage between 0% and 100%", "percent"), read: readPercent},
		"count":      {gives: reflect.TypeFor[Count](), show: "N", want: fixed("a whole number", "number"), read: readCount},
		"extent":     {gives: reflect.TypeFor[Extent](), show: "N or N to M", want: fixed("a whole number", "number"), read: readExtent},
		"unit":       {gives: reflect.TypeFor[UnitRef](), want: wantUnit, read: readUnit},
		"choice":     {gives: reflect.TypeFor[Choice](), want: wantChoice, read: readChoice},
	}
}

func fixed(what, code string) func(*parser, slot) want {
	return func(*parser, slot) want { return want{what: what, code: code} }
}

// list reads one item after another as long as commas join them.
func (p *parser) list(item func() bool) bool {
	for {
		if !item() {
			return false
		}
		if !p.moreAfterComma() {
			return true
		}
		p.i++
	}
}

func wantResult(p *parser, s slot) want {
	return want{what: a(orKinds(s.args)), code: "result", words: func() []string {
		return mapped(p.fitting(s.args), func(r KnownResult) string { return r.Name })
	}}
}

// findName finds the name at a token among names: spelled exactly so, else in another case.
func (p *parser) findName(at int, names []string) int {
	t := p.toks[at]
	if t.kind != wordToken && t.kind != quoteToken {
		return -1
	}
	exact := t.text
	if t.kind == wordToken {
		exact = p.typed(at, at+1)
	}
	if k := slices.Index(names, exact); k >= 0 {
		return k
	}
	return slices.IndexFunc(names, func(n string) bool { return strings.EqualFold(n, t.text) })
}

func readResult(p *parser, s slot) (Node, bool) {
	name, ok := p.result(s.args)
	return name, ok
}

func (p *parser) result(kinds []string) (Name, bool) {
	t := p.tok()
	if t.kind != wordToken && t.kind != quoteToken || p.stops() {
		return Name{}, p.need(wantResult(p, slot{args: kinds}))
	}
	at, typed := p.place(), p.typed(p.i, p.i+1)
	p.i++
	all := p.known.Results()
	fitting := p.fitting(kinds)
	names := mapped(fitting, func(r KnownResult) string { return r.Name })
	if k := p.findName(p.i-1, names); k >= 0 {
		p.spans = append(p.spans, span{start: p.i - 1, end: p.i, kind: resultSpan, name: fitting[k].Kind})
		return Name{Text: names[k], At: at}, true
	}
	if k := p.findName(p.i-1, mapped(all, func(r KnownResult) string { return r.Name })); k >= 0 {
		p.wrong("wrong-kind", at, all[k].Name+" is "+a(all[k].Kind)+"; "+a(orKinds(kinds))+" is needed here",
			Meant(typed, names, "there is"))
		return Name{Text: all[k].Name, At: at}, true
	}
	hint := Meant(typed, names, "there is")
	if len(names) == 0 {
		hint = p.lang.exampleGiving(kinds, p.known)
	}
	message := "there is no " + orKinds(kinds) + " called " + shown(typed)
	if line := p.madeBy(t.text); line != "" {
		message, hint = shown(typed)+" was forgotten", line
	}
	p.wrong("unknown-result", at, message, hint)
	return Name{At: at}, true
}

func readResults(p *parser, s slot) (Node, bool) {
	list := NameList{At: p.place()}
	ok := p.list(func() bool {
		n, ok := p.result(s.args)
		list.List = append(list.List, n)
		return ok
	})
	return list, ok
}

func wantSeries(p *parser, _ slot) want {
	return want{what: "the name of a series", code: "series", words: p.known.SeriesNames}
}

func readSeries(p *parser, s slot) (Node, bool) {
	t := p.tok()
	if t.kind != wordToken && t.kind != quoteToken && t.kind != numberToken {
		return nil, p.need(wantSeries(p, s))
	}
	at := p.place()
	names := p.known.SeriesNames()
	k := findQuoted(t.text, names)
	if t.kind != quoteToken {
		k, _ = p.longest(names)
	}
	if k < 0 {
		typed := p.tokenText(p.i)
		p.i++
		if len(names) == 0 {
			p.wrong("no-series", at, "no series is open", p.lang.mend(NoSeries, "", ""))
		} else {
			p.wrong("unknown-series", at, "there is no series called "+shown(typed), Meant(typed, names, "open are"))
		}
		return Name{At: at}, true
	}
	from := p.i
	if t.kind == quoteToken {
		p.i++
	} else {
		_, n := p.longest(names)
		p.i += n
	}
	p.spans = append(p.spans, span{start: from, end: p.i, kind: seriesSpan, name: names[k]})
	if slices.Contains(s.args, "own") {
		p.series = names[k]
	}
	return Name{Text: names[k], At: at}, true
}

// readManySeries reads two series or more; the columns after them are the first one's.
func readManySeries(p *parser, s slot) (Node, bool) {
	list := NameList{At: p.place()}
	ok := p.list(func() bool {
		n, ok := readSeries(p, s)
		if name, isName := n.(Name); isName {
			list.List = append(list.List, name)
		}
		return ok
	})
	if !ok {
		return nil, false
	}
	if len(list.List) < 2 {
		return nil, p.need(want{what: "a comma and another series", code: "series"})
	}
	if first := list.List[0].Text; first != "" {
		p.series = first
	}
	return list, true
}

func readNewName(p *parser, s slot) (Node, bool) {
	t := p.tok()
	text := p.typed(p.i, min(p.i+1, len(p.toks)))
	if t.kind == quoteToken {
		text = t.text
	}
	if t.kind != wordToken && t.kind != quoteToken || text == "" || !unicode.IsLetter([]rune(text)[0]) {
		return nil, p.need(want{what: "a name that starts with a letter", code: "name"})
	}
	at := p.place()
	p.i++
	return Name{Text: text, At: at}, true
}

func wantUnit(*parser, slot) want {
	return want{what: "a unit", code: "unit", words: units.Known}
}

func readUnit(p *parser, s slot) (Node, bool) {
	at := p.place()
	if p.end() || p.tok().kind == commaToken {
		return nil, p.need(wantUnit(p, s))
	}
	if u, ok := p.unitHere(); ok {
		return UnitRef{Unit: u.String(), At: at}, true
	}
	typed := p.tokenText(p.i)
	p.i++
	p.unknownUnit(typed, at)
	return UnitRef{At: at}, true
}

func (p *parser) unknownUnit(typed string, at int) {
	p.wrong("unknown-unit", at, "there is no unit "+shown(typed), unitHint(typed))
}

func wantChoice(_ *parser, s slot) want { return literal(s.args) }

func readChoice(p *parser, s slot) (Node, bool) {
	at := p.place()
	if !p.word(s.args...) {
		return nil, p.need(literal(s.args))
	}
	return Choice{Word: p.toks[p.i-1].text, At: at}, true
}
