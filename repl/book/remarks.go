package book

import (
	"fmt"
	"slices"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// remark is a doubt or a caution of the book, told once.
type remark struct {
	ID, Head string // "doubt-1", which leads to it, and "Doubt 1"
	Text     string
	entries  []int // that it was told about
}

// remarkOf is the doubt or the caution of a number.
func remarkOf(kind string, n int, text page.Sentence, o render.Options) remark {
	return remark{ID: fmt.Sprintf("%s-%d", lower(kind), n), Head: fmt.Sprintf("%s %d", kind, n),
		Text: render.Prose(text, o)}
}

// remarks are the doubts and the cautions of a book, each once: doubts by their words, those that the report begins
// with numbered first, the others as they come, and cautions by their number in the book.
type remarks struct {
	doubts, cautions []remark
	of               map[int][]render.Link // of each entry, to those that concern it
	abouts           map[string]string     // by entry and by what a doubt is about: the doubt's id
}

// collected takes the doubts and the cautions out of entries, which get a finding less for each doubt that they
// tell.
func collected(entries []page.Entry, o render.Options) ([]page.Entry, remarks) {
	r := remarks{of: map[int][]render.Link{}, abouts: map[string]string{}}
	texts := map[string]int{}
	out := slices.Clone(entries)
	number := func(d page.Doubt) int {
		text := render.Sentence(d.Text, o)
		n, known := texts[text]
		if !known {
			n = len(r.doubts)
			texts[text] = n
			said := d.Text
			if d.Try != "" {
				said = page.Say(d.Text, " Type: "+d.Try)
			}
			r.doubts = append(r.doubts, remarkOf("Doubt", n+1, said, o))
		}
		return n
	}
	for _, e := range Answers(entries) { // the report begins with these
		for _, d := range e.Doubts {
			number(d)
		}
	}
	for i := range out {
		e := &out[i]
		for _, d := range e.Doubts {
			n := number(d)
			r.concerns(&r.doubts[n], e.Number)
			r.abouts[about(e.Number, d.About)] = r.doubts[n].ID
		}
		all := e.Findings
		e.Findings = slices.DeleteFunc(slices.Clone(all), func(s page.Sentence) bool {
			return tellsDoubt(*e, s, o) && !(len(all) > 0 && &s[0] == &all[0][0])
		})
		r.takeCautions(e, o)
	}
	return out, r
}

// takeCautions takes the cautions that have a number out of an entry.
func (r *remarks) takeCautions(e *page.Entry, o render.Options) {
	var rest []page.Sentence
	for i, c := range e.Cautions {
		if i >= len(e.Numbered) || e.Numbered[i].N == 0 {
			rest = append(rest, c)
			continue
		}
		one := remarkOf("Caution", e.Numbered[i].N, c, o)
		at := slices.IndexFunc(r.cautions, func(k remark) bool { return k.ID == one.ID })
		if at < 0 {
			at = len(r.cautions)
			r.cautions = append(r.cautions, one)
		}
		r.concerns(&r.cautions[at], e.Number)
	}
	e.Cautions, e.Numbered = rest, nil
}

func (r *remarks) concerns(k *remark, entry int) {
	if slices.Contains(k.entries, entry) {
		return
	}
	k.entries = append(k.entries, entry)
	r.of[entry] = append(r.of[entry], render.Link{To: k.ID, Text: lower(k.Head)})
}

// about is the key of what a doubt of an entry is about.
func about(entry int, what string) string { return fmt.Sprintf("%d %s", entry, what) }
