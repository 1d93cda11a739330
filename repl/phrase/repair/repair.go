// Package repair finds the line that was meant by one that is no command: the whole line, one
// that reads as it stands with the names there are. It looks for the fewest and smallest slips
// that lead from such a line to the one typed, and offers none where two lines are about as near.
package repair

import (
	"regexp"
	"slices"
	"strings"

	"breakbook/frames/meant"
	"breakbook/models/lists"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/phrase/scan"
)

// What slips cost, in hundredths; one letter wrong is 65.
const (
	most   = 340 // more than that is another line
	margin = 25  // how much dearer the next line has to be

	pointed  = 70 // an everyday word for one of ours
	inserted = 80 // a word of the phrase left out
	replaced = 75 // one joining word for another
	wordy    = 15 // more where a word is none that joins
	optional = 30 // more where the word is of an option, or a clause
	dropped  = 55 // a joining word too many
	removed  = 35 // a word that says nothing
	erased   = 190
	moved    = 50
	glued    = 60
	quoted   = 40
	swapped  = 100
	filled   = 150 // what is missing taken from the example
	begun    = 200 // the words a command starts with
)

// How much is looked at: a search is bounded by counts, so that it comes to the same everywhere.
const (
	longestLine = 300 // characters
	longestWord = 100 // bytes, of one that a name can be meant by
	mostWords   = 40
	mostProbes  = 150
	fewNames    = 12   // of a list in which a name that is only just the nearest will do
	mostNames   = 2000 // of a list that near names are looked for in
)

// Line is the line that was most likely meant by one that is no command, or "".
func Line(typed string, k phrase.Known) string {
	if bare := bared(typed); bare != strings.TrimSpace(typed) {
		if reads(bare, k) {
			return bare
		}
		typed = bare
	}
	if line := asked(typed, k); line != "" {
		return line
	}
	if s := searching(typed, k); s != nil {
		return s.run()
	}
	return ""
}

// prompted is a line copied with the prompt before it.
var prompted = regexp.MustCompile(`^(?:\S.* \d+|…) \| +(\S.*)$`)

// bared is a line without the prompt before it, or the quotation marks that all of it stands in.
func bared(typed string) string {
	typed = strings.TrimSpace(typed)
	if m := prompted.FindStringSubmatch(typed); m != nil {
		return m[1]
	}
	return strings.TrimSpace(within(within(typed, scan.IsQuote), apostrophe))
}

// searching is a search that begins with a line; nil where it is too long for one, or empty.
func searching(typed string, k phrase.Known) *search {
	if len(typed) > 4*longestLine || len([]rune(typed)) > longestLine {
		return nil
	}
	typed = strings.ReplaceAll(typed, "\n", " ")
	toks := scan.Tokens([]rune(typed))
	if len(toks) > mostWords || len(toks) < 2 {
		return nil
	}
	s := &search{lang: phrase.Standard(), known: parser.Remember(k), seen: map[string]int{}, empty: map[string]bool{}}
	if slices.ContainsFunc(toks, func(t scan.Token) bool { return t.Kind == scan.OpenQuote }) {
		typed += `"`
	}
	s.typed = typed
	s.push(state{line: typed})
	for _, turn := range turns {
		if ours := turn.said.ReplaceAllString(typed, turn.ours); ours != typed {
			s.push(state{line: ours, cost: removed})
		}
	}
	if plain := strings.TrimRight(typed, "!?.:() "); plain != typed && plain != "" {
		s.push(state{line: plain, cost: removed})
	}
	return s
}

// state is a line on the way from the one typed.
type state struct {
	line    string
	cost    int
	led     bool     // its first words are not those typed
	commas  bool     // one was put in before
	put     []string // words put in
	erased  bool     // a word was left out that may have said something
	pointed bool     // they stand for everyday ones
	begun   bool     // its first words were put before all that was typed
	goal    *phrase.Command
}

// search goes from line to line, the cheapest first.
type search struct {
	lang   *phrase.Language
	known  phrase.Known
	queue  []state
	seen   map[string]int
	all    []string        // the names of the session
	empty  map[string]bool // words met before, and whether they are none of them
	probes int
	typed  string // the line it began with
}

// turns are turns of phrase with ours: the word for percent after a number, and a purpose.
var turns = []struct {
	said *regexp.Regexp
	ours string
}{
	{regexp.MustCompile(`(?i)\b([0-9]+(?:[.,][0-9]+)?) ?(?:percent|per cent|pct)\b`), "$1%"},
	{regexp.MustCompile(`(?i)\b(?:for )?separating\b`), "to separate"},
}

// run gives the line of the cheapest goal, if no other is about as cheap.
func (s *search) run() string {
	var best *state
	meaning := ""
	for len(s.queue) > 0 && s.probes < mostProbes {
		st := s.queue[0]
		s.queue = s.queue[1:]
		if best != nil && st.cost >= best.cost+margin {
			return best.line
		}
		switch {
		case st.goal == nil:
			s.expand(st)
		case best == nil:
			best, meaning = &st, st.goal.String()
		case st.goal.String() != meaning:
			return ""
		}
	}
	if best == nil || s.probes >= mostProbes {
		return ""
	}
	return best.line
}

// push queues a line, unless it was met at no more cost.
func (s *search) push(st state) {
	if st.cost > most {
		return
	}
	key := st.line
	if st.goal != nil {
		key += "\n"
	}
	if cost, met := s.seen[key]; met && cost <= st.cost {
		return
	}
	s.seen[key] = st.cost
	at, _ := slices.BinarySearchFunc(s.queue, st.cost, func(a state, cost int) int {
		if a.cost <= cost {
			return -1
		}
		return 1
	})
	s.queue = slices.Insert(s.queue, at, st)
}

// expand reads a line; where it is no command, the lines that are one slip nearer to one follow.
func (s *search) expand(st state) {
	s.probes++
	c, faults := parser.Probe(s.lang, st.line, s.known)
	if c != nil {
		if typed, names, not := s.unknown(c); not {
			s.specimen(st, typed, names)
			return
		}
		if s.loses(st.line) || !st.pointed && s.forsakes(st.line) ||
			!conditioned.MatchString(s.typed) && leavesOneLevel(c) ||
			perLevel.MatchString(s.typed) && c.Clauses().Each == nil {
			return
		}
		st.goal = c
		st.cost += s.strange(st, c)
		s.push(st)
		if st.cost < most || st.led {
			return
		}
		st.goal, st.cost = nil, st.cost-s.strange(st, c)
	}
	if d, found := parser.WithPoints(st.line, s.known); c == nil && found {
		if st.line = d.Line; d.Thousand == "" {
			s.push(st)
		}
		return
	}
	if st.begun {
		return
	}
	if !st.led {
		s.leads(st)
	}
	for _, f := range faults {
		s.mend(st, f)
	}
	s.complete(st, faults)
}

// loses reports whether a line has no place for something that was typed: a column, a level or a result
// by its name, or a number; or speaks of what is missing, of which nobody spoke.
func (s *search) loses(line string) bool {
	before := lists.Mapped(scan.Tokens([]rune(s.typed)), func(t scan.Token) string { return strings.ToLower(t.Text) })
	now := strings.ToLower(line)
	missing := func(t scan.Token) bool { return t.Text == "missing" }
	spoken := func(w string) bool { return len(near(w, []string{"missing", "empty", "blank", "none"})) > 0 }
	if slices.ContainsFunc(scan.Tokens([]rune(now)), missing) && !slices.ContainsFunc(before, spoken) {
		return true
	}
	for _, name := range s.names() {
		if name = strings.ToLower(name); slices.Contains(before, name) && !strings.Contains(now, name) &&
			!slices.Contains(s.lang.Words(), name) {
			return true
		}
	}
	return false
}

// forsakes reports whether a line has none of the words typed, the first of which starts a command.
func (s *search) forsakes(line string) bool {
	toks := scan.Tokens([]rune(s.typed))
	now := scan.Tokens([]rune(line))
	return slices.Contains(s.lang.FirstWords(), toks[0].Text) && !slices.ContainsFunc(toks, func(t scan.Token) bool {
		return t.Kind != scan.End && slices.ContainsFunc(now, func(n scan.Token) bool { return n.Text == t.Text })
	})
}

// conditioned is a line in which a condition was typed.
var conditioned = regexp.MustCompile(`(?i)\bfor\b`)

// perLevel is a line that asks once per level of a column.
var perLevel = regexp.MustCompile(`(?i)\beach of\b`)

// leavesOneLevel reports whether the condition of a command leaves one level of a column that it compares or has among
// its terms: nothing would be left to ask.
func leavesOneLevel(c *phrase.Command) bool {
	var of []string
	if terms, ok := phrase.Part[phrase.Terms](c); ok {
		for _, t := range terms.List {
			for _, f := range t.Factors {
				of = append(of, f.Column.Column)
			}
		}
	}
	if grouped, ok := phrase.Facet[phrase.Grouped](c); ok {
		for _, ref := range grouped.Categories() {
			of = append(of, ref.Column)
		}
	}
	holds := []phrase.Condition{c.Clauses().For}
	for len(holds) > 0 {
		one := holds[0]
		holds = holds[1:]
		switch one := one.(type) {
		case phrase.And:
			holds = append(holds, one.Left, one.Right)
		case phrase.Is:
			if !one.Negate && len(one.Values) == 1 && slices.Contains(of, one.Column.Column) {
				return true
			}
		}
	}
	return false
}

// naming are the words and marks with which people give a name.
var naming = regexp.MustCompile(`(?i)\b(as|named?|called?)\b|=|->`)

// strange is what speaks against a command that reads: a file of an ending that is another
// command's, an encoding or a sheet of a file that has none put in, a result called like a level or a column.
func (s *search) strange(st state, c *phrase.Command) int {
	cost := 0
	inBook := func(f phrase.FileUse) bool { return phrase.EndsIn(f.Path, []string{".xlsx"}) }
	put := func(word string) bool { return slices.Contains(st.put, word) }
	if put("encoding") || put("sheet") && !slices.ContainsFunc(c.Files, inBook) {
		cost += 2 * erased
	}
	if s.refused(c) {
		return most + 1
	}
	for _, f := range c.Files {
		switch {
		case !phrase.FitsEnding(c.Entry, f.Path), len(c.Files) > 1 && !strings.Contains(f.Path, "."):
			cost += 2 * erased
		case slices.Contains(s.names(), f.Path):
			cost += 2 * erased
		case !strings.ContainsAny(f.Path, "./\\"):
			cost += swapped
			if st.pointed {
				cost += erased
			}
		}
	}
	if as := c.Clauses().As; as != nil {
		if slices.Contains(slices.Concat(s.names(), s.lang.Words()), as.Text) || !naming.MatchString(s.typed) {
			cost += 3 * swapped
		}
	}
	return cost
}

// refused reports whether a command that reads would be refused: a confidence that is none of an interval, and how
// specimens failed as a factor of what they carried.
func (s *search) refused(c *phrase.Command) bool {
	confidence := c.Clauses().Confidence
	if set, is := c.Do.(*phrase.SetConfidence); is {
		confidence = &set.Level
	}
	if confidence != nil && (confidence.Value < 0.5 || confidence.Value > 0.9999) {
		return true
	}
	failure := s.known.RoleColumn(s.known.Current(), "failure")
	terms, _ := phrase.Part[phrase.Terms](c)
	return failure != "" && slices.ContainsFunc(terms.List, func(t phrase.Term) bool {
		return slices.ContainsFunc(t.Factors, func(f phrase.Factor) bool { return f.Column.Column == failure })
	})
}

// edit is a change of a line: the characters from one to another, and what takes their place.
func (s *search) edit(st state, from, to int, with string, cost int) {
	in := []rune(st.line)
	before, after := strings.TrimRight(string(in[:from]), " "), strings.TrimLeft(string(in[to:]), " ")
	gap := " "
	if strings.HasPrefix(with, ",") || with == "" && strings.HasPrefix(after, ",") {
		gap = ""
	}
	if with != "" && before != "" {
		before += gap + with
	} else {
		before += with
	}
	if before != "" && after != "" && !strings.HasPrefix(after, ",") && !strings.HasPrefix(after, ")") &&
		!strings.HasSuffix(before, "(") {
		before += " "
	}
	st.line = before + after
	st.cost += cost
	s.push(st)
}

// near are the names near to what stands in a stretch of a line, with what the slip costs.
func near(typed string, among []string) []meant.Candidate {
	if len(among) > mostNames || len(typed) > longestWord {
		return nil
	}
	return meant.Near(typed, among, 3)
}

// slip is the cost of a misspelling.
func slip(c meant.Candidate) int { return 30 + 35*c.Halves/2 }
