package repair

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"breakbook/frames/units"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/phrase/scan"
)

// question is one asked in a person's own words: the line begins with one of the first words and has one of
// each of the others.
type question struct {
	begins string
	has    []string
	line   func(a *about) string
}

const (
	failing = "fail failed fails failing break broke broken breaks"
	better  = "best better strongest stronger weakest weaker worst worse highest lowest"
	acting  = "matter matters help helps helped affect affects affected effect change changes changed work works " +
		"difference"
)

// questions are those known, the first that fits being answered.
var questions = []question{
	{"how", []string{"many", "more need needed enough make"}, func(a *about) string {
		if f := cmp.Or(a.factor(true), a.first()); f != "" {
			return "plan load by " + f + " detecting 10%"
		}
		return ""
	}},
	{"how why what", []string{failing}, func(a *about) string { return a.unless("what drove failure") }},
	{"why", nil, func(a *about) string { return a.unless("what drove load") }},
	{"which what who is are", []string{better}, (*about).compared},
	{"does do did is are has can", []string{acting}, (*about).compared},
}

// about is what a line speaks of: columns by their names, or by those of their levels.
type about struct {
	columns []phrase.KnownColumn
	all     []phrase.KnownColumn
	roles   []string
	latest  []string // the columns of the latest result
}

// unless is a line, where no column was named that it would lose.
func (a *about) unless(line string) string {
	if len(a.columns) > 0 {
		return ""
	}
	return line
}

// factor is the one category named; with lately, where no column was, the first of the latest result.
func (a *about) factor(lately bool) string {
	if len(a.columns) == 1 && len(a.columns[0].Levels) > 1 && !slices.Contains(a.roles, a.columns[0].Name) {
		return phrase.Spelled(a.columns[0].Name)
	}
	for _, name := range a.latest {
		at := slices.IndexFunc(a.all, func(c phrase.KnownColumn) bool { return c.Name == name })
		if lately && at >= 0 &&
			len(a.columns) == 0 && len(a.all[at].Levels) > 1 && !slices.Contains(a.roles, name) {
			return phrase.Spelled(name)
		}
	}
	return ""
}

// first is the first category, where no column was named.
func (a *about) first() string {
	for _, c := range a.all {
		if len(a.columns) == 0 && len(c.Levels) > 1 && !slices.Contains(a.roles, c.Name) {
			return phrase.Spelled(c.Name)
		}
	}
	return ""
}

// compared answers whether a column matters.
func (a *about) compared() string {
	switch f := a.factor(false); {
	case f != "":
		return "compare load by " + f
	case len(a.columns) == 1 && a.columns[0].Kind == "number":
		return "fit load on " + phrase.Spelled(a.columns[0].Name)
	}
	return a.unless("what drove load")
}

// blockedPlan is a plan in which blocks are asked for, which takes them from their mark.
var blockedPlan = regexp.MustCompile(`(?i)^(plan .+?) blocked by ("[^"]+"|\S+)(.*)$`)

// workedOutIn is a calculation whose unit is asked for, which is another command's.
var workedOutIn = regexp.MustCompile(`(?i)^(work out ("[^"]+"|\S+) = .+?) in (\S+)$`)

// opened are the files of a line that opens several, one after the other.
func opened(typed string) []string {
	words := strings.FieldsFunc(typed, func(r rune) bool { return r == ' ' || r == ',' })
	if len(words) < 3 || !strings.EqualFold(words[0], "open") || strings.ContainsFunc(typed, scan.IsQuote) {
		return nil
	}
	files := slices.DeleteFunc(words[1:], func(w string) bool { return w == "and" || w == "&" })
	if len(files) < 2 || !slices.ContainsFunc(files, func(f string) bool { return !phrase.EndingKnown(f) }) {
		return files
	}
	return nil
}

// headless is a file of which is said that it has no header.
var headless = regexp.MustCompile(`(?i)^(open .+?),? (?:(?:with )?no|without(?: an?y?)?) head(?:er|ing)s?$`)

// several is the line, mostly of several commands, that was meant by one that asks for more than a command does so;
// else "".
func several(typed string, k phrase.Known) string {
	if m := blockedPlan.FindStringSubmatch(typed); m != nil {
		if mark, plan := "mark "+m[2]+" as block", m[1]+m[3]; reads(mark, k) && reads(plan, k) {
			return mark + "; " + plan
		}
		return ""
	}
	if m := workedOutIn.FindStringSubmatch(typed); m != nil {
		if _, known := units.Word(m[3]); known && reads(m[1], k) {
			return m[1] + "; convert " + m[2] + " to " + m[3]
		}
		return ""
	}
	if m := headless.FindStringSubmatch(typed); m != nil {
		if line := m[1] + " header none"; reads(line, k) {
			return line
		}
		return ""
	}
	files := opened(typed)
	for i, f := range files {
		if files[i] = "open " + f; !reads(files[i], k) {
			return ""
		}
	}
	return strings.Join(files, "; ")
}

// drawnOf are the pictures of the results that have one by another phrase than their name alone.
var drawnOf = map[string]string{"plan": "chance", "shares": "shares", "fit": "effects"}

// drawn is the line that draws a result of which only the name was typed, or "".
func drawn(words []string, k phrase.Known) string {
	if len(words) != 2 || words[0] != "draw" {
		return ""
	}
	for _, r := range k.Results() {
		if of := drawnOf[r.Kind]; of != "" && strings.EqualFold(r.Name, words[1]) {
			return "draw " + of + " of " + r.Name
		}
	}
	return ""
}

// asked is the line that answers a question in a person's own words, or "".
func asked(typed string, k phrase.Known) string {
	if len(typed) > longestLine {
		return ""
	}
	if line := several(strings.TrimSpace(typed), k); line != "" {
		return line
	}
	words := strings.Fields(strings.ToLower(strings.TrimRight(typed, "?!. ")))
	if slices.Contains(doubting, strings.Join(words, " ")) {
		return doubted(k)
	}
	if len(words) < 2 || len(words) > mostWords {
		return ""
	}
	if line := drawn(words, k); line != "" && reads(line, k) {
		return line
	}
	for _, other := range []func(string, []string, phrase.Known) string{levelsCompared, counted, chances} {
		if line := other(typed, words, k); line != "" {
			return line
		}
	}
	one := func(among string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(strings.Fields(among), w) })
	}
	for _, q := range questions {
		if !slices.Contains(strings.Fields(q.begins), words[0]) ||
			slices.ContainsFunc(q.has, func(among string) bool { return !one(among) }) {
			continue
		}
		if line := q.line(spokenOf(typed, k)); line != "" && reads(line, k) {
			return line
		}
		return ""
	}
	return ""
}

// levelsCompared is the line that compares two levels of a column where only they were named, or "".
func levelsCompared(typed string, words []string, k phrase.Known) string {
	if words[0] != "compare" {
		return ""
	}
	named := slices.DeleteFunc(strings.Fields(strings.ReplaceAll(typed, ",", " "))[1:], phrase.Joins)
	if len(named) != 2 {
		return ""
	}
	line := ""
	for _, c := range k.Columns(k.Current()) {
		var levels []string
		for _, l := range c.Levels {
			if slices.ContainsFunc(named, func(n string) bool { return strings.EqualFold(n, l) }) {
				levels = append(levels, phrase.Spelled(l))
			}
		}
		if len(levels) != 2 {
			continue
		}
		if line != "" {
			return "" // two columns have both
		}
		by := phrase.Spelled(c.Name)
		line = "compare load by " + by + " for " + by + " among " + strings.Join(levels, ", ")
	}
	if line != "" && reads(line, k) {
		return line
	}
	return ""
}

// doubting is what people type who read that an answer is in doubt.
var doubting = []string{"doubt", "doubts", "in doubt", "show doubt", "show doubts", "show the doubts",
	"show all doubts", "list doubts", "why doubt", "why in doubt", "why is it in doubt", "what doubt", "what doubts",
	"what is in doubt"}

// doubted is the line that shows the latest result with doubts whole, else what a doubt is.
func doubted(k phrase.Known) string {
	for _, r := range slices.Backward(k.Results()) {
		if r.Doubted {
			return "show " + r.Name
		}
	}
	return "help doubt"
}

// ofWays are the commands that ask of ways of failing what others ask of numbers.
var ofWays = map[string]string{"average": "count", "compare": "count", "fit": "odds"}

// counted is the line that counts how specimens failed, or takes their odds, where the mean of it was asked for; else
// "".
func counted(typed string, words []string, k phrase.Known) string {
	instead := ofWays[words[0]]
	if instead == "" {
		return ""
	}
	failure := k.RoleColumn(k.Current(), "failure")
	asked := failure != "" && (words[1] == "failure" || words[1] == failure)
	if line := instead + strings.TrimSpace(typed)[len(words[0]):]; asked && reads(line, k) {
		return line
	}
	return ""
}

// chances is the line that shows odds whole, with the chance at every level, where a prediction by them was asked for;
// else "".
func chances(_ string, words []string, k phrase.Known) string {
	for _, r := range k.Results() {
		if words[0] == "predict" && r.Kind == "odds" && strings.EqualFold(r.Name, words[1]) {
			return "show " + r.Name
		}
	}
	return ""
}

// reads reports whether a line is a command.
func reads(line string, k phrase.Known) bool {
	_, err := parser.ParseLine(line, k)
	return err == nil
}

// spokenOf is what a line speaks of in the current series.
func spokenOf(typed string, k phrase.Known) *about {
	a := &about{all: k.Columns(k.Current())}
	for _, role := range []string{"load", "failure", "specimen"} {
		a.roles = append(a.roles, k.RoleColumn(k.Current(), role))
	}
	spoken := map[string]bool{}
	for _, t := range scan.Tokens([]rune(typed)) {
		spoken[strings.ToLower(t.Text)] = true
	}
	for _, c := range a.all {
		named := spoken[strings.ToLower(c.Name)] || slices.ContainsFunc(c.Levels, func(l string) bool {
			return spoken[strings.ToLower(l)]
		})
		if named {
			a.columns = append(a.columns, c)
		}
	}
	for _, r := range k.Results() {
		a.latest = r.Columns
	}
	return a
}
