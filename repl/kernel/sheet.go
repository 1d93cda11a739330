package kernel

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/models/resample"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// sheet asks the loop to write a randomised test sheet for a plan.
func sheet(k *call, cmd *phrase.Sheet) (*outcome, error) {
	file := cmd.File
	look := frames.LookPath(file.Path)
	if look == "" {
		return nil, k.unknownFormat(file, "a test sheet is written as .csv", ".csv")
	}
	r, _ := k.s.result(cmd.Plan.Text)
	f, ok := k.s.frame(r.series)
	if r.plan == nil || !ok {
		return nil, &page.Problem{Code: "no-series", At: cmd.Plan.At, Message: "the series of that plan is not open"}
	}
	if made := len(combinations(r.plan.levels)); r.plan.perLevel > say.WorkshopMost || r.plan.perLevel*made > 10*say.WorkshopMost {
		return nil, &page.Problem{Code: "too-many-specimens", At: cmd.Plan.At,
			Message: r.name + " asks for more than a workshop can make, and a sheet of it would never be filled in",
			Hint:    "plan for a larger difference, or for fewer blanks"}
	}
	k.e.Series = r.series
	out, blocks := testSheet(f, r, k.s.Settings().Seed)
	w, err := out.Write()
	if err != nil {
		return nil, err
	}
	k.e.Asks = []page.Ask{{Kind: page.Write, Path: homed(file.Path), Content: w.CSV, Sheet: &page.Sheet{Plan: r.name, Result: r.plan.result()}},
		{Kind: page.Write, Path: homed(look), Content: w.Look, Beside: true}}
	var fill []string
	for i, c := range out.Columns {
		if out.Rows[0][i] == "" {
			fill = append(fill, c.Name)
		}
	}
	k.e.Findings = []page.Sentence{say.Sheet(r.name, file.Path, len(out.Rows), blocks, r.plan.everyKind(), fill), say.SheetComesBack(file.Path, look)}
	for _, s := range say.Safety() {
		k.e.Cautions = append(k.e.Cautions, page.Say(s))
	}
	t := page.Table{ID: "sheet", Title: page.Say("The test sheet, in the order of testing")}
	for _, c := range out.Columns {
		t.Columns = append(t.Columns, page.Column{ID: c.Name, Unit: c.Unit.String()})
	}
	for _, row := range out.Rows {
		var cells []page.Cell
		for _, text := range row {
			cells = append(cells, maybe(text))
		}
		t.Rows = append(t.Rows, cells)
	}
	k.e.Tables = []page.Table{t}
	return nil, nil
}

// result is the column that the results of a planned series go into.
func (p *planned) result() string {
	if p.mode != "" {
		return p.mode
	}
	return p.response
}

// testSheet lays a plan out: every combination of levels as often as planned, in an order
// drawn from the seed; where a block column is marked, block by block as the plan has them,
// or with every combination once a block where the plan knew of none.
func testSheet(f *frames.Frame, r result, seed uint64) (*frames.Sheet, int) {
	made := combinations(r.plan.levels)
	columns := sheetColumns(f, r.plan)
	block, blocked := blockToFill(columns, r.plan.block)
	draw := resample.Stream(seed, 0)
	width := len(strconv.Itoa(r.plan.perLevel * len(made)))
	names := draw.Perm(r.plan.perLevel * len(made)) // so that a name tells nothing
	s := &frames.Sheet{Columns: columns, Notes: sheetNotes(f, r)}
	blocks := 0
	for _, run := range r.plan.runs(draw, blocked) {
		blocks++
		for _, kind := range run {
			n := len(s.Rows)
			s.Rows = append(s.Rows, sheetRow(columns, r.plan, made[kind], block, n+1, fmt.Sprintf("%s-%0*d", r.name, width, names[n]+1), blocks))
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
func (p *planned) everyKind() bool { return p.blocks == nil || !slices.Contains(p.blocks.Whole, true) }

// runs are the combinations in the order of testing, one list a block, or all in one. Of
// combinations made from whole blocks one block each is tested before the next of any.
func (p *planned) runs(draw *rand.Rand, blocked bool) [][]int {
	made := combinations(p.levels)
	if !blocked {
		all := draw.Perm(p.perLevel * len(made))
		for i := range all {
			all[i] %= len(made)
		}
		return [][]int{all}
	}
	each, groups := 1, [][]int{allRows(len(made))}
	if p.blocks != nil {
		each, groups = p.blocks.Each, p.wholes(made)
	}
	var out [][]int
	for done := 0; done < p.perLevel; done += each {
		for _, g := range draw.Perm(len(groups)) {
			n := min(each, p.perLevel-done)
			block := draw.Perm(n * len(groups[g]))
			for i := range block {
				block[i] = groups[g][block[i]%len(groups[g])]
			}
			out = append(out, block)
		}
	}
	return out
}

// wholes are the combinations that meet in one block, by the levels that blocks are made of
// as a whole.
func (p *planned) wholes(made [][]string) [][]int {
	var out [][]int
	number := map[string]int{}
	for i, levels := range made {
		key := ""
		for f, level := range levels {
			if p.blocks.Whole[f] {
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

// combinations are all choices of a level of each factor; one empty choice without factors.
func combinations(levels [][]string) [][]string {
	out := [][]string{nil}
	for _, of := range levels {
		var next [][]string
		for _, head := range out {
			for _, level := range of {
				next = append(next, append(slices.Clip(slices.Clone(head)), level))
			}
		}
		out = next
	}
	return out
}

// sheetColumns are the columns of a sheet: order, specimen, blocks, the factors, what comes
// with the blank, the load, the failure mode.
func sheetColumns(f *frames.Frame, p *planned) []frames.Column {
	marked := func(role frames.Role, name string, kind frames.Kind) frames.Column {
		if c, ok := f.RoleColumn(role); ok {
			c.Levels = nil
			return c
		}
		if _, taken := f.Column(name); taken {
			name = "test_" + name
		}
		return frames.Column{Name: name, Label: strings.ToUpper(name[:1]) + strings.ReplaceAll(name[1:], "_", " "), Kind: kind, Role: role}
	}
	out := []frames.Column{marked(frames.Order, "order", frames.Number), marked(frames.Specimen, "specimen", frames.Text)}
	add := func(c frames.Column) {
		if !slices.ContainsFunc(out, func(o frames.Column) bool { return o.Name == c.Name }) {
			out = append(out, c)
		}
	}
	all := f.Columns()
	for _, c := range all {
		if c.Role == frames.Block && !slices.Contains(p.factors, c.Name) {
			c.Levels, c.Kind = nil, frames.Category
			add(c)
		}
	}
	for i, name := range p.factors {
		c, _ := f.Column(name)
		c.Levels = p.levels[i]
		add(c)
	}
	for _, c := range all {
		if c.Role == frames.Found || c.Kind == frames.Number && c.Unit.Dimension() == "density" {
			add(c)
		}
	}
	if c, ok := f.Column(p.response); ok {
		add(c)
	}
	if c, ok := f.Column(p.mode); ok {
		add(c)
	} else {
		add(marked(frames.Failure, "failure", frames.Category))
	}
	return out
}

func sheetRow(columns []frames.Column, p *planned, levels []string, blocked string, order int, specimen string, block int) []string {
	row := make([]string, len(columns))
	for i, c := range columns {
		switch factor := slices.Index(p.factors, c.Name); {
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

// sheetNotes are the lines above the sheet: safety, then the words for how a joint failed.
func sheetNotes(f *frames.Frame, r result) []string {
	notes := append([]string{"Test sheet of " + r.name + ", to be worked through in this order."}, say.Safety()...)
	name := r.plan.mode
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
	filled, same := w.FilledIn(ctx, old, sheet.Sheet.Result)
	return say.SheetLeft(sheet.Path, sheet.Sheet.Plan, filled.Results, filled.Of), same
}
