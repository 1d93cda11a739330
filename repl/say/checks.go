package say

import (
	"errors"

	"breakbook/models/checks"
	"breakbook/repl/page"
)

// Alarm is the probability below which a check is told as found: one in twenty, the
// usual practice.
const Alarm = 0.05

// ShapeMeans says what the Shapiro–Wilk test found.
func ShapeMeans(p float64, n int) string {
	const few = 10
	switch {
	case p < Alarm:
		return "what is left over is not bell-shaped as the ranges take it to be; look at the odd specimens, or compare ranked or reshuffled"
	case n < few:
		return "nothing against a bell shape, but so few specimens would hardly show it"
	}
	return "nothing against the bell shape that the ranges take for granted"
}

// SpreadMeans says what the Brown–Forsythe test of a category found; allowed: the fit
// does not take spread as equal.
func SpreadMeans(p float64, factor string, allowed bool) string {
	switch {
	case p < Alarm && allowed:
		return "the levels of " + factor + " scatter unequally, which this fit allows for"
	case p < Alarm:
		return "the levels of " + factor + " scatter unequally; add uneven spread"
	}
	return "nothing against one spread for all levels of " + factor
}

// OddMeans says what Grubbs's test found about the specimen that lies furthest off.
func OddMeans(p float64, specimen string) string {
	if p < Alarm {
		return "specimen " + specimen + " lies further off than chance allows; see what happened to it before setting it aside"
	}
	return "the furthest is specimen " + specimen + ", no further than the furthest of so many may lie"
}

// SeveralMeans says what the search for several odd specimens found.
func SeveralMeans(names []string, looked int) string {
	switch len(names) {
	case 0:
		return "no group of odd specimens, that would hide each other, was found"
	case 1:
		return "specimen " + names[0] + " alone is odd"
	}
	return "specimens " + Listed(names) + " are odd together; singly they would hide each other"
}

// BendMeans says whether a number column wants its square.
func BendMeans(p float64, column string) string {
	if p < Alarm {
		return "a straight line along " + column + " misses a bend; try " + column + " curved"
	}
	return "no bend along " + column + " to be seen"
}

// FanMeans says whether the scatter goes with what is expected; logs: its logarithm
// could be tried; allowed: the fit does not take spread as equal.
func FanMeans(p float64, measure string, logs, allowed bool) string {
	switch {
	case p >= Alarm:
		return "the scatter is alike for weak and strong joints"
	case allowed:
		return "the scatter changes with the " + measure + " expected, which this fit allows for"
	case logs:
		return "the scatter changes with the " + measure + " expected; add uneven spread, or try its logarithm"
	}
	return "the scatter changes with the " + measure + " expected; add uneven spread"
}

// CheckError says why a check could not be made.
func CheckError(err error) string {
	var e *checks.Error
	if errors.As(err, &e) {
		switch e.Code {
		case "too-few-specimens":
			return "too few specimens to see anything"
		case "too-many-specimens":
			return "made for up to 5000 specimens; with more, any small departure shows: draw the residuals"
		case "all-equal":
			return "nothing is left over that varies"
		case "no-freedom-left":
			return "too few specimens beyond the figures fitted"
		case "nothing-varies":
			return "the same is expected of every specimen"
		case "not-a-number":
			return "a leftover is no number"
		}
	}
	return err.Error()
}

// BendReason says why a bend was not asked about.
func BendReason(reason, column string) string {
	switch reason {
	case "two-values":
		return column + " has two values only, which show no bend"
	case "curved-already":
		return "the bend along " + column + " is in the fit already"
	case "no-freedom-left", "too-few-specimens":
		return "too few specimens beyond the figures fitted"
	}
	return reason
}

// Found is one check that raised an alarm.
type Found struct {
	Meaning     string
	Probability float64
}

// Checked is the lead of a check: what it found, the surest first, or that it found nothing.
func Checked(measure string, n, tests int, found []Found) page.Sentence {
	if len(found) == 0 {
		return page.Say("Nothing found against the ranges of "+measure+": ", tests, plural(tests, " test", " tests")+" of what ",
			n, " specimens leave over raised no alarm.")
	}
	s := page.Say("Before the ranges of " + measure + " are trusted: ")
	for i, f := range found {
		if i > 0 {
			s = append(s, page.Word(". Also: "))
		}
		s = append(s, page.Say(f.Meaning+" (", page.Chance(f.Probability), ")")...)
	}
	return append(s, page.Word("."))
}

// WorthALook names the specimens that a check lists.
func WorthALook(names []string) page.Sentence {
	return page.Say("Worth a look: specimen"+plural(len(names), " ", "s ")+Listed(names)+". An answer that hangs on ",
		plural(len(names), "it", "them")+" is seen by setting "+plural(len(names), "it", "them")+" aside and asking again.")
}

// WentTogether is the finding about the two factors that went together most.
func WentTogether(first, second string, strength float64) page.Sentence {
	return page.Say(first+" and "+second+" went together in these specimens (strength ", page.Num{Value: strength, Style: page.Ratio},
		" of 1): "+TogetherMeans(strength)+".")
}

// Apart bounds how far two factors that went together can be told apart. Common
// practice, no source.
const (
	never  = 0.999
	hardly = 0.9
	partly = 0.7
)

// TogetherMeans says how far two factors can be told apart.
func TogetherMeans(strength float64) string {
	switch {
	case strength >= never:
		return "they always went together, so this series cannot say which of them did it"
	case strength >= hardly:
		return "they can hardly be told apart"
	case strength >= partly:
		return "they can be told apart in part; ranges are wide for both"
	}
	return "they can be told apart, with wider ranges than if they had been crossed evenly"
}

// Why a specimen is listed.
const (
	WhyOdd      = "lies further off than chance allows (Grubbs)"
	WhySeveral  = "one of several that are odd together (Rosner)"
	WhyAlone    = "alone on its level: nothing else says what to expect of it; value: leverage"
	WhyLeverage = "pulls the fit its way by where it stands; value: leverage, over three times the average"
	WhyDeleted  = "far from what the others predict; value: leftover in standard errors of that prediction, over 3 (common practice, no source)"
	WhyDistance = "the estimates move without it; value: Cook's distance, beyond their 10 % region (Cook 1977)"
)
