package modes

import (
	"context"
	"errors"
	"slices"
	"strings"

	"breakbook/models/parallel"
	"breakbook/models/tables"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// modesCounted tells whether the ways of breaking go with a factor, and what most specimens of
// each level did. drawn is the number of random tables that stood in for all, 0 for none.
func modesCounted(mode, by string, together bool, p, within float64, drawn int, most []modeShare) page.Sentence {
	lead := say.Capital(mode) + " goes with " + by
	if !together {
		lead = "These counts do not show that " + mode + " goes with " + by
	}
	tables := page.Say("every table with these totals counted, ", page.Chance(p))
	if drawn > 0 {
		tables = page.Say(drawn, " random tables with these totals, ", page.Chance(p), ", give or take ",
			page.Num{Value: within, Style: page.P})
	}
	return page.Say(lead+" (", tables, ")", page.If(len(most) > 0, ": most often, "),
		page.Joined(most, "; ", func(m modeShare) page.Sentence {
			return page.Say("with "+m.Level+", "+m.said()+" (", m.Count, " of ", m.N, ")")
		}), ".")
}

// fewestExpected is the expected count under which the chi-square probability is rough
// (Cochran 1954).
const fewestExpected = 5

// crossed is specimens counted by a factor and by the way they broke.
type crossed struct {
	sample    *session.Sample
	mode, by  phrase.ColumnRef
	rows      []string // the levels of by that have specimens
	modes     []string // the levels of mode that have specimens
	counts    [][]int  // by row and mode
	specimens [][]int  // by row: the specimens of the sample
	codes     []int    // of each specimen: the place in modes
	levelUnit string
}

// readCrossed counts the specimens that have a mode, a level and a value in the other columns.
func readCrossed(k *session.Call, mode, by phrase.ColumnRef, columns ...string) (*crossed, error) {
	c := &crossed{mode: mode, by: by}
	if c.mode.Column == c.by.Column {
		return nil, page.Refuse(page.CodeSameColumn, c.by.At, c.by.Column+" goes with itself in any case",
			"name another column after by")
	}
	var err error
	if c.sample, err = k.Sample(append([]string{c.mode.Column, c.by.Column}, columns...)...); err != nil {
		return nil, err
	}
	whole := make([]float64, c.sample.Frame.Len())
	levels, err := k.Groups(c.sample, whole, c.by)
	if err != nil {
		return nil, err
	}
	modes, err := k.Groups(c.sample, whole, c.mode)
	if err != nil {
		return nil, err
	}
	c.modes, c.codes = session.LevelCodes(modes, len(whole))
	for _, g := range levels {
		counts := make([]int, len(modes))
		for _, row := range g.Rows {
			counts[c.codes[row]]++
		}
		c.rows, c.counts, c.specimens = append(c.rows, g.Level), append(c.counts, counts), append(c.specimens, g.Rows)
	}
	col, _ := c.sample.Frame.Column(c.by.Column)
	c.levelUnit = col.Unit.String()
	return c, nil
}

// said is a level of the factor in a sentence: "pins pair".
func (c *crossed) said(row int) string {
	return strings.TrimSpace(c.by.Column + " " + c.rows[row] + " " + c.levelUnit)
}

// most is the commonest mode of each level.
func (c *crossed) most() []modeShare {
	var out []modeShare
	for i, counts := range c.counts {
		if len(out) == mostNamed {
			break
		}
		most := modeShare{Level: c.said(i), Count: slices.Max(counts), N: len(c.specimens[i])}
		for j, n := range counts {
			switch {
			case n < most.Count:
			case most.Mode == "":
				most.Mode = c.modes[j]
			default:
				most.Alike = append(most.Alike, c.modes[j])
			}
		}
		out = append(out, most)
	}
	return out
}

// mostBroken is the commonest mode of each level among the specimens that broke, where any did, and how many of all
// did not.
func (c *crossed) mostBroken(ctx context.Context) (most []modeShare, held int) {
	whole := session.Unbroken(c.sample.Frame, c.mode.Column)
	broke := *c
	broke.counts, broke.specimens = nil, nil
	for i, counts := range c.counts {
		rows := make([]int, 0, len(c.specimens[i]))
		for at, row := range c.specimens[i] {
			parallel.LookAt(ctx, at)
			if !slices.Contains(whole, c.modes[c.codes[row]]) {
				rows = append(rows, row)
			}
		}
		held += len(c.specimens[i]) - len(rows)
		if len(rows) == 0 {
			rows = c.specimens[i]
		} else {
			counts = slices.Clone(counts)
			for j, m := range c.modes {
				if slices.Contains(whole, m) {
					counts[j] = 0
				}
			}
		}
		broke.counts, broke.specimens = append(broke.counts, counts), append(broke.specimens, rows)
	}
	return broke.most(), held
}

// heldCounted says that some of what was counted did not break.
func heldCounted(n int) page.Sentence {
	return page.Say(say.Unbroken(n) + "counted in the table and in p, while \"most often\" is of those that broke, " +
		"where any did.")
}

// CountModes counts the ways of breaking by the levels of a factor.
func CountModes(k *session.Call, cmd *phrase.CountModes) (*session.Outcome, error) {
	c, err := readCrossed(k, cmd.Mode, cmd.A)
	if err != nil {
		return nil, err
	}
	t, err := tables.Of(k.Context, c.counts, tables.Options{Seed: k.Session.Settings().Seed, Progress: k.Progress()})
	if errors.Is(err, tables.ErrOneWay) {
		return nil, c.oneLevel(k)
	}
	if err != nil {
		return nil, err
	}
	answer := verdict.CannotTell
	if t.Exact < 1-k.Confidence() {
		answer = verdict.Differs
	}
	most, held := c.mostBroken(k.Context)
	finding := modesCounted(c.mode.Column, c.by.Column, answer == verdict.Differs, t.Exact, t.Error, t.Tables, most)
	k.Entry.Findings = []page.Sentence{finding}
	k.Entry.Tables = []page.Table{c.table()}
	figures, tried := countFigures{Exact: t.Exact, ChiSquare: t.ChiSquare, DF: t.DF, P: t.P}, "every table"
	if t.Tables > 0 {
		figures.drawnTables, tried = &drawnTables{t.Tables, t.Error}, "random tables"
	}
	k.Entry.Values = page.ValuesOf(figures, page.Names{"tables": tried})
	if held > 0 {
		k.Entry.Warn(heldCounted(held))
	}
	k.Entry.Warn(page.If(t.Least < fewestExpected, "The smallest count to expect, were nothing going on, is ",
		page.Num{Value: t.Least, Style: page.Ratio},
		", under the 5 that the chi-square probability needs (Cochran 1954): go by the exact one."))
	gaps, err := c.gaps(k)
	if err != nil {
		return nil, err
	}
	known := []string{c.mode.Column, c.by.Column}
	mains := []session.Answer{{Key: countKey, Finding: finding, Gap: say.Gap{Answer: answer}}}
	out := session.Tested(c.sample, c.sample.Mode(c.mode.Column), known, mains)
	return out.Keeping(session.Result{Columns: known, Gaps: gaps}), nil
}

// countKey is the key of the answer of counts: whether the way of failing goes with the levels.
const countKey = "count"

// oneLevel is the problem of a single level on one side.
func (c *crossed) oneLevel(k *session.Call) error {
	p := page.Refuse(page.CodeOneLevel, c.by.At, "all these specimens have the same "+c.by.Column+
		", "+c.rows[0], k.OrWiden("name another column"))
	if len(c.rows) > 1 {
		p.At, p.Message = c.mode.At, "all these specimens have the same "+c.mode.Column+", "+c.modes[0]
	}
	return p
}

// countRow is how many specimens of a level broke in each mode.
type countRow struct {
	Level string    `id:"{by}"`
	Modes page.Many `id:"{mode}" style:"count"`
	Total int       `id:"total"`
}

// countFigures are what tells whether mode and factor go together.
type countFigures struct {
	Exact     float64 `id:"p_exact" label:"p, {tables} with these totals" style:"p"`
	ChiSquare float64 `id:"chi_square" label:"chi-square" style:"ratio"`
	DF        int     `id:"df" label:"degrees of freedom" style:"df"`
	P         float64 `id:"p_chi_square" label:"p by chi-square" style:"p"`
	*drawnTables
}

// drawnTables are the random tables that stood in for all, and what they leave open.
type drawnTables struct {
	Tables int     `id:"random_tables" label:"random tables"`
	Error  float64 `id:"p_exact_error" label:"standard error of p" style:"p"`
}

// table has one row a level and one column a mode.
func (c *crossed) table() page.Table {
	ids := make([]string, len(c.modes))
	for j, m := range c.modes {
		ids[j] = m
		if m == "total" || m == c.by.Column { // two columns of one name would hide each other
			ids[j] = c.mode.Column + ": " + m
		}
	}
	var rows []countRow
	for i, counts := range c.counts {
		r := countRow{Level: c.rows[i], Modes: page.Many{IDs: ids, Labels: c.modes}, Total: len(c.specimens[i])}
		for _, n := range counts {
			r.Modes.Cells = append(r.Modes.Cells, page.N(float64(n)))
		}
		rows = append(rows, r)
	}
	return page.Filled(page.Table{ID: "counts", Title: page.Say(c.mode.Column + " by " + c.by.Column)}, rows,
		page.Names{"by": c.by.Column})
}
