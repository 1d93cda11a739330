package say

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// Gap is one difference to be told: what is higher than what, by how much.
type Gap struct {
	Measure     string        // what was measured: "break load"
	With, Than  page.Sentence // "pins pair", "none"
	Value       float64       // With minus Than
	Range       verdict.Range
	Unit        string
	Style       page.Style // Fraction for a difference on a ln response
	Confidence  float64
	Family      string // "adjusted for comparing all pairs", or ""
	Probability float64
	Answer      verdict.Answer
	Worth       Worth
	Enough      Enough
	Where       page.Sentence // what it holds within: "within glue warm"; nil: everywhere
	Alone       bool          // Value is no difference but what is expected: its interval is the answer
	Figure      bool          // Than is a figure, not a level; With may then be nothing
	Of          string        // the key of the difference, for what is held against its answer
	Route       string        // how it was judged, where there is no interval: "by reshuffling"
}

// Enough is how many specimens would settle what cannot be told: per level, or in all.
type Enough struct {
	N     int // 0: out of reach
	InAll bool
	Have  int           // that there are already; 0: not known
	Where page.Sentence // within what they are counted a level: "within glue warm"; nil: everywhere
	Block string        // the column whose blocks are counted in place of specimens, or ""
	Of    int           // how many differences it settles together; 0 or 1: the one that is told
}

// whether names what a number of specimens settles, up to the size worth having.
func (e Enough) whether() string {
	if e.Of > 1 {
		return "whether any of the " + strconv.Itoa(e.Of) + " differences reaches "
	}
	return "whether the difference reaches "
}

// farMore is how many times the specimens there are a workshop would still make.
const farMore = 20

// of names what is counted: "specimens", or "boards".
func (e Enough) of() string {
	if e.Block == "" {
		return "specimens"
	}
	return Several(e.Block)
}

// per says for what the number counts.
func (e Enough) per() string {
	if e.InAll {
		return " in all"
	}
	return " per level"
}

// sentence says how many would settle whether a difference reaches size, and how many there are.
func (e Enough) sentence(size page.Num) page.Sentence {
	return page.Say("; about ", rounded(e.N), " "+e.of()+e.per(), page.If(len(e.Where) > 0, " ", e.Where),
		page.If(e.Have > 0, ", of which you have ", e.Have, ","), " would probably settle "+e.whether(), size)
}

// Worth is the smallest difference worth having, as it was used.
type Worth struct {
	Value float64 // in the measure's unit; 0 when unknown
	Unit  string
	Style page.Style
}

// Sentence tells the gap: size, interval, probability, answer.
func (g Gap) Sentence() page.Sentence {
	with, than := page.Say("With ", g.With, ", ", g.Measure, " is "), " than with "
	if len(g.With) == 0 {
		with = page.Say("The mean of ", g.Measure, " is ")
	}
	if g.Figure {
		than = " than "
	}
	return g.placed(page.Say(with, g.size(), than, g.Than, g.tail()))
}

// placed puts what the gap holds within before a sentence about it.
func (g Gap) placed(s page.Sentence) page.Sentence {
	if len(g.Where) == 0 {
		return s
	}
	return page.Say(begun(g.Where, unicode.ToUpper), ": ", begun(s, unicode.ToLower))
}

// begun is a sentence with its first letter large or small.
func begun(s page.Sentence, to func(rune) rune) page.Sentence {
	out := slices.Clone(s)
	if word, ok := out[0].(page.Word); ok {
		first, size := utf8.DecodeRuneInString(string(word))
		out[0] = page.Word(string(to(first)) + string(word[size:]))
	}
	return out
}

// Rise tells how the measure moves as a number grows over the range seen.
func (g Gap) Rise(what string, from, to page.Num) page.Sentence {
	return g.placed(page.Say("From the lowest ", what, " seen (", from, ") to the highest (", to, "), ",
		g.Measure, " ", g.either("rises by ", "falls by "), g.plain(math.Abs(g.Value)), g.tail()))
}

// Terse tells the gap beside a table that has the rest: "pins offset: 111 kgf more than none (from 80 kgf
// to 142 kgf): differs."
func (g Gap) Terse() page.Sentence {
	return g.terse(g.With, page.Say(" than ", g.Than))
}

// Between tells so how the measure moves as a number grows from one value to another.
func (g Gap) Between(what string, from, to page.Num) page.Sentence {
	return g.terse(page.Say(what+" ", from, " to ", to), nil)
}

func (g Gap) terse(what, than page.Sentence) page.Sentence {
	return page.Say(page.If(len(g.Where) > 0, g.Where, ", "), what, ": ", g.plain(math.Abs(g.Value)),
		g.either(" more", " less"), than, " (", g.reach(), "): ", g.answer())
}

// Brief is the gap in a list of several: a name with the interval.
func (g Gap) Brief(name page.Sentence) page.Sentence {
	return page.Say(name, " (", page.If(len(g.Where) > 0, g.Where, ": "), g.reach(), ")")
}

// Settling is the end of a gap in a list: about how many specimens would probably settle it; nil
// where that is out of a workshop's reach.
func (g Gap) Settling() page.Sentence {
	e := g.Enough
	if g.Answer != verdict.CannotTell || e.N <= e.Have || e.Have > 0 && e.N > farMore*e.Have || e.N > WorkshopMost {
		return nil
	}
	return page.Say(": about ", rounded(e.N), " "+e.of()+e.per()+" would probably settle it")
}

// Bend tells how far the middle of the range lies off the straight line between its ends.
func (g Gap) Bend(what string) page.Sentence {
	return g.placed(page.Say("Halfway along the ", what, " seen, ", g.Measure, " is ", g.plain(math.Abs(g.Value)),
		g.either(" above", " below"), " a straight line between the ends", g.tail()))
}

// Joint tells what two things together give beyond what each gives on its own.
func (g Gap) Joint(name string) page.Sentence {
	return page.Say(name, ": together they give ", g.plain(math.Abs(g.Value)), g.either(" more than", " less than"),
		" their separate effects add up to", g.tail())
}

// AtLeast tells a gap that nothing holds from above.
func (g Gap) AtLeast() page.Sentence {
	low := page.Say("from ", g.end(-g.Range.Low), " lower upwards")
	if g.Range.Low > 0 {
		low = page.Say("at least ", g.end(g.Range.Low), " higher")
	}
	return page.Say("With ", g.With, ", nothing bounds "+g.Measure+" from above; compared with ", g.Than, " it is ",
		low, " (", page.Share(g.Confidence), " interval, no upper limit): ", Answer(g.Answer, g.Worth, g.Enough))
}

// tail is what every gap ends with: interval, probability, answer.
func (g Gap) tail() page.Sentence { return page.Say(g.borne(), ": ", g.answer()) }

// answer is the answer with what would settle it.
func (g Gap) answer() page.Sentence {
	return page.Say(page.Verdict{Words: g.Answer.Key(), More: More(g), Of: g.Of}, ".")
}

// Answered tells the gap with an answer in words of its own.
func (g Gap) Answered(answer string) page.Sentence {
	return page.Say("With ", g.With, ", ", g.Measure, " is ", g.size(), " than with ", g.Than, g.borne(), ": ",
		page.Verdict{Words: answer, Of: g.Of}, ".")
}

// borne is the interval and the probability.
func (g Gap) borne() page.Sentence {
	interval := page.Say(g.Route)
	if g.Route == "" {
		interval = g.span()
	}
	return page.Say(" (", interval, page.If(g.Family != "", ", "+g.Family), ")",
		page.If(!math.IsNaN(g.Probability), ", ", page.Chance(g.Probability)))
}

// either is one of two words: that for a value of zero or more, or that for one below.
func (g Gap) either(more, less string) string {
	if g.Value < 0 {
		return less
	}
	return more
}

// size is "12 N higher" or "12 N lower".
func (g Gap) size() page.Sentence {
	return page.Say(g.plain(math.Abs(g.Value)), g.either(" higher", " lower"))
}

// plain is a number as exact as the gap's interval has it.
func (g Gap) plain(x float64) page.Num {
	n := page.Num{Value: x, Unit: page.DifferenceUnit(g.Unit), Style: g.Style}
	if g.Range.Known() {
		n.Resolution = (g.Range.High - g.Range.Low) / 2
	}
	return n
}

// end is an end of the gap's interval.
func (g Gap) end(x float64) page.Num {
	n := g.plain(x)
	n.End = true
	return n
}

// span is the interval in words: plain where both ends lie on the side of the value,
// "from 4 N lower to 12 N higher" where they do not.
func (g Gap) span() page.Sentence {
	return page.Say(page.Share(g.Confidence), " interval ", g.reach())
}

// reach is the interval alone.
func (g Gap) reach() page.Sentence {
	lo, hi := g.Range.Low, g.Range.High
	if g.Range.Known() && lo < 0 && hi > 0 {
		low := g.end(-lo)
		if low.Unit == page.PercentagePoints { // said once
			low.Unit = ""
		}
		return page.Say("from ", low, " lower to ", g.end(hi), " higher")
	}
	if hi <= 0 {
		lo, hi = -hi, -lo
	}
	return page.Say(page.Span{Low: lo, High: hi, Unit: page.DifferenceUnit(g.Unit), Style: g.Style})
}

// Answer is the last part of a finding, in the words of the language.
func Answer(a verdict.Answer, w Worth, enough Enough) page.Sentence {
	return page.Say(page.Verdict{Words: a.Key(), More: More(Gap{Answer: a, Worth: w, Enough: enough})}, ".")
}

// More is what follows the answer of a gap: the size it is about, or how many specimens would settle it. Where its
// interval reaches further than the size, it says that the shorter one decided.
func More(g Gap) page.Sentence {
	a, w, enough := g.Answer, g.Worth, g.Enough
	reaches := g.Confidence > 0 && g.Route == "" && (g.Range.Low <= -w.Value || g.Range.High >= w.Value)
	decided := page.If(reaches, ", by its ", page.Share(2*g.Confidence-1), " interval")
	size := page.Num{Value: w.Value, Unit: w.Unit, Style: w.Style, Resolution: w.Value}
	switch {
	case a == verdict.Differs:
		return nil
	case a == verdict.DiffersLessThanWorth:
		return page.Say(" (", size, decided, ")")
	case a == verdict.NoDifferenceWorth:
		return page.Say(" (none as large as ", size, decided, ")")
	case w.Value <= 0:
		return page.Say(", since no size worth having is known; type worth and a size")
	case enough.N > 0 && enough.N <= enough.Have:
		return page.Say("; a series of this size usually settles "+enough.whether(), size,
			", and this one fell just between: break a few more")
	case enough.Have > 0 && (enough.N == 0 || enough.N > farMore*enough.Have), enough.N > WorkshopMost:
		return page.Say("; to settle "+enough.whether(), size, " takes far more "+enough.of()+
			" than a workshop would make")
	case enough.N > 0:
		return enough.sentence(size)
	}
	return page.Say("; no number of specimens in reach would settle "+enough.whether(), size)
}

// Recounted is what follows an answer that cannot be told, with the number that settles it once the boards or days of
// some columns are allowed for; without one where that is another answer.
func Recounted(more page.Sentence, columns string, g Gap) page.Sentence {
	var out page.Sentence
	if slices.Contains(more, page.Part(likelyFurther)) {
		out = append(out, likelyFurther)
	}
	if g.Answer != verdict.CannotTell {
		return out
	}
	now := slices.Clone(More(g))
	if word, ok := now[0].(page.Word); ok {
		now[0] = page.Word("; with " + columns + " allowed for, " + strings.TrimPrefix(string(word), "; "))
	}
	return append(out, now...)
}

// rounded gives a number of specimens to two digits, upwards: it is a plan, not a count.
func rounded(n int) int {
	step := 1
	for n/step >= 100 {
		step *= 10
	}
	return (n + step - 1) / step * step
}

// Overall joins the answers of several differences into one: it differs when any
// does, and there is no difference worth having only when that holds for all.
func Overall(all []verdict.Answer) verdict.Answer {
	differs, inside := false, len(all) > 0
	for _, a := range all {
		differs = differs || a == verdict.Differs || a == verdict.DiffersLessThanWorth
		inside = inside && (a == verdict.NoDifferenceWorth || a == verdict.DiffersLessThanWorth)
	}
	switch {
	case differs && inside:
		return verdict.DiffersLessThanWorth
	case differs:
		return verdict.Differs
	case inside:
		return verdict.NoDifferenceWorth
	}
	return verdict.CannotTell
}
