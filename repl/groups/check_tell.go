package groups

import (
	"errors"
	"strconv"

	"breakbook/models/checks"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// shapeMeans says what the Shapiro–Wilk test found.
func shapeMeans(p float64, n int) string {
	const few = 10
	switch {
	case p < say.Alarm:
		return "the residuals are not bell-shaped as the intervals assume; look at the odd specimens, " +
			"or compare ranked or reshuffled"
	case n < few:
		return "nothing against a bell shape, but so few specimens would hardly show it"
	}
	return "nothing against the bell shape that the intervals assume"
}

// spreadMeans says what the Brown–Forsythe test of a category found; allowed: the fit does not take spread as equal.
func spreadMeans(p float64, factor string, allowed bool) string {
	switch {
	case p < say.Alarm && allowed:
		return "the levels of " + factor + " scatter unequally, which this fit allows for"
	case p < say.Alarm:
		return "the levels of " + factor + " scatter unequally; add uneven spread"
	}
	return "nothing against one spread for all levels of " + factor
}

// oddMeans says what Grubbs's test found about the specimen that lies furthest off.
func oddMeans(p float64, specimen string, n int) string {
	if p < say.Alarm {
		return "specimen " + specimen + " lies further off than chance allows; see what happened to it before " +
			"setting it aside"
	}
	return "the furthest is specimen " + specimen + ", within what is expected of " + strconv.Itoa(n) + " specimens"
}

// severalMeans says what the search for several odd specimens found.
func severalMeans(names []string) string {
	switch len(names) {
	case 0:
		return "no group of odd specimens, that would hide each other, was found"
	case 1:
		return "specimen " + names[0] + " alone is odd"
	}
	return "specimens " + say.Listed(names) + " are odd together; singly they would hide each other"
}

// bendMeans says whether a number column wants its square.
func bendMeans(p float64, column string) string {
	if p < say.Alarm {
		return "a straight line along " + column + " misses a bend; try " + column + " curved"
	}
	return "no bend along " + column + " to be seen"
}

// fanMeans says whether the scatter goes with what is expected; logs: its logarithm
// could be tried; allowed: the fit does not take spread as equal.
func fanMeans(p float64, measure string, logs, allowed bool) string {
	switch {
	case p >= say.Alarm:
		return "the scatter is alike for weak and strong joints"
	case allowed:
		return "the scatter changes with the " + measure + " expected, which this fit allows for"
	case logs:
		return "the scatter changes with the " + measure + " expected; add uneven spread, or try its logarithm"
	}
	return "the scatter changes with the " + measure + " expected; add uneven spread"
}

// checkError says why a check could not be made.
func checkError(err error) string {
	var e *checks.Error
	if errors.As(err, &e) {
		switch e.Code {
		case "too-few-specimens":
			return "too few specimens to see anything"
		case "too-many-specimens":
			return "made for up to 5000 specimens; with more, any small departure shows: draw the residuals"
		case "all-equal":
			return "the residuals do not vary"
		case "no-freedom-left":
			return "too few specimens beyond the figures fitted"
		case "nothing-varies":
			return "the same is expected of every specimen"
		case "not-a-number":
			return "a residual is not a number"
		}
	}
	return err.Error()
}

// bendReason says why a bend was not asked about.
func bendReason(reason, column string) string {
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

// alarm is one check that raised one.
type alarm struct {
	meaning     string
	probability float64
}

// checked is the lead of a check: what it found, the surest first, or that it found nothing.
func checked(measure string, n, tests int, found []alarm) page.Sentence {
	if tests == 0 {
		return page.Say("The intervals of "+measure+" could not be checked: the residuals of ", n,
			" specimens are too few.")
	}
	if len(found) == 0 {
		return page.Say("Nothing found against the intervals of "+measure+": ", tests,
			say.Plural(tests, " test", " tests")+" of the residuals of ", n, " specimens raised no alarm.")
	}
	return page.Say("Before the intervals of "+measure+" are trusted: ", page.Joined(found, ". Also: ",
		func(f alarm) page.Sentence { return page.Say(f.meaning+" (", page.Chance(f.probability), ")") }), ".")
}

// Why a specimen is listed.
const (
	whyOdd      = "lies further off than chance allows (Grubbs)"
	whySeveral  = "one of several that are odd together (Rosner)"
	whyAlone    = "alone on its level: nothing else says what to expect of it; value: leverage"
	whyLeverage = "pulls the fit its way by where it lies; value: leverage, over three times the average"
	whyDeleted  = "far from what the others predict; value: residual in standard errors of that prediction, " +
		"over 3 (common practice, no source)"
	whyDistance = "the estimates move without it; value: Cook's distance, beyond their 10 % region (Cook 1977)"
)
