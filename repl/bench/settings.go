package bench

import (
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// confidence sets how sure an interval is meant to be.
func confidence(k *session.Call, cmd *phrase.SetConfidence) (*session.Outcome, error) {
	a := cmd.Level
	if a.Value < 0.5 || a.Value > 0.9999 {
		return nil, page.Refuse(page.CodeOutOfRange, a.At, "the confidence of an interval can be 50 % to 99.99 %",
			"write confidence 95%")
	}
	n := k.Session.With(func(s *session.Settings) { s.Confidence = a.Value })
	k.Entry.Findings = []page.Sentence{page.Say("Intervals are now ", page.Share(a.Value), " intervals.")}
	return session.Becomes(n), nil
}

// seed sets the start of every random draw.
func seed(k *session.Call, cmd *phrase.SetSeed) (*session.Outcome, error) {
	c := cmd.N
	n := k.Session.With(func(s *session.Settings) { s.Seed = uint64(c.Value) })
	k.Entry.Findings = []page.Sentence{page.Say("Random draws now start from ", c.Value, ".")}
	return session.Becomes(n), nil
}

// digits sets how many significant digits the screen shows.
func digits(k *session.Call, cmd *phrase.SetDigits) (*session.Outcome, error) {
	c := cmd.N
	if c.Value < 2 || c.Value > 15 {
		return nil, page.Refuse(page.CodeOutOfRange, c.At, "the screen can show 2 to 15 digits", "digits 4")
	}
	n := k.Session.With(func(s *session.Settings) { s.Digits = c.Value })
	k.Entry.Findings = []page.Sentence{page.Say("Numbers are now shown to ", c.Value,
		" digits; nothing is rounded underneath.")}
	return session.Becomes(n), nil
}
