package session

import (
	"context"
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/curves"
	"breakbook/models/design"
	"breakbook/models/doubts"
	"breakbook/models/together"
)

// NoProperty is why a column cannot say how a specimen was made: it came out of the test, names or
// orders specimens, weighs them, or is text; "" for one that can. A pressure that was marked as
// given is a property, as any column marked so is.
func NoProperty(c frames.Column) string {
	switch c.Role {
	case frames.Specimen:
		return "it names the specimens"
	case frames.Weight:
		return "it weighs the specimens"
	case frames.Order:
		return "it is the order of testing"
	case frames.Block:
		return "it is the board, batch or day"
	}
	out := OutOfTest(c)
	switch {
	case out != "":
		return out
	case c.Kind != frames.Number && c.Kind != frames.Category:
		return itIsText
	case namesOrder(c.Name):
		return "its name says that it numbers or dates the specimens"
	}
	return ""
}

// OutOfTest is why a column came out of the test: its role says so, or where it is not marked as given
// its name, that of a figure of a curve, or its unit; "" for one that did not.
func OutOfTest(c frames.Column) string {
	switch c.Role {
	case frames.Load, frames.Failure, frames.Result:
		return "it came out of the test"
	case frames.Given:
		return ""
	}
	if slices.ContainsFunc(curves.Kinds(), func(k curves.Kind) bool { return k.Key() == c.Name }) {
		return "a figure of a load-slip curve comes out of the test"
	}
	if c.SaysFailure() {
		return "its name says how the specimens failed"
	}
	switch d := Unlogged(c).Unit.Dimension(); d { // the logarithm of a load came out of the test as the load did
	case "force", "pressure", "stiffness":
		return "a " + d + " usually comes out of the test"
	case "energy":
		return "an energy usually comes out of the test"
	}
	return ""
}

// IsProperty reports whether a column may say how a specimen was made.
func IsProperty(c frames.Column) bool { return NoProperty(c) == "" }

// namesOrder reports whether a column's name says that it numbers or dates specimens. How many of
// something there are ("number_of_pins") does not, nor does how long something took ("open_time").
func namesOrder(name string) bool {
	words := strings.Split(name, "_")
	for i, word := range words {
		switch word {
		case "order", "id", "seq", "sequence", "run", "date", "specimen", "row":
			return true
		case "stage": // of a plan, as its test sheet numbers them
			if i > 0 && words[i-1] == "test" {
				return true
			}
		case "no", "nr", "number":
			if i+1 == len(words) || words[i+1] != "of" {
				return true
			}
		case "time":
			if len(words) == 1 || slices.ContainsFunc(words, func(w string) bool {
				return slices.Contains([]string{"test", "tested", "testing", "broken", "breaking", "start",
					"end", "stamp"}, w)
			}) {
				return true
			}
		}
	}
	return false
}

// Confounded is the association, corrected for chance, from which two factors are told as
// confounded: it leaves less than a fifth of one's variation free of the other. Common practice,
// no source.
const Confounded = 0.9

// Together is the association of two columns over the specimens that have both, corrected for
// chance; 0 where there is none to tell.
func (s *Sample) Together(ctx context.Context, first, second string) float64 {
	strength, v, n := s.association(ctx, first, second)
	if v == nil {
		return 0
	}
	return doubts.Corrected(strength, CategoryLevels(v[0]), CategoryLevels(v[1]), n)
}

// TogetherByChance is the probability of an association at least as strong between two columns that have
// nothing to do with each other, over the specimens that have both; NaN where there is none to tell.
func (s *Sample) TogetherByChance(ctx context.Context, first, second string) float64 {
	strength, v, n := s.association(ctx, first, second)
	if v == nil {
		return math.NaN()
	}
	return doubts.ByChance(strength, CategoryLevels(v[0]), CategoryLevels(v[1]), n)
}

// association is how far two columns varied together over the n specimens that have both, and these as
// variables; nil where there is nothing to tell.
func (s *Sample) association(ctx context.Context, first, second string) (float64, []design.Variable, int) {
	frame := s.Frame
	a, errA := frame.MissingIn(first)
	b, errB := frame.MissingIn(second)
	if errA != nil || errB != nil {
		return 0, nil, 0
	}
	both, have := make([]bool, len(a)), 0
	for i := range both {
		if both[i] = !a[i] && !b[i]; both[i] {
			have++
		}
	}
	if have < 3 {
		return 0, nil, have
	}
	if have < len(both) {
		frame = frame.Subset(ctx, both)
	}
	v, err := (&Sample{Frame: frame}).Variables(ctx, []string{first, second})
	if err != nil {
		return 0, nil, have
	}
	strength, err := together.Strength(ctx, v[0], v[1])
	if err != nil {
		return 0, nil, have
	}
	return strength, v, have
}

// CategoryLevels is how many levels of a variable occur, 0 for a number.
func CategoryLevels(v design.Variable) int {
	if !v.IsCategory() {
		return 0
	}
	return levelsIn(v)
}
