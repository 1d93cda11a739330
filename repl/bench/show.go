package bench

import (
	"strconv"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// showResult gives a result whole, as its entry had it; one that no entry of its own gave, such as the
// fit behind what drove a response, is carried out anew for it.
func showResult(k *session.Call, cmd *phrase.ShowResult) (*session.Outcome, error) {
	r, err := k.Session.Named(cmd.Result)
	if err != nil {
		return nil, err
	}
	number, input := k.Entry.Number, k.Entry.Input
	shown, found := page.Entry{}, false
	for e := range k.Session.Latest() {
		if e.Name == r.Name {
			shown, found = e, true
			break
		}
	}
	if !found {
		shown = page.Entry{Kind: r.Kind, Name: r.Name}
		again := &session.Call{Context: k.Context, Session: k.Session, Command: r.Command, Entry: &shown,
			Handlers: k.Handlers}
		if _, err := perform(again, handlerOf(again, r.Command)); err != nil {
			return nil, err
		}
	}
	*k.Entry = shown
	k.Entry.Number, k.Entry.Input, k.Entry.Name, k.Entry.Whole = number, input, r.Name, true
	k.Entry.Files, k.Entry.Reads, k.Entry.Asks, k.Entry.Figures, k.Entry.Next = nil, nil, nil, nil, nil
	return nil, nil
}

// showCaution gives a caution whole, by its number in the book.
func showCaution(k *session.Call, cmd *phrase.ShowCaution) (*session.Outcome, error) {
	k.Entry.Whole = true
	most := 0
	for e := range k.Session.Latest() {
		for i, n := range e.Numbered {
			if most = max(most, n.N); n.N == cmd.Number.Value && i < len(e.Cautions) && !n.Again {
				k.Entry.Series = e.Series
				k.Entry.Findings = []page.Sentence{e.Cautions[i]}
				return nil, nil
			}
		}
	}
	p := page.Refuse(page.CodeUnknownCaution, cmd.Number.At,
		"there is no caution "+strconv.Itoa(cmd.Number.Value)+" in this book", "")
	if most > 0 {
		p.Hint = phrase.Line(&phrase.ShowCaution{Number: phrase.Count{Value: most}})
	}
	return nil, p
}
