package bench

import (
	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// worth sets the smallest difference that matters.
func worth(k *session.Call, cmd *phrase.SetWorth) (*session.Outcome, error) {
	a := cmd.Amount
	w, err := session.WorthFrom(a)
	if err != nil {
		return nil, err
	}
	if f, open := k.Session.Frame(k.Session.Current()); open {
		if load, marked := f.RoleColumn(frames.Load); marked && load.Kind == frames.Number {
			if p := session.Misfit(a, load.Unit, load.Name+" of "+k.Session.Current()); p != nil {
				return nil, p
			}
		}
	} else if p := session.Bare(a, "N"); p != nil {
		return nil, p
	}
	n := k.Session.With(func(s *session.Settings) { s.Worth = w })
	said := page.Say(page.Num{Value: w.Share, Style: page.Fraction}, " of the mean of the series")
	if w.Amount > 0 {
		said = page.Say(page.Num{Value: w.Amount, Unit: w.Unit})
	}
	k.Entry.Findings = []page.Sentence{append(append(page.Say("The smallest difference worth having is now "), said...),
		page.Word("."))}
	return session.Becomes(n), nil
}
