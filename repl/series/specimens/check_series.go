package specimens

import (
	"cmp"
	"math"
	"strconv"

	"breakbook/frames/proofread"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// checkedRow is one remark on the rows.
type checkedRow struct {
	About    string  `id:"about"`
	Specimen string  `id:"specimen" blank:"yes"`
	Line     float64 `id:"line" style:"count"` // in the file; NaN: it is of no row
	Why      string  `id:"why"`
	Try      string  `id:"try" blank:"yes"`
}

// CheckSeries tells everything that a careful reader of the rows would ask.
func CheckSeries(k *session.Call, cmd *phrase.CheckSeries) (*session.Outcome, error) {
	name, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	all, err := proofread.Read(k.Context, f, proofread.Options{})
	if err != nil {
		return nil, err
	}
	t := telling{f}
	var rows []checkedRow
	lines := 0
	for _, r := range all {
		one := t.in(r)
		row := checkedRow{About: cmp.Or(r.Column, string(r.Stat), "row"), Line: math.NaN(), Why: t.short(r),
			Try: one.line}
		if len(r.Rows) > 0 {
			row.Specimen = cmp.Or(t.called(r.Rows[0]), "row "+strconv.Itoa(r.Rows[0]+1))
			if line := f.Line(r.Rows[0]); line > 0 {
				row.Line = float64(line)
			}
		}
		if r.Code == proofread.OneValue { // which nothing puts right
			row.Try = ""
		} else {
			lines++
		}
		rows = append(rows, row)
	}
	k.Entry.Series = name
	if len(rows) == 0 {
		k.Entry.Findings = []page.Sentence{page.Say("Nothing looks odd in the ", f.Len(), " rows of "+name+".")}
		return nil, nil
	}
	k.Entry.Findings = []page.Sentence{page.Say(len(rows), say.Plural(len(rows), " thing looks", " things look")+
		" odd in the ", f.Len(), " rows of "+name, page.If(len(rows) > 1, ", the worst first"),
		". Nothing was changed; ", page.If(lines == len(rows), "the line beside "+say.Plural(lines, "it", "each")+
			" puts it right."),
		page.If(0 < lines && lines < len(rows), "the line beside each puts it right, where there is one."),
		page.If(lines == 0, "nothing can be compared by a column of one value."))}
	k.Entry.Tables = []page.Table{page.Filled(page.Table{ID: "rows",
		Title: page.Say("What a careful reader would ask")}, rows, nil)}
	return nil, nil
}

// short says why a row is odd, beside its column and its name.
func (t telling) short(r proofread.Remark) string {
	value := func() string {
		cell, _ := t.f.Cell(r.Column, r.Rows[0])
		return cell
	}
	others := func() string {
		return say.Plural(len(r.Rows), "", "; so "+say.Plural(len(r.Rows)-1, "is ", "are ")+t.list(r.Rows[1:]))
	}
	switch r.Code {
	case proofread.Sum:
		s := t.figureOf(r) + " in " + say.Listed(r.Columns)
		if r.Aside {
			s += "; set aside"
		}
		return s
	case proofread.Called:
		return say.Plural(len(r.Rows), "named like the "+string(r.Stat)+" of other rows, and counted as a specimen",
			t.list(r.Rows)+" are named like figures of other rows, and counted as specimens")
	case proofread.Note:
		return "nothing in any other column, and counted as a specimen"
	case proofread.TwoUnits:
		times, slip := slipName(r.Factor)
		side := "above"
		if r.Factor < 1 {
			side = "below"
		}
		return strconv.Itoa(len(r.Rows)) + " values lie about " + times + " times " + side + " the rest, as by " +
			slip + ": " + t.list(r.Rows)
	case proofread.Slip:
		times, slip := slipName(r.Factor)
		if r.Factor < 1 {
			return value() + " is about " + part(times) + " what is expected, as by " + slip
		}
		return value() + " is about " + times + " times what is expected, as by " + slip
	case proofread.Zero:
		return "is 0, where the others are well above" + others()
	case proofread.Negative:
		return value() + " is less than nothing" + others()
	case proofread.RowTwice:
		if r.Column != "" {
			return "alike in every column but " + r.Column + ": " + t.list(r.Rows)
		}
		return "alike in every column: " + t.list(r.Rows)
	case proofread.NameTwice:
		return r.Word + " stands for " + strconv.Itoa(len(r.Rows)) + " rows: " + t.list(r.Rows)
	case proofread.Alike:
		return say.Listed(r.Levels) + " look like one level"
	case proofread.AlmostNum:
		return "numbers but for “" + r.Word + "”" + more(len(r.Rows)-1)
	case proofread.LoneLevel:
		return r.Word + " is met once"
	case proofread.DateOrder:
		return r.Word + " is out of order"
	}
	return r.Word + " wherever it is not missing"
}
