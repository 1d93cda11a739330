package proofread

import (
	"slices"
	"strings"
)

// ofOthers is what the reason ends with for which a sum is set aside.
const ofOthers = " of other rows"

// Reason is why a row that sums others up is set aside.
func (s Stat) Reason() string { return string(s) + ofOthers }

// IsSum reports whether a row was set aside because it sums others up: it is no specimen, so nobody
// asks what an answer would be with it.
func IsSum(reason string) bool {
	stat, ok := strings.CutSuffix(reason, ofOthers)
	return ok && slices.Contains(figures, Stat(stat))
}

// figures are all that a row can be of others.
var figures = []Stat{Total, Mean, SD, Median, Count, Least, Most, Range, CV, StdError, Variance}
