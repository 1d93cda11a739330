package blanks

import (
	"errors"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat"

	"breakbook/frames"
	"breakbook/frames/files"
	"breakbook/frames/notation"
	"breakbook/frames/vectors"
	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// mostLevelsNamed is how many levels a sentence tells the mean and spread of.
const mostLevelsNamed = 4

// allotted tells how many blanks each level gets, and their mean and spread in every balancing column.
func allotted(levels []string, measured []page.Column, groups []group) page.Sentence {
	var s page.Sentence
	for l, g := range groups {
		s = page.Say(s, page.If(l > 0, "; "), levels[l]+" gets ", g.n, say.Plural(g.n, " blank", " blanks")+": ")
		for i, c := range measured {
			one := page.Say(c.ID+" ", page.In(g.mean[i], c.Unit))
			if g.n > 1 {
				one = page.Say("mean "+c.ID+" ", page.Num{Value: g.mean[i], Unit: c.Unit,
					Resolution: g.sd[i] / math.Sqrt(float64(g.n))}, " with a spread (sd) of ",
					page.Num{Value: g.sd[i], Unit: c.Unit, Resolution: g.sd[i] / math.Sqrt(float64(2*g.n))})
			}
			s = page.Say(s, page.If(i > 0, ", "), one)
		}
	}
	return append(s, page.Word("."))
}

// allottedMatch tells how closely the levels match, and whether another way would do better that spreads
// the blocks no less evenly.
func allottedMatch(a plan.Allotment, blocks []string) page.Sentence {
	s := page.Say("No two levels differ in mean by more than ", page.Share(a.Gap), " of the sd of all the blanks")
	switch {
	case a.Spread > mostSpreadRatio:
		s = append(s, page.Word(", but the blanks of one are alike where those of another are not"))
	case a.Spread >= 2:
		s = page.Say(s, ", and no spread is more than ", page.Num{Value: a.Spread, Style: page.Ratio}, " times another")
	case a.Spread >= 1 && a.Spread < equalSpreads:
		s = append(s, page.Word(", and their spreads are equal"))
	case a.Spread >= equalSpreads:
		s = page.Say(s, ", and no spread is more than ", page.Share(a.Spread-1), " larger than another")
	}
	same := ""
	if len(blocks) > 0 {
		same = " with " + strings.Join(blocks, " and ") + " spread as evenly"
	}
	if a.All {
		return append(s, page.Word(": every way of giving them out was tried, and none"+same+" matches better."))
	}
	return append(s, page.Word(": to exchange any two blanks"+same+" would not match them better."))
}

// Spreads whose ratio is below equalSpreads are equal to read; above mostSpreadRatio one is next to nothing.
const equalSpreads, mostSpreadRatio = 1.0005, 100

// blanksAside names blanks that were set aside in the file.
func blanksAside(names []string) page.Sentence {
	return page.If(len(names) > 0, "Not given out, for they are set aside in the file: "+say.ShortList(names)+".")
}

// blocksSpread tells whether boards and the like are spread over the levels.
func blocksSpread(blocks []string, uneven int) page.Sentence {
	names := strings.Join(blocks, " and ")
	if uneven == 0 {
		return page.Say("Each value of " + names +
			" is spread over the levels as evenly as its number of blanks allows.")
	}
	return page.Say("The blanks of some values of "+names+" could not be spread evenly: ", uneven,
		" more at one level than need be.")
}

// blanks are the blanks of a file that have every balancing value.
type blanks struct {
	whole   *frames.Frame
	rows    []int // of whole, one a blank
	frame   *frames.Frame
	values  [][]float64 // by balancing column
	names   []string    // the balancing columns
	leftOut []string    // blanks that lack a value
	aside   []string    // blanks that the file has set aside
	blocks  []string    // the columns of blocks
	codes   [][]int     // of each
}

// Allot gives the blanks of a file to levels so that what was measured on them matches in mean and in spread.
func Allot(k *session.Call, cmd *phrase.Allot) (*session.Outcome, error) {
	if err := k.Replacing(); err != nil {
		return nil, err
	}
	levels := cmd.Levels
	name := notation.PlainName(cmd.Factor.Text)
	once := slices.Clone(levels.List)
	slices.Sort(once)
	if len(levels.List) < 2 || len(slices.Compact(once)) < len(levels.List) {
		return nil, page.Refuse(page.CodeTooFewLevels, levels.At,
			"blanks are given to two levels or more, each named once", "")
	}
	b, err := readBlanks(k, cmd)
	if err != nil {
		return nil, err
	}
	if _, taken := b.frame.Column(name); taken {
		return nil, page.Refuse(page.CodeNameTaken, cmd.Factor.At, "the file has a column "+name+" already", "")
	}
	a, err := plan.Allot(k.Context, b.values, b.codes, len(levels.List), k.Session.Settings().Seed)
	var e *plan.Error
	if errors.As(err, &e) {
		p := page.Refuse(page.Code(e.Code), cmd.File.At, "there are fewer blanks with every value than levels", "")
		if e.Code == "no-difference" {
			p.Code, p.At, p.Message = "all-equal", cmd.Balancing.At, "a balancing column has the same value for every "+
				"blank, so it balances itself; leave it out"
		}
		return nil, p
	}
	if err != nil {
		return nil, err
	}
	groups := b.groups(len(levels.List), a)
	k.Entry.Findings = []page.Sentence{page.Say(b.frame.Len(), " blanks go to ", len(groups), " levels, as many to "+
		"each as can be; the table of means and spreads has what each gets."), allottedMatch(a, b.blocks)}
	if len(groups) <= mostLevelsNamed {
		k.Entry.Findings[0] = allotted(levels.List, b.measured(), groups)
	}
	if len(b.blocks) > 0 {
		k.Entry.Find(blocksSpread(b.blocks, a.Uneven))
	}
	k.Entry.Warn(page.If(len(b.leftOut) > 0, "Left out because a value to match by is missing: "+
		say.ShortList(b.leftOut)+"."), blanksAside(b.aside))
	k.Entry.Tables = []page.Table{b.allotTable(name, levels.List, a), b.balanceTable(name, levels.List, groups)}
	k.Entry.Values = page.ValuesOf(allotFigures{a.Gap, a.Spread}, nil)
	k.Entry.Reads = []string{files.Home(cmd.File.Path)}
	if to := k.Command.Clauses().To; to != nil {
		k.Entry.Tables[0].Rest = "in " + to.Path
		return nil, writeAllotted(k, cmd, b, name, a, *to)
	}
	return nil, nil
}

// writeAllotted asks the loop to write the blanks with the level of each in a column of its
// own, those left out without one.
func writeAllotted(k *session.Call, cmd *phrase.Allot, b *blanks, name string, a plan.Allotment, to phrase.File) error {
	levels := cmd.Levels.List
	look := frames.LookPath(to.Path)
	if look == "" {
		return k.UnknownFormat(to, "blanks are written as .csv", ".csv")
	}
	given := make([]string, b.whole.Len())
	for i, row := range b.rows {
		given[row] = levels[a.Level[i]]
	}
	f, _, err := vectors.Added(k.Context, b.whole, name, cmd.Factor.Text, vectors.WordsEach(given))
	if err == nil {
		f, err = f.SetLevels(name, levels)
	}
	if err != nil {
		return session.WithPlace(err, cmd.Levels.At)
	}
	w, err := f.Write(k.Context)
	if err != nil {
		return err
	}
	k.Entry.Asks = []page.Ask{{Kind: page.Write, Path: files.Home(to.Path), Content: w.CSV},
		{Kind: page.Write, Path: files.Home(look), Content: w.Look, Beside: true}}
	k.Entry.Find(page.Say("All ", f.Len(), " blanks are written to "+to.Path+" with "+name+
		" as a new column; type open "+to.Path+" to go on with it ("+look+" beside it has what a CSV cannot say)."))
	return nil
}

// readBlanks opens the file and reads its balancing columns.
func readBlanks(k *session.Call, cmd *phrase.Allot) (*blanks, error) {
	file := cmd.File
	f, err := session.ReadTable(k, file, cmd, func(c *phrase.Allot) **phrase.Text { return &c.Sheet })
	if err != nil {
		return nil, err
	}
	b := &blanks{whole: f}
	list := cmd.Balancing
	lacks := make([]bool, f.Len())
	for _, typed := range list.List {
		name := notation.PlainName(typed)
		if c, ok := f.Column(name); ok && c.Kind != frames.Number {
			return nil, page.Refuse(page.CodeWrongKind, within(k, list, typed),
				c.Name+" in "+file.Path+" is not a number, so its mean cannot be balanced", "")
		}
		missing, err := f.MissingIn(name)
		if err != nil {
			return nil, b.noColumn(typed, file.Path, within(k, list, typed))
		}
		for row, gone := range missing {
			lacks[row] = lacks[row] || gone
		}
		b.names = append(b.names, name)
	}
	b.take(k, lacks, func(int) bool { return true })
	for _, name := range b.names {
		v, err := b.frame.Numbers(name)
		if err != nil {
			return nil, session.WithPlace(err, list.At)
		}
		b.values = append(b.values, v)
	}
	return b, nil
}

// take takes the blanks that are not set aside, lack nothing and can be used, and finds the boards, batches and days
// that they share.
func (b *blanks) take(k *session.Call, lacks []bool, use func(row int) bool) {
	keep := make([]bool, b.whole.Len())
	for row := range keep {
		switch _, aside := b.whole.Aside(row); {
		case aside:
			b.aside = append(b.aside, b.whole.SpecimenName(row))
		case lacks[row]:
			b.leftOut = append(b.leftOut, b.whole.SpecimenName(row))
		case use(row):
			keep[row] = true
			b.rows = append(b.rows, row)
		}
	}
	b.frame = b.whole.Subset(k.Context, keep)
	s := &session.Sample{Frame: b.frame}
	for _, c := range b.frame.Columns() {
		if n := s.Distinct(k.Context, c.Name); session.IsBlock(c) && n > 1 && n < b.frame.Len() {
			codes, _ := s.Blocks(k.Context, []string{c.Name})
			b.blocks, b.codes = append(b.blocks, c.Name), append(b.codes, codes)
		}
	}
}

// blocksOf are the cells of a blank in the columns of blocks.
func (b *blanks) blocksOf(row int) page.Many {
	out := page.Many{IDs: b.blocks}
	for _, block := range b.blocks {
		text, _ := b.frame.Cell(block, row)
		out.Cells = append(out.Cells, page.T(text))
	}
	return out
}

// within is the place of one text of a list.
func within(k *session.Call, list phrase.Texts, text string) int {
	rest := []rune(k.Command.Input)[list.At-1:]
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
	return page.Refuse(page.CodeUnknownColumn, at, path+" has no column "+typed,
		phrase.Meant(typed, have, "its number columns are"))
}

// allottedRow is a blank with its level, its blocks and what was measured on it.
type allottedRow struct {
	Specimen string    `id:"specimen"`
	Level    string    `id:"{factor}" blank:"yes"`
	Blocks   page.Many `id:"{blocks}"`
	Measured page.Many `id:"{columns}"`
}

// balanceRow is how many blanks a level got, and their means and spreads, a column's side by side.
type balanceRow struct {
	Level string    `id:"{factor}" blank:"yes"`
	N     int       `id:"n"`
	Means page.Many `id:"{columns}"`
}

// allotFigures tells how far the levels are apart.
type allotFigures struct {
	Gap    float64 `id:"gap" style:"ratio"`
	Spread float64 `id:"spread_ratio" style:"ratio"`
}

// measured are the balancing columns.
func (b *blanks) measured() []page.Column {
	var out []page.Column
	for _, name := range b.names {
		c, _ := b.frame.Column(name)
		out = append(out, page.Column{ID: name, Unit: c.Unit.String()})
	}
	return out
}

func (b *blanks) allotTable(factor string, levels []string, a plan.Allotment) page.Table {
	var rows []allottedRow
	measured := b.measured()
	for row, l := range a.Level {
		r := allottedRow{Specimen: b.frame.SpecimenName(row), Level: levels[l],
			Blocks: b.blocksOf(row), Measured: page.Many{Columns: measured}}
		for _, v := range b.values {
			r.Measured.Cells = append(r.Measured.Cells, page.N(v[row]))
		}
		rows = append(rows, r)
	}
	return page.Filled(page.Table{ID: "allotted", Title: page.Say("Blanks by " + factor)}, rows,
		page.Names{"factor": factor})
}

// group is the blanks of one level: how many, and mean and sd of each balancing column.
type group struct {
	n        int
	mean, sd []float64
}

func (b *blanks) groups(levels int, a plan.Allotment) []group {
	out := make([]group, levels)
	for _, v := range b.values {
		own := make([][]float64, levels)
		for i, l := range a.Level {
			own[l] = append(own[l], v[i])
		}
		for l, x := range own {
			mean, sd := stat.MeanStdDev(x, nil)
			out[l].n = len(x)
			out[l].mean, out[l].sd = append(out[l].mean, mean), append(out[l].sd, sd)
		}
	}
	return out
}

func (b *blanks) balanceTable(factor string, levels []string, groups []group) page.Table {
	var columns []page.Column
	for _, c := range b.measured() {
		columns = append(columns, c, page.Column{ID: c.ID + "_sd", Unit: c.Unit})
	}
	var rows []balanceRow
	for l, g := range groups {
		r := balanceRow{Level: levels[l], N: g.n, Means: page.Many{Columns: columns}}
		for i := range g.mean {
			r.Means.Cells = append(r.Means.Cells, page.N(g.mean[i]), page.N(g.sd[i]))
		}
		rows = append(rows, r)
	}
	return page.Filled(page.Table{ID: "balance", Title: page.Say("Means and spreads by " + factor)}, rows,
		page.Names{"factor": factor})
}
