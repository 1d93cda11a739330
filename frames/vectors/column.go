package vectors

import (
	"context"
	"math"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/models/parallel"
)

// Impossible counts the specimens for which a value could not be worked out.
type Impossible struct {
	Reason Reason
	Count  int
	Row    int // the first of them
}

// Added is the frame with a new column of the vector's values: numbers, or a
// category of words with its levels in natural order. impossible lists the reasons
// why numbers are missing, in the order first met. A name that is taken, or a sum of
// temperatures that is neither one nor a difference, is an *Error with code
// "name-taken" or "mixed-temperatures".
func Added(ctx context.Context, f *frames.Frame, name, label string, v *Vector) (
	next *frames.Frame, impossible []Impossible, err error) {
	defer parallel.Catch(&err)
	if v.IsText() {
		next, err = f.WithWords(ctx, frames.Column{Name: name, Label: label}, v.text)
		return next, nil, err
	}
	difference := false
	if warm(v.Unit) {
		switch {
		case math.Abs(v.zeros) < 1e-9:
			difference = true
		case math.Abs(v.zeros-1) > 1e-9:
			return nil, nil, &frames.Error{Code: "mixed-temperatures", Column: name,
				Detail: "this is neither a temperature in " + v.Unit.String() +
					" nor a difference of two: their zeros do not go out of it"}
		}
	}
	values := make([]float64, f.Len())
	at := map[Reason]int{}
	for row := range values {
		parallel.LookAt(ctx, row)
		values[row] = v.number(row)
		why := v.reason(row)
		if why == "" {
			continue
		}
		if _, met := at[why]; !met {
			at[why] = len(impossible)
			impossible = append(impossible, Impossible{Reason: why, Row: row})
		}
		impossible[at[why]].Count++
	}
	if _, taken := f.Column(name); taken {
		return nil, nil, frames.NameTaken(name)
	}
	next, err = f.WithNumbers(ctx, frames.NumberColumn{Name: name, Label: label, Unit: v.Unit, Values: values,
		Step: notation.StepAt(ctx, values, v.digits), Difference: difference, LnOf: v.lnOf})
	return next, impossible, err
}
