package say

// Alarm is the probability below which a check is told as found: one in twenty, the
// usual practice.
const Alarm = 0.05

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
