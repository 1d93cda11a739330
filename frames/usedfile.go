package frames

import "slices"

// Using is the frame with files noted, other than its own, that its numbers came from, each once: a log of load–slip
// readings, a gauge's table.
func (f *Frame) Using(used ...Source) *Frame {
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
func (f *Frame) Used() []Source { return slices.Clone(f.beside) }
