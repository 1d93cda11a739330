package plans

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/frames/files"
	"breakbook/frames/reading"
	"breakbook/models/lists"
	"breakbook/models/plan"
	"breakbook/models/resample"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// safety is what everybody at a rig is told, a line each.
func safety() []string {
	return []string{
		"A loaded joint stores energy and lets go all at once.",
		"Put a guard between you and the joint, and wear eye protection.",
		"Stand clear of the line of pull, and secure the pieces so that they cannot fly.",
	}
}

// sheet tells what a test sheet holds and what is to be filled in.
func sheet(plan, file string, specimens, stages, blocks int, everyKind bool, fill []string) page.Sentence {
	return page.Say(file+" has the ", specimens, " specimens of "+plan+" in a random order",
		page.If(stages > 1, " within each of ", stages, " stages"),
		page.If(blocks > 0, ", in ", blocks, say.Plural(blocks, " block", " blocks"),
			page.If(everyKind, say.Plural(blocks, " with every kind in it", " with every kind in each"))),
		". To be filled in: "+strings.Join(fill, ", ")+".")
}

// Sheet asks the loop to write a randomised test sheet for a plan.
func Sheet(k *session.Call, cmd *phrase.Sheet) (*session.Outcome, error) {
	file := cmd.File
	look, toPrint := frames.LookPath(file.Path), printed(file.Path)
	if look == "" && !toPrint {
		return nil, k.UnknownFormat(file, "a test sheet is written as .csv, or to print as .html", ".csv")
	}
	r, _ := k.Session.Result(cmd.Plan.Text)
	f, ok := k.Session.Frame(r.Series)
	if r.Plan == nil || !ok {
		return nil, page.Refuse(page.CodeNoSeries, cmd.Plan.At, "the series of that plan is not open", "")
	}
	if r.Plan.PerLevel > say.WorkshopMost || len(madeOf(r.Plan)) > 10*say.WorkshopMost {
		return nil, page.Refuse(page.CodeTooManySpecimens, cmd.Plan.At, r.Name+
			" asks for more than a workshop can make, and a sheet of it would never be filled in",
			"plan for a larger difference, or for fewer blanks")
	}
	k.Entry.Series = r.Series
	current, ok := k.Session.Frame(k.Session.Current())
	if !ok {
		current = f
	}
	columns, made := sheetColumns(f, current, r.Plan)
	l, err := layOver(cmd, r.Plan, columns)
	if err != nil {
		return nil, err
	}
	out, blocks := testSheet(f, r, l, k.Session.Settings().Seed)
	var fill []string
	for i, c := range out.Columns {
		if out.Rows[0][i] == "" {
			fill = append(fill, c.Name)
		}
	}
	k.Entry.Findings = []page.Sentence{sheet(r.Name, file.Path, len(out.Rows), l.stages, blocks, everyKind(r.Plan),
		fill)}
	if toPrint {
		pages := toBePrinted(out, r, l, fillingIn(f, r.Plan))
		k.Entry.Asks = []page.Ask{{Kind: page.Write, Path: files.Home(file.Path), Printed: pages}}
		k.Entry.Find(sheetPrints(pages.Days))
	} else {
		w, err := out.Write()
		if err != nil {
			return nil, err
		}
		k.Entry.Asks = []page.Ask{{Kind: page.Write, Path: files.Home(file.Path), Content: w.CSV,
			Sheet: &page.Sheet{Plan: r.Name, Result: result(r.Plan)}},
			{Kind: page.Write, Path: files.Home(look), Content: w.Look, Beside: true}}
		k.Entry.Find(page.Say("Once filled in, open " + file.Path + " finds every column marked, as long as " + look +
			" lies beside it."))
	}
	k.Entry.Find(page.If(len(made) > 0, "Not on it, because "+r.Series+" has them worked out and not entered: "+
		say.ShortList(made)+"."))
	for _, s := range safety() {
		k.Entry.Warn(page.Say(s))
	}
	t := sheetTable(out)
	t.Rest = "in " + file.Path
	k.Entry.Tables = []page.Table{t}
	return nil, nil
}

type sheetLine struct {
	Cells page.Many `id:"{columns}"`
}

// sheetTable shows a test sheet.
func sheetTable(s *frames.Sheet) page.Table {
	var columns []page.Column
	for _, c := range s.Columns {
		columns = append(columns, page.Column{ID: c.Name, Unit: c.Unit.String(), Given: true})
	}
	var lines []sheetLine
	for _, row := range s.Rows {
		l := sheetLine{page.Many{Columns: columns}}
		for _, text := range row {
			l.Cells.Cells = append(l.Cells.Cells, page.Maybe(text))
		}
		lines = append(lines, l)
	}
	return page.Filled(page.Table{ID: "sheet", Title: page.Say("The test sheet, in the order of testing")}, lines, nil)
}

// result is the column that the results of a planned series go into.
func result(p *session.Plan) string {
	if p.Mode != "" {
		return p.Mode
	}
	return p.Response
}

// testSheet lays a plan out: every combination of levels as often as planned, in an order
// drawn from the seed; where a block column is marked, block by block as the plan has them,
// or with every combination once a block where the plan knew of none.
func testSheet(f *frames.Frame, r session.Result, l layOut, seed uint64) (*frames.Sheet, int) {
	columns := l.columns
	made := lists.Combinations(r.Plan.Levels)
	block, blocked := blockToFill(columns, r.Plan.Block)
	draw := resample.Stream(seed, 0)
	all := len(madeOf(r.Plan))
	width := len(strconv.Itoa(all))
	names := draw.Perm(all) // so that a name tells nothing
	s := &frames.Sheet{Columns: columns, Notes: slices.Concat([]string{"Test sheet of " + r.Name +
		", to be worked through in this order."}, safety(), fillingIn(f, r.Plan))}
	blocks := 0
	for stage := range l.stages {
		l.begin()
		for _, run := range runs(l.stageOf(r.Plan), draw, blocked) {
			blocks++
			for _, kind := range run {
				n := len(s.Rows)
				row := sheetRow(columns, r.Plan, made[kind], block, n+1,
					fmt.Sprintf("%s-%0*d", r.Name, width, names[n]+1), blocks)
				s.Rows = append(s.Rows, l.date(row, stage+1))
			}
		}
	}
	if !blocked {
		blocks = 0
	}
	return s, blocks
}

// blockToFill is the block column that the sheet numbers: the plan's own, or where that is
// no longer marked the first.
func blockToFill(columns []frames.Column, own string) (name string, ok bool) {
	for _, c := range columns {
		if c.Role == frames.Block && (!ok || c.Name == own) {
			name, ok = c.Name, true
		}
	}
	return name, ok
}

// everyKind reports whether every block holds every combination.
func everyKind(p *session.Plan) bool {
	return p.Each == nil && (p.Blocks == nil || !slices.Contains(p.Blocks.Whole, true))
}

// runs are the combinations in the order of testing, one list a block, or all in one. Of
// combinations made from whole blocks one block each is tested before the next of any.
func runs(p *session.Plan, draw *rand.Rand, blocked bool) [][]int {
	made := lists.Combinations(p.Levels)
	if !blocked {
		return [][]int{shuffled(draw, madeOf(p))}
	}
	if p.Each != nil {
		return unevenRuns(p, draw)
	}
	each, groups := 1, [][]int{session.AllRows(len(made))}
	if p.Blocks != nil {
		each, groups = p.Blocks.Each, wholes(p, made)
	}
	var out [][]int
	for done := 0; done < p.PerLevel; done += each {
		for _, g := range draw.Perm(len(groups)) {
			out = append(out, shuffled(draw, slices.Repeat(groups[g], min(each, p.PerLevel-done))))
		}
	}
	return out
}

// madeOf is the combination of every specimen of a plan.
func madeOf(p *session.Plan) []int {
	if p.Each == nil {
		return slices.Repeat(session.AllRows(len(lists.Combinations(p.Levels))), p.PerLevel)
	}
	return eachSoOften(p.Each)
}

// unevenRuns are the levels of a plan in which each has its own number, in the order of testing, a list a block.
// Blocks that are each of one level are tested in a random order, for their numbers differ.
func unevenRuns(p *session.Plan, draw *rand.Rand) [][]int {
	blocks := p.Blocks
	if blocks == nil {
		blocks = &plan.Blocks{Each: 1, Whole: []bool{false}}
	}
	layout := plan.Uneven{N: p.Each, Blocks: blocks}.Layout()
	return lists.Mapped(draw.Perm(len(layout)), func(b int) []int { return shuffled(draw, eachSoOften(layout[b])) })
}

// eachSoOften has every kind so many times.
func eachSoOften(times []int) (kinds []int) {
	for kind, n := range times {
		kinds = append(kinds, slices.Repeat([]int{kind}, n)...)
	}
	return kinds
}

// shuffled are kinds in an order drawn at random.
func shuffled(draw *rand.Rand, kinds []int) []int {
	out := draw.Perm(len(kinds))
	for i, at := range out {
		out[i] = kinds[at]
	}
	return out
}

// wholes are the combinations that meet in one block, by the levels that blocks are made of
// as a whole.
func wholes(p *session.Plan, made [][]string) [][]int {
	var out [][]int
	number := map[string]int{}
	for i, levels := range made {
		key := ""
		for f, level := range levels {
			if p.Blocks.Whole[f] {
				key += strconv.Quote(level)
			}
		}
		g, met := number[key]
		if !met {
			g = len(out)
			number[key] = g
			out = append(out, nil)
		}
		out[g] = append(out[g], i)
	}
	return out
}

// sheetColumns are the columns of a sheet: those that were entered in the plan's series, in its order and
// with their roles, so that the filled sheet can be pooled with it; before them the order of testing and
// the names where the series has none, after them those of the current series and the failure mode. made
// are the columns left out since they are worked out.
func sheetColumns(f, current *frames.Frame, p *session.Plan) (out []frames.Column, made []string) {
	marked := func(role frames.Role, name string, kind frames.Kind) frames.Column {
		if c, ok := f.RoleColumn(role); ok {
			c.Levels = nil
			return c
		}
		if _, taken := f.Column(name); taken {
			name = "test_" + name
		}
		return frames.Column{Name: name, Label: say.Capital(strings.ReplaceAll(name, "_", " ")), Kind: kind, Role: role}
	}
	add := func(c frames.Column) {
		if !slices.ContainsFunc(out, func(o frames.Column) bool { return o.Name == c.Name }) {
			out = append(out, c)
		}
	}
	name := namingColumn(f)
	order := marked(frames.Order, "order", frames.Number)
	if _, there := f.Column(order.Name); !there {
		add(order)
	}
	if own := marked(frames.Specimen, "specimen", frames.Text); name == "" {
		add(own)
	}
	for _, c := range f.Columns() {
		if c.Name == name {
			c.Role = frames.Specimen
		}
		factor := slices.Index(p.Factors, c.Name)
		switch {
		case factor >= 0:
			c.Levels = p.Levels[factor]
		case c.Name == frames.SeriesColumn:
			continue
		case c.Made && c.Name != p.Response && c.Name != p.Mode:
			made = append(made, c.Name)
			continue
		case c.Role == frames.Order || c.Role == frames.Specimen:
			c.Levels = nil
		case c.Role == frames.Block:
			c.Levels, c.Kind = nil, frames.Category
		}
		add(c)
	}
	for _, c := range current.Columns() {
		_, taken := f.RoleColumn(c.Role)
		if c.Made || c.Name == frames.SeriesColumn {
			continue
		}
		if taken && c.Role != frames.Given && c.Role != frames.Result && c.Role != frames.Block {
			c.Role = frames.NoRole
		}
		add(c)
	}
	if _, ok := f.Column(p.Mode); !ok {
		add(marked(frames.Failure, "failure", frames.Category))
	}
	return out, made
}

// namingColumn is the column of a series that names its specimens: the one marked so, else the first of texts
// of which no two are the same; "" where there is none.
func namingColumn(f *frames.Frame) string {
	if c, ok := f.RoleColumn(frames.Specimen); ok {
		return c.Name
	}
	for _, c := range f.Columns() {
		if c.Kind != frames.Text || c.Role != frames.NoRole {
			continue
		}
		seen := make(map[string]bool, f.Len())
		for row := range f.Len() {
			if cell, ok := f.Cell(c.Name, row); ok {
				seen[cell] = true
			}
		}
		if len(seen) == f.Len() {
			return c.Name
		}
	}
	return ""
}

func sheetRow(columns []frames.Column, p *session.Plan, levels []string, blocked string, order int, specimen string,
	block int) []string {
	row := make([]string, len(columns))
	for i, c := range columns {
		switch factor := slices.Index(p.Factors, c.Name); {
		case factor >= 0:
			row[i] = levels[factor]
		case c.Role == frames.Order:
			row[i] = strconv.Itoa(order)
		case c.Role == frames.Specimen:
			row[i] = specimen
		case c.Name == blocked:
			row[i] = "block " + strconv.Itoa(block)
		}
	}
	return row
}

// fillingIn tells what to write: the words for how a joint failed, and what becomes of a spoiled one.
func fillingIn(f *frames.Frame, p *session.Plan) []string {
	var notes []string
	name := p.Mode
	if c, ok := f.RoleColumn(frames.Failure); ok && name == "" {
		name = c.Name
	}
	if c, ok := f.Column(name); ok && len(c.Levels) > 0 {
		notes = append(notes, c.Label+": one of "+strings.Join(c.Levels, ", ")+", or a word of your own.")
	} else {
		notes = append(notes, "Failure: where it broke, such as glue, wood, pin or mixed, the same word every time.")
	}
	return append(notes, "A specimen that spoils keeps its line: leave the load empty.")
}

// SheetLeft reports whether a file holds the sheet that is to be written, whatever was
// filled in, and tells how far that has come.
func SheetLeft(ctx context.Context, sheet, look page.Ask, old []byte) (page.Sentence, bool) {
	w := frames.Written{CSV: sheet.Content, Look: look.Content}
	filled, same := reading.FilledIn(ctx, &w, old, sheet.Sheet.Result)
	return page.Say(sheet.Path+" is there already and belongs to "+sheet.Sheet.Plan+": left as it is, ", filled.Results,
		" of ", filled.Of, say.Plural(filled.Of, " result", " results")+" filled in."), same
}
