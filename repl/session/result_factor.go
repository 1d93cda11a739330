package session

import (
	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// NoResultAsFactor refuses a term of a column marked as a result of the test: what came out
// of the test cannot have driven it.
func (k *Call) NoResultAsFactor() error {
	terms, ok := phrase.Part[phrase.Terms](k.Command)
	if !ok {
		return nil
	}
	name := k.Session.Current()
	if from := k.Command.Clauses().From; from != nil {
		name = from.Text
	}
	f, ok := k.Session.Frame(name)
	if !ok {
		return nil
	}
	for _, t := range terms.List {
		for _, factor := range t.Factors {
			if c, ok := f.Column(factor.Column.Column); ok && c.Role == frames.Result {
				return &page.Problem{Code: page.CodeResultAsFactor, At: factor.Column.At,
					Message: c.Name + " is marked as a result: it came out of the test, so it cannot be a factor",
					Hint:    "write mark " + phrase.Spelled(c.Name) + " as given, if the blank had it before the test"}
			}
		}
	}
	return nil
}
