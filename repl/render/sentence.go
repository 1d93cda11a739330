package render

import (
	"math"
	"strings"

	"breakbook/repl/page"
)

// Sentence writes a sentence in plain words, its numbers shown with o's digits.
// A number is one with its unit; the result has plain blanks and no line breaks.
func Sentence(s page.Sentence, o Options) string { return soft(sentence(s, o)) }

// Prose is Sentence with hard blanks inside numbers, for a page that breaks its own lines.
func Prose(s page.Sentence, o Options) string { return sentence(s, o) }

// Title is the title of a figure as one text.
func Title(f page.Figure, o Options) string {
	if len(f.Says) > 0 {
		return Sentence(f.Says, o)
	}
	return clean(f.Title)
}

// sentence is Sentence with hard blanks inside numbers, for wrapping.
func sentence(s page.Sentence, o Options) string {
	var b strings.Builder
	for _, part := range s {
		switch v := part.(type) {
		case page.Word:
			b.WriteString(clean(string(v)))
		case page.Unit:
			b.WriteString(strings.Replace(Unit(string(v)), "%", "percent", 1)) // a sign goes with a number
		case page.Num:
			show := number(v.Value, v.Unit, v.Style, v.Resolution, o)
			if v.End {
				show = end(v, o)
			}
			b.WriteString(signed(show, v))
		case page.Span:
			b.WriteString(span(v, o))
		case page.Chance:
			b.WriteString(probability("p", float64(v), o))
		case page.Verdict:
			b.WriteString(answered(v, o))
		}
	}
	return b.String()
}

// answered is an answer with the doubt held against it: after the size it is about, before what would settle it.
func answered(v page.Verdict, o Options) string {
	doubt, more := "", sentence(v.More, o)
	if v.Doubt != "" {
		doubt = " (in doubt: " + clean(v.Doubt) + ")"
	}
	if strings.HasPrefix(more, " (") {
		return v.Words + more + doubt
	}
	return v.Words + doubt + more
}

// signed puts a plus before a positive number that asks for one and does not show as zero.
func signed(text string, n page.Num) string {
	digits, _, _ := strings.Cut(text, hardSpace)
	if !n.Signed || !(n.Value > 0) || math.IsInf(n.Value, 0) || strings.Trim(digits, "0.") == "" {
		return text
	}
	return "+" + text
}

// probability says "p = 0.031" or "p < 0.0001" after the name it is given.
func probability(name string, p float64, o Options) string {
	if math.IsNaN(p) {
		return name + " not known"
	}
	text := chance(p, o)
	if strings.HasPrefix(text, "<") || strings.HasPrefix(text, ">") {
		return name + hardSpace + text
	}
	return name + hardSpace + "=" + hardSpace + text
}

// span says "from 12 N to 40 N". Both ends share their decimals, two significant digits of the distance between them;
// one that would look like zero and is none has one digit of its own. An end that does not exist is said to be no
// limit, and two that are not numbers an interval that is not known.
func span(s page.Span, o Options) string {
	noLow := math.IsNaN(s.Low) || math.IsInf(s.Low, 0)
	noHigh := math.IsNaN(s.High) || math.IsInf(s.High, 0)
	switch {
	case math.IsNaN(s.Low) && math.IsNaN(s.High):
		return "interval not known"
	case noLow && noHigh:
		return "no lower limit and no upper limit"
	case noHigh:
		return "from " + number(s.Low, s.Unit, s.Style, 0, o) + " up, with no upper limit"
	case noLow:
		return "up to " + number(s.High, s.Unit, s.Style, 0, o) + ", no lower limit"
	}
	low, high, unit, least := s.Low, s.High, s.Unit, 0.0
	switch s.Style {
	case page.Fraction:
		low, high, unit, least = 100*low, 100*high, "percent", leastShare
	case page.Percent:
		unit = "percent"
	}
	a, b := ends(low, high, least, o)
	if unit == page.PercentagePoints {
		return "from " + a + " to " + withUnit(b, unit)
	}
	return "from " + withUnit(a, unit) + " to " + withUnit(b, unit)
}

// ends shows the two ends of an interval with common decimals; under least they may look like zero.
func ends(low, high, least float64, o Options) (string, string) {
	width := math.Abs(high - low)
	if outsize(width) && math.Max(math.Abs(low), math.Abs(high)) < 1e-4 {
		return power(low, o.digits()), power(high, o.digits())
	}
	d := decimalsFor(width, 2)
	if width == 0 {
		d = decimalsFor(low, o.digits())
	}
	d = min(d, max(exactDecimals(low), exactDecimals(high)), 12)
	show := func(x float64) string {
		s := fixed(x, d)
		if vanishes(s) && math.Abs(x) > max(traceOf*width, least) { // an end that is not zero does not look like it
			return fixed(x, decimalsFor(x, 1))
		}
		return s
	}
	return show(low), show(high)
}
