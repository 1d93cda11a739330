package repl

import (
	"strconv"

	"breakbook/repl/book"
	"breakbook/repl/page"
	"breakbook/repl/render"
	"breakbook/repl/session"
)

// savedBookFile is the file of the book, its commands, at path.
func savedBookFile(path string, s *session.Session) (book.Piece, error) {
	return book.Save(path, s.Entries(), sourcesOf(s))
}

func sourcesOf(s *session.Session) []book.Source {
	var out []book.Source
	for _, o := range s.Sources() {
		out = append(out, book.Source{File: o.Path, SHA256: o.SHA256, Sheet: o.Sheet, Rows: o.Specimens})
	}
	return out
}

func settingsOf(s session.Settings) []book.Setting {
	worth := page.Say(page.Share(s.Worth.Share), " of the mean of the series")
	if s.Worth.Amount > 0 {
		worth = page.Say(page.In(s.Worth.Amount, s.Worth.Unit))
	}
	text := func(x page.Sentence) string { return render.Sentence(x, render.Options{}) }
	return []book.Setting{
		{Name: "confidence", Value: text(page.Say(page.Share(s.Confidence)))},
		{Name: "smallest difference worth having", Value: text(worth)},
		{Name: "chalk point of the glue",
			Value: text(page.Say(page.Num{Value: s.ChalkPoint, Unit: "degC", Style: page.Exact}))},
		{Name: "start of random draws", Value: strconv.FormatUint(s.Seed, 10)},
		{Name: "digits", Value: strconv.Itoa(s.Digits)},
	}
}
