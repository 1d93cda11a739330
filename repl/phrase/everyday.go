package phrase

import (
	"regexp"
	"slices"
	"strings"
)

// Pointer leads from everyday words, and words of the textbook, to the words that commands of
// ours start with. It is for hints alone: no line is read by it.
type Pointer struct {
	Words []string // each one or several words, as people type them
	To    []string // the first words of commands, in the order of likeliness
	Alone bool     // what follows the word has no place in ours
	Noun  bool     // it may stand further on in the line: the mean load by pins
}

// Pointers are the everyday words known, none of them a word that a command of ours starts with
// unless it is often meant for another.
var Pointers = []Pointer{
	// Bringing test results in
	point("load, import, read, get, use", "open"),
	point("ls, files", "show series"),
	point("print, list, display, data, table", "rows", "show"),
	{Words: []string{"sort"}, To: []string{"rows"}, Alone: true},
	point("filter, only, select, where", "rows for"),
	point("columns, show columns, list columns, summary, summarise, summarize, describe, info", "look"),
	point("look at, look of, show, show me", "look"),
	point("use, go to", "switch to"),
	point("delete, remove, exclude, drop, omit, ignore, leave out, reject, throw out", "set aside"),
	point("restore, include, put back, take back", "bring back"),
	point("change, fix, edit, set, replace", "correct"),
	point("calculate, compute, calc, define, let", "work out"),
	point("make, set, use, treat", "mark", "treat"),
	point("change, turn", "convert", "treat", "rename"),
	point("call, name", "rename"),
	point("bin, cut, group", "band"),
	point("combine, join, stack, append", "merge levels", "pool", "put"),
	point("export, save, save as, save to, write", "write"),

	// Looking, and what drove it
	noun("mean, means, median, avg, standard deviation, sd, mean and sd, average mean", "average"),
	noun("why, cause, causes, what affects, what affected, what caused, what influenced, what matters for",
		"what drove"),
	noun("frequency, frequencies, number, how many", "count"),
	noun("percentage, percentages, percent, proportion, proportions", "modes"),
	noun("outlier, outliers, normal, normality, normally distributed, odd", "check"),
	noun("regression, linear regression, regress, model, correlation, correlate, slope, trend", "fit"),
	noun("t-test, t test, ttest, test, difference, differences, comparison, significance", "compare"),
	noun("variance, analysis of variance", "anova"),
	noun("probability, logistic regression, chance", "odds"),
	noun("importance, contribution, contributions", "share out"),
	noun("estimate, forecast, expect", "predict"),
	noun("equal, equivalent, equivalence", "same"),
	noun("percentile, fifth percentile, lower limit", "characteristic"),

	// Planning and drawing
	noun("sample size, power, how many specimens", "plan"),
	point("plot, graph, chart, picture, picture of, diagram, show", "draw"),
	noun("histogram, box plot, boxplot, dot plot, bar chart, scatter, scatter plot, scatterplot", "draw"),

	// Book and session
	point("save, export, keep, save as, save to, write, report", "save book"),
	point("export, save, write, write report, print, publish", "report"),
	point("run, execute, play, open", "replay"),
	point("repeat, update", "again"),
	point("back, revert, oops", "undo"),
	point("leave, stop, bye, end, exit program", "quit"),
	point("?, manual, commands", "help"),
	point("comment, remark", "note"),
}

// Pointed are the first words of the one command of ours that everyday words stand for; "" where there are none, or
// several.
func Pointed(word string) string {
	var to []string
	for _, p := range Pointers {
		if slices.Contains(p.Words, strings.ToLower(word)) {
			to = append(to, p.To...)
		}
	}
	if len(to) != 1 {
		return ""
	}
	return to[0]
}

func noun(words string, to ...string) Pointer {
	p := point(words, to...)
	p.Noun = true
	return p
}

func point(words string, to ...string) Pointer {
	return Pointer{Words: strings.Split(words, ", "), To: to}
}

// Instead leads from words that join the parts of a line to ours.
var Instead = map[string][]string{
	"vs": {"against", "by"}, "versus": {"against", "by"}, "per": {"by"}, "between": {"by"}, "across": {"by"},
	"where": {"for"}, "if": {"for"}, "when": {"for"}, "till": {"until"}, "since": {"because"}, "as": {"because"},
	"above": {">"}, "over": {">", "against"}, "below": {"<"}, "under": {"<"}, "equals": {"is"},
	"=": {"is", "as", "on", "by"}, "with": {"against"}, "in": {"into"},
	"using": {"given"}, "baseline": {"against"}, "x": {"by"}, "squared": {"curved"}, "quadratic": {"curved"},
	"named": {"as"}, "called": {"as"}, "joint": {"specimen"}, "sample": {"specimen"}, "piece": {"specimen"},
}

// joining are words and marks that join the parts of a line, of ours and of others: one typed
// for another is a slip.
var joining = strings.Fields("of on per by vs vs. versus and with for to in at into from as is are was = ~ + & : / - " +
	"between across among over against than if where each every using given be , | because until till under within " +
	"plus")

// Joins reports whether a word or a mark joins the parts of a line.
func Joins(word string) bool { return slices.Contains(joining, strings.ToLower(word)) }

// idle are words that say nothing to a command.
var idle = strings.Fields("the a an my our me please all what is are was were there do does i want to see give find " +
	"show tell get how can you any this it ? ! . column file")

// Idle reports whether a word says nothing to a command.
func Idle(word string) bool { return slices.Contains(idle, strings.ToLower(word)) }

// ranges are words and marks for a range between two of a list, the second of which may be glued to a dash.
var ranges = regexp.MustCompile(`(?i)^(to|through|till|until|[-–]\d*)$`)

// Ranges reports whether a word or a mark says that a list goes on from what is before it to what follows.
func Ranges(word string) bool { return ranges.MatchString(word) }
