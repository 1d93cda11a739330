package notation

import (
	"slices"
	"strings"
)

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

// batchWords are the names of what several specimens are made from or in, as columns are headed
// in the languages whose unit words are read, without accents.
var batchWords = []string{"board", "plank", "stick", "beam", "lamella", "batch", "lot", "day", "session",
	"brett", "bohle", "charge", "tag", "planche", "lame", "jour", "tabla", "lote", "dia", "sesion", "tavola", "asse",
	"lotto", "giorno", "tabua", "partij", "dag", "brada", "planka", "sats", "deska", "den", "lauta", "paiva"}

// NamesBatch reports whether a plain name says that specimens were made in batches: board, batch
// or day, on its own or as a word of it (test_day).
func NamesBatch(name string) bool {
	return slices.ContainsFunc(strings.Split(name, "_"), func(word string) bool {
		return slices.Contains(batchWords, word)
	})
}

// Days reports whether a column of levels is days: its plain name says so, or its levels are dates.
func Days(name string, levels []string) bool {
	return slices.Contains(strings.Split(name, "_"), "date") ||
		len(levels) > 0 && !slices.ContainsFunc(levels, func(level string) bool {
			_, is := Date(level, DayFirst)
			_, turned := Date(level, MonthFirst)
			return !is && !turned
		})
}
