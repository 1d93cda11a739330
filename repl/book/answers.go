package book

import (
	"regexp"
	"slices"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/render"
)

// mostFindings is how many findings a report begins with.
const mostFindings = 6

// Answers are the entries that a report begins with, at most one a question, and at most as many as it begins with
// findings. The strength of one way of breaking, and what most joints exceed, are questions of their own, of which
// it is the latest answer; of each response it is
//
//   - the latest `what drove`;
//   - where there is none, the latest result kept under a name whose main finding carries an answer;
//   - where there is none of those, the latest entry whose main finding carries one.
//
// What drove a response comes before other answers; beyond that the responses stand in the order in which the
// book first answered about them.
func Answers(entries []page.Entry) []page.Entry {
	var order []string
	best := map[string]page.Entry{}
	for _, e := range entries {
		if e.Problem != nil || e.Response == "" || rank(e) == 0 {
			continue
		}
		asked := e.Response
		if ofItsOwn(e) {
			asked += " " + e.Kind + " " + e.Mode
		}
		old, known := best[asked]
		if !known {
			order = append(order, asked)
		}
		if rank(e) >= rank(old) {
			best[asked] = e
		}
	}
	out := lists.Mapped(order, func(asked string) page.Entry { return best[asked] })
	slices.SortStableFunc(out, func(a, b page.Entry) int { return drove(b) - drove(a) })
	return out[:min(len(out), mostFindings)]
}

// rank is how well an entry answers about its response, 0 for one that does not.
func rank(e page.Entry) int {
	switch {
	case drove(e) == 1:
		return 3
	case len(e.Findings) == 0 || !e.Findings[0].Answers() && !ofItsOwn(e):
		return 0
	case e.Name != "":
		return 2
	}
	return 1
}

// ofItsOwn reports whether an entry tells how strong joints are, which answers by itself, whatever else was asked of
// the response.
func ofItsOwn(e page.Entry) bool { return e.Kind == "strength" || e.Kind == "characteristic" }

func drove(e page.Entry) int {
	if e.Kind == "drove" && len(e.Findings) > 0 {
		return 1
	}
	return 0
}

// finding is one thing that was found, and the entry that found it.
type finding struct {
	page.Sentence
	of page.Entry
}

// leading are the findings that a report begins with, of the entries that Answers gives: the main finding of
// each, then the others of what drove a response, then in turn the next of each that carries an answer, until
// there are mostFindings. They stand entry by entry.
func leading(answers []page.Entry, o render.Options) []finding {
	all := make([][]page.Sentence, len(answers))
	taken := make([]int, len(answers))
	for i, e := range answers {
		all[i] = carried(e, o)
	}
	left := mostFindings
	take := func(i, n int) {
		n = min(n, len(all[i])-taken[i], left)
		taken[i], left = taken[i]+n, left-n
	}
	for i := range answers {
		take(i, 1)
	}
	for i, e := range answers {
		if drove(e) == 1 {
			take(i, left)
		}
	}
	for range mostFindings {
		for i := range answers {
			take(i, 1)
		}
	}
	var out []finding
	for i, e := range answers {
		for _, s := range shortened(all[i], taken[i]) {
			out = append(out, finding{s, e})
		}
	}
	return out
}

// carried are the findings of an entry that carry an answer, its main one first whether or not it does; doubts
// are told apart from them.
func carried(e page.Entry, o render.Options) []page.Sentence {
	var out []page.Sentence
	for i, f := range e.Findings {
		if i == 0 || f.Answers() && !tellsDoubt(e, f, o) {
			out = append(out, f)
		}
	}
	return out
}

// shortened leaves n of the findings: those of one difference go first, the last of them before the others,
// since what lists several stands for more.
func shortened(all []page.Sentence, n int) []page.Sentence {
	out := slices.Clone(all)
	for len(out) > n {
		at := len(out) - 1
		for i := at; i > 0; i-- {
			if ofOne(out[i]) {
				at = i
				break
			}
		}
		out = slices.Delete(out, at, at+1)
	}
	return out
}

// ofOne reports whether a finding answers about a single difference.
func ofOne(s page.Sentence) bool {
	return slices.ContainsFunc(s, func(p page.Part) bool { v, is := p.(page.Verdict); return is && v.Of != "" })
}

// tellsDoubt reports whether one of an entry's findings tells a doubt of it.
func tellsDoubt(e page.Entry, s page.Sentence, o render.Options) bool {
	text := render.Sentence(s, o)
	return slices.ContainsFunc(e.Doubts, func(d page.Doubt) bool {
		doubt := render.Sentence(d.Text, o)
		return doubt != "" && strings.Contains(text, doubt)
	})
}

// doubtsOf are what the answers of a finding are in doubt about.
func doubtsOf(s page.Sentence) []string {
	var out []string
	for _, part := range s {
		if v, is := part.(page.Verdict); is && v.Doubt != "" && !slices.Contains(out, v.Doubt) {
			out = append(out, v.Doubt)
		}
	}
	return out
}

// conclusion is what the user concluded, and what was found on it, of the answers before it on its series, else of all
// before it.
type conclusion struct {
	page.Entry
	rests   *finding // nil where nothing was answered before that it speaks of
	unasked bool     // it names columns, and nothing before it answers about any of them
}

func (d Document) conclusions() []conclusion {
	var out []conclusion
	var all []page.Entry
	of := map[string][]page.Entry{}
	for _, e := range d.Entries {
		switch {
		case e.Problem != nil:
		case e.Kind == "conclude":
			before := of[e.Series]
			if before == nil {
				before = all
			}
			rests := d.restsOn(e.Prose, before)
			out = append(out, conclusion{e, rests, rests == nil && len(d.subjects(e.Prose, false)) > 0})
		case rank(e) > 0 && e.Response != "":
			all, of[e.Series] = append(all, e), append(of[e.Series], e)
		}
	}
	return out
}

// restsOn is the finding that answers about the most of the columns that a conclusion names; where it names none, it
// has a number of it, or is of the kind of response that it speaks of. Of several it is the one that, in this order,
// has more of its numbers, is of that kind, names more of its results, tells something, is of an entry that ranks
// highest, is the latest, and stands first there.
func (d Document) restsOn(prose string, answered []page.Entry) *finding {
	named, results, numbers := d.subjects(prose, false), d.subjects(prose, true), numbersIn(prose)
	strength, failing := speaksOf(prose, ofStrength), speaksOf(prose, ofFailing)
	var best *finding
	var most [7]int
	for at, e := range answered {
		fits := 0
		if mode := d.asksMode(e); strength && !mode || failing && mode {
			fits = 1
		}
		for i, s := range carried(e, d.Options) {
			if !s.Answers() && len(e.Findings) > 1 && i == 0 && e.Kind == "drove" {
				continue // its answers come after it
			}
			text := render.Sentence(s, d.Options)
			about := d.subjects(text, false)
			if len(about) == 0 {
				about = d.subjects(e.Input, false)
			}
			of, shared, decided := common(named, about), common(numbers, numbersIn(text)), 0
			came := common(results, d.subjects(text, true))
			if len(named) > 0 && of == 0 || len(named) == 0 && shared+fits == 0 {
				continue
			}
			if slices.ContainsFunc(s, tells) {
				decided = 1
			}
			if score := [7]int{of, shared, fits, came, decided, rank(e), at}; best == nil ||
				slices.Compare(score[:], most[:]) > 0 {
				best, most = &finding{s, e}, score
			}
		}
	}
	return best
}

// common counts what is in both.
func common(a, b []string) int {
	return lists.Count(a, func(x string) bool { return slices.Contains(b, x) })
}

// asksMode reports whether an entry asks how specimens broke, and not what they carried.
func (d Document) asksMode(e page.Entry) bool {
	return slices.ContainsFunc(d.Series, func(s Series) bool {
		return slices.ContainsFunc(s.Named, func(c Named) bool {
			return len(c.Levels) > 0 && e.Response == s.Name+": "+c.Column
		})
	})
}

// subjects are the columns that a text is about, by their names or by one of their levels: the results, or the others.
func (d Document) subjects(text string, results bool) []string {
	words := wordsOf(text)
	var out []string
	for _, s := range d.Series {
		for _, c := range s.Named {
			called := func(l string) bool { return aName.MatchString(l) && l != "none" && inWords(words, l) }
			is := inWords(words, c.Column) || slices.ContainsFunc(c.Levels, called)
			if is && c.Result == results && !slices.Contains(out, c.Column) {
				out = append(out, c.Column)
			}
		}
	}
	return out
}

// Words of a conclusion that speak of what joints carry, and of how they break.
var (
	ofStrength = []string{"strength", "strong", "stronger", "strongest", "weak", "weaker", "load", "carry", "carries",
		"hold", "holds", "held", "bear"}
	ofFailing = []string{"fail", "fails", "failed", "failing", "failure"}
)

func speaksOf(prose string, words []string) bool {
	return common(words, wordsOf(prose)) > 0
}

var aWord, aName = regexp.MustCompile(`[\pL\pN]+`), regexp.MustCompile(`^\pL{3}`)

func wordsOf(text string) []string { return aWord.FindAllString(strings.ToLower(text), -1) }

// inWords reports whether a name stands in a text, word by word: as it is, in the plural or the singular, or cut short,
// as temp is of temperature.
func inWords(text []string, name string) bool {
	parts := wordsOf(name)
	for i := 0; len(parts) > 0 && i+len(parts) <= len(text); i++ {
		if slices.EqualFunc(text[i:i+len(parts)], parts, sameWord) {
			return true
		}
	}
	return false
}

func sameWord(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	return a == b || strings.HasPrefix(b, a) && (len(a) > 3 || len(a) == 3 && b == a+"s")
}

// tells reports whether a part of a finding is an answer, and not that nobody can tell.
func tells(p page.Part) bool {
	v, is := p.(page.Verdict)
	return is && !strings.EqualFold(v.Words, "cannot tell")
}

var aNumber = regexp.MustCompile(`[0-9]+(?:[.,][0-9]+)?`)

// numbersIn are the numbers of a text, each once.
func numbersIn(text string) []string {
	return slices.Compact(slices.Sorted(slices.Values(aNumber.FindAllString(text, -1))))
}

// question is what the book set out to answer, as the user put it: the last sentence that ends in a question mark
// of the headings and notes before the first answer; "" where there is none.
func (d Document) question() string {
	asked := ""
	for _, e := range d.Entries {
		if rank(e) > 0 && e.Response != "" {
			break
		}
		if e.Problem == nil && e.Prose != "" {
			if q := lastQuestion(render.Clean(e.Prose)); q != "" {
				asked = q
			}
		}
	}
	return asked
}

// lastQuestion is the last sentence of a text that ends in a question mark.
func lastQuestion(text string) string {
	end := strings.LastIndex(text, "?")
	if end < 0 {
		return ""
	}
	from := 0
	for _, mark := range []string{". ", "? ", "! ", ": "} {
		if at := strings.LastIndex(text[:end], mark); at >= 0 {
			from = max(from, at+len(mark))
		}
	}
	return strings.TrimSpace(text[from : end+1])
}
