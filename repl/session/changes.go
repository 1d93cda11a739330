package session

import (
	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// ChangeInFit refuses step(x) and kink(x) in any command but fit: nothing else looks for a place.
func (k *Call) ChangeInFit() error {
	terms, ok := phrase.Part[phrase.Terms](k.Command)
	if _, fits := k.Command.Do.(*phrase.Fit); !ok || fits {
		return nil
	}
	for _, t := range terms.List {
		change := t.Change()
		if change == "" {
			continue
		}
		p := page.Refuse(page.CodeChangeOutsideFit, t.At, change+"("+t.Factors[0].Column.Column+") looks for its "+
			"place in the response, and "+k.Command.Entry.Name+" takes every term as fixed beforehand", "")
		if y, is := phrase.Part[phrase.Response](k.Command); is && k.Command.Entry.Kind != "strength" {
			p.Hint = phrase.Line(&phrase.Fit{Clauses: k.Scope(), OnTerms: phrase.OnTerms{Y: y, Terms: terms}})
		} else {
			p.Hint = phrase.Line(&phrase.Band{Column: t.Factors[0].Column,
				Subject: phrase.BandInto{N: phrase.Count{Value: 2}}}) +
				" makes two levels of it, which " + k.Command.Entry.Name + " takes"
		}
		return p
	}
	return nil
}

// NoResultAsFactor refuses a term of a column marked as a result of the test: what came out
// of the test cannot have driven it.
func (k *Call) NoResultAsFactor() error {
	terms, ok := phrase.Part[phrase.Terms](k.Command)
	if !ok {
		return nil
	}
	f, ok := k.Session.Frame(k.series())
	if !ok {
		return nil
	}
	for _, t := range terms.List {
		for _, factor := range t.Factors {
			if c, ok := f.Column(factor.Column.Column); ok && c.Role == frames.Result {
				return page.Refuse(page.CodeResultAsFactor, factor.Column.At,
					c.Name+" is marked as a result: it came out of the test, so it cannot be a factor",
					"write mark "+phrase.Spelled(c.Name)+" as given, if the blank had it before the test")
			}
		}
	}
	return nil
}
