package session

import (
	"slices"
	"strconv"
	"strings"

	"breakbook/frames/functions"
	"breakbook/models/design"
	"breakbook/models/lists"
	"breakbook/repl/phrase"
)

// Formula is a term list spelled out: the columns it uses and the terms of the model.
type Formula struct {
	Columns []string      // by variable index
	Terms   []design.Term // together and curved spelled out, repeats counted once
	places  []int         // of each term in the line
}

// FormulaOf spells a term list out. together(a, b, c) is every product of its parts, the
// single ones first; `curved` adds the square; kink(x) brings x before it; a repeated term counts
// once. step(x) and kink(x) have no place yet.
func FormulaOf(t phrase.Terms) Formula {
	var b Formula
	for _, term := range t.List {
		factors := lists.Mapped(term.Factors, b.factor)
		if term.Change() == phrase.Kink { // from its own line
			b.add(design.Term{Factors: []design.Factor{{Variable: factors[0].Variable}}}, term.At)
		}
		for _, f := range subsets(factors) {
			b.add(design.Term{Factors: f}, term.At)
		}
		if term.Curved {
			square := factors[0]
			square.Function = design.Squared
			b.add(design.Term{Factors: []design.Factor{square}}, term.At)
		}
	}
	return b
}

// designFunctions are the functions of terms as a design knows them.
var designFunctions = map[string]design.Function{"": design.Identity, functions.Ln: design.Ln,
	functions.Log10: design.Log10, functions.Sqrt: design.Sqrt, functions.Exp: design.Exp, functions.Abs: design.Abs}

// changes are the terms whose place is looked for.
var changes = map[string]design.Function{phrase.Step: design.Step, phrase.Kink: design.Kink}

func (b *Formula) factor(f phrase.Factor) design.Factor {
	v := slices.Index(b.Columns, f.Column.Column)
	if v < 0 {
		v = len(b.Columns)
		b.Columns = append(b.Columns, f.Column.Column)
	}
	out := design.Factor{Variable: v, Function: designFunctions[f.Function]}
	if change, is := changes[f.Function]; is {
		out.Function = change
	}
	if f.Power != 1 {
		out.Function, out.Power = design.PowerOf, f.Power
	}
	return out
}

// add appends a term unless the same one, its factors in any order, is there already.
func (b *Formula) add(t design.Term, at int) {
	for _, old := range b.Terms {
		if sameFactors(old.Factors, t.Factors) {
			return
		}
	}
	b.Terms = append(b.Terms, t)
	b.places = append(b.places, at)
}

func sameFactors(a, b []design.Factor) bool {
	return len(a) == len(b) && !slices.ContainsFunc(a, func(f design.Factor) bool { return !slices.Contains(b, f) })
}

// subsets lists every non-empty choice of factors, the smaller ones first.
func subsets(f []design.Factor) [][]design.Factor {
	var out [][]design.Factor
	for mask := 1; mask < 1<<len(f); mask++ {
		var pick []design.Factor
		for i := range f {
			if mask&(1<<i) != 0 {
				pick = append(pick, f[i])
			}
		}
		out = append(out, pick)
	}
	slices.SortStableFunc(out, func(a, b []design.Factor) int { return len(a) - len(b) })
	return out
}

// factorName is a factor as typed: density, ln(density), x^3, density² from curved.
func factorName(column string, f design.Factor) string {
	switch f.Function {
	case design.Identity:
		return column
	case design.Squared:
		return column + "²"
	case design.Step:
		return phrase.Step + "(" + column + ")"
	case design.Kink:
		return phrase.Kink + "(" + column + ")"
	case design.PowerOf:
		return column + "^" + strconv.FormatFloat(f.Power, 'g', -1, 64)
	}
	for name, fn := range designFunctions {
		if fn == f.Function {
			return name + "(" + column + ")"
		}
	}
	return column
}

// TermName is a term without levels: density, pins × thickness.
func TermName(m design.Model, term int) string {
	var parts []string
	for _, f := range m.Terms[term].Factors {
		parts = append(parts, factorName(m.Variables[f.Variable].Name, f))
	}
	return strings.Join(parts, " × ")
}

// RowName is a row of a fit: baseline, pins: pair, pins: pair × thickness: 24, density.
func RowName(m design.Model, l design.Label) string {
	if l.Term < 0 {
		return "baseline"
	}
	var parts []string
	for i, f := range m.Terms[l.Term].Factors {
		v := m.Variables[f.Variable]
		if v.IsCategory() {
			parts = append(parts, v.Name+": "+v.Levels[l.Levels[i]])
			continue
		}
		parts = append(parts, factorName(v.Name, f))
	}
	return strings.Join(parts, " × ")
}

// TermPlace is where in the line a term of the model was typed, or 0.
func (k *Call) TermPlace(term int) int {
	t, ok := phrase.Part[phrase.Terms](k.Command)
	if !ok || term < 0 {
		return 0
	}
	if b := FormulaOf(t); term < len(b.places) {
		return b.places[term]
	}
	return 0
}

// TermName is a term of the command's own list, for messages.
func (k *Call) TermName(term int) string {
	t, ok := phrase.Part[phrase.Terms](k.Command)
	if !ok || term < 0 {
		return ""
	}
	b := FormulaOf(t)
	if term >= len(b.Terms) {
		return ""
	}
	m := design.Model{Terms: b.Terms}
	for _, c := range b.Columns {
		m.Variables = append(m.Variables, design.Variable{Name: c})
	}
	return TermName(m, term)
}

// responseName is the command's response as typed, for messages.
func (k *Call) responseName() string {
	r, ok := phrase.Part[phrase.Response](k.Command)
	if !ok {
		return "the response"
	}
	if r.Function == "" {
		return r.Column.Column
	}
	return r.Function + "(" + r.Column.Column + ")"
}
