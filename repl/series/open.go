package series

import (
	"errors"
	"os"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/frames/proofread"
	"breakbook/frames/reading"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/series/specimens"
	"breakbook/repl/session"
)

// opened tells what a file was taken for.
func opened(path string, specimens, columns int, r *frames.Reading) page.Sentence {
	how := "read as " + r.Encoding + ", cells separated by " + r.Separator + ", decimal " + r.Decimal
	if r.Sheet != "" {
		how = "read from the sheet “" + r.Sheet + "”, whose rows are its lines"
		if r.Decimal == "comma" {
			how += ", a decimal comma in numbers kept as text"
		}
	}
	return page.Say(path+": ", specimens, say.Plural(specimens, " specimen", " specimens"),
		" in ", columns, say.Plural(columns, " column", " columns"), ", "+how+", ",
		page.If(r.HeaderLine == 0, "without a header, so that its columns are called column_1 and so on"),
		page.If(r.HeaderLine > 0, "header in line", page.If(r.UpperLine > 0, "s ", r.UpperLine, " and"), " ",
			r.HeaderLine), page.If(r.UnitsLine > 0,
			", units in line ", r.UnitsLine), page.If(r.Thousands != "none", ", thousands parted by "+r.Thousands),
		page.If(r.Dates != "", ", dates "+r.Dates), page.If(r.Packed, ", unpacked from a gzip"),
		page.If(len(r.MissingWords) > 0, "; taken as missing: "+strings.Join(quoted(r.MissingWords), ", ")), ".")
}

func quoted(words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		if w == "" {
			out[i] = "an empty cell"
			continue
		}
		out[i] = "“" + w + "”"
	}
	return out
}

// Open reads a CSV file or a sheet of a workbook and makes it the current series.
func Open(k *session.Call, cmd *phrase.Open) (*session.Outcome, error) {
	file := cmd.File
	name := session.SeriesName(strings.TrimSuffix(file.Path, ".gz"))
	if as := k.Command.Clauses().As; as != nil {
		name = as.Text
		if k.Session.NameTaken(name) {
			return nil, nameTaken(name, as.At)
		}
		// a file that is not there is told first
	} else if _, err := os.Stat(k.Where(file)); err == nil && k.Session.NameTaken(name) {
		return nil, page.Refuse(page.CodeNameTaken, file.At,
			"a series or result named "+name+" is already there", "open it under another name with as NAME, or "+
				phrase.Line(&phrase.SwitchTo{Series: phrase.Name{Text: name}}))
	}
	o, err := overrides(cmd)
	if err != nil {
		return nil, err
	}
	f, how, err := reading.Open(k.Context, k.Where(file), o)
	if err != nil {
		return nil, overrideAt(cmd, err)
	}
	f, err = withoutSums(k, f, how)
	if err != nil {
		return nil, err
	}
	k.Entry.Series = name
	k.Entry.Findings = []page.Sentence{opened(file.Path, specimensOf(k, f), len(f.Columns()), how)}
	k.Entry.Find(otherSheets(k, cmd, how))
	if how.Sheet != "" && cmd.Sheet == nil { // a replay reads the same sheet, whatever is in the file by then
		k.Entry.Input = phrase.WithSheet(k.Entry.Input, how.Sheet)
	}
	aside, corrected := specimens.AsideIn(f), len(f.Corrections())
	k.Entry.Find(page.If(how.Look != "", how.Look+" beside it fits: kinds, units, roles and the order of levels are "+
		"as they were written", page.If(aside > 0, ", and ", aside, say.Plural(aside, " specimen is", " specimens are")+
		" set aside as before"), page.If(corrected > 0, "; ", corrected, say.Plural(corrected, " value was",
		" values were")+" corrected or filled in before it was written (show aside lists them)"), "."))
	if come, figures := stillToCome(f); figures.comeFigures != nil {
		if come != nil {
			k.Entry.Find(come)
			if figures.ToCome > 0 {
				how.Remarks = lists.Where(how.Remarks, func(r frames.Remark) bool { return r.Code != "empty-column" })
			}
		}
		k.Entry.Values = page.ValuesOf(figures, nil)
	}
	k.Entry.Findings = append(append(k.Entry.Findings, likelyLoad(f)...), specimens.LeftToCheck(f)...)
	if how.Extents != nil && specimensOf(k, f) == f.Len() {
		k.Entry.Tables = []page.Table{extentTable(f.Len(), f.Columns(), how.Extents, oddLevels(k.Context, f))}
	} else {
		k.Entry.Tables = []page.Table{columnTable(k.Context, f, f.Columns())}
	}
	if how.Sheet != "" {
		k.Entry.Tables = append([]page.Table{sheetTable(file.Path, how)}, k.Entry.Tables...)
	}
	again := reopening{*cmd, numbered(k, name)}
	if how.Sheet != "" {
		again.open.Sheet = &phrase.Text{Text: how.Sheet}
	}
	read, err := stillSo(k, f, how.Remarks)
	if err != nil {
		return nil, err
	}
	rows, err := specimens.RowCautions(k, f, func(r proofread.Remark) bool { return saidOf(r.Column, r.Code, read) })
	if err != nil {
		return nil, err
	}
	k.Entry.Cautions = append(append(sideBySide(k, name, f, how), rows...), remarks(f, read, again)...)
	k.Entry.Warn(specimens.DensityCautions(specimensAlone(k.Context, f, f.Columns()))...)
	k.Entry.Reads = besideOf(f)
	return session.Becomes(k.Session.WithFrame(name, f)), nil
}

// likelyLoad offers to mark the load where no column is marked so and one is, by its unit or its header.
func likelyLoad(f *frames.Frame) []page.Sentence {
	column, sure := f.Likely(frames.Load)
	if !sure {
		return nil
	}
	line := phrase.Line(&phrase.Mark{Column: phrase.ColumnRef{Column: column}, Role: phrase.Choice{Word: "load"}})
	return []page.Sentence{page.Say("No column is marked as load. If " + column + " is the load, type: " + line)}
}

// overrides are the reader's guesses that the command replaces.
func overrides(cmd *phrase.Open) (reading.Overrides, error) {
	var o reading.Overrides
	marks := map[string]rune{"comma": ',', "semicolon": ';', "tab": '\t', "bar": '|', "point": '.', "space": ' ',
		"apostrophe": '\'', "none": reading.NoThousands}
	mark := func(c *phrase.Choice) rune {
		if c == nil {
			return 0
		}
		return marks[c.Word]
	}
	o.Separator, o.Decimal, o.Thousands = mark(cmd.Separator), mark(cmd.Decimal), mark(cmd.Thousands)
	if o.Separator != 0 && o.Separator == o.Decimal {
		return o, page.Refuse(page.CodeSameMark, cmd.Decimal.At,
			"a comma cannot both separate the cells and mark the decimals", "")
	}
	if o.Thousands != 0 && o.Thousands == o.Decimal {
		return o, page.Refuse(page.CodeSameMark, cmd.Thousands.At, "a "+cmd.Decimal.Word+
			" cannot both part thousands and mark the decimals", "thousands none")
	}
	if t := cmd.Encoding; t != nil {
		if len(t.List) > 1 {
			return o, page.Refuse(page.CodeOneEncoding, t.At, "a file is in one encoding", "")
		}
		o.Encoding = t.List[0]
	}
	for _, row := range []struct {
		asked *phrase.Count
		line  *int
	}{{cmd.Header, &o.HeaderRow}, {cmd.Units, &o.UnitsRow}} {
		if n := row.asked; n != nil {
			if *row.line = n.Value; n.Value == 0 {
				return o, page.Refuse(page.CodeExpectedNumber, n.At, "the rows of a file are counted from 1", "")
			}
		}
	}
	o.NoHeader = cmd.NoHeader
	if cmd.Dates != nil {
		o.Dates = cmd.Dates.Word
	}
	if t := cmd.Missing; t != nil {
		o.Missing = t.List
	}
	if t := cmd.Sheet; t != nil {
		o.Sheet = t.Text
	}
	return o, nil
}

// overrideAt puts the place of the option at fault to an error of the reader.
func overrideAt(cmd *phrase.Open, err error) error {
	var e *frames.Error
	if p := session.NoSheet(err, cmd, func(c *phrase.Open) **phrase.Text { return &c.Sheet }); p != nil {
		return p
	}
	if !errors.As(err, &e) || e.Code != "bad-override" && e.Code != "wrong-encoding" {
		return err
	}
	p := page.Refuse(page.Code(e.Code), cmd.File.At, e.Error(), e.Hint)
	switch {
	case cmd.Encoding != nil && e.Word != "":
		p.At = cmd.Encoding.At
	case cmd.Separator != nil && e.Line == 0:
		p.At = cmd.Separator.At
	}
	for _, n := range []*phrase.Count{cmd.Header, cmd.Units} {
		if n != nil && n.Value == e.Line {
			p.At = n.At
		}
	}
	return p
}

// readingRow is one thing taken to be so when a file was read.
type readingRow struct {
	What      string `id:"what"`
	Taken     string `id:"taken" blank:"yes"`
	Otherwise string `id:"otherwise"`
}

// readingTable says how the file of a frame was understood and what is typed after
// open FILE to have it read otherwise; false for a frame that is not read from one.
func readingTable(k *session.Call, name string, f *frames.Frame) (page.Table, bool) {
	r := f.Reading()
	if r == nil {
		return page.Table{}, false
	}
	var rows []readingRow
	add := func(what, taken, otherwise string) { rows = append(rows, readingRow{what, taken, otherwise}) }
	encoding := r.Encoding
	if r.Packed {
		encoding += ", in a gzip"
	}
	if r.Sheet != "" {
		add("sheet", r.Sheet, "sheet \"NAME\"")
	} else {
		add("separator", r.Separator, "separated by comma, semicolon, tab or bar")
	}
	add("decimal mark", r.Decimal, "decimal comma or point")
	add("thousands mark", r.Thousands, "thousands point, comma, space, apostrophe or none")
	if r.Sheet == "" {
		add("encoding", encoding, "encoding NAME")
	}
	header := "line " + strconv.Itoa(r.HeaderLine)
	if r.HeaderLine == 0 {
		header = "none"
	}
	if r.UpperLine > 0 {
		header = "lines " + strconv.Itoa(r.UpperLine) + " and " + strconv.Itoa(r.HeaderLine)
	}
	add("header", header, "header row N or none")
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
	note := page.Say("What was taken wrongly is put right by opening the file again, such as: " +
		againLine(k, name, f.Source().Path, r))
	return page.Filled(page.Table{ID: "reading", Title: page.Say("How the file was read"), Note: note}, rows, nil), true
}

// againLine is a command that opens a file once more, read in another way.
func againLine(k *session.Call, name, path string, r *frames.Reading) string {
	decimal := "comma"
	if r.Decimal == "comma" {
		decimal = "point"
	}
	line := &phrase.Open{File: phrase.File{Path: path}, Decimal: &phrase.Choice{Word: decimal},
		Clauses: phrase.Clauses{As: &phrase.Name{Text: freeName(k, name)}}}
	if r.Sheet != "" {
		line.Sheet = &phrase.Text{Text: r.Sheet}
	}
	return phrase.Line(line)
}

// freeName is the first of the names wished for that can be typed and is free, else the last with a number behind it.
func freeName(k *session.Call, wishes ...string) string {
	for _, wish := range wishes {
		if wish != "" && !k.Session.NameTaken(wish) {
			return wish
		}
	}
	return numbered(k, wishes[len(wishes)-1])
}

// numbered is a name with the first number behind it, from 2 on, that makes it free.
func numbered(k *session.Call, name string) string {
	for i := 2; ; i++ {
		if again := name + "_" + strconv.Itoa(i); !k.Session.NameTaken(again) {
			return again
		}
	}
}

func nameTaken(name string, at int) *page.Problem {
	return page.Refuse(page.CodeNameTaken, at, "the name "+name+" is already taken", "choose another after as")
}
