package modes

import (
	"breakbook/models/tables"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// askedOtherwise says that another command answers otherwise about the same table of two levels and two ways of
// breaking.
func askedOtherwise(line string, p float64, differs bool) page.Sentence {
	shows := " does not show it"
	if differs {
		shows = " shows it"
	}
	return page.Say("This depends on how it is asked: "+line+shows+" (", page.Chance(p), ").")
}

// byOdds asks the odds of the first mode about a table of two levels and two modes; nil where they answer as the
// counted tables do, or count other specimens.
func (c *crossed) byOdds(k *session.Call, together bool) page.Sentence {
	if len(c.rows) != 2 || len(c.modes) != 2 {
		return nil
	}
	cmd := &phrase.Odds{Clauses: k.Scope(), Terms: phrase.TermsOf([]string{c.by.Column}), Subject: phrase.OneMode{
		Mode: phrase.Is{Column: c.mode, Values: []phrase.Value{{Text: c.modes[0]}}}}}
	o, _, err := oddsOn(k.Quiet(k.Session, phrase.CommandOf(cmd), k.Back), cmd)
	if differs := err == nil && o.P < 1-k.Confidence(); err == nil && o.N == len(c.codes) && differs != together {
		return askedOtherwise(phrase.Line(cmd), o.P, differs)
	}
	return nil
}

// byCounting counts the tables of the single factor that odds of one mode are on, where it has two levels and there are
// two modes; nil where they answer as the odds do, or count other specimens.
func (o *modeOdds) byCounting(k *session.Call, differs bool) page.Sentence {
	on := o.Place.Model().Variables
	if len(on) != 1 || len(on[0].Levels) != 2 || len(o.Place.Model().Terms) != 1 {
		return nil
	}
	cmd := &phrase.CountModes{Clauses: k.Scope(), Mode: o.column, A: phrase.ColumnRef{Column: on[0].Name}}
	c, err := readCrossed(k.Quiet(k.Session, phrase.CommandOf(cmd), k.Back), cmd.Mode, cmd.A)
	if err != nil || len(c.rows) != 2 || len(c.modes) != 2 || len(c.codes) != o.N {
		return nil
	}
	t, err := tables.Of(k.Context, c.counts, tables.Options{Seed: k.Session.Settings().Seed})
	if together := err == nil && t.Exact < 1-k.Confidence(); err == nil && together != differs {
		return askedOtherwise(phrase.Line(cmd), t.Exact, together)
	}
	return nil
}
