package say

import (
	"errors"
	"math"

	"breakbook/models/curves"
	"breakbook/repl/page"
)

// Calibrated tells that a column was corrected by a table.
func Calibrated(column, file string, n int) page.Sentence {
	return page.Say(n, plural(n, " value", " values")+" of "+column+plural(n, " is", " are")+" now corrected by the table of "+file+".")
}

// Moved tells by how much.
func Moved(n int, mean, least, most float64, unit string) page.Sentence {
	near := math.Max(math.Abs(least), math.Abs(most)) / 100
	num := func(x float64) page.Num { return page.Num{Value: x, Unit: unit, Resolution: near, Signed: true} }
	if n == 0 {
		return page.Say("No value was there to move.")
	}
	return page.Say("They moved by ", num(mean), " on average, between ", num(least), " and ", num(most), ".")
}

// NowIn tells that a table turned readings into something else.
func NowIn(column, from, to string) page.Sentence {
	if from == "" {
		from = "the gauge's own numbers"
	}
	return page.Say(column + " was in " + from + " and is now in " + to + ".")
}

// OutsideGauge names the specimens whose reading the table does not cover.
func OutsideGauge(names []string, from, to float64, unit string) page.Sentence {
	return page.Say(len(names), plural(len(names), " reading lies", " readings lie")+" outside what the table covers (", page.Num{Value: from, Unit: unit, Style: page.Exact}, " to ", page.Num{Value: to, Unit: unit, Style: page.Exact},
		"); the line at its end was carried on for "+Listed(names)+".")
}

// CurvesAsRead warns that the readings of the curves are as the gauge gave them.
func CurvesAsRead(column string) page.Sentence {
	return page.Say("Only " + column + " was corrected; the load-slip readings and the figures from them are as read.")
}

// FewPoints warns that a table says little between its points.
func FewPoints(points int, widest float64) page.Sentence {
	return page.Say("The table has ", points, " points, the widest step between two of them ", page.Num{Value: widest, Style: page.Fraction},
		" of its range; a bend of the gauge in there would go unseen.")
}

// RepeatsDisagree warns of one load with readings far apart.
func RepeatsDisagree(apart float64, unit string) page.Sentence {
	return page.Say("Readings of one true value differ by up to ", page.Num{Value: apart, Unit: unit},
		", more than 1 % of the range; their mean was used.")
}

// TareMeans, GainMeans, StepMeans and DriftMeans say what a check of the gauge means.
func TareMeans(tare, step float64) string {
	switch {
	case math.IsNaN(tare):
		return "the table does not reach a true value of zero"
	case tare == 0 || math.Abs(tare) <= step/2:
		return "it shows nothing when there is nothing"
	}
	return "it shows this when there is nothing; the table takes it off"
}

// GainMeans is for a gauge whose readings and true values have one unit.
func GainMeans(gain float64, oneUnit bool) string {
	switch {
	case !oneUnit:
		return "true units for each unit of reading"
	case gain > 1:
		return "it reads low"
	case gain < 1:
		return "it reads high"
	}
	return "it reads true"
}

// StepMeans sets the rounding step against the sd of the readings: rounding to steps of
// h adds h²/12 to the variance (Sheppard 1898, from memory).
func StepMeans(step, sd float64) string {
	const widens = 0.01
	switch {
	case math.IsNaN(step):
		return "no step is to be seen"
	case !(sd > 0):
		return ""
	case math.Sqrt(1+step*step/(12*sd*sd)) > 1+widens:
		return "coarse: rounding alone widens the spread by more than 1 %"
	}
	return "too fine to matter"
}

// DriftMeans goes by the usual 5 %.
func DriftMeans(p float64) string {
	if p < 0.05 {
		return "later tests differ from earlier ones; look for what changed"
	}
	return "no drift to be seen"
}

// DriftError says why drift cannot be judged.
func DriftError(err error) string {
	var e *curves.Error
	if errors.As(err, &e) {
		switch e.Code {
		case "too-few-readings":
			return "too few specimens to see drift"
		case "order-stands-still":
			return "the order is the same for all"
		case "all-equal":
			return "every value is the same"
		}
	}
	return err.Error()
}

// GaugeError says why a table is no calibration.
func GaugeError(code string) string {
	switch code {
	case "too-few-readings":
		return "two different true values are needed at least"
	case "repeated-reading":
		return "one reading stands for two true values"
	case "not-rising":
		return "the larger true value has the smaller reading"
	case "not-a-number", "too-large":
		return "a number is endless or too large to work with"
	}
	return code
}
