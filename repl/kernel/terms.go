package kernel

import (
	"slices"
	"strconv"
	"strings"

	"breakbook/models/design"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// blueprint is a term list spelled out: the columns it uses and the terms of the model.
type blueprint struct {
	columns []string      // by variable index
	terms   []design.Term // together and curved spelled out, repeats counted once
	places  []int         // of each term in the line
}

// spelled spells a term list out. together(a, b, c) is every product of its parts, the
// single ones first; `curved` adds the square; a repeated term counts once.
func spelled(t phrase.Terms) blueprint {
	var b blueprint
	for _, term := range t.List {
		factors := make([]design.Factor, len(term.Factors))
		for i, f := range term.Factors {
			factors[i] = b.factor(f)
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

var designFunctions = map[string]design.Function{"": design.Identity, "ln": design.Ln, "log10": design.Log10,
	"sqrt": design.Sqrt, "exp": design.Exp, "abs": design.Abs}

func (b *blueprint) factor(f phrase.Factor) design.Factor {
	v := slices.Index(b.columns, f.Column.Column)
	if v < 0 {
		v = len(b.columns)
		b.columns = append(b.columns, f.Column.Column)
	}
	out := design.Factor{Variable: v, Function: designFunctions[f.Function]}
	if f.Power != 1 {
		out.Function, out.Power = design.PowerOf, f.Power
	}
	return out
}

// add appends a term unless the same one, its factors in any order, is there already.
func (b *blueprint) add(t design.Term, at int) {
	for _, old := range b.terms {
		if sameFactors(old.Factors, t.Factors) {
			return
		}
	}
	b.terms = append(b.terms, t)
	b.places = append(b.places, at)
}

func sameFactors(a, b []design.Factor) bool {
	if len(a) != len(b) {
		return false
	}
	for _, f := range a {
		if !slices.Contains(b, f) {
			return false
		}
	}
	return true
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

// termName is a term without levels: density, pins × thickness.
func termName(m design.Model, term int) string {
	var parts []string
	for _, f := range m.Terms[term].Factors {
		parts = append(parts, factorName(m.Variables[f.Variable].Name, f))
	}
	return strings.Join(parts, " × ")
}

// rowName is a row of a fit: baseline, pins: pair, pins: pair × thickness: 24, density.
func rowName(m design.Model, l design.Label) string {
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

// termPlace is where in the line a term of the model was typed, or 0.
func (k *call) termPlace(term int) int {
	t, ok := phrase.Part[phrase.Terms](k.c)
	if !ok || term < 0 {
		return 0
	}
	if b := spelled(t); term < len(b.places) {
		return b.places[term]
	}
	return 0
}

// termName is a term of the command's own list, for messages.
func (k *call) termName(term int) string {
	t, ok := phrase.Part[phrase.Terms](k.c)
	if !ok || term < 0 {
		return ""
	}
	b := spelled(t)
	if term >= len(b.terms) {
		return ""
	}
	m := design.Model{Terms: b.terms}
	for _, c := range b.columns {
		m.Variables = append(m.Variables, design.Variable{Name: c})
	}
	return termName(m, term)
}

// responseName is the command's response as typed, for messages.
func (k *call) responseName() string {
	r, ok := phrase.Part[phrase.Response](k.c)
	if !ok {
		return "the response"
	}
	if r.Function == "" {
		return r.Column.Column
	}
	return r.Function + "(" + r.Column.Column + ")"
}

// figure is a value of a result.
func figure(id string, x float64, style page.Style, unit string) page.Value {
	return page.Value{ID: id, Cell: page.N(x), Style: style, Unit: unit}
}
