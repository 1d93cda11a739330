package say

// Method says in words how the results of one kind of entry are worked out.
type Method struct{ Kind, Text string }

// Methods are those of the kinds of entry, in the order of a report; one without a kind is told of every book.
func Methods() []Method {
	return []Method{
		{"", "An answer comes from an interval and never from a probability alone: it differs where the interval of " +
			"the difference leaves out zero; there is no difference worth having where the interval of twice the " +
			"error lies within what was said to matter; otherwise these specimens cannot tell. The program then " +
			"questions each answer with checks of its own, and what they hold against it is told as a doubt."},
		{"drove", "What drove a response is one fit of all columns that could be a factor and were fixed before the " +
			"test, with boards or days allowed for where they are known; that few of them say little of how they " +
			"differ is counted in (after Kenward and Roger). Factors that changed together are told as one. What " +
			"each accounts for is averaged over every order of entry; the answers are adjusted for the number of " +
			"factors by Holm's correction."},
		{"fit", "A fit is by least squares, with intervals and probabilities from Student's t on the residual " +
			"degrees of freedom; where boards or days are random levels, by restricted likelihood with degrees of " +
			"freedom after Satterthwaite. Levels of a factor are adjusted for comparing all pairs. A load of which " +
			"one way of breaking is asked is fitted by likelihood, with the others as lower bounds."},
		{"anova", "Each source of variation is adjusted for every other that does not contain it, and tested with " +
			"F, unless the entry says that sources were taken as listed."},
		{"compare", "All pairs of levels are compared by the studentised range (after Tukey and Kramer), levels " +
			"against one by the many-to-one t (after Dunnett); ranks by rank sums with Holm's correction; uneven " +
			"spreads after Welch, Games and Howell. Each table names what was used."},
		{"adjusted", "An adjusted mean holds the other factors equal: number columns at their mean, other " +
			"categories averaged level by level."},
		{"average", "A mean in a table of averages has the interval of its own group's spread; pairs are adjusted " +
			"for comparing all pairs."},
		{"predict", "What is expected of a new joint comes from the fit, with columns that are not given at their " +
			"mean; the wider interval is for one new specimen."},
		{"odds", "The chance of a way of failing is a logistic fit with Firth's penalty, intervals by profile " +
			"likelihood."},
		{"count", "A table of counts is tested exactly, over every table with the same totals."},
		{"characteristic", "A characteristic value is a lower limit for nearly all joints at the confidence stated, " +
			"from the noncentral t or, with boards, by generalised pivotal quantities."},
		{"same", "Sameness is asked with two one-sided tests: the 90 % interval has to lie within the margin."},
		{"agree", "Several series are put together with the variance between them after Paule and Mandel, and " +
			"intervals after Hartung and Knapp."},
		{"shares", "A share is the average gain in what is explained over every order in which the factors can " +
			"enter; its interval is by resampling specimens."},
		{"rivals", "Fits of the same specimens are ranked by AICc."},
		{"plan", "The chance of a plan is worked out from the noncentral distributions of the test that the " +
			"comparison will use."},
	}
}
