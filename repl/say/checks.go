package say

// Alarm is the probability below which a check is told as found: one in twenty, the usual practice.
const Alarm = 0.05

// Apart bounds how far two factors that changed together can be distinguished. Common practice, no source.
const (
	never  = 0.999
	hardly = 0.9
	partly = 0.7
)

// TogetherMeans says how far two factors can be distinguished.
func TogetherMeans(strength float64) string {
	switch {
	case strength >= never:
		return "they always changed together, so this series cannot say which of them did it"
	case strength >= hardly:
		return "they can hardly be distinguished"
	case strength >= partly:
		return "they can be distinguished in part; the intervals of both are wide"
	}
	return "they can be distinguished, with wider intervals than if they had been crossed evenly"
}
