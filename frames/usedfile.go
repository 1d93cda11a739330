package frames

import "slices"

// UsedFile is a file, other than a series' own, that numbers of a series came from: a
// log of load–slip readings, a gauge's table.
type UsedFile struct {
	Source
	Rows int // under its header
}

// Using is the frame with files noted that its numbers rest on, each once.
func (f *Frame) Using(used ...UsedFile) *Frame {
	next := *f
	next.beside = slices.Clone(f.beside)
	for _, u := range used {
		if !slices.Contains(next.beside, u) {
			next.beside = append(next.beside, u)
		}
	}
	return &next
}

// Used are the files noted by Using.
func (f *Frame) Used() []UsedFile { return slices.Clone(f.beside) }
