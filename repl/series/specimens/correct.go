package specimens

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"breakbook/frames"
	"breakbook/frames/meant"
	"breakbook/frames/notation"
	"breakbook/frames/units"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// correctedRow is one value that was put right or filled in.
type correctedRow struct {
	Specimen string `id:"specimen"`
	Row      int    `id:"row" wide:"yes"`
	Line     int    `id:"line" wide:"yes"`
	Column   string `id:"column"`
	Was      string `id:"was" blank:"yes"`
	Now      string `id:"now" blank:"yes"`
	Reason   string `id:"reason" blank:"yes"`
}

func correctedTable(f *frames.Frame) page.Table {
	var rows []correctedRow
	for _, c := range f.Corrections() {
		rows = append(rows, correctedRow{f.SpecimenName(c.Row), c.Row + 1, f.Line(c.Row), c.Column, c.Was, c.Now,
			c.Because})
	}
	return page.Filled(page.Table{ID: "corrected", Title: page.Say("Values that are not as first read")}, rows, nil)
}

// corrected tells what a cell holds now.
func corrected(column, specimen string, was, now page.Sentence, reason string) page.Sentence {
	before := page.Say("; it was missing")
	if was != nil {
		before = page.Say(" (“"+reason+"”); it was ", was)
	}
	return page.Say(column+" of "+specimen+" is now ", now, before, ". The file is as it was.")
}

// Correct puts a value right in the series, never in its file. Without a reason it only fills in what was missing.
func Correct(k *session.Call, cmd *phrase.Correct) (*session.Outcome, error) {
	series, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	row, err := named(f, cmd.Specimen)
	if err != nil {
		return nil, err
	}
	c, _ := f.Column(cmd.Column.Column)
	reason := ""
	if cmd.Reason != nil {
		reason = strings.TrimSpace(cmd.Reason.Text)
	}
	if _, there := f.Cell(c.Name, row); there && reason == "" {
		return nil, reasonNeeded(f, c, row, cmd)
	}
	next, err := replaced(k, f, c, row, cmd, reason)
	if err != nil {
		return nil, err
	}
	typed := c
	if step := typedStep(cmd.Value.Amount, c); step > 0 {
		typed.Step = step
	}
	was, now := shown(f, c, row), shown(next, typed, row)
	if was == nil && now == nil || same(f, next, c.Name, row) {
		return nil, page.Refuse(page.CodeNoChange, cmd.Value.At, c.Name+" of "+f.SpecimenName(row)+" is that already",
			"")
	}
	if now == nil {
		now = page.Say("missing")
	}
	k.Entry.Findings = []page.Sentence{corrected(c.Name, calledIn(f, row), was, now, reason)}
	k.Entry.Cautions = workedOutBefore(k, series, c.Name)
	k.Entry.Tables = []page.Table{correctedTable(next)}
	k.Entry.Series = series
	return session.Becomes(k.Session.WithFrame(series, next)), nil
}

func same(a, b *frames.Frame, column string, row int) bool {
	x, has := a.Cell(column, row)
	y, too := b.Cell(column, row)
	return has == too && x == y
}

// typedStep is the last digit of an amount as it was typed, in the unit of a column that it was converted to; 0 where
// it was not.
func typedStep(a *phrase.Amount, c frames.Column) float64 {
	if a == nil {
		return 0
	}
	u, err := session.UnitOf(*a)
	if err != nil || u.None() || u == c.Unit {
		return 0
	}
	_, behind, _ := strings.Cut(strconv.FormatFloat(a.Value, 'f', -1, 64), ".")
	step, err := units.ConvertDifference(math.Pow10(-len(behind)), u, c.Unit)
	if err != nil {
		return 0
	}
	return step
}

// shown is a cell for a sentence, as exact as it is; nil where it is missing.
func shown(f *frames.Frame, c frames.Column, row int) page.Sentence {
	cell, there := f.Cell(c.Name, row)
	switch {
	case !there:
		return nil
	case c.Kind == frames.Number:
		return page.Say(page.Num{Value: f.Number(c.Name, row), Unit: c.Unit.String(), Style: page.Exact,
			Resolution: c.Step})
	}
	return page.Say(cell)
}

// calledIn is how a specimen is called in a sentence: by its name, else by its row.
func calledIn(f *frames.Frame, row int) string {
	if c, ok := f.RoleColumn(frames.Specimen); ok {
		if name, ok := f.Cell(c.Name, row); ok {
			return name
		}
	}
	return "row " + strconv.Itoa(row+1)
}

// named finds the specimen that a line names.
func named(f *frames.Frame, ref phrase.SpecimenRef) (row int, err error) {
	if ref.Row > f.Len() {
		return 0, noRow(f, ref.Row, ref.At)
	}
	if ref.Row > 0 {
		return ref.Row - 1, nil
	}
	return specimen(f, phrase.Text{Text: ref.Text, At: ref.At})
}

// reasonNeeded asks for the reason why a value that is there is to be another.
func reasonNeeded(f *frames.Frame, c frames.Column, row int, cmd *phrase.Correct) *page.Problem {
	cell, _ := f.Cell(c.Name, row)
	if !c.Unit.None() {
		cell += " " + c.Unit.String()
	}
	again := *cmd
	again.Reason = &phrase.Text{Text: "misread"}
	return page.Refuse(page.CodeExpectedText, cmd.Value.At, c.Name+" of "+calledIn(f, row)+" is "+cell+
		"; a value is put right for a reason, so that the report can give it", phrase.Line(&again))
}

// replaced is the frame with the cell as the line gives it.
func replaced(k *session.Call, f *frames.Frame, c frames.Column, row int, cmd *phrase.Correct,
	reason string) (*frames.Frame, error) {
	v := cmd.Value
	if c.Kind == frames.Number {
		if cmd.New {
			return nil, page.Refuse(page.CodeWrongKind, v.At, c.Name+" is a number column and has no levels", "")
		}
		x := math.NaN()
		switch {
		case v.Missing:
		case v.Amount == nil:
			return nil, page.Refuse(page.CodeExpectedNumber, v.At, c.Name+" holds numbers, and "+v.Text+" is none", "")
		default:
			var err error
			if x, err = inColumn(*v.Amount, c); err != nil {
				return nil, err
			}
		}
		next, err := f.CorrectNumber(k.Context, c.Name, row, x, reason)
		return next, session.WithPlace(err, cmd.Column.At)
	}
	word, err := wordFor(f, c, row, cmd)
	if err != nil {
		return nil, err
	}
	next, err := f.CorrectWord(k.Context, c.Name, row, word, !v.Missing, reason)
	return next, session.WithPlace(err, cmd.Column.At)
}

// inColumn is an amount in the unit of a column; without a unit it is in it already.
func inColumn(a phrase.Amount, c frames.Column) (float64, error) {
	u, err := session.UnitOf(a)
	if err != nil || u.None() || u == c.Unit {
		return a.Value, err
	}
	x, err := units.Convert(a.Value, u, c.Unit)
	if c.Difference && err == nil {
		x, err = units.ConvertDifference(a.Value, u, c.Unit)
	}
	return x, session.WithPlace(err, a.At)
}

// wordFor is the word that a cell is given: of a category a level it has, unless a new one is asked for;
// of the names of specimens one that no other has.
func wordFor(f *frames.Frame, c frames.Column, row int, cmd *phrase.Correct) (string, error) {
	v := cmd.Value
	word := strings.TrimSpace(v.Text)
	if v.Amount != nil {
		word = strconv.FormatFloat(v.Amount.Value, 'f', -1, 64)
	}
	if v.Missing {
		return "", nil
	}
	if c.Role == frames.Specimen || c.Role == frames.NoRole && notation.NamesSpecimens(c.Name) {
		if is, err := f.Is(c.Name, []string{word}); err == nil {
			if other := slices.Index(is, true); other >= 0 && other != row {
				return "", page.Refuse(page.CodeNameTaken, v.At, word+" is another specimen already, in row "+
					strconv.Itoa(other+1), "")
			}
		}
		return word, nil
	}
	if c.Kind != frames.Category {
		return word, nil
	}
	at := slices.Index(c.Levels, word)
	if at < 0 && !cmd.New {
		at = slices.IndexFunc(c.Levels, func(l string) bool { return strings.EqualFold(l, word) })
	}
	switch {
	case at >= 0 && cmd.New:
		return "", page.Refuse(page.CodeNameTaken, v.At, c.Name+" has the level "+word+" already", "")
	case at >= 0:
		return c.Levels[at], nil
	case cmd.New:
		return word, nil
	}
	again := *cmd
	again.New = true
	hint := meant.Hint(word, c.Levels)
	if hint != "" {
		hint += " If not, "
	}
	return "", page.Refuse(page.CodeUnknownLevel, v.At, c.Name+" has no level "+word,
		hint+"for a new one type: "+phrase.Line(&again))
}

// workedOutBefore warns of columns that were worked out from one before it was corrected.
func workedOutBefore(k *session.Call, series, column string) []page.Sentence {
	var from []string
	for _, e := range k.Session.Entries() {
		if e.Series == series && (e.Kind == "work out" || e.Kind == "band") && mentions(e.Input, column) {
			from = append(from, e.Input)
		}
	}
	if len(from) == 0 {
		return nil
	}
	return []page.Sentence{page.Say("What was made of " + column + " before (" + say.ShortList(from) +
		") keeps its value; to have it follow, make it again under another name.")}
}

// mentions reports whether a line has the column's name as a word.
func mentions(line, column string) bool {
	words := strings.FieldsFunc(line, func(r rune) bool {
		return r != '_' && !unicode.IsLetter(r) && !unicode.IsDigit(r)
	})
	return slices.ContainsFunc(words, func(w string) bool { return strings.EqualFold(w, column) })
}
