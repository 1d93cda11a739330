package frames

import "breakbook/frames/notation"

// Number is one number, NaN where it is missing, there is none such, or the column holds no numbers.
func (f *Frame) Number(column string, row int) float64 {
	i, ok := f.at[column]
	if !ok || f.held[i].Kind != Number || row < 0 || row >= f.Len() {
		return nan
	}
	return f.columns[i].Elem(row).Float()
}

// NumberIn reads a text as its file's numbers are written, with or without a unit.
func (f *Frame) NumberIn(text string) (float64, bool) {
	a, ok := f.amountIn(text)
	return a.x, ok
}

// OtherMark reads a cell whose number has a comma or a point where its file has the other, in the unit of its column;
// false where a column, or the cell in it, is none such.
func (f *Frame) OtherMark(column string, row int) (float64, bool) {
	cell, there := f.Cell(column, row)
	if _, own := f.amountIn(cell); own || !there {
		return 0, false
	}
	a, ok := amountWith(cell, notation.Marks{Decimal: '.' + ',' - f.decimal})
	if !ok {
		return 0, false
	}
	x, err := a.in(f.held[f.at[column]].Unit)
	return x, err == nil
}

// DateOrder is the order in which the dates of its file are written; notation.NoDates without any.
func (f *Frame) DateOrder() notation.DateOrder { return f.dates }
