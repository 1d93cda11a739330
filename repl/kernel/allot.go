package kernel

import (
	"errors"
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// blanks are the blanks of a file that have every balancing value.
type blanks struct {
	whole  *frames.Frame
	rows   []int // of whole, one a blank
	frame  *frames.Frame
	values [][]float64 // by balancing column
	names  []string    // the balancing columns
	left   []string    // blanks that lack a value
	aside  []string    // blanks that the file has set aside
	blocks []string    // the columns of blocks
	codes  [][]int     // of each
}

// allot gives the blanks of a file to levels so that what was measured on them matches.
func allot(k *call) (*Session, error) {
	if err := k.replacing(); err != nil {
		return nil, err
	}
	levels := k.c.Slots["levels"].(phrase.Texts)
	name := frames.PlainName(k.c.Slots["factor"].(phrase.Name).Text)
	once := slices.Clone(levels.List)
	slices.Sort(once)
	if len(levels.List) < 2 || len(slices.Compact(once)) < len(levels.List) {
		return nil, &page.Problem{Code: "too-few-levels", At: levels.At, Message: "blanks are given to two levels or more, each named once"}
	}
	b, err := k.blanks()
	if err != nil {
		return nil, err
	}
	if _, taken := b.frame.Column(name); taken {
		return nil, &page.Problem{Code: "name-taken", At: k.slotPlace("factor"), Message: "the file has a column " + name + " already"}
	}
	a, err := plan.Allot(k.ctx, b.values, b.codes, len(levels.List), k.s.settings.Seed)
	var e *plan.Error
	if errors.As(err, &e) {
		p := &page.Problem{Code: e.Code, At: k.file("file").At, Message: "there are fewer blanks with every value than levels"}
		if e.Code == "no-difference" {
			p.Code, p.At, p.Message = "all-equal", k.slotPlace("columns"), "a balancing column has the same value for every blank, so it balances itself; leave it out"
		}
		return nil, p
	}
	if err != nil {
		return nil, err
	}
	k.e.Findings = []page.Sentence{say.Allotted(b.frame.Len(), levels.List, b.names, a.Gap)}
	if len(b.blocks) > 0 {
		k.e.Findings = append(k.e.Findings, say.BlocksSpread(b.blocks, a.Uneven))
	}
	if len(b.left) > 0 {
		k.e.Cautions = append(k.e.Cautions, say.BlanksLeftOut(b.left))
	}
	if len(b.aside) > 0 {
		k.e.Cautions = append(k.e.Cautions, say.BlanksAside(b.aside))
	}
	k.e.Tables = []page.Table{b.allotTable(name, levels.List, a), b.balanceTable(name, levels.List, a)}
	k.e.Values = []page.Value{figure("gap", a.Gap, page.Ratio, "")}
	k.e.Reads = []string{homed(k.file("file").Path)}
	if to := k.c.Clauses.To; to != nil {
		return nil, k.writeAllotted(b, name, levels.List, a, *to)
	}
	return nil, nil
}

// writeAllotted asks the loop to write the blanks with the level of each in a column of its
// own, those left out without one.
func (k *call) writeAllotted(b *blanks, name string, levels []string, a plan.Allotment, to phrase.File) error {
	look := frames.LookPath(to.Path)
	if look == "" {
		return k.unknownFormat(to, "blanks are written as .csv", ".csv")
	}
	given := make([]string, b.whole.Len())
	for i, row := range b.rows {
		given[row] = levels[a.Level[i]]
	}
	f, _, err := b.whole.WithVector(k.ctx, name, k.c.Slots["factor"].(phrase.Name).Text, frames.WordsEach(given))
	if err == nil {
		f, err = f.SetLevels(name, levels)
	}
	if err != nil {
		return placed(err, k.slotPlace("levels"))
	}
	w, err := f.Write(k.ctx)
	if err != nil {
		return err
	}
	k.e.Asks = []page.Ask{{Kind: page.Write, Path: homed(to.Path), Content: w.CSV}, {Kind: page.Write, Path: homed(look), Content: w.Look, Beside: true}}
	k.e.Findings = append(k.e.Findings, say.AllottedWritten(to.Path, f.Len(), name, look))
	return nil
}

// blanks opens the file and reads its balancing columns.
func (k *call) blanks() (*blanks, error) {
	file := k.file("file")
	f, _, err := frames.Open(k.ctx, k.where(file), frames.Overrides{})
	if err != nil {
		return nil, placed(err, file.At)
	}
	b := &blanks{whole: f}
	list := k.c.Slots["columns"].(phrase.Texts)
	lacks := make([]bool, f.Len())
	for _, typed := range list.List {
		name := frames.PlainName(typed)
		if c, ok := f.Column(name); ok && c.Kind != frames.Number {
			return nil, &page.Problem{Code: "wrong-kind", At: k.within(list, typed), Message: c.Name + " in " + file.Path + " is no number, so its mean cannot be balanced"}
		}
		missing, err := f.MissingIn(name)
		if err != nil {
			return nil, b.noColumn(typed, file.Path, k.within(list, typed))
		}
		for row, gone := range missing {
			lacks[row] = lacks[row] || gone
		}
		b.names = append(b.names, name)
	}
	keep := make([]bool, f.Len())
	for row := range keep {
		switch _, aside := f.Aside(row); {
		case aside:
			b.aside = append(b.aside, f.SpecimenName(row))
		case lacks[row]:
			b.left = append(b.left, f.SpecimenName(row))
		default:
			keep[row] = true
			b.rows = append(b.rows, row)
		}
	}
	b.frame = f.Subset(k.ctx, keep)
	for _, name := range b.names {
		v, err := b.frame.Numbers(name)
		if err != nil {
			return nil, placed(err, list.At)
		}
		b.values = append(b.values, v)
	}
	s := &sample{frame: b.frame}
	for _, c := range b.frame.Columns() {
		if n := s.distinct(k.ctx, c.Name); isBlock(c) && n > 1 && n < b.frame.Len() {
			codes, _ := s.blocks(k.ctx, []string{c.Name})
			b.blocks, b.codes = append(b.blocks, c.Name), append(b.codes, codes)
		}
	}
	return b, nil
}

// within is the place of one text of a list.
func (k *call) within(list phrase.Texts, text string) int {
	rest := []rune(k.c.Input)[list.At-1:]
	if i := strings.Index(string(rest), text); i >= 0 {
		return list.At + len([]rune(string(rest)[:i]))
	}
	return list.At
}

// noColumn says which number columns the file has, the nearest to what was typed first.
func (b *blanks) noColumn(typed, path string, at int) error {
	var have []string
	for _, c := range b.whole.Columns() {
		if c.Kind == frames.Number {
			have = append(have, c.Name)
		}
	}
	return &page.Problem{Code: "unknown-column", At: at, Message: path + " has no column " + typed,
		Hint: phrase.Meant(typed, have, "its number columns are")}
}

func (b *blanks) allotTable(factor string, levels []string, a plan.Allotment) page.Table {
	t := page.Table{ID: "allotted", Title: page.Say("Blanks by " + factor), Columns: []page.Column{{ID: "specimen"}, {ID: factor}}}
	for _, block := range b.blocks {
		t.Columns = append(t.Columns, page.Column{ID: block})
	}
	for _, name := range b.names {
		c, _ := b.frame.Column(name)
		t.Columns = append(t.Columns, page.Column{ID: name, Unit: c.Unit.String()})
	}
	for row, l := range a.Level {
		cells := []page.Cell{page.T(b.frame.SpecimenName(row)), page.T(levels[l])}
		for _, block := range b.blocks {
			text, _ := b.frame.Cell(block, row)
			cells = append(cells, page.T(text))
		}
		for _, v := range b.values {
			cells = append(cells, page.N(v[row]))
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

func (b *blanks) balanceTable(factor string, levels []string, a plan.Allotment) page.Table {
	t := page.Table{ID: "balance", Title: page.Say("Means by " + factor), Columns: []page.Column{{ID: factor}, {ID: "n", Style: page.Count}},
		Note: page.Say("gap: the largest difference of two means over the column's sd, ", page.Num{Value: a.Gap, Style: page.Ratio})}
	for _, name := range b.names {
		c, _ := b.frame.Column(name)
		t.Columns = append(t.Columns, page.Column{ID: name, Unit: c.Unit.String()})
	}
	for l, level := range levels {
		n, sums := 0, make([]float64, len(b.values))
		for row, own := range a.Level {
			if own != l {
				continue
			}
			n++
			for i, v := range b.values {
				sums[i] += v[row]
			}
		}
		cells := []page.Cell{page.T(level), page.N(float64(n))}
		for _, sum := range sums {
			cells = append(cells, page.N(sum/math.Max(1, float64(n))))
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}
