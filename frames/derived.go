package frames

import "slices"

// DerivedFrom notes from which columns a column was worked out, and with them from which those were.
func (f *Frame) DerivedFrom(column string, of []string) (*Frame, error) {
	i, err := f.find(column)
	if err != nil {
		return nil, err
	}
	var from []string
	for _, name := range of {
		c, _ := f.Column(name)
		from = union(from, append([]string{name}, c.From...))
	}
	h := f.held[i]
	h.From = from
	return f.with(i, h), nil
}

// Akin reports whether two columns say the same in other words: one was worked out from the other alone, or both from
// one and the same.
func (f *Frame) Akin(a, b string) bool { return a != b && f.firstOf(a) == f.firstOf(b) }

// firstOf is where a column began: the one that it was worked out from alone, and that from alone, if any; else itself.
func (f *Frame) firstOf(column string) string {
	for range f.held { // each step is another column
		c, _ := f.Column(column)
		if len(c.From) == 0 {
			break
		}
		if source, _ := f.Column(c.From[0]); !slices.Equal(c.From[1:], source.From) {
			break
		}
		column = c.From[0]
	}
	return column
}

// union is a list of names with those of another that it lacks; the lists themselves stay as they are.
func union(a, b []string) []string {
	out := slices.Clone(a)
	for _, name := range b {
		if !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}

// renamed is a list of names with another for one of them.
func renamed(names []string, was, name string) []string {
	out := slices.Clone(names)
	if i := slices.Index(out, was); i >= 0 {
		out[i] = name
	}
	return out
}
