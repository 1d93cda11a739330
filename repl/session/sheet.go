package session

import (
	"errors"

	"breakbook/frames"
	"breakbook/frames/reading"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// ReadTable opens a file that a command reads beside its series; of a workbook the sheet that is named,
// else the likeliest. again writes the command with another sheet, nil for none. Errors have their place, and
// a sheet that is not there the line that works.
func ReadTable(k *Call, file phrase.File, sheet *phrase.Text,
	again func(sheet *phrase.Text) string) (*frames.Frame, error) {
	o := reading.Overrides{}
	if sheet != nil {
		o.Sheet = sheet.Text
	}
	f, _, err := reading.Open(k.Context, k.Where(file), o)
	if p := NoSheet(err, sheet, again); p != nil {
		return nil, p
	}
	return f, WithPlace(err, file.At)
}

// NoSheet is the problem of a sheet that is named and not there, or of a file that has none, with the
// line that works; nil for any other error. again writes the command with another sheet, nil for none.
func NoSheet(err error, sheet *phrase.Text, again func(sheet *phrase.Text) string) error {
	var e *frames.Error
	if sheet == nil || !errors.As(err, &e) || e.Code != "no-such-sheet" && (e.Code != "bad-override" ||
		e.Word != sheet.Text) {
		return nil
	}
	p := page.Refuse(page.Code(e.Code), sheet.At, e.Error(), "")
	switch {
	case e.Near != "":
		p.Hint = again(&phrase.Text{Text: e.Near})
	case e.Code == "no-such-sheet":
		p.Hint = "leave out sheet to have the likeliest one read"
	default:
		p.Hint = again(nil)
	}
	return p
}
