package bench

import (
	"slices"

	"breakbook/repl/modes"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// mostTried is the number of specimens up to which an offered line is tried before it is
// offered.
const mostTried = 5000

// ofModes are the kinds of results about ways of breaking, which no line takes blocks into.
var ofModes = []string{"strength", "odds", "count", "modes"}

// offer is the line that takes in those of the columns whose scatter can be told beside
// the terms; "" where there is none.
func offer(k *session.Call, names []string) string {
	if _, ok := k.Command.Do.(*phrase.Characteristic); ok && len(names) > 0 {
		return limitLine(k, names[0])
	}
	compared, ok := k.Command.Do.(*phrase.Compare)
	if k.Command.Entry.Kind == "shares" || ok && compared.Reshuffled {
		return markedLine(k, names)
	}
	line := blockedLine(k, names)
	if len(names) == 0 || slices.Contains(ofModes, k.Command.Entry.Kind) {
		return ""
	}
	if k.Analysis.Sample.Frame.Len() > mostTried || works(k, line) {
		return line
	}
	var good []string
	for _, name := range names {
		if line := blockedLine(k, append(slices.Clone(good), name)); works(k, line) {
			good = append(good, name)
		}
	}
	if len(good) == 0 {
		return ""
	}
	return blockedLine(k, good)
}

// limitLine is a command of limits with another column of blocks, of which they allow for one;
// "" for those of a fit.
func limitLine(k *session.Call, name string) string {
	c := k.Command.Copy()
	cmd, ok := c.Do.(*phrase.Characteristic)
	if !ok {
		return ""
	}
	of, ok := cmd.Subject.(phrase.LimitsByLevels)
	if !ok {
		return ""
	}
	of.Blocks = &phrase.Blocks{List: []phrase.BlockRef{k.Analysis.Sample.BlockRef(k.Context, name)}}
	cmd.Subject = of
	return session.WithoutName(c)
}

// markedLine is the command once more with the column of the most blocks marked: what
// reshuffles or resamples specimens keeps within those.
func markedLine(k *session.Call, names []string) string {
	finest := names[0]
	for _, name := range names[1:] {
		if k.Analysis.Sample.Distinct(k.Context, name) > k.Analysis.Sample.Distinct(k.Context, finest) {
			finest = name
		}
	}
	mark := phrase.Mark{Column: phrase.ColumnRef{Column: finest}, Role: phrase.Choice{Word: "block"}}
	return phrase.Line(&mark) + "; " + session.WithoutName(k.Command)
}

// works reports whether a line that fits, a response or the strength of one way of breaking, can be carried out.
func works(k *session.Call, line string) bool {
	c, err := parser.ParseLine(line, k.Session)
	if err != nil {
		return false
	}
	again := k.Quiet(k.Session, c, []bool{})
	if until, ok := c.Do.(*phrase.Until); ok {
		terms, _ := phrase.Part[phrase.Terms](c)
		_, err = modes.OneMode(again, until.Y, until.Mode, terms, until.Scatter)
	} else {
		_, err = fitted.OfCommand(again)
	}
	return err == nil
}

// blockedLine is the command's own line with more blocks in it, ready to accept; for a
// command that fits nothing, the line that does.
func blockedLine(k *session.Call, more []string) string {
	var blocks []phrase.BlockRef
	for _, name := range more {
		blocks = append(blocks, k.Analysis.Sample.BlockRef(k.Context, name))
	}
	c := k.FitCommand(func(options *phrase.FitOptions) {
		if options.Blocks != nil {
			blocks = append(blocks, options.Blocks.List...)
		}
		options.Blocks, options.UnevenSpread = &phrase.Blocks{List: blocks}, false
	})
	if c == nil {
		fit := plainFit(k)
		fit.Blocks = &phrase.Blocks{List: blocks}
		return phrase.Line(fit)
	}
	switch cmd := c.Do.(type) { // wishes that do not go with blocks
	case *phrase.Fit:
		cmd.Resistant = false
		*cmd = *cmd.SeriesFixed()
	case *phrase.Anova:
		cmd.Sequential = false
	}
	return session.WithoutName(c)
}

// plainFit fits the command's response on the columns it looked at.
func plainFit(k *session.Call) *phrase.Fit {
	a := k.Analysis
	var on []string
	for _, c := range a.Columns {
		if c != a.Response.Column.Name && !slices.Contains(on, c) {
			on = append(on, c)
		}
	}
	y := phrase.Response{Column: phrase.ColumnRef{Column: a.Response.Column.Name}, Function: a.Response.Function}
	return &phrase.Fit{Clauses: k.Scope(), OnTerms: phrase.OnTerms{Y: y, Terms: phrase.TermsOf(on)}}
}
