package kernel

import (
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// ranges sets how sure a range is meant to be.
func ranges(k *call, cmd *phrase.SetConfidence) (*outcome, error) {
	a := cmd.Level
	if a.Value < 0.5 || a.Value >= 1 {
		return nil, &page.Problem{Code: "out-of-range", Message: "a range can be 50 % to 99.99 % sure", At: a.At, Hint: "ranges 95%"}
	}
	n := k.s.with(func(s *Settings) { s.Confidence = a.Value })
	k.e.Findings = []page.Sentence{page.Say("Ranges are now ", page.Num{Value: a.Value, Style: page.Fraction}, " ranges.")}
	return becomes(n), nil
}

// seed sets the start of every random draw.
func seed(k *call, cmd *phrase.SetSeed) (*outcome, error) {
	c := cmd.N
	n := k.s.with(func(s *Settings) { s.Seed = uint64(c.Value) })
	k.e.Findings = []page.Sentence{page.Say("Random draws now start from ", c.Value, ".")}
	return becomes(n), nil
}

// digits sets how many significant digits the screen shows.
func digits(k *call, cmd *phrase.SetDigits) (*outcome, error) {
	c := cmd.N
	if c.Value < 2 || c.Value > 15 {
		return nil, &page.Problem{Code: "out-of-range", Message: "the screen can show 2 to 15 digits", At: c.At, Hint: "digits 4"}
	}
	n := k.s.with(func(s *Settings) { s.Digits = c.Value })
	k.e.Findings = []page.Sentence{page.Say("Numbers are now shown to ", c.Value, " digits; nothing is rounded underneath.")}
	return becomes(n), nil
}
