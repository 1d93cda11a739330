package frames

import (
	"slices"

	"breakbook/frames/units"
)

// Masks pick rows, one truth value a specimen; a missing cell is never picked.

// Is picks the rows whose category or text cell is one of the words, or whose number
// cell (also of a category made of numbers) equals one. A word that is spelled as no
// level is matched without case. For a number column a word that is no number is an
// *Error with code "not-a-number", one in another dimension a *units.Error.
func (f *Frame) Is(column string, words []string) ([]bool, error) {
	i, err := f.find(column)
	if err != nil {
		return nil, err
	}
	h := &f.held[i]
	if h.Kind == Number {
		return f.isAmount(i, words)
	}
	picked := make([]bool, f.Len())
	if h.Kind == Category {
		wanted := make([]bool, len(h.Levels))
		for _, word := range words {
			for _, l := range f.levelsCalled(h, word) {
				wanted[slices.Index(h.Levels, l)] = true
			}
		}
		for row := range picked {
			level := f.level(i, row)
			picked[row] = level >= 0 && wanted[level]
		}
		return picked, nil
	}
	one := held{Column: Column{Unit: h.Unit, Levels: make([]string, 1)}}
	for row := range picked {
		if h.gone(row) {
			continue
		}
		one.Levels[0] = f.cell(i, row)
		picked[row] = slices.ContainsFunc(words, func(w string) bool { return len(f.levelsCalled(&one, w)) > 0 })
	}
	return picked, nil
}

func (f *Frame) isAmount(column int, words []string) ([]bool, error) {
	h := &f.held[column]
	picked := make([]bool, f.Len())
	for _, word := range words {
		a, ok := f.amountIn(word)
		if !ok {
			return nil, &Error{Code: "not-a-number", File: f.source.Path, Column: h.Name, Word: word,
				Detail: h.Name + " holds numbers, and " + word + " is none"}
		}
		more, err := f.IsNumber(h.Name, []float64{a.x}, a.unit)
		if err != nil {
			return nil, err
		}
		for row := range picked {
			picked[row] = picked[row] || more[row]
		}
	}
	return picked, nil
}

// IsNumber picks the rows whose number is one of values, given in unit u (None: the
// column's own). After a conversion equality allows for its rounding. It works on
// number columns and on categories of which a level is a number; otherwise it is an
// *Error with code "not-a-number-column". Another dimension is a *units.Error.
func (f *Frame) IsNumber(column string, values []float64, u units.Unit) ([]bool, error) {
	return f.pickNumbers(column, values, u, func(x, y float64, converted bool) bool { return same(x, y, converted) })
}

// Compare picks the rows whose number stands in relation op (<, <=, >, >=) to x, given
// in unit u (None: the column's own). Columns and errors as for IsNumber; another op
// is an *Error with code "unknown-relation".
func (f *Frame) Compare(column, op string, x float64, u units.Unit) ([]bool, error) {
	relations := map[string]func(x, y float64, converted bool) bool{
		"<":  func(x, y float64, converted bool) bool { return x < y && !same(x, y, converted) },
		"<=": func(x, y float64, converted bool) bool { return x < y || same(x, y, converted) },
		">":  func(x, y float64, converted bool) bool { return x > y && !same(x, y, converted) },
		">=": func(x, y float64, converted bool) bool { return x > y || same(x, y, converted) },
	}
	relation, ok := relations[op]
	if !ok {
		return nil, &Error{Code: "unknown-relation", Column: column, Word: op, Detail: op + " is none of <, <=, >, >="}
	}
	return f.pickNumbers(column, []float64{x}, u, relation)
}

// pickNumbers picks the rows that stand in the relation to any of the values.
func (f *Frame) pickNumbers(column string, values []float64, u units.Unit, relation func(x, y float64,
	converted bool) bool) ([]bool, error) {
	i, err := f.find(column)
	if err != nil {
		return nil, err
	}
	h := &f.held[i]
	if h.Kind == Text || h.Kind == Category && !f.anyNumber(i) {
		return nil, f.notNumbers(i)
	}
	converted := !u.None() && u != h.Unit
	wanted := slices.Clone(values)
	if converted {
		change, err := units.To(u, h.Unit)
		if err != nil {
			return nil, err
		}
		for j, x := range values {
			if wanted[j] = change.Apply(x); h.Difference {
				wanted[j] = change.ApplyDifference(x)
			}
		}
	}
	fits := func(x float64) bool {
		return slices.ContainsFunc(wanted, func(y float64) bool { return relation(x, y, converted) })
	}
	picked := make([]bool, f.Len())
	if h.Kind == Number {
		for row := range picked {
			picked[row] = !h.gone(row) && fits(f.columns[i].Elem(row).Float())
		}
		return picked, nil
	}
	levels := make([]bool, len(h.Levels))
	for j, l := range h.Levels {
		if a, ok := f.amountIn(l); ok {
			x, err := a.in(h.Unit)
			levels[j] = err == nil && fits(x)
		}
	}
	for row := range picked {
		level := f.level(i, row)
		picked[row] = level >= 0 && levels[level]
	}
	return picked, nil
}

// MissingIn picks the rows where the column has no value.
func (f *Frame) MissingIn(column string) ([]bool, error) {
	i, err := f.find(column)
	if err != nil {
		return nil, err
	}
	picked := make([]bool, f.Len())
	copy(picked, f.held[i].missing)
	return picked, nil
}
