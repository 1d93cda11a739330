package kernel

import (
	"errors"
	"slices"

	"breakbook/models/tables"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// fewestExpected is the expected count under which the chi-square probability is rough
// (Cochran 1954).
const fewestExpected = 5

// crossed is specimens counted by a factor and by the way they broke.
type crossed struct {
	sample    *sample
	mode, by  phrase.ColumnRef
	rows      []string // the levels of by that have specimens
	modes     []string // the levels of mode that have specimens
	counts    [][]int  // by row and mode
	specimens [][]int  // by row: the specimens of the sample
	codes     []int    // of each specimen: the place in modes
	levelUnit string
}

// crossed counts the specimens that have a mode, a level and a value in the other columns.
func (k *call) crossed(mode, by phrase.ColumnRef, columns ...string) (*crossed, error) {
	c := &crossed{mode: mode, by: by}
	if c.mode.Column == c.by.Column {
		return nil, &page.Problem{Code: "same-column", At: c.by.At, Message: c.by.Column + " goes with itself in any case", Hint: "name another column after by"}
	}
	var err error
	if c.sample, err = k.sample(append([]string{c.mode.Column, c.by.Column}, columns...)...); err != nil {
		return nil, err
	}
	whole := make([]float64, c.sample.frame.Len())
	levels, err := k.groups(c.sample, whole, c.by)
	if err != nil {
		return nil, err
	}
	modes, err := k.groups(c.sample, whole, c.mode)
	if err != nil {
		return nil, err
	}
	c.codes = make([]int, len(whole))
	for j, m := range modes {
		c.modes = append(c.modes, m.level)
		for _, row := range m.rows {
			c.codes[row] = j
		}
	}
	for _, g := range levels {
		counts := make([]int, len(modes))
		for _, row := range g.rows {
			counts[c.codes[row]]++
		}
		c.rows, c.counts, c.specimens = append(c.rows, g.level), append(c.counts, counts), append(c.specimens, g.rows)
	}
	col, _ := c.sample.frame.Column(c.by.Column)
	c.levelUnit = col.Unit.String()
	return c, nil
}

// said is a level of the factor in a sentence: "pins pair".
func (c *crossed) said(row int) string {
	out := c.by.Column + " " + c.rows[row]
	if c.levelUnit != "" {
		out += " " + c.levelUnit
	}
	return out
}

// mode is the way of breaking as what the analysis explains; it has no numbers, and zeros
// stand for them.
func (s *sample) mode(column string) *response {
	c, _ := s.frame.Column(column)
	return &response{column: c, values: make([]float64, s.frame.Len())}
}

// most is the commonest mode of each level.
func (c *crossed) most() []say.ModeShare {
	var out []say.ModeShare
	for i, counts := range c.counts {
		if len(out) == mostTold {
			break
		}
		j := slices.Index(counts, slices.Max(counts))
		out = append(out, say.ModeShare{Level: c.said(i), Mode: c.modes[j], Count: counts[j], N: len(c.specimens[i])})
	}
	return out
}

// countModes counts the ways of breaking by the levels of a factor.
func countModes(k *call, cmd *phrase.CountModes) (*outcome, error) {
	c, err := k.crossed(cmd.Mode, cmd.A)
	if err != nil {
		return nil, err
	}
	t, err := tables.Of(k.ctx, c.counts, tables.Options{Seed: k.s.Settings().Seed, Progress: k.progress()})
	if errors.Is(err, tables.ErrOneWay) {
		return nil, c.oneWay()
	}
	if err != nil {
		return nil, err
	}
	answer := verdict.CannotTell
	if t.Exact < 1-k.confidence() {
		answer = verdict.Differs
	}
	told := say.ModesCounted(c.mode.Column, c.by.Column, answer == verdict.Differs, t.Exact, t.Error, t.Tables, c.most())
	k.e.Findings = []page.Sentence{told}
	k.e.Tables = []page.Table{c.table()}
	k.e.Values = []page.Value{figure("p_exact", t.Exact, page.P, ""), figure("chi_square", t.ChiSquare, page.Ratio, ""),
		figure("df", float64(t.DF), page.DF, ""), figure("p_chi_square", t.P, page.P, "")}
	for i, label := range []string{"p, every table with these totals", "chi-square", "degrees of freedom", "p by chi-square"} {
		k.e.Values[i].Label = label
	}
	if t.Tables > 0 {
		k.e.Values[0].Label = "p, random tables with these totals"
		tried, within := figure("random_tables", float64(t.Tables), page.Count, ""), figure("p_exact_error", t.Error, page.P, "")
		tried.Label, within.Label = "random tables", "standard error of p"
		k.e.Values = append(k.e.Values, tried, within)
	}
	if t.Least < fewestExpected {
		k.e.Cautions = append(k.e.Cautions, say.RoughChiSquare(t.Least))
	}
	known := []string{c.mode.Column, c.by.Column}
	mains := []main{{key: "count", told: told, gap: say.Gap{Answer: answer}}}
	return answered(c.sample, c.sample.mode(c.mode.Column), known, mains).keeping(result{columns: known}), nil
}

// oneWay is the problem of a single level on one side.
func (c *crossed) oneWay() error {
	p := &page.Problem{Code: "one-level", At: c.by.At, Message: "all these specimens have the same " + c.by.Column + ", " + c.rows[0],
		Hint: "widen the condition after for, or name another column"}
	if len(c.rows) > 1 {
		p.At, p.Message = c.mode.At, "all these specimens have the same "+c.mode.Column+", "+c.modes[0]
	}
	return p
}

// table has one row a level and one column a mode.
func (c *crossed) table() page.Table {
	t := page.Table{ID: "counts", Title: page.Say(c.mode.Column + " by " + c.by.Column), Columns: []page.Column{{ID: c.by.Column}}}
	for _, m := range c.modes {
		id := m
		if id == "total" || id == c.by.Column { // two columns of one name would hide each other
			id = c.mode.Column + ": " + m
		}
		t.Columns = append(t.Columns, page.Column{ID: id, Label: m, Style: page.Count})
	}
	t.Columns = append(t.Columns, page.Column{ID: "total", Style: page.Count})
	for i, counts := range c.counts {
		row := []page.Cell{page.T(c.rows[i])}
		for _, n := range counts {
			row = append(row, page.N(float64(n)))
		}
		t.Rows = append(t.Rows, append(row, page.N(float64(len(c.specimens[i])))))
	}
	return t
}
