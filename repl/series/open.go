package series

import (
	"errors"
	"os"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/frames/proofread"
	"breakbook/frames/reading"
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
	s := page.Say(path+": ", specimens, say.Plural(specimens, " specimen", " specimens"), " in ", columns,
		say.Plural(columns, " column", " columns"), ", "+how+", header in line")
	if r.UpperLine > 0 {
		s = append(s, page.Say("s ", r.UpperLine, " and")...)
	}
	s = append(s, page.Say(" ", r.HeaderLine)...)
	if r.UnitsLine > 0 {
		s = append(s, page.Say(", units in line ", r.UnitsLine)...)
	}
	if r.Thousands != "none" {
		s = append(s, page.Word(", thousands parted by "+r.Thousands))
	}
	if r.Dates != "" {
		s = append(s, page.Word(", dates "+r.Dates))
	}
	if r.Packed {
		s = append(s, page.Word(", unpacked from a gzip"))
	}
	if len(r.MissingWords) > 0 {
		s = append(s, page.Word("; taken as missing: "+strings.Join(quoted(r.MissingWords), ", ")))
	}
	return append(s, page.Word("."))
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

// remarks puts what was odd about a file into words.
func remarks(remarks []frames.Remark) []page.Sentence {
	var out []page.Sentence
	for _, r := range remarks {
		out = append(out, remark(r))
	}
	return out
}

// remark is one sentence: what was met, where, what was made of it, and the way out.
func remark(r frames.Remark) page.Sentence {
	for _, remarkOf := range []func(frames.Remark) page.Sentence{lookRemark, headRemark, columnRemark, markRemark,
		dateRemark, rowRemark, sheetRemark} {
		if s := remarkOf(r); s != nil {
			return s
		}
	}
	return page.Say(strings.TrimSpace(r.Code+" "+r.Column+" "+r.Word)+" (line ", r.Line, ").")
}

// headRemark tells what was odd about a header, what stands above it, or the encoding.
func headRemark(r frames.Remark) page.Sentence {
	switch r.Code {
	case "decoded-windows-1252":
		return page.Say("Line ", r.Line, " is the first with a letter that is no UTF-8, so the file was read as "+
			"Windows-1252; if letters look wrong, open it again with encoding and its name.")
	case "odd-bytes":
		return oddBytes(r)
	case "preamble":
		return page.Say(r.Count, say.Plural(r.Count, " line", " lines")+" above the header from line ", r.Line,
			" on (“"+r.Word+
				"”) "+say.Plural(r.Count, "was", "were")+" skipped; if the header is another line, open it again with "+
				"header row and its number.")
	case "numbers-in-header":
		return page.Say("Line ", r.Line, " was taken for the header though it has only numbers; if the header is "+
			"another line, open it again with header row and its number, and if there is none, write one above it.")
	case "duplicate-header":
		return page.Say("The header “"+r.Word+"” in line ", r.Line,
			" is there more than once; this one is called "+r.Column+
				". For a better name, type rename "+r.Column+" to and the name.")
	case "two-line-header":
		return page.Say("The names in line ", r.Line, " stand under names of groups such as “"+r.Word+"” and were put "+
			"together with them, as in "+r.Column+"; for the names of that line alone, open it again with header row ", r.Line,
			".")
	case "no-header":
		return page.Say("A column has no header in line ", r.Line, "; it is called "+r.Column+
			". For a better name, type rename "+r.Column+" to and the name.")
	case "empty-column":
		return page.Say(r.Column+" has a header in line ", r.Line, " and no value under it.")
	case "unknown-unit":
		return page.Say("“"+r.Word+"” in the units of line ", r.Line, " is no unit known here, so "+r.Column+
			" has none; type unit "+r.Column+" is and the unit.")
	case "two-units":
		return page.Say(r.Column+" has another unit in its header than “"+r.Word+"” in line ", r.Line,
			"; the header's was taken, and unit "+r.Column+" is "+r.Word+" takes the other.")
	case "mass-as-load":
		return massAsLoad(r)
	}
	return nil
}

// oddBytes tells of bytes that are in no letter of the file's encoding.
func oddBytes(r frames.Remark) page.Sentence {
	switch {
	case r.Column == "":
		return page.Say("Line ", r.Line, " is the first with a byte that is in no letter of the file's encoding; "+
			"no cell is affected.")
	case r.Count == 0:
		return page.Say("The header “"+r.Word+"” in line ", r.Line, " has a byte that is in no letter of the file's "+
			"encoding, shown as \ufffd. For a better name, type rename "+
			r.Column+" to and the name.")
	}
	s := page.Say(r.Column+" has a byte that is in no letter of the file's encoding in line ", r.Line,
		": “"+r.Word+"”")
	if r.Count == 1 {
		s = append(s, page.Word("; this cell is taken as missing."))
	} else {
		s = append(s, page.Say("; this cell and ", r.Count-1, " more are taken as missing.")...)
	}
	return append(s, page.Word(" If the file is in another encoding, open it again with encoding and its name."))
}

func massAsLoad(r frames.Remark) page.Sentence {
	s := page.Say(r.Column+" is in "+r.Word+" (line ", r.Line, "), a mass and no load. If that is what the gauge showed, ")
	return append(s, page.Word(say.AsForce(r.Column, r.Word)))
}

// columnRemark tells why a column that could be numbers is read as words.
func columnRemark(r frames.Remark) page.Sentence {
	kept := page.Say(" (line ", r.Line, ")")
	switch r.Code {
	case "stray-word":
		s := page.Say(r.Column+" would be numbers but for “"+r.Word+"” in line ", r.Line)
		if r.Count > 1 {
			s = append(s, page.Say(" and ", r.Count-1, " more")...)
		}
		return append(s, page.Word("; it is read as words. Type treat "+r.Column+" as number to make such cells missing."))
	case "leading-zeros":
		s := append(page.Say(r.Column+" has numbers with leading zeros such as “"+r.Word+"”"), kept...)
		return append(s, page.Word(" and is read as words, so that none is lost; if they are no codes, type treat "+
			r.Column+" as number."))
	case "big-whole-number":
		s := append(page.Say(r.Column+" has whole numbers too long to be kept exactly, such as “"+r.Word+"”"), kept...)
		return append(s, page.Word(", and is read as words, so that no digit is lost."))
	case "mixed-units":
		s := append(page.Say(r.Column+" has numbers in more than one unit, or some without one, from “"+r.Word+"”"),
			kept...)
		return append(s,
			page.Word(" on; it is read as words. Type treat "+r.Column+" as number to turn them all into one unit."))
	}
	return nil
}

// markRemark tells of marks in numbers that can be read in two ways.
func markRemark(r frames.Remark) page.Sentence {
	at := page.Say("“"+r.Word+"” in line ", r.Line)
	switch r.Code {
	case "other-decimal-mark":
		s := append(page.Say(r.Column+" has "), page.Say(r.Count, say.Plural(r.Count, " number", " numbers")+
			" with another decimal mark than the file's, the first ")...)
		return append(append(s, at...),
			page.Word("; it is read as words. If that is the file's mark, open it again with decimal comma or decimal point."))
	case "guessed-thousands":
		s := append(page.Say("In "+r.Column+" "), at...)
		return append(s, page.Word(" was read as a whole number, its mark parting thousands; if it marks the "+
			"decimals, open it again with "+
			otherDecimal(r.Word)+"."))
	case "doubtful-decimal":
		return append(at, page.Word(" was read with a decimal mark, but every such number has three digits after it; "+
			"if the mark parts thousands, open it again with thousands "+
			markName(r.Word)+"."))
	}
	return nil
}

// markName is the word for the mark in a number such as 1.234.
func markName(number string) string {
	if strings.ContainsRune(number, ',') {
		return "comma"
	}
	return "point"
}

func otherDecimal(number string) string { return "decimal " + markName(number) }

// dateRemark tells of dates whose order is a guess.
func dateRemark(r frames.Remark) page.Sentence {
	switch r.Code {
	case "ambiguous-dates":
		return page.Say("“"+r.Word+"” in line ", r.Line, " ("+r.Column+") could have the day or the month first; "+
			"the day was taken to be first. If it is the month, open it again with dates as month-day-year.")
	case "mixed-dates":
		return page.Say("The dates "+r.Word+" (from line ", r.Line, " on) have the day and the month in different "+
			"places; the day was taken to be first where both fit, and the file needs correcting.")
	case "odd-date":
		return page.Say("“"+r.Word+"” in line ", r.Line, " is not a date in the order given; open it again with dates "+
			"as day-month-year or another order.")
	}
	return nil
}

// rowRemark tells of rows that were filled up or skipped.
func rowRemark(r frames.Remark) page.Sentence {
	more := func(one, many string) page.Sentence {
		if r.Count == 1 {
			return page.Say("Line ", r.Line, " "+one)
		}
		return page.Say(r.Count, " lines "+many+", the first line ", r.Line)
	}
	switch r.Code {
	case "short-row":
		return append(more("is short", "are short"),
			page.Word("; the cells lacking are missing, so look whether a separator was lost there."))
	case "extra-blank-cells":
		return append(more("has empty cells beyond the header's", "have empty cells beyond the header's"),
			page.Word("; they were skipped."))
	case "blank-lines":
		return append(more("is blank", "are blank"), page.Word("; nothing was read there."))
	case "blank-lines-missing":
		return append(more("is blank", "are blank"), page.Word("; in a file of one column that is a missing value."))
	case "empty-rows":
		return append(more("has nothing in any cell", "have nothing in any cell"), page.Word("; nothing was read there."))
	}
	return nil
}

// lookUsed tells that the look beside a file said how to read it.
func lookUsed(look string, aside, corrected int) page.Sentence {
	s := page.Say(look + " beside it fits: kinds, units, roles and the order of levels are as they were written")
	if aside > 0 {
		s = append(s, page.Say(", and ", aside, say.Plural(aside, " specimen is", " specimens are")+
			" set aside as before")...)
	}
	if corrected > 0 {
		s = append(s, page.Say("; ", corrected, say.Plural(corrected, " value was", " values were")+
			" corrected or filled in before it was written (show aside lists them)")...)
	}
	return append(s, page.Word("."))
}

// lookRemark puts a look that was not used into words; nil for another remark.
func lookRemark(r frames.Remark) page.Sentence {
	switch r.Code {
	case "look-other-file":
		return page.Say(r.Word + " beside it was written for other contents than this file now has, so it was not " +
			"used: kinds, roles and what was set aside are as the file alone says.")
	case "look-broken":
		return page.Say(r.Word + " beside it is damaged, or nothing breakbook wrote, so it was not used: kinds, " +
			"roles and what was set aside are as the file alone says.")
	case "look-overridden":
		return page.Say(r.Word + " beside it was not used, since the command says how to read the file.")
	}
	return nil
}

// Open reads a CSV file or a sheet of a workbook and makes it the current series.
func Open(k *session.Call, cmd *phrase.Open) (*session.Outcome, error) {
	file := cmd.File
	name := session.SeriesName(strings.TrimSuffix(file.Path, ".gz"))
	if as := k.Command.Clauses().As; as != nil {
		name = as.Text
		if k.Session.Taken(name) {
			return nil, nameTaken(name, as.At)
		}
		// a file that is not there is told first
	} else if _, err := os.Stat(k.Where(file)); err == nil && k.Session.Taken(name) {
		return nil, page.Refuse(page.CodeNameTaken, file.At,
			"a series or result named "+name+" is already there",
			"open it under another name with as NAME, or "+
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
	if others := otherSheets(k, cmd, how); others != nil {
		k.Entry.Find(others)
	}
	if how.Sheet != "" && cmd.Sheet == nil { // a replay reads the same sheet, whatever is in the file by then
		k.Entry.Input = phrase.WithSheet(k.Entry.Input, how.Sheet)
	}
	if how.Look != "" {
		k.Entry.Find(lookUsed(how.Look, specimens.AsideIn(f), len(f.Corrections())))
	}
	if come, figures := stillToCome(f); figures.comeFigures != nil {
		if come != nil {
			k.Entry.Find(come)
			if figures.ToCome > 0 {
				how.Remarks = toFill(how.Remarks)
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
	read := stillSo(k, f, how.Remarks)
	rows, err := specimens.RowCautions(k, name, f, func(r proofread.Remark) bool { return saidOf(r.Column, r.Code, read) })
	if err != nil {
		return nil, err
	}
	k.Entry.Cautions = append(append(sideBySide(k, name, f, how), rows...), remarks(read)...)
	k.Entry.Warn(session.DensityCautions(specimensAlone(k.Context, f, f.Columns()))...)
	k.Entry.Reads = besideOf(f)
	return session.Becomes(k.Session.WithFrame(name, f)), nil
}

// likelyLoad offers to mark the load where no column is marked so and one is, by its unit
// or its header.
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
		"apostrophe": '\'',
		"none":       reading.NoThousands}
	if cmd.Separator != nil {
		o.Separator = marks[cmd.Separator.Word]
	}
	if cmd.Decimal != nil {
		o.Decimal = marks[cmd.Decimal.Word]
	}
	if o.Separator != 0 && o.Separator == o.Decimal {
		return o, page.Refuse(page.CodeSameMark, cmd.Decimal.At, "a comma cannot both separate the cells and mark the decimals", "")
	}
	if cmd.Thousands != nil {
		o.Thousands = marks[cmd.Thousands.Word]
	}
	if o.Thousands != 0 && o.Thousands == o.Decimal {
		return o, page.Refuse(page.CodeSameMark,
			cmd.Thousands.At, "a "+cmd.Decimal.Word+" cannot both part thousands and mark the decimals",
			"thousands none")
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
	if p := session.NoSheet(err, cmd.Sheet, func(sheet *phrase.Text) string {
		again := *cmd
		again.Sheet = sheet
		return phrase.Line(&again)
	}); p != nil {
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
	if r.UpperLine > 0 {
		header = "lines " + strconv.Itoa(r.UpperLine) + " and " + strconv.Itoa(r.HeaderLine)
	}
	add("header", header, "header row N")
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

// freeName is the first of the names wished for that can be typed and is free, else the last with a
// number behind it.
func freeName(k *session.Call, wishes ...string) string {
	for _, wish := range wishes {
		if wish != "" && !k.Session.Taken(wish) {
			return wish
		}
	}
	for i := 2; ; i++ {
		if again := wishes[len(wishes)-1] + "_" + strconv.Itoa(i); !k.Session.Taken(again) {
			return again
		}
	}
}

func nameTaken(name string, at int) *page.Problem {
	return page.Refuse(page.CodeNameTaken, at,
		"the name "+name+" is already taken", "choose another after as")
}
