package specimens

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/frames/proofread"
	"breakbook/frames/reading"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// mostShown is how many remarks on rows are told when a series is opened or put together; the rest is counted.
const mostShown = 6

// advice is one remark in words: what is so, how the line begins that puts it right, and the line.
type advice struct {
	why  page.Sentence
	ask  string // " If so, type: "
	line string
}

// sentence is the remark with its line.
func (t advice) sentence() page.Sentence {
	if t.line == "" {
		return t.why
	}
	return append(slices.Clone(t.why), page.Word(" "+t.ask+", type: "+t.line))
}

// telling puts the remarks on a series into words and lines.
type telling struct{ f *frames.Frame }

// where names a row: the specimen with its line, or the row where it has no name.
func (t telling) where(row int) string {
	at := ""
	if line := t.f.Line(row); line > 0 {
		at = " (line " + strconv.Itoa(line) + ")"
	}
	if name := t.called(row); name != "" {
		return name + at
	}
	return "row " + strconv.Itoa(row+1) + at
}

// called is what a row is called: its specimen's name; "" where it has none.
func (t telling) called(row int) string {
	for _, c := range t.f.Columns() {
		if t.names(c) {
			name, _ := t.f.Cell(c.Name, row)
			return name
		}
	}
	return ""
}

// names reports whether a column is one that names specimens.
func (t telling) names(c frames.Column) bool {
	return c.Role == frames.Specimen || c.Role == frames.NoRole && notation.NamesSpecimens(c.Name)
}

// list names some rows, the first few of many.
func (t telling) list(rows []int) string {
	return say.ShortList(lists.Mapped(rows, t.where))
}

// one picks a row for a line: by its name where no other has it, else by its number.
func (t telling) one(row int) phrase.SpecimenRef {
	if c, ok := t.f.RoleColumn(frames.Specimen); ok {
		if name, there := t.f.Cell(c.Name, row); there && name == strings.TrimSpace(name) && name != "" {
			if found, err := specimen(t.f, phrase.Text{Text: name}); err == nil && found == row {
				return phrase.SpecimenRef{Text: name}
			}
		}
	}
	return phrase.SpecimenRef{Row: row + 1}
}

// which picks rows for a line.
func (t telling) which(rows []int) phrase.Which {
	var names phrase.Which
	for _, row := range rows {
		ref := t.one(row)
		if ref.Row > 0 {
			names.Specimens = nil
			for _, row := range rows {
				names.Rows = append(names.Rows, phrase.Count{Value: row + 1})
			}
			return names
		}
		names.Specimens = append(names.Specimens, phrase.Text{Text: ref.Text})
	}
	return names
}

func (t telling) aside(rows []int, reason string) string {
	return phrase.Line(&phrase.SetAside{Which: t.which(rows), Reason: phrase.Text{Text: reason}})
}

func (t telling) correct(column string, row int, to phrase.Cell, reason string) string {
	return phrase.Line(&phrase.Correct{Column: phrase.ColumnRef{Column: column}, Specimen: t.one(row), Value: to,
		Reason: &phrase.Text{Text: reason}})
}

func (t telling) number(column string, x float64) page.Num {
	c, _ := t.f.Column(column)
	return page.Num{Value: x, Unit: c.Unit.String(), Style: page.Exact}
}

func (t telling) usual(column string, x float64) page.Num {
	c, _ := t.f.Column(column)
	return page.Num{Value: x, Unit: c.Unit.String(), Resolution: x / 5}
}

// in puts one remark into words.
func (t telling) in(r proofread.Remark) advice {
	switch r.Code {
	case proofread.Sum:
		return t.sum(r)
	case proofread.Called:
		n := len(r.Rows)
		if c, _ := t.f.Column(r.Column); !t.names(c) {
			return advice{page.Say(say.Capital(t.list(r.Rows)) + say.Plural(n, " has", " have") + " no name, and " +
				reading.Shortened(r.Word) + " in " + r.Column + " like figures of other rows, and " +
				say.Plural(n, "is counted as a specimen.", "are counted as specimens.")),
				"To leave " + say.Plural(n, "it", "them") + " out", t.aside(r.Rows, r.Stat.Reason())}
		}
		return advice{page.Say(say.Capital(t.list(r.Rows)) + say.Plural(n,
			" is named like the "+string(r.Stat)+" of other rows, and counted as a specimen.",
			" are named like figures of other rows, and counted as specimens.")),
			"To leave " + say.Plural(n, "it", "them") + " out", t.aside(r.Rows, r.Stat.Reason())}
	case proofread.Note:
		return t.note(r)
	case proofread.TwoUnits:
		return t.twoUnits(r)
	case proofread.Slip:
		return t.slip(r)
	case proofread.Zero, proofread.Negative:
		return t.sign(r)
	case proofread.RowTwice:
		return t.twice(r)
	case proofread.NameTwice:
		return t.nameTwice(r)
	case proofread.Alike:
		return t.alike(r)
	case proofread.AlmostNum:
		s := page.Say(r.Column+" would be numbers but for “"+r.Word+"” ("+t.where(r.Rows[0])+")", more(len(r.Rows)-1),
			"; it is read as words.")
		return advice{s, "To make such cells missing",
			phrase.Line(&phrase.Treat{Column: phrase.ColumnRef{Column: r.Column}, Kind: phrase.Choice{Word: "number"}})}
	case proofread.LoneLevel:
		return advice{page.Say(r.Column + " is " + r.Word + " for one specimen alone, " + t.where(r.Rows[0]) +
			", so nothing can be said of that level."), "To leave it out", t.aside(r.Rows, "the only "+r.Word)}
	case proofread.DateOrder:
		return t.date(r)
	}
	return advice{page.Say(r.Column + " is " + r.Word + " wherever it is not missing, so nothing can be compared by " +
		"it."), "To see it beside the others", phrase.Line(&phrase.Look{})}
}

func more(n int) string {
	if n < 1 {
		return ""
	}
	return " and " + strconv.Itoa(n) + " more"
}

// figureOf says which figure of which rows a row is.
func (t telling) figureOf(r proofread.Remark) string {
	return "the " + string(r.Stat) + " of rows " + strconv.Itoa(r.First+1) + " to " + strconv.Itoa(r.Last+1)
}

// note tells of rows that hold a note; they are set aside by their number, since a note is long.
func (t telling) note(r proofread.Remark) advice {
	n := len(r.Rows)
	var which phrase.Which
	for _, row := range r.Rows {
		which.Rows = append(which.Rows, phrase.Count{Value: row + 1})
	}
	return advice{page.Say("Line ", t.f.Line(r.Rows[0]), " holds nothing but “"+reading.Shortened(r.Word)+"”",
		page.If(n > 1, ", and ", n-1, say.Plural(n-1, " line under it is", " lines under it are")+" like it"),
		", and "+say.Plural(n, "is counted as a specimen.", "they are counted as specimens.")),
		say.Plural(n, "If it is a note", "If they are notes"),
		phrase.Line(&phrase.SetAside{Which: which, Reason: phrase.Text{Text: "a note"}})}
}

func (t telling) sum(r proofread.Remark) advice {
	s := page.Say(say.Capital(t.where(r.Rows[0])) + " is " + t.figureOf(r) + " in " + say.Listed(r.Columns))
	if r.Aside {
		return advice{append(s, page.Word(", and is set aside.")), "If it is a specimen",
			phrase.Line(&phrase.BringBack{Which: t.which(r.Rows)})}
	}
	return advice{append(s, page.Word(", and no specimen.")), "To leave it out", t.aside(r.Rows, r.Stat.Reason())}
}

// sums tells all rows that sum others up in one sentence.
func (t telling) sums(all []proofread.Remark) advice {
	if len(all) == 1 {
		return t.in(all[0])
	}
	var rows []int
	var parts []string
	for _, r := range all {
		rows = append(rows, r.Rows[0])
		parts = append(parts, t.where(r.Rows[0])+", "+t.figureOf(r))
	}
	const shown = 4
	if len(parts) > shown {
		parts = append(parts[:shown], strconv.Itoa(len(all)-shown)+" more")
	}
	s := page.Say(len(all), " rows are figures of other rows and no specimens: "+strings.Join(parts, "; "))
	if all[0].Aside {
		return advice{append(s, page.Word(". They are set aside.")), "To take them for specimens",
			phrase.Line(&phrase.BringBack{Which: t.which(rows)})}
	}
	return advice{append(s, page.Word(".")), "To leave them out", t.aside(rows, all[0].Stat.Reason())}
}

// slipNames say what makes a value so many times too large.
func slipName(factor float64) (times, slip string) {
	k := max(factor, 1/factor)
	times = strconv.FormatFloat(k, 'g', 4, 64)
	switch {
	case k < 2.3:
		return "2.2", "lb and kg taken for each other"
	case k < 4.6:
		return "4.45", "lbf and N taken for each other"
	case k < 9.9:
		return "9.81", "kgf and N taken for each other"
	}
	return times, "a slipped digit or decimal point"
}

// part says of how many times too small: a 10th of, 1/4.45 of.
func part(times string) string {
	if strings.Contains(times, ".") {
		return "1/" + times + " of"
	}
	return "a " + times + "th of"
}

func (t telling) twoUnits(r proofread.Remark) advice {
	read := t.free(r.Column + "_as_read")
	ref := phrase.ColumnRef{Column: read}
	column := phrase.ColumnValue{Column: ref}
	number := func(x float64, unit string) phrase.Expression {
		return phrase.Constant{Value: phrase.Amount{Value: x, Unit: unit}}
	}
	compare := "<"
	var s page.Sentence
	var as phrase.Expression
	if r.Factor == 0 {
		s = page.Say(len(r.Rows), " values of "+r.Column+" lie where the ", r.Of, " others would in "+r.Word+
			", as by °C and °F taken for each other: "+t.list(r.Rows)+".")
		as = phrase.Arithmetic{Op: "+", Left: number(32, "degF"), Right: phrase.Arithmetic{Op: "*",
			Left: number(1.8, ""), Right: phrase.Arithmetic{Op: "-", Left: column, Right: number(0, "degF")}}}
		if r.Word == "°F" {
			compare = ">"
			as = phrase.Arithmetic{Op: "+", Left: number(0, "degC"), Right: phrase.Arithmetic{Op: "/",
				Left: phrase.Arithmetic{Op: "-", Left: column, Right: number(32, "degC")}, Right: number(1.8, "")}}
		}
	} else {
		times, slip := slipName(r.Factor)
		side, op := "below", "*"
		if r.Factor > 1 {
			side, op, compare = "above", "/", ">"
		}
		s = page.Say(len(r.Rows), " values of "+r.Column+" lie about "+times+" times "+side+" the ", r.Of,
			" others, as by "+slip+": "+t.list(r.Rows)+".")
		as = phrase.Arithmetic{Op: op, Left: column, Right: number(max(r.Factor, 1/r.Factor), "")}
	}
	if r.Value == 0 {
		return advice{s, "To see the first of them", phrase.Line(&phrase.Rows{
			Extent: &phrase.Extent{First: r.Rows[0] + 1, Last: r.Rows[0] + 1}})}
	}
	c, _ := t.f.Column(r.Column)
	choose := phrase.Choose{If: phrase.Inequality{Column: ref, Op: compare, Value: phrase.Amount{Value: r.Value}},
		Then: as, Otherwise: column}
	return advice{s, "To have them like the others, with what was read kept in " + read,
		phrase.WorkedOutAgain(r.Column, read, choose, string(c.Role))}
}

// free is the name for a new column, with a number after it where another has it.
func (t telling) free(wish string) string {
	name := wish
	for i := 2; ; i++ {
		if _, taken := t.f.Column(name); !taken {
			return name
		}
		name = wish + "_" + strconv.Itoa(i)
	}
}

// slipUnits reports whether a slip by a factor is one between a unit and another: no kgf is lbf taken for N. Any
// column may have a slipped digit, and one without a unit any slip.
func slipUnits(unit string, factor float64) bool {
	units := []string{"kgf", "kg", "N"}
	switch k := max(factor, 1/factor); {
	case unit == "" || k > 9.9:
		return true
	case k < 2.3:
		units = []string{"lb", "kg", "lbf", "kgf"}
	case k < 4.6:
		units = []string{"lbf", "N"}
	}
	return slices.Contains(units, unit)
}

func (t telling) slip(r proofread.Remark) advice {
	times, slip := slipName(r.Factor)
	if c, _ := t.f.Column(r.Column); !slipUnits(c.Unit.String(), r.Factor) {
		times, _, _ := strings.Cut(strconv.FormatFloat(max(r.Value/r.Usual, r.Usual/r.Value), 'f', 1, 64), ".0")
		what := times + " times"
		if r.Factor < 1 {
			what = "1/" + times + " of"
		}
		return advice{page.Say(r.Column+" of "+t.where(r.Rows[0])+", ", t.number(r.Column, r.Value), ", is about "+what+
			" what the others let expect (about ", t.usual(r.Column, r.Usual), ")."),
			"If it is not what the joint bore", t.aside(r.Rows, "lies far from the others")}
	}
	what := times + " times"
	if r.Factor < 1 {
		what = part(times)
	}
	if times == "10" {
		slip += ", or N and kgf taken for each other"
		if c, _ := t.f.Column(r.Column); c.Unit.Dimension() != "force" {
			_, slip = slipName(r.Factor)
		}
	}
	s := page.Say(r.Column+" of "+t.where(r.Rows[0])+", ", t.number(r.Column, r.Value), ", is about "+what+
		" what the others let expect (about ", t.usual(r.Column, r.Usual), "), as by "+slip+".")
	reason := times + " times too large"
	if r.Factor < 1 {
		reason = times + " times too small"
	}
	return advice{s, "If so", t.correct(r.Column, r.Rows[0], phrase.Cell{Amount: &phrase.Amount{Value: r.Should}},
		reason)}
}

func (t telling) sign(r proofread.Remark) advice {
	if r.Code == proofread.Zero {
		s := page.Say(r.Column+" is 0 for "+t.list(r.Rows)+", where the ", r.Of, " others are about ",
			t.usual(r.Column, r.Usual), ".")
		if len(r.Rows) > 1 {
			return advice{s, "If nothing was measured", t.aside(r.Rows, r.Column+" is 0")}
		}
		return advice{s, "If nothing was measured", t.correct(r.Column, r.Rows[0], phrase.Cell{Missing: true},
			"not measured")}
	}
	if r.Of == 0 {
		read := t.free(r.Column + "_as_read")
		c, _ := t.f.Column(r.Column)
		return advice{page.Say("All values of "+r.Column+" are less than nothing (about ", t.usual(r.Column, r.Usual),
			"), so the stronger of two would be told as the weaker."), "If the sign is that of the gauge",
			phrase.SignTurned(r.Column, read, string(c.Role))}
	}
	s := page.Say(r.Column+" is less than nothing for "+t.list(r.Rows)+", the first ", t.number(r.Column, r.Value), ".")
	return advice{s, "If the sign is a slip", t.correct(r.Column, r.Rows[0],
		phrase.Cell{Amount: &phrase.Amount{Value: r.Should}}, "sign slipped")}
}

func (t telling) twice(r proofread.Remark) advice {
	what := "in every column"
	if r.Column != "" {
		what = "in every column but " + r.Column
	}
	return advice{page.Say(say.Capital(t.list(r.Rows)) + " are alike " + what + ", as if entered " +
		say.Plural(len(r.Rows)-1, "twice", "several times") + "."), "If so", t.aside(r.Rows[1:], "entered twice")}
}

// allTwice tells the first of many rows entered twice, with the line that leaves out all that repeat another.
func (t telling) allTwice(all []proofread.Remark, first proofread.Remark) advice {
	var again []int
	for _, r := range all {
		if r.Code == first.Code && r.Column == first.Column {
			again = append(again, r.Rows[1:]...)
		}
	}
	slices.Sort(again)
	one := t.twice(first)
	n := len(again) - len(first.Rows[1:])
	one.why = append(one.why, page.Word(" "+strconv.Itoa(n)+" more rows repeat another in the same way: check series "+
		"lists them."))
	one.line = t.aside(again, "entered twice")
	return one
}

func (t telling) nameTwice(r proofread.Remark) advice {
	lines := lists.Mapped(r.Rows, func(row int) string { return strconv.Itoa(t.f.Line(row)) })
	s := page.Say(r.Column + " is " + r.Word + " in " + strconv.Itoa(len(r.Rows)) + " rows (lines " +
		say.Listed(lines) + ")")
	c, _ := t.f.Column(r.Column)
	if c.Role != frames.Specimen {
		s = append(s, page.Word(", so it does not name the specimens"))
	}
	last := r.Rows[len(r.Rows)-1]
	to := phrase.Cell{Text: t.freeName(r)}
	if c.Kind == frames.Number {
		e := t.f.Extent(context.Background(), r.Column)
		to = phrase.Cell{Amount: &phrase.Amount{Value: e.Most + 1}}
	}
	fix := &phrase.Correct{Column: phrase.ColumnRef{Column: r.Column}, Specimen: phrase.SpecimenRef{Row: last + 1},
		Value: to, Reason: &phrase.Text{Text: "name given twice"}}
	line := phrase.Line(fix)
	if c.Role != frames.Specimen {
		line += "; " + phrase.Line(&phrase.Mark{Column: phrase.ColumnRef{Column: r.Column},
			Role: phrase.Choice{Word: "specimen"}})
	}
	return advice{append(s, page.Word(".")), "If the last is another specimen", line}
}

// freeName is a name that no specimen has: the one given twice with a letter after it.
func (t telling) freeName(r proofread.Remark) string {
	for letter := 'b'; ; letter++ {
		name := r.Word + string(letter)
		if is, err := t.f.Is(r.Column, []string{name}); err != nil || !slices.Contains(is, true) {
			return name
		}
	}
}

func (t telling) alike(r proofread.Remark) advice {
	var counts []string
	var all []phrase.LevelRef
	for i, l := range r.Levels {
		counts = append(counts, strconv.Itoa(r.Counts[i]))
		all = append(all, phrase.LevelRef{Column: r.Column, Level: l})
	}
	s := page.Say(say.Listed(r.Levels) + " of " + r.Column + " look like one level (" + say.Listed(counts) +
		" specimens).")
	return advice{s, "To make them one", phrase.Line(&phrase.MergeLevels{Into: phrase.Text{Text: r.Levels[0]},
		Levels: phrase.Levels{List: append(all[1:], all[0])}, Column: phrase.ColumnRef{Column: r.Column}})}
}

func (t telling) date(r proofread.Remark) advice {
	row := r.Rows[0]
	s := page.Say(r.Column + " of " + t.where(row) + ", " + r.Word +
		", is out of order among dates that rise otherwise.")
	if r.Meant == "" {
		return advice{s, "To see it beside its neighbours",
			phrase.Line(&phrase.Rows{Extent: &phrase.Extent{First: max(1, row-1), Last: min(t.f.Len(), row+3)}})}
	}
	c, _ := t.f.Column(r.Column)
	fix := &phrase.Correct{Column: phrase.ColumnRef{Column: r.Column}, Specimen: t.one(row),
		Value: phrase.Cell{Text: r.Meant}, New: c.Kind == frames.Category && !slices.Contains(c.Levels, r.Meant),
		Reason: &phrase.Text{Text: "date mistyped"}}
	return advice{s, "If " + r.Meant + " is meant", phrase.Line(fix)}
}

// grouped puts remarks together that are told as one: the sums, the columns of one value, and what is
// wrong in the same way in one column, from the third on.
func (t telling) grouped(all []proofread.Remark) (list []advice) {
	var sums, single []proofread.Remark
	several := map[string]int{}
	for _, r := range all {
		switch r.Code {
		case proofread.Sum:
			sums = append(sums, r)
		case proofread.OneValue:
			single = append(single, r)
		default:
			several[string(r.Code)+r.Column]++
		}
	}
	if len(sums) > 0 {
		list = append(list, t.sums(sums))
	}
	met := map[string]int{}
	for _, r := range all {
		if r.Code == proofread.Sum || r.Code == proofread.OneValue {
			continue
		}
		key := string(r.Code) + r.Column
		n := several[key]
		switch met[key]++; {
		case met[key] > 1 && n > 2:
			continue
		case n > 2 && r.Code == proofread.RowTwice:
			list = append(list, t.allTwice(all, r))
		case n > 2:
			one := t.in(r)
			one.why = append(one.why,
				page.Word(" "+strconv.Itoa(n-1)+" more are odd in the same way: check series lists them."))
			list = append(list, one)
		default:
			list = append(list, t.in(r))
		}
	}
	if len(single) == 1 {
		list = append(list, t.in(single[0]))
	} else if len(single) > 1 {
		var names []string
		look := &phrase.Look{Columns: &phrase.Columns{}}
		for _, r := range single {
			names = append(names, r.Column+" ("+r.Word+")")
			look.Columns.List = append(look.Columns.List, phrase.ColumnRef{Column: r.Column})
		}
		list = append(list, advice{page.Say("These columns hold one value each, so nothing can be compared by them: " +
			say.ShortList(names) + "."), "To look at them", phrase.Line(look)})
	}
	return list
}

// LeftToCheck says of a long series what was not looked for and how it can be; nil of any other.
func LeftToCheck(f *frames.Frame) []page.Sentence {
	if f.Len() < proofread.Long {
		return nil
	}
	return []page.Sentence{page.Say("With so many rows, slips, doubles, levels met once and dates out of order " +
		"were not looked for; to look for them, type: " + phrase.Line(&phrase.CheckSeries{}))}
}

// RowCautions are the remarks on the rows of a series as cautions, the worst first: some, and how many
// more there are. skip leaves out what was told in another way.
func RowCautions(k *session.Call, f *frames.Frame, skip func(proofread.Remark) bool) ([]page.Sentence, error) {
	all, err := proofread.Read(k.Context, f, proofread.Options{Quick: true})
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, skip)
	list := telling{f}.grouped(all)
	var out []page.Sentence
	for i, one := range list {
		if i == mostShown && len(list) > mostShown+1 {
			n := len(list) - mostShown
			return append(out, page.Say(n, " more "+say.Plural(n, "remark", "remarks")+
				" on the rows: to see all, type: "+phrase.Line(&phrase.CheckSeries{}))), nil
		}
		out = append(out, one.sentence())
	}
	return out, nil
}
