package say

import (
	"errors"
	"math"

	"breakbook/models/curves"
)

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
