package bench

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// graveLoss is one in how many specimens may at most be missing before an analysis says so first.
const graveLoss = 5

// lossOf is how many of the specimens that are lost lack a column.
type lossOf struct {
	Column string
	N      int
}

// loss is what an analysis loses to missing values.
type loss struct {
	All     int      // specimens that would take part if nothing were missing
	Lost    int      // those that lack a value
	Columns []lossOf // which they lack, the column that costs most first
	Gone    []string // levels and series of which nothing is left: "series spring", "pins offset"
	Without []string // the columns to leave out
	Then    int      // specimens that take part without them
	Line    string   // the line that leaves them out; "" where none does
}

// lossCaution says what is lost, which column costs most, and the line without it.
func lossCaution(l loss) page.Sentence {
	s := page.Say(l.Lost, " of ", l.All, say.Plural(l.Lost, " specimens is left out ", " specimens are left out "))
	if len(l.Columns) == 1 {
		s = page.Say(s, "because "+l.Columns[0].Column+" is missing.")
	} else {
		s = page.Say(s, "for a missing value: ", missingIn(l.Columns), ".")
	}
	switch {
	case len(l.Gone) == 2:
		s = page.Say(s, " Nothing is left of "+l.Gone[0]+" and "+l.Gone[1]+".")
	case len(l.Gone) > 0:
		s = page.Say(s, " Nothing is left of "+say.ShortList(l.Gone)+".")
	}
	if l.Line == "" {
		return s
	}
	s = page.Say(s, " Without "+strings.Join(l.Without, " and ")+", ")
	if l.Then == l.All {
		s = page.Say(s, "all ")
	}
	return page.Say(s, l.Then, say.Plural(l.Then, " takes", " take")+" part. Try: "+l.Line)
}

// mostLacking is how many columns are named that specimens lack.
const mostLacking = 3

// missingIn lists columns with how many specimens lack each.
func missingIn(columns []lossOf) page.Sentence {
	var s page.Sentence
	for i, c := range columns {
		if i == mostLacking {
			return append(s, page.Say(" and ", len(columns)-i, " more columns")...)
		}
		if i == 0 {
			s = page.Say(c.Column+" is missing in ", c.N)
			continue
		}
		s = append(s, page.Say(", "+c.Column+" in ", c.N)...)
	}
	return s
}

// tellLoss puts what an analysis loses to missing values before its other cautions, where that is a
// fifth of its specimens, a whole level of a factor or a whole series.
func tellLoss(k *session.Call, o *session.Outcome) {
	s := k.Taken
	if o != nil && o.Analysis != nil {
		s = o.Analysis.Sample
	}
	k.Taken = nil
	if s == nil || k.Back != nil {
		return
	}
	if l, grave := lossIn(k, s); grave {
		k.Entry.Cautions = append([]page.Sentence{lossCaution(l)}, k.Entry.Cautions...)
	}
}

// withMissingSaid says in a problem that no specimen is left what each column lacks, and the line that
// leaves it out.
func withMissingSaid(k *session.Call, err error) error {
	var p *page.Problem
	if !errors.As(err, &p) || p.Code != "no-specimens" || k.Taken == nil || len(k.Taken.Lost) == 0 {
		return err
	}
	l, _ := lossIn(k, k.Taken)
	problem := *p
	for i, c := range l.Columns[:min(len(l.Columns), mostLacking)] {
		problem.Message += fmt.Sprintf("%s %s is missing in %d of %d", []string{":", ","}[min(i, 1)], c.Column, c.N,
			l.All)
	}
	if l.Line != "" {
		problem.Hint = l.Line
	}
	return &problem
}

// lossIn counts what the taking of a sample lost, and reports whether that is much.
func lossIn(k *session.Call, s *session.Sample) (l loss, grave bool) {
	l = loss{All: len(s.Rows) + len(s.Lost), Lost: len(s.Lost)}
	if l.Lost == 0 {
		return l, false
	}
	t := &taking{ctx: k.Context, sample: s, factors: factorsOf(k)}
	l.Gone = t.gone(s.Rows, s.Lost, nil)
	if l.Lost*graveLoss < l.All && len(l.Gone) == 0 {
		return l, false
	}
	for _, c := range t.needed() {
		if n := t.lacking(s.Lost, c); n > 0 {
			l.Columns = append(l.Columns, lossOf{c, n})
		}
	}
	slices.SortStableFunc(l.Columns, func(a, b lossOf) int { return b.N - a.N })
	l.Without, l.Then = t.leaveOut(k)
	if len(l.Without) > 0 {
		l.Line = lineWithout(k, l.Without, l.Then)
	}
	return l, true
}

// taking is the specimens of a sample with what each of those lost lacks.
type taking struct {
	ctx     context.Context // of the one call
	sample  *session.Sample
	factors []string // the columns whose levels are asked about
	missing map[string][]bool
}

// needed are the columns that a specimen needs a value in, each once.
func (t *taking) needed() []string {
	var out []string
	for _, c := range t.sample.Needed {
		out = lists.With(out, c)
	}
	return out
}

// lacks reports whether a row has no value in a column.
func (t *taking) lacks(row int, column string) bool {
	if t.missing == nil {
		t.missing = map[string][]bool{}
	}
	in, known := t.missing[column]
	if !known {
		in, _ = t.sample.Whole.MissingIn(column) // the sample was taken by it
		t.missing[column] = in
	}
	return in[row]
}

// lacking counts the rows without a value in a column.
func (t *taking) lacking(rows []int, column string) int {
	n := 0
	for i, row := range rows {
		parallel.LookAt(t.ctx, i)
		if t.lacks(row, column) {
			n++
		}
	}
	return n
}

// gone are the series and the levels of factors that have specimens among the lost rows and none among
// those used; except names columns that are no factors any more.
func (t *taking) gone(used, lost []int, except []string) []string {
	var out []string
	columns := append([]string{frames.SeriesColumn}, t.factors...)
	for i, name := range columns {
		c, ok := t.sample.Whole.Column(name)
		if !ok || c.Kind != frames.Category || slices.Contains(columns[:i], name) || slices.Contains(except, name) {
			continue
		}
		codes, err := t.sample.Whole.Codes(t.ctx, name)
		parallel.Heed(err) // of the context: the column is a category
		has, lacks := make([]bool, len(c.Levels)), make([]bool, len(c.Levels))
		mark := func(rows []int, in []bool) {
			for j, row := range rows {
				parallel.LookAt(t.ctx, j)
				if codes[row] >= 0 {
					in[codes[row]] = true
				}
			}
		}
		mark(used, has)
		mark(lost, lacks)
		for level, is := range lacks {
			if is && !has[level] {
				out = append(out, name+" "+c.Levels[level])
			}
		}
	}
	return out
}

// leaveOut chooses the columns that the command can do without, the costliest first, until what is lost
// to them is no longer much, and counts the specimens that take part then; none where what is lost is
// lost to the response or the like.
func (t *taking) leaveOut(k *session.Call) (without []string, then int) {
	var stay, may []string
	for _, c := range t.needed() {
		if _, ok := commandWithout(k, []string{c}); ok {
			may = append(may, c)
		} else {
			stay = append(stay, c)
		}
	}
	if len(may) == 0 {
		return nil, 0
	}
	used := slices.Clone(t.sample.Rows)
	lost := slices.DeleteFunc(slices.Clone(t.sample.Lost), func(row int) bool {
		return slices.ContainsFunc(stay, func(c string) bool { return t.lacks(row, c) })
	})
	for len(lost) > 0 && (len(lost)*graveLoss >= len(used)+len(lost) || len(t.gone(used, lost, without)) > 0) {
		worst, most := "", 0
		for _, c := range may {
			if n := t.lacking(lost, c); n > most {
				worst, most = c, n
			}
		}
		without = append(without, worst)
		may = slices.DeleteFunc(may, func(c string) bool { return c == worst })
		still := lost[:0:0]
		for _, row := range lost {
			if slices.ContainsFunc(may, func(c string) bool { return t.lacks(row, c) }) {
				still = append(still, row)
			} else {
				used = append(used, row)
			}
		}
		lost = still
	}
	return without, len(used)
}

// factorsOf are the columns whose levels a command asks about: of its terms, or those it sets side by
// side; of a command on an earlier fit, that fit's.
func factorsOf(k *session.Call) []string {
	c := fitsBy(k)
	var out []string
	if terms, ok := phrase.Part[phrase.Terms](c); ok {
		out = session.FormulaOf(terms).Columns
	}
	if grouped, ok := phrase.Facet[phrase.Grouped](c); ok {
		for _, ref := range grouped.Categories() {
			out = append(out, ref.Column)
		}
	}
	return out
}

// fitsBy is the command that took the specimens: the own one, or that of the earlier fit it is about.
func fitsBy(k *session.Call) *phrase.Command {
	of, ok := phrase.Facet[phrase.OnFit](k.Command)
	if !ok {
		return k.Command
	}
	r, ok := k.Session.Result(of.Earlier().Text)
	if !ok || r.Fit == nil {
		return k.Command
	}
	c := r.Fit.FittedBy().Copy()
	if c.Clauses().From = nil; r.Series != k.Session.Current() {
		c.Clauses().From = &phrase.Name{Text: r.Series}
	}
	return c
}

// lineWithout is the command that takes the specimens less some columns, where it can be carried out; "" else.
func lineWithout(k *session.Call, columns []string, specimens int) string {
	c, ok := commandWithout(k, columns)
	if !ok {
		return ""
	}
	line := session.WithoutName(c)
	if specimens > mostTried {
		return line
	}
	c, err := parser.Parse(phrase.Piece{Text: line, At: 1}, k.Session)
	if err != nil {
		return ""
	}
	switch c.Do.(type) {
	case *phrase.Fit, *phrase.Anova, *phrase.Until:
		if !works(k, line) {
			return ""
		}
	}
	return line
}
