package notation

import "slices"

// SpecimenNames are plain names of columns that name the specimens, LoadNames of those that hold
// their loads, the surest first; OrderNames of those that number specimens as they were tested.
var (
	SpecimenNames = []string{"specimen", "specimen_id", "specimen_no", "specimen_number", "specimen_nr", "id", "no",
		"nr", "number", "specimen_name", "sample", "sample_id", "sample_no", "sample_name", "test_no", "joint_id",
		"joint_no", "joint_name", "piece", "piece_no", "blank", "blank_id", "blank_no", "name"}
	LoadNames = []string{"load", "break_load", "breaking_load", "failure_load", "ultimate_load", "max_load",
		"maximum_load", "load_max", "peak_load", "load_at_break", "load_at_failure", "force", "break_force",
		"breaking_force", "max_force", "maximum_force", "peak_force"}
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
func NamesSize(name string) bool { return Says(name, sizeWords) }
