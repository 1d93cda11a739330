package frames_test

import (
	"fmt"
	"strings"

	"breakbook/frames"
)

// shown writes a frame a column a line: name kind [unit] <role> label: cells, with ~
// for a missing value.
func shown(f *frames.Frame) string {
	var b strings.Builder
	for _, c := range f.Columns() {
		fmt.Fprintf(&b, "%s %s", c.Name, c.Kind)
		if !c.Unit.None() {
			fmt.Fprintf(&b, " [%s]", c.Unit)
		}
		if c.Role != frames.NoRole {
			fmt.Fprintf(&b, " <%s>", c.Role)
		}
		fmt.Fprintf(&b, " %q:", c.Label)
		for row := range f.Len() {
			cell, ok := f.Cell(c.Name, row)
			if !ok {
				cell = "~"
			}
			b.WriteString(" " + cell)
		}
		b.WriteString("\n")
	}
	return b.String()
}
