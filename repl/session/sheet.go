package session

import (
	"errors"

	"breakbook/frames"
	"breakbook/frames/reading"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// ReadTable opens a file that a command reads beside its series; of a workbook the sheet that is named in the
// command's field, else the likeliest. Errors have their place, and a sheet that is not there the line that works.
func ReadTable[C any](k *Call, file phrase.File, cmd *C, field func(*C) **phrase.Text) (*frames.Frame, error) {
	o := reading.Overrides{}
	if sheet := *field(cmd); sheet != nil {
		o.Sheet = sheet.Text
	}
	f, _, err := reading.Open(k.Context, k.Where(file), o)
	if p := NoSheet(err, cmd, field); p != nil {
		return nil, p
	}
	return f, WithPlace(err, file.At)
}

// NoSheet is the problem of a sheet that a command names in its field and that is not there, or of a file that has
// none, with the line that works; nil for any other error.
func NoSheet[C any](err error, cmd *C, field func(*C) **phrase.Text) error {
	var e *frames.Error
	sheet := *field(cmd)
	if sheet == nil || !errors.As(err, &e) || e.Code != "no-such-sheet" && (e.Code != "bad-override" ||
		e.Word != sheet.Text) {
		return nil
	}
	again := *cmd
	p := page.Refuse(page.Code(e.Code), sheet.At, e.Error(), "")
	switch {
	case e.Near != "":
		*field(&again) = &phrase.Text{Text: e.Near}
		p.Hint = phrase.Line(&again)
	case e.Code == "no-such-sheet":
		p.Hint = "leave out sheet to have the likeliest one read"
	default:
		*field(&again) = nil
		p.Hint = phrase.Line(&again)
	}
	return p
}
