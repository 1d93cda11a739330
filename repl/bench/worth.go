package bench

import (
	"math"

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
			if p := session.WrongUnit(a, load.Unit, load.Name+" of "+k.Session.Current()); p != nil {
				return nil, p
			}
		}
	} else if p := session.MissingUnit(a, "N"); p != nil {
		return nil, p
	}
	n := k.Session.With(func(s *session.Settings) { s.Worth = w })
	said := page.Say(page.Share(w.Share), " of the mean of the series")
	if amount := worthOfLoad(k, n, k.Session.Current()); w.Share > 0 && amount != nil {
		said = page.Say(said, " (", amount, ")")
	}
	if w.Amount > 0 {
		said = page.Say(page.In(w.Amount, w.Unit))
	}
	k.Entry.Findings = []page.Sentence{page.Say("The smallest difference worth having is now ", said, ".")}
	return session.Becomes(n), nil
}

// worthOfLoad is the amount that the session's share comes to on the loads of a series, and of what;
// nil where there is none.
func worthOfLoad(k *session.Call, s *session.Session, series string) page.Sentence {
	f, open := s.Frame(series)
	if !open || s.Settings().Worth.Share == 0 {
		return nil
	}
	load, marked := f.RoleColumn(frames.Load)
	if !marked {
		return nil
	}
	at := &session.Call{Context: k.Context, Session: s, Command: &phrase.Command{Do: &phrase.SetWorth{}},
		Entry: &page.Entry{Series: series}}
	w, err := at.WorthOf(&session.Response{Column: load})
	if err != nil || !(w.Value > 0) {
		return nil
	}
	return page.Say(page.Num{Value: w.Value, Unit: w.Said.Unit, Resolution: w.Value}, " of "+session.InSentence(load))
}

// tellMove is the part by which the amount worth having has to move to be told again.
const tellMove = 0.01

// worthMoved tells that the amount worth having is another once a series that answers were given on
// has been shaped.
func worthMoved(k *session.Call, before, after *session.Session) []page.Sentence {
	series := k.Entry.Series
	if series == "" || !before.WasAsked(series) {
		return nil
	}
	was, is := worthOfLoad(k, before, series), worthOfLoad(k, after, series)
	if was == nil || is == nil {
		return nil
	}
	a, _ := was[0].(page.Num)
	if b, _ := is[0].(page.Num); a.Unit == b.Unit && math.Abs(a.Value-b.Value) < tellMove*a.Value {
		return nil
	}
	share := page.Share(after.Settings().Worth.Share)
	return []page.Sentence{page.Say("The smallest difference worth having, ", share, " of the mean, is now ", is, ".")}
}
