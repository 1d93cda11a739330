package frames

import (
	"slices"

	"breakbook/frames/notation"
)

// SpecimenNames are plain names of columns that name the specimens, LoadNames of those that hold
// their loads, the surest first; OrderNames of those that number specimens as they were tested.
var (
	SpecimenNames = []string{"specimen", "specimen_id", "specimen_no", "specimen_number", "specimen_nr", "id", "no",
		"nr", "number", "specimen_name", "sample", "sample_id", "sample_no", "sample_name", "test_no", "joint_id",
		"joint_no", "joint_name", "piece", "piece_no", "blank", "blank_id", "blank_no", "name"}
	LoadNames = []string{"load", "break_load", "breaking_load", "failure_load", "ultimate_load", "max_load",
		"maximum_load", "load_max", "peak_load",
		"load_at_break", "load_at_failure", "force", "break_force", "breaking_force", "max_force", "maximum_force",
		"peak_force"}
	OrderNames = []string{"order", "test_order", "testing_order", "order_of_testing", "order_of_test", "order_tested",
		"test_no", "test_nr", "test_number", "test_sequence", "sequence", "seq", "run", "run_order", "run_no", "run_nr",
		"run_number"}
)

// NamesSpecimens reports whether a plain name is one of a column that names specimens.
func NamesSpecimens(name string) bool { return slices.Contains(SpecimenNames, name) }

// NamesLoad reports whether a plain name is one of a column of loads.
func NamesLoad(name string) bool { return slices.Contains(LoadNames, name) }

// sizeWords are what a size or a density is called.
var sizeWords = []string{"thickness", "width", "length", "height", "depth", "diameter", "area", "density", "weight",
	"mass"}

// NamesSize reports whether a plain name says that its column is a size or a density.
func NamesSize(name string) bool { return notation.Says(name, sizeWords) }

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
