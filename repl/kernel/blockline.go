package kernel

import (
	"context"
	"slices"

	"breakbook/frames"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// mostTried is the number of specimens up to which an offered line is tried before it is
// offered.
const mostTried = 5000

// ofModes are the kinds of results about ways of breaking, which no line takes blocks into.
var ofModes = []string{"strength", "odds", "count", "modes"}

// offer is the line that takes in those of the columns whose scatter can be told beside
// the terms; "" where there is none.
func (k *call) offer(names []string) string {
	compared, ok := k.c.Do.(*phrase.Compare)
	if k.c.Entry.Kind == "shares" || ok && compared.Reshuffled {
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
	mark := phrase.Mark{Column: phrase.ColumnRef{Column: finest}, Role: phrase.Choice{Word: "block"}}
	return phrase.Line(&mark) + "; " + withoutName(k.c)
}

// works reports whether a line that fits can be carried out.
func (k *call) works(line string) bool {
	c, err := phrase.Parse(phrase.Piece{Text: line, At: 1}, k.s)
	if err != nil {
		return false
	}
	again := &call{ctx: k.ctx, s: k.s, c: c, e: &page.Entry{}, back: []bool{}}
	_, err = again.fitAsked()
	return err == nil
}

// blockedLine is the command's own line with more blocks in it, ready to accept; for a
// command that fits nothing, the line that does.
func (k *call) blockedLine(more []string) string {
	var blocks []phrase.BlockRef
	for _, name := range more {
		blocks = append(blocks, phrase.BlockRef{Column: phrase.ColumnRef{Column: name}})
	}
	c, ways := k.fitCommand()
	if c == nil {
		fit := k.plainFit()
		fit.Blocks = &phrase.Blocks{List: blocks}
		return phrase.Line(fit)
	}
	if ways.Blocks != nil {
		blocks = append(blocks, ways.Blocks.List...)
	}
	ways.Blocks, ways.UnevenSpread = &phrase.Blocks{List: blocks}, false
	switch cmd := c.Do.(type) { // wishes that do not go with blocks
	case *phrase.Fit:
		cmd.Resistant = false
	case *phrase.Anova:
		cmd.Sequential = false
		on, _ := cmd.Subject.(phrase.AnovaOnTerms)
		on.FitWays = *ways
		cmd.Subject = on
	}
	return withoutName(c)
}

// fitCommand is a copy of the command that fitted what is asked about, the own one or that
// of the fit it names, and the ways it was fitted in; nil where nothing was fitted. The
// ways of an anova are a copy, to be put back.
func (k *call) fitCommand() (*phrase.Command, *phrase.FitWays) {
	c := k.c
	if of, ok := phrase.Facet[phrase.OnFit](c); ok {
		if r, ok := k.s.result(of.Earlier().Text); ok && r.fit != nil {
			c = r.fit.command
		}
	}
	c = c.Copy()
	switch cmd := c.Do.(type) {
	case *phrase.Fit:
		return c, &cmd.FitWays
	case *phrase.Anova:
		if on, ok := cmd.Subject.(phrase.AnovaOnTerms); ok {
			return c, &on.FitWays
		}
	}
	return nil, nil
}

// plainFit fits the command's response on the columns it looked at.
func (k *call) plainFit() *phrase.Fit {
	a := k.analysis
	var on []string
	for _, c := range a.columns {
		if c != a.response.column.Name && !slices.Contains(on, c) {
			on = append(on, c)
		}
	}
	y := phrase.Response{Column: phrase.ColumnRef{Column: a.response.column.Name}, Function: a.response.function}
	return &phrase.Fit{Clauses: k.whose(), OnTerms: phrase.OnTerms{Y: y, Terms: termsOf(on)}}
}

// termsOf is a list of columns as terms.
func termsOf(columns []string) phrase.Terms {
	var out phrase.Terms
	for _, c := range columns {
		out.List = append(out.List, phrase.Term{Factors: []phrase.Factor{{Column: phrase.ColumnRef{Column: c}, Power: 1}}})
	}
	return out
}

// whose is the condition and the series of the command.
func (k *call) whose() phrase.Clauses {
	own := k.c.Clauses()
	return phrase.Clauses{For: own.For, From: own.From}
}

// withoutName is the line of a command less the name its result got: a name is given once.
func withoutName(c *phrase.Command) string {
	c = c.Copy()
	c.Clauses().As = nil
	return c.String()
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
	c, ways := k.fitCommand()
	if c == nil || ways.Blocks == nil {
		return ""
	}
	list := slices.Clone(ways.Blocks.List)
	for i := range list {
		if list[i].Column.Column == b.Column.Column {
			list[i].Within = []phrase.ColumnRef{{Column: outer}}
		}
	}
	ways.Blocks = &phrase.Blocks{List: list}
	if cmd, ok := c.Do.(*phrase.Anova); ok {
		on, _ := cmd.Subject.(phrase.AnovaOnTerms)
		on.FitWays = *ways
		cmd.Subject = on
	}
	return withoutName(c)
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
