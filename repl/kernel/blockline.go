package kernel

import (
	"context"
	"regexp"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// clauseStart is where a clause or a word that a blocked fit cannot have begins.
var clauseStart = regexp.MustCompile(`(?i)\s(from|as|confidence|worth|against|each|to|with|uneven|ranked|reshuffled)\s|\s(ranked|reshuffled)$`)

// notBlocked are wishes that do not go with blocks.
var notBlocked = regexp.MustCompile(`(?i),?\s+(uneven\s+spread|resistant|sequential)\b`)

// mostTried is the number of specimens up to which an offered line is tried before it is
// offered.
const mostTried = 5000

// ofModes are the kinds of results about ways of breaking, which no line takes blocks into.
var ofModes = []string{"strength", "odds", "count", "modes"}

// offer is the line that takes in those of the columns whose scatter can be told beside
// the terms; "" where there is none.
func (k *call) offer(names []string) string {
	if k.c.Entry.Kind == "shares" || k.c.Options[byReshuffles] {
		return k.markedLine(names)
	}
	line := k.blockedLine(names)
	if len(names) == 0 || slices.Contains(ofModes, k.c.Entry.Kind) {
		return ""
	}
	if k.analysis.sample.frame.Len() > mostTried || k.works(line) {
		return line
	}
	var good []string
	for _, name := range names {
		if line := k.blockedLine(append(slices.Clone(good), name)); k.works(line) {
			good = append(good, name)
		}
	}
	if len(good) == 0 {
		return ""
	}
	return k.blockedLine(good)
}

// markedLine is the command once more with the column of the most blocks marked: what
// reshuffles or resamples specimens keeps within those.
func (k *call) markedLine(names []string) string {
	finest := names[0]
	for _, name := range names[1:] {
		if k.analysis.sample.distinct(k.ctx, name) > k.analysis.sample.distinct(k.ctx, finest) {
			finest = name
		}
	}
	return "mark " + finest + " as block; " + withoutName(k.c)
}

// works reports whether a line that fits can be carried out.
func (k *call) works(line string) bool {
	c, err := phrase.Parse(phrase.Piece{Text: line, At: 1}, k.s)
	if err != nil {
		return false
	}
	again := &call{ctx: k.ctx, s: k.s, c: c, e: &page.Entry{}, back: []bool{}}
	_, err = again.fitTerms()
	return err == nil
}

// blockedLine is the command's own line with more blocks in it, ready to accept; for a
// command that fits nothing, the line that does.
func (k *call) blockedLine(more []string) string {
	c := k.c
	if name, ok := c.Slots["fit"].(phrase.Name); ok {
		if r, ok := k.s.result(name.Text); ok && r.fit != nil {
			c = r.fit.command
		}
	}
	with := strings.Join(more, ", ")
	if _, ok := c.Slots["terms"]; !ok || c.Entry.Kind != "fit" && c.Entry.Kind != "anova" {
		return k.fitLine() + " blocked by " + with + k.whose()
	}
	line := withoutName(c)
	if b, ok := c.Slots["blocks"].(phrase.Blocks); ok {
		runes := []rune(line)
		return string(runes[:b.At-1]) + with + ", " + string(runes[b.At-1:])
	}
	return notBlocked.ReplaceAllString(line, "") + " blocked by " + with
}

// fitLine fits the command's response on the columns it looked at.
func (k *call) fitLine() string {
	a := k.analysis
	var on []string
	for _, c := range a.columns {
		if c != a.response.column.Name && !slices.Contains(on, c) {
			on = append(on, c)
		}
	}
	return "fit " + a.response.name() + " on " + strings.Join(on, ", ")
}

// whose is the condition and the series of the command as typed.
func (k *call) whose() string {
	out := ""
	runes := []rune(k.c.Input)
	if c := k.c.Clauses.For; c != nil {
		text := string(runes[c.Place()-1:])
		if m := clauseStart.FindStringIndex(text); m != nil {
			text = text[:m[0]]
		}
		out += " for " + strings.TrimRight(text, " ,")
	}
	if from := k.c.Clauses.From; from != nil {
		out += " from " + from.Text
	}
	return out
}

// withoutName is a command as typed, on one line, less the name its result got: a name is
// given once. What stands before the name keeps its place.
func withoutName(c *phrase.Command) string {
	runes := []rune(c.Input)
	if as := c.Clauses.As; as != nil {
		start := as.At - 1
		for start > 0 && runes[start-1] == ' ' {
			start--
		}
		start -= len("as")
		end := as.At - 1 + len([]rune(as.Text))
		if runes[as.At-1] == '"' {
			end += 2
		}
		rest := slices.Clone(runes[min(end, len(runes)):])
		runes = append(slices.Clone(runes[:max(start, 0)]), rest...)
	}
	line := strings.Map(func(r rune) rune {
		if r == '\n' || r == '\r' || r == '\t' {
			return ' '
		}
		return r
	}, string(runes))
	return strings.TrimRight(line, " ,")
}

// reusedCautions ask, of each block column of a fit, whether its labels are used again
// under the blocks of another: board 1 of one day may not be board 1 of the next. Of two
// columns it is the one with more levels that may lie within the other.
func (k *call) reusedCautions(s *sample, blocks []phrase.BlockRef) []page.Sentence {
	var out []page.Sentence
	for _, b := range blocks {
		if len(b.Within) > 0 {
			continue
		}
		for _, outer := range s.frame.Columns() {
			if outer.Name == b.Column.Column || !isBlock(outer) && !held(blocks, outer.Name) {
				continue
			}
			label, times := s.reused(k.ctx, b.Column.Column, outer.Name)
			if times < 2 || s.distinct(k.ctx, b.Column.Column) <= s.distinct(k.ctx, outer.Name) {
				continue
			}
			out = append(out, say.Reused(b.Column.Column, label, outer.Name, times, k.withinLine(b, outer.Name)))
		}
	}
	return out
}

// withinLine is the line with one block column within another.
func (k *call) withinLine(b phrase.BlockRef, outer string) string {
	c := k.c
	if name, ok := c.Slots["fit"].(phrase.Name); ok {
		if r, ok := k.s.result(name.Text); ok && r.fit != nil {
			c = r.fit.command
		}
	}
	runes := []rune(withoutName(c))
	start := b.At - 1
	end := start + len([]rune(b.Column.Column))
	switch typed := string(runes[start:min(end, len(runes))]); {
	case runes[start] == '"':
		for end = start + 1; end < len(runes) && runes[end] != '"'; end++ {
		}
		end++
	case !strings.EqualFold(strings.ReplaceAll(typed, " ", "_"), b.Column.Column): // by its role or its header
		for end = start; end < len(runes) && runes[end] != ',' && runes[end] != ' '; end++ {
		}
	}
	return string(runes[:start]) + b.Column.Column + " within " + outer + string(runes[min(end, len(runes)):])
}

// isBlock reports whether a column looks like blocks: marked so, or named so.
func isBlock(c frames.Column) bool { return c.Role == frames.Block || madeIn(c.Name) }

func held(blocks []phrase.BlockRef, column string) bool {
	return slices.ContainsFunc(blocks, func(b phrase.BlockRef) bool { return b.Column.Column == column })
}

// distinct is how many values of a column the specimens have.
func (s *sample) distinct(ctx context.Context, column string) int {
	seen := map[string]bool{}
	for row := range s.frame.Len() {
		parallel.LookAt(ctx, row)
		if text, ok := s.frame.Cell(column, row); ok {
			seen[text] = true
		}
	}
	return len(seen)
}

// reused is the first label of a column that is met under more than one value of another,
// and under how many.
func (s *sample) reused(ctx context.Context, column, outer string) (label string, times int) {
	under := map[string]map[string]bool{}
	var order []string
	for row := range s.frame.Len() {
		parallel.LookAt(ctx, row)
		inner, ok := s.frame.Cell(column, row)
		out, there := s.frame.Cell(outer, row)
		if !ok || !there {
			continue
		}
		if under[inner] == nil {
			under[inner] = map[string]bool{}
			order = append(order, inner)
		}
		under[inner][out] = true
	}
	for _, inner := range order {
		if len(under[inner]) > 1 {
			return inner, len(under[inner])
		}
	}
	return "", 0
}
