package doubting

import (
	"slices"
	"strings"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// doubtSentence tells a doubt after the answer it concerns, with the line to type.
func doubtSentence(d page.Doubt) page.Sentence {
	s := page.Say("In doubt: ")
	for _, part := range d.Text {
		if v, ok := part.(page.Verdict); ok { // the answer under the remedy is not the one in doubt
			v.Of = ""
			part = v
		}
		s = append(s, part)
	}
	if d.Try != "" {
		s = append(s, page.Word(" Type: "+d.Try))
	}
	return s
}

// Note adds to the note of every figure of a result what its answers are in doubt about, in
// short: a picture travels without its book. Those of a picture of one factor are its own alone.
func Note(k *session.Call) {
	if _, all := k.Command.Do.(*phrase.DrawAll); all || len(k.Entry.Figures) == 0 {
		return // of all pictures each was noted as it was drawn
	}
	name, named := phrase.Part[phrase.Name](k.Command)
	factor := ""
	if adjusted, is := k.Command.Do.(*phrase.DrawAdjusted); is {
		factor = adjusted.A.Column
	}
	r, ok := k.Session.Result(name.Text)
	if !named || !ok {
		return
	}
	var about []string
	for _, d := range r.Doubts {
		said := asHeaded(k.Session, r.Series, d.About)
		if !slices.Contains(about, said) && (factor == "" || slices.ContainsFunc(d.Of,
			func(key string) bool { return concerns(key, factor) })) {
			about = append(about, said)
		}
	}
	if len(about) == 0 {
		return
	}
	if len(about) > mostDoubtsShown {
		about = append(about[:mostDoubtsShown:mostDoubtsShown], "and more")
	}
	for i := range k.Entry.Figures {
		f := &k.Entry.Figures[i]
		f.Note = append(slices.Clone(f.Note), page.Word("; in doubt: "+strings.Join(about, ", ")))
	}
}

// asHeaded is what a doubt is about with the columns of a series by their headers, as a picture has them.
func asHeaded(s *session.Session, series, about string) string {
	words := strings.Split(about, " ")
	for i, w := range words {
		if c, ok := s.Column(series, w); ok {
			words[i] = session.InSentence(c)
		}
	}
	return strings.Join(words, " ")
}
