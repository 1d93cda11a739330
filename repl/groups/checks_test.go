package groups

import (
	"errors"
	"strings"
	"testing"

	"breakbook/models/checks"
	"breakbook/repl/say"
)

// What a check found goes on to say what to type; what the fit allows for is not asked for again.
func TestChecksSayWhatToDo(t *testing.T) {
	for _, c := range []struct{ got, has, hasNot string }{
		{spreadMeans(0.01, "pins", false), "add uneven spread", ""},
		{spreadMeans(0.01, "pins", true), "allows for", "add"},
		{spreadMeans(0.2, "pins", false), "nothing against", "add"},
		{fanMeans(0.01, "break load", true, false), "try its logarithm", ""},
		{fanMeans(0.01, "break load", false, false), "add uneven spread", "logarithm"},
		{fanMeans(0.01, "break load", true, true), "allows for", "add"},
		{bendMeans(0.01, "density"), "try density curved", ""},
		{shapeMeans(0.5, 6), "hardly show", ""},
		{shapeMeans(0.5, 40), "nothing against", "hardly"},
		{oddMeans(0.01, "G7", 55), "before setting it aside", ""},
		{severalMeans([]string{"a", "b"}), "a, b", ""},
		{say.TogetherMeans(1), "cannot say which", ""},
		{say.TogetherMeans(0.95), "hardly", ""},
	} {
		if !strings.Contains(c.got, c.has) || c.hasNot != "" && strings.Contains(c.got, c.hasNot) {
			t.Errorf("%q: wanted %q and not %q", c.got, c.has, c.hasNot)
		}
	}
}

// At one in twenty itself a check has found nothing yet, and ten specimens are no longer few.
func TestChecksAtTheirNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{shapeMeans(0.05, 10), "nothing against the bell shape that the intervals assume"},
		{shapeMeans(0.05, 9), "nothing against a bell shape, but so few specimens would hardly show it"},
		{shapeMeans(0.0499, 9), "the residuals are not bell-shaped as the intervals assume; look at the odd " +
			"specimens, or " +
			"compare ranked or reshuffled"},
		{spreadMeans(0.05, "pins", false), "nothing against one spread for all levels of pins"},
		{spreadMeans(0.05, "pins", true), "nothing against one spread for all levels of pins"},
		{spreadMeans(0.0499, "pins", false), "the levels of pins scatter unequally; add uneven spread"},
		{spreadMeans(0.0499, "pins", true), "the levels of pins scatter unequally, which this fit allows for"},
		{oddMeans(0.05, "G7", 55), "the furthest is specimen G7, within what is expected of 55 specimens"},
		{oddMeans(0.0499, "G7", 55), "specimen G7 lies further off than chance allows; see what happened to it " +
			"before " +
			"setting it aside"},
		{severalMeans(nil), "no group of odd specimens, that would hide each other, was found"},
		{severalMeans([]string{"a"}), "specimen a alone is odd"},
		{severalMeans([]string{"a", "b"}), "specimens a, b are odd together; singly they would hide each other"},
		{bendMeans(0.05, "density"), "no bend along density to be seen"},
		{bendMeans(0.0499, "density"), "a straight line along density misses a bend; try density curved"},
		{fanMeans(0.05, "load", true, true), "the scatter is alike for weak and strong joints"},
		{fanMeans(0.0499, "load", false, false), "the scatter changes with the load expected; add uneven spread"},
		{bendReason("two-values", "density"), "density has two values only, which show no bend"},
		{bendReason("curved-already", "density"), "the bend along density is in the fit already"},
		{bendReason("too-few-specimens", "density"), "too few specimens beyond the figures fitted"},
		{bendReason("something", "density"), "something"},
		{checkError(&checks.Error{Code: "too-few-specimens"}), "too few specimens to see anything"},
		{checkError(&checks.Error{Code: "too-many-specimens"}), "made for up to 5000 specimens; with more, any small " +
			"departure shows: draw the residuals"},
		{checkError(&checks.Error{Code: "all-equal"}), "the residuals do not vary"},
		{checkError(&checks.Error{Code: "no-freedom-left"}), "too few specimens beyond the figures fitted"},
		{checkError(&checks.Error{Code: "nothing-varies"}), "the same is expected of every specimen"},
		{checkError(errors.New("another")), "another"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
