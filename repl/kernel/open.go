package kernel

import (
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// open reads a CSV file and makes it the current series.
func open(k *call, cmd *phrase.Open) (*outcome, error) {
	file := cmd.File
	name := seriesName(strings.TrimSuffix(file.Path, ".gz"))
	if as := k.c.Clauses().As; as != nil {
		name = as.Text
		if k.s.taken(name) {
			return nil, nameTaken(name, as.At)
		}
	} else if _, err := os.Stat(k.where(file)); err == nil && k.s.taken(name) { // a file that is not there is told first
		return nil, &page.Problem{Code: "name-taken", At: file.At,
			Message: "a series or result named " + name + " is already there",
			Hint:    "open it under another name with as NAME, or " + phrase.Line(&phrase.SwitchTo{Series: phrase.Name{Text: name}})}
	}
	o, err := overrides(cmd)
	if err != nil {
		return nil, err
	}
	f, reading, err := frames.Open(k.ctx, k.where(file), o)
	if err != nil {
		return nil, overrideAt(cmd, err)
	}
	k.e.Series = name
	k.e.Findings = []page.Sentence{say.Opened(file.Path, f.Len(), len(f.Columns()), reading)}
	if reading.Look != "" {
		k.e.Findings = append(k.e.Findings, say.LookUsed(reading.Look, asideIn(f)))
	}
	if reading.Extents != nil {
		k.e.Tables = []page.Table{extentTable(f.Len(), f.Columns(), reading.Extents)}
	} else {
		k.e.Tables = []page.Table{columnTable(k.ctx, f, f.Columns())}
	}
	k.e.Cautions = append(say.Remarks(reading.Remarks), densityCautions(f, f.Columns())...)
	k.e.Reads = besideOf(f)
	return becomes(k.s.withFrame(name, f)), nil
}

// overrides are the reader's guesses that the command replaces.
func overrides(cmd *phrase.Open) (frames.Overrides, error) {
	var o frames.Overrides
	marks := map[string]rune{"comma": ',', "semicolon": ';', "tab": '\t', "bar": '|', "point": '.', "space": ' ', "apostrophe": '\'',
		"none": frames.NoThousands}
	if cmd.Separator != nil {
		o.Separator = marks[cmd.Separator.Word]
	}
	if cmd.Decimal != nil {
		o.Decimal = marks[cmd.Decimal.Word]
	}
	if o.Separator != 0 && o.Separator == o.Decimal {
		return o, &page.Problem{Code: "same-mark", Message: "a comma cannot both separate the cells and mark the decimals",
			At: cmd.Decimal.At}
	}
	if cmd.Thousands != nil {
		o.Thousands = marks[cmd.Thousands.Word]
	}
	if o.Thousands != 0 && o.Thousands == o.Decimal {
		return o, &page.Problem{Code: "same-mark", Message: "a " + cmd.Decimal.Word + " cannot both part thousands and mark the decimals",
			At: cmd.Thousands.At, Hint: "thousands none"}
	}
	if t := cmd.Encoding; t != nil {
		if len(t.List) > 1 {
			return o, &page.Problem{Code: "one-encoding", Message: "a file is in one encoding", At: t.At}
		}
		o.Encoding = t.List[0]
	}
	for _, row := range []struct {
		asked *phrase.Count
		line  *int
	}{{cmd.Header, &o.HeaderRow}, {cmd.Units, &o.UnitsRow}} {
		if n := row.asked; n != nil {
			if *row.line = n.Value; n.Value == 0 {
				return o, &page.Problem{Code: "expected-number", Message: "the rows of a file are counted from 1", At: n.At}
			}
		}
	}
	if cmd.Dates != nil {
		o.Dates = cmd.Dates.Word
	}
	if t := cmd.Missing; t != nil {
		o.Missing = t.List
	}
	return o, nil
}

// overrideAt puts the place of the option at fault to an error of the reader.
func overrideAt(cmd *phrase.Open, err error) error {
	var e *frames.Error
	if !errors.As(err, &e) || e.Code != "bad-override" && e.Code != "wrong-encoding" {
		return err
	}
	p := &page.Problem{Code: e.Code, Message: e.Error(), Hint: e.Hint, At: cmd.File.At}
	if cmd.Encoding != nil && e.Word != "" {
		p.At = cmd.Encoding.At
	}
	for _, n := range []*phrase.Count{cmd.Header, cmd.Units} {
		if n != nil && n.Value == e.Line {
			p.At = n.At
		}
	}
	return p
}

// readingTable says how the file of a frame was understood and what is typed after
// open FILE to have it read otherwise; false for a frame that is not read from one.
func (k *call) readingTable(name string, f *frames.Frame) (page.Table, bool) {
	r := f.Reading()
	if r == nil {
		return page.Table{}, false
	}
	t := page.Table{ID: "reading", Title: page.Say("How the file was read"),
		Columns: []page.Column{{ID: "what"}, {ID: "taken"}, {ID: "otherwise"}}}
	add := func(what, taken, otherwise string) {
		t.Rows = append(t.Rows, []page.Cell{page.T(what), page.T(taken), maybe(otherwise)})
	}
	encoding := r.Encoding
	if r.Packed {
		encoding += ", in a gzip"
	}
	add("separator", r.Separator, "separated by comma, semicolon, tab or bar")
	add("decimal mark", r.Decimal, "decimal comma or point")
	add("thousands mark", r.Thousands, "thousands point, comma, space, apostrophe or none")
	add("encoding", encoding, "encoding NAME")
	add("header", "line "+strconv.Itoa(r.HeaderLine), "header row N")
	units := "in headers and cells"
	if r.UnitsLine > 0 {
		units = "line " + strconv.Itoa(r.UnitsLine)
	}
	add("units", units, "units in row N")
	missing := "empty cells"
	for _, w := range r.MissingWords {
		missing += ", " + w
	}
	add("missing", missing, "missing is \"x\"")
	dates := "none"
	if r.Dates != "" {
		dates = r.Dates + " (" + strings.Join(r.DateColumns, ", ") + ")"
	}
	add("dates", dates, "dates as day-month-year")
	if r.Look != "" {
		add("kinds, units, roles", r.Look, "")
	}
	t.Note = page.Say("What was taken wrongly is put right by opening the file again, such as: " + k.againLine(name, f.Source().Path, r))
	return t, true
}

// againLine is a command that opens a file once more, read in another way.
func (k *call) againLine(name, path string, r *frames.Reading) string {
	decimal := "comma"
	if r.Decimal == "comma" {
		decimal = "point"
	}
	for i := 2; ; i++ {
		if again := name + "_" + strconv.Itoa(i); !k.s.taken(again) {
			return phrase.Line(&phrase.Open{File: phrase.File{Path: path}, Decimal: &phrase.Choice{Word: decimal},
				Clauses: phrase.Clauses{As: &phrase.Name{Text: again}}})
		}
	}
}

// where is where a file that is read lies: for a replayed book, what is beside it.
func (k *call) where(f phrase.File) string {
	for _, named := range k.c.Files {
		if named.At == f.At && named.Real != "" {
			return named.Real
		}
	}
	return homed(f.Path)
}

// homed resolves `~` at the start of a path to the home folder.
func homed(path string) string {
	if rest, ok := strings.CutPrefix(path, "~"); ok && (rest == "" || rest[0] == '/' || rest[0] == filepath.Separator) {
		if home, err := os.UserHomeDir(); err == nil {
			return filepath.Join(home, rest)
		}
	}
	return path
}

func nameTaken(name string, at int) *page.Problem {
	return &page.Problem{Code: "name-taken", At: at,
		Message: "the name " + name + " is already taken", Hint: "choose another after as"}
}
