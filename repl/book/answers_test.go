package book

import (
	"fmt"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// answer is an entry with findings in shorthand: "differs" of one difference, "+none" of several, "(told)" without an
// answer, "?bend" a doubt that is told.
func answer(n int, kind, name, response string, findings ...string) page.Entry {
	series, _, _ := strings.Cut(response, ": ")
	e := page.Entry{Number: n, Input: kind, Kind: kind, Name: name, Series: series, Response: response}
	for _, f := range findings {
		switch f[0] {
		case '(':
			e.Findings = append(e.Findings, page.Say(f))
		case '+':
			e.Findings = append(e.Findings, page.Say(page.Verdict{Words: f[1:]}, ": these."))
		case '?':
			e.Doubts = append(e.Doubts, page.Doubt{Code: f[1:], About: f[1:], Text: page.Say("It is a " + f[1:] + ".")})
			e.Findings = append(e.Findings, page.Say("In doubt: It is a "+f[1:]+". Then it ",
				page.Verdict{Words: "differs"}, "."))
		default:
			e.Findings = append(e.Findings, page.Say(fmt.Sprint(n, " "), page.Verdict{Words: f, Of: f}, "."))
		}
	}
	return e
}

// until is an entry that tells the strength of one way of breaking.
func until(e page.Entry, mode string) page.Entry {
	e.Mode = mode
	return e
}

// A report begins with what drove each response, else with its last kept result, else with its last answer; what drove
// comes before the others, which stand in the order in which they were first answered.
func TestReportBeginsWithAnswers(t *testing.T) {
	failed := answer(7, "drove", "drove3", "gates: load", "(late)")
	failed.Problem = &page.Problem{}
	for _, c := range []struct {
		what    string
		entries []page.Entry
		want    string
	}{
		{"nothing", nil, ""},
		{"no answer", []page.Entry{{Number: 1, Kind: "note", Prose: "a"},
			answer(2, "predict", "predict1", "gates: load", "(298)")}, ""},
		{"the last kept result", []page.Entry{answer(1, "fit", "fit1", "gates: load", "differs"),
			answer(2, "compare", "compare1", "gates: load", "differs"),
			answer(3, "average", "", "gates: load", "differs"),
			answer(4, "predict", "predict1", "gates: load", "(298)", "differs")}, "2"},
		{"an average where there is nothing else", []page.Entry{answer(3, "average", "", "gates: load", "differs")},
			"3"},
		{"what drove it, the latest", []page.Entry{answer(1, "drove", "drove1", "gates: load", "(old)"),
			answer(2, "drove", "drove2", "gates: load", "(new)"), answer(3, "fit", "fit1", "gates: load", "differs"),
			failed}, "2"},
		{"strengths of two ways of breaking, and a limit, beside what drove it", []page.Entry{
			until(answer(1, "strength", "strength1", "gates: load", "(old)", "differs"), "glue"),
			until(answer(2, "strength", "strength2", "gates: load", "(new)", "differs"), "glue"),
			until(answer(3, "strength", "strength3", "gates: load", "(wood)"), "wood"),
			answer(4, "characteristic", "characteristic1", "gates: load", "(limits)"),
			answer(5, "drove", "drove1", "gates: load", "(new)")}, "5 2 3 4"},
		{"several responses", []page.Entry{answer(1, "fit", "fit1", "gates: load", "differs"),
			answer(2, "compare", "compare1", "spring: load", "differs"),
			answer(3, "drove", "drove1", "gates: failure", "(none)"),
			answer(4, "fit", "fit2", "gates: load", "differs")}, "3 4 2"},
	} {
		var got []string
		for _, e := range Answers(c.entries) {
			got = append(got, fmt.Sprint(e.Number))
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: begins with the entries %q, want %q", c.what, got, c.want)
		}
	}
}

// Of six findings each response has its main one, what drove one all of its own, and the rest in turn; doubts are told
// elsewhere, and of too many
// those of one difference are left out before what lists several.
func TestLeadingFindings(t *testing.T) {
	for _, c := range []struct {
		what    string
		answers []page.Entry
		want    string
	}{
		{"one response", []page.Entry{answer(1, "fit", "fit1", "g: y", "a", "?bend", "b", "(sd 25)", "c")},
			"1 a|1 b|1 c"},
		{"what drove it, all listed", []page.Entry{answer(1, "drove", "drove1", "g: y", "(pins)", "a", "b", "c", "d",
			"+no difference",
			"+cannot tell", "(allowed)")}, "(pins)|1 a|1 b|1 c|no difference: these|cannot tell: these"},
		{"two", []page.Entry{answer(1, "fit", "fit1", "g: y", "a", "b", "c", "d", "e"),
			answer(2, "compare", "c1", "h: y", "f", "g")},
			"1 a|1 b|1 c|1 d|2 f|2 g"},
		{"what drove one of two", []page.Entry{answer(1, "drove", "drove1", "g: y", "(pins)", "a", "b", "c", "+none"),
			answer(2, "compare", "c1", "h: y", "f", "g")}, "(pins)|1 a|1 b|1 c|none: these|2 f"},
	} {
		var got []string
		for _, f := range leading(c.answers, render.Options{}) {
			got = append(got, strings.TrimSuffix(render.Sentence(f.Sentence, render.Options{}), "."))
		}
		if strings.Join(got, "|") != c.want {
			t.Errorf("%s: %q, want %q", c.what, strings.Join(got, "|"), c.want)
		}
	}
}

// A conclusion rests on the latest answer before it on its own series, else on the latest.
func TestConclusionsRestOnAnswers(t *testing.T) {
	concluded := func(n int, series string) page.Entry {
		return page.Entry{Number: n, Kind: "conclude", Series: series, Prose: "One is stronger."}
	}
	d := Document{Entries: []page.Entry{concluded(1, "gates"), answer(2, "fit", "fit1", "gates: load", "differs"),
		answer(3, "fit", "fit2", "spring: load", "differs"), concluded(4, "gates"), concluded(5, "spring"),
		concluded(6, "other")}}
	var got []string
	for _, c := range d.conclusions() {
		on := 0
		if c.rests != nil {
			on = c.rests.of.Number
		}
		got = append(got, fmt.Sprintf("%d on %d", c.Number, on))
	}
	if want := "1 on 0, 4 on 2, 5 on 3, 6 on 3"; strings.Join(got, ", ") != want {
		t.Errorf("conclusions rest %q, want %q", got, want)
	}
}

// A conclusion rests on the finding about the columns it names, with its numbers, else on what was told and not on what
// nobody can tell, and there on what drove a response before others; where nothing answers about them, no entry asked.
func TestConclusionsRestOnTheirNumbers(t *testing.T) {
	drove := answer(1, "drove", "drove1", "g: load", "differs")
	drove.Findings = []page.Sentence{page.Say("What drove load: pins."),
		page.Say("pins pair: 137 N more than none: ", page.Verdict{Words: "differs", Of: "pins: none, pair"}, "."),
		page.Say("pins one: 21 N more than none: ", page.Verdict{Words: "differs", Of: "pins: none, one"}, "."),
		page.Say(page.Verdict{Words: "No difference worth having"}, ": cure_temp.")}
	compare := answer(2, "compare", "compare1", "g: load", "differs")
	compare.Input = "compare load by pins"
	unknown := answer(3, "drove", "drove2", "g: failure", "cannot tell")
	odds := answer(4, "odds", "odds1", "g: failure", "differs")
	odds.Input = "odds failure is glue on pins"
	d := Document{Series: []Series{{Name: "g", Named: []Named{{Column: "pins", Levels: []string{"none", "one", "pair"}},
		{Column: "cure_temp"}, {Column: "board", Levels: []string{"B1", "B2"}}, {Column: "load", Result: true},
		{Column: "failure", Levels: []string{"glue", "wood"}, Result: true}}}}}
	for _, c := range []struct {
		prose, on string
	}{
		{"Pair pins carry 137 N more.", "1: pins pair: 137 N more than none: differs."},
		{"One pin carries 21 N more.", "1: pins one: 21 N more than none: differs."},
		{"The joint with a pair is stronger.", "1: pins pair: 137 N more than none: differs."},
		{"With pins, the glue fails less.", "4: 4 differs."},
		{"Cure temperature does not matter.", "1: No difference worth having: cure_temp."},
		{"137 N are enough.", "1: pins pair: 137 N more than none: differs."},
		{"Boards matter little.", "unasked"},
		{"So be it.", ""},
	} {
		d.Entries = []page.Entry{drove, compare, unknown, odds,
			{Number: 5, Kind: "conclude", Series: "g", Prose: c.prose}}
		got, on := d.conclusions()[0], ""
		if got.unasked {
			on = "unasked"
		}
		if got.rests != nil {
			on = fmt.Sprintf("%d: %s", got.rests.of.Number, render.Sentence(got.rests.Sentence, render.Options{}))
		}
		if on != c.on {
			t.Errorf("%q rests on %q, want %q", c.prose, on, c.on)
		}
	}
}

// The question is the last sentence with a question mark before the first answer.
func TestQuestionOfABook(t *testing.T) {
	prose := func(text string) page.Entry { return page.Entry{Kind: "note", Prose: text} }
	found := answer(1, "fit", "fit1", "g: y", "differs")
	for _, c := range []struct {
		entries []page.Entry
		want    string
	}{
		{nil, ""},
		{[]page.Entry{prose("We build gates. Which pins are strong, and why? The rest follows.")},
			"Which pins are strong, and why?"},
		{[]page.Entry{prose("First: is it so?"), prose("Or so? Nothing."), found, prose("And after?")}, "Or so?"},
		{[]page.Entry{found, prose("Why?")}, ""},
	} {
		if got := (Document{Entries: c.entries}).question(); got != c.want {
			t.Errorf("asked is %q, want %q", got, c.want)
		}
	}
}

// A doubt or a caution is told once, and the entries that it concerns lead to it.
func TestRemarksAreShownOnce(t *testing.T) {
	caution := func(e page.Entry, n int, again bool) page.Entry {
		e.Cautions = []page.Sentence{page.Say(fmt.Sprint("Caution of ", n))}
		e.Numbered = []page.CautionNumber{{N: n, Again: again}}
		return e
	}
	entries := []page.Entry{caution(answer(1, "fit", "fit1", "g: y", "a", "?bend"), 1, false),
		caution(answer(2, "fit", "fit2", "g: y", "a", "?bend", "?order"), 1, true),
		caution(answer(3, "fit", "fit3", "h: y", "a"), 2, false)}
	kept, r := collected(entries, render.Options{})
	if len(r.doubts) != 2 || len(r.cautions) != 2 {
		t.Fatalf("%d doubts and %d cautions, want 2 and 2", len(r.doubts), len(r.cautions))
	}
	for i, want := range []string{"doubt 1, caution 1", "doubt 1, doubt 2, caution 1", "caution 2"} {
		var links []string
		for _, l := range r.of[i+1] {
			links = append(links, l.Text)
		}
		if got := strings.Join(links, ", "); got != want || len(kept[i].Findings) != 1 || len(kept[i].Cautions) != 0 {
			t.Errorf("entry %d leads to %q, want %q; it has %d findings and %d cautions left", i+1, got, want,
				len(kept[i].Findings), len(kept[i].Cautions))
		}
	}
	first, others := r.shared(entries[:1])
	if len(first) != 2 || len(others) != 2 || len(entries[0].Findings) != 2 {
		t.Errorf("%d about the answers and %d others; the book's own entry has %d findings", len(first), len(others),
			len(entries[0].Findings))
	}
}

// An answer from before specimens were set aside says how many are by the end of the book.
func TestTookPartTellsWhatMovedSince(t *testing.T) {
	found := answer(2, "compare", "compare1", "g: y", "differs")
	found.Specimens = &page.Specimens{Used: 36}
	aside := page.Entry{Number: 3, Kind: "set aside", Series: "g"}
	d := Document{SetAside: []SetAside{{Series: "g", Specimen: "S3"}, {Series: "h", Specimen: "S1"}}}
	for _, c := range []struct {
		entries []page.Entry
		more    string
	}{
		{[]page.Entry{found}, ""},
		{[]page.Entry{found, {Number: 3, Kind: "set aside", Series: "h"}}, ""},
		{[]page.Entry{found, aside}, " in entry 2; set aside by the end of the book: 1"},
	} {
		d.Entries = c.entries
		got := strings.Join(d.tookPart([]page.Entry{found}), "|")
		if want := "g: 36 took part, 0 set aside, 0 left out for a missing value" + c.more; got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
