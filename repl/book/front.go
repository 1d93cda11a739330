package book

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/render"
)

// front is what a report begins with, in words: the same for every medium.
type front struct {
	Title       string
	Signed      string    // by whom, and when; "" where neither was told
	Tested      []string  // what was tested, a line a series
	Question    string    // as the user put it; "" where nobody did
	Asked       string    // the command that the main finding answers
	Leads       []telling // the findings before the picture, the main one first
	More        []telling // the others
	Conclusions []concluded
	Took        []string // how many specimens the answers rest on
	First       []remark // doubts and cautions of the answers
	Others      []remark // of other entries
}

// telling is a finding with the entry that it comes from and the doubts held against it.
type telling struct {
	Text   string
	Entry  int
	Series string // that it is of; "" where the book has one alone
	Links  []render.Link
}

// concluded is a conclusion beside what was found on it.
type concluded struct {
	Text    string
	Entry   int
	Rests   *telling
	Unasked bool // no entry asked about what it is about
}

// bound is a document put together for writing: what stands first, the entries without what is told once, and
// the drawings.
type bound struct {
	front
	body     []page.Entry
	remarks  remarks
	drawings []drawing
	drawnBy  map[int][]int // places in drawings, by entry
}

func (d Document) bind(ctx context.Context) (*bound, error) {
	b := &bound{}
	b.body, b.remarks = collected(d.body(), d.Options)
	var err error
	if b.drawings, b.drawnBy, err = d.drawings(ctx, b.body); err != nil {
		return nil, err
	}
	answers := Answers(d.Entries)
	b.front = front{Title: d.title(), Signed: d.signed(), Question: d.question(), Took: d.tookPart(answers)}
	for _, s := range d.Series {
		b.Tested = append(b.Tested, testedLine(s))
	}
	var found []telling
	for _, f := range leading(answers, d.Options) {
		found = append(found, d.found(f.Sentence, f.of, b.remarks))
	}
	if len(answers) > 0 {
		b.Asked = render.Clean(answers[0].Input)
		n := leads(answers[0], found)
		b.Leads, b.More = found[:n], found[n:]
	}
	for _, c := range d.conclusions() {
		one := concluded{Text: render.Clean(c.Prose), Entry: c.Number, Unasked: c.unasked}
		if c.rests != nil {
			f := d.found(c.rests.Sentence, c.rests.of, b.remarks)
			one.Rests = &f
		}
		b.Conclusions = append(b.Conclusions, one)
	}
	b.First, b.Others = b.remarks.shared(answers)
	return b, nil
}

func (d Document) found(s page.Sentence, e page.Entry, r remarks) telling {
	f := telling{Text: render.Prose(s, d.Options), Entry: e.Number}
	if len(d.Series) > 1 {
		f.Series = render.Clean(e.Series)
	}
	for _, what := range doubtsOf(s) {
		if id, known := r.abouts[about(e.Number, what)]; known {
			f.Links = append(f.Links, render.Link{To: id, Text: strings.ReplaceAll(id, "-", " ")})
		}
	}
	return f
}

// leads is how many findings come before the picture: the main one, and where it carries no answer itself, as of what
// drove a response, the next of its entry, which does.
func leads(main page.Entry, all []telling) int {
	if main.Findings[0].Answers() || len(all) < 2 || all[1].Entry != main.Number {
		return 1
	}
	return 2
}

// testedLine says of a series how many specimens it has, and of when they are.
func testedLine(s Series) string {
	text := fmt.Sprintf("%s: %d specimens", render.Clean(s.Name), s.Specimens)
	if s.Specimens == 1 {
		text = render.Clean(s.Name) + ": 1 specimen"
	}
	for _, d := range s.Dates {
		text += "; " + render.Clean(d)
	}
	return text
}

// tookPart says how many specimens the answers rest on, once for each series and count, and of answers from before
// specimens were set aside or brought back that they are.
func (d Document) tookPart(answers []page.Entry) []string {
	var out []string
	for _, e := range answers {
		s := e.Specimens
		if s == nil {
			continue
		}
		text := fmt.Sprintf("%s: %d took part, %d set aside, %d left out for a missing value",
			render.Clean(e.Series), s.Used, s.SetAside, s.Missing)
		if d.movedSince(e) {
			text += fmt.Sprintf(" in entry %d; set aside by the end of the book: %d", e.Number,
				lists.Count(d.SetAside, func(a SetAside) bool { return a.Series == e.Series }))
		}
		out = lists.With(out, text)
	}
	return out
}

// movedSince reports whether specimens of the series of an entry were set aside or brought back after it.
func (d Document) movedSince(e page.Entry) bool {
	return slices.ContainsFunc(d.Entries, func(later page.Entry) bool {
		return later.Number > e.Number && later.Problem == nil && later.Series == e.Series &&
			(later.Kind == "set aside" || later.Kind == "bring back")
	})
}

// shared are the remarks that concern the answers, and the others.
func (r remarks) shared(answers []page.Entry) (first, others []remark) {
	for _, list := range [][]remark{r.doubts, r.cautions} {
		for _, k := range list {
			if slices.ContainsFunc(answers, func(e page.Entry) bool { return slices.Contains(k.entries, e.Number) }) {
				first = append(first, k)
			} else {
				others = append(others, k)
			}
		}
	}
	return first, others
}

// signed is by whom a report is and when it was written, as far as that was told.
func (d Document) signed() string {
	var parts []string
	if d.By != "" {
		parts = append(parts, "By "+render.Clean(d.By))
	}
	if d.Dated != "" {
		parts = append(parts, render.Clean(d.Dated))
	}
	return strings.Join(parts, ", ")
}

// around is what stands round an entry of the book: the level of its heading, below the chapter that it is in, and
// what leads to its doubts, cautions and figures.
func (b *bound) around(e page.Entry, level *int) render.Surroundings {
	out := render.Surroundings{Level: *level, Links: b.remarks.of[e.Number]}
	if e.Kind == "heading" && e.Prose != "" {
		out.Level, *level = 3, 4
	}
	for _, at := range b.drawnBy[e.Number] {
		f := b.drawings[at]
		out.Links = append(out.Links, render.Link{To: f.id, Text: lower(f.called(at))})
	}
	return out
}
