package say

// Word is a word of results with what it means.
type Word struct{ Word, Means string }

// Words are the words of results that a person may meet here for the first time, the commonest first.
func Words() []Word {
	return []Word{
		{"interval", "where the true value most likely lies, going by these specimens: of 95 % intervals, " +
			"95 in 100 contain it"},
		{"p", "the chance of a difference at least as large as the one seen, were there none in truth; " +
			"a small p speaks against mere chance, and says nothing of how large the difference is"},
		{"differs", "the interval of the difference leaves out zero"},
		{"no difference worth having", "what difference there may be is smaller than the one said to matter"},
		{"cannot tell", "these specimens allow both a difference that matters and none; more of them would settle it"},
		{"doubt", "what the program's own checks hold against an answer, with what it would be then and the line to " +
			"type; show and the name of a result have every one"},
		{"adjusted for comparing all pairs", "the intervals are widened because several pairs are looked at, " +
			"and one of many may stand out by chance"},
		{"mean", "the sum of the values over their number"},
		{"median", "half of the specimens lie below it, half above"},
		{"sd", "standard deviation: about how far a single specimen lies from the mean"},
		{"cv", "the sd in percent of the mean"},
		{"standard error", "about how far an estimate may be off by the chance of which specimens it came from"},
		{"baseline", "the level that the others are compared with"},
		{"degrees of freedom", "how many specimens are left to judge the scatter by, once what is estimated has " +
			"used up its own"},
		{"explained", "the share of the variation between specimens that the fit accounts for"},
		{"residual", "what was measured on a specimen less what the fit expects of it"},
		{"t", "an estimate over its standard error; beyond about 2 either way chance alone seldom goes"},
		{"F", "the variation a factor accounts for over the residual variation, each per degree of freedom; " +
			"about 1 where the factor does nothing"},
		{"AICc", "how badly a fit suits, with a charge for every term: of two fits of the same specimens the lower " +
			"is better supported"},
	}
}
