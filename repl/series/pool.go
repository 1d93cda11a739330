package series

import (
	"context"
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/proofread"
	"breakbook/frames/units"
	"breakbook/models/compare"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/series/specimens"
	"breakbook/repl/session"
	"breakbook/repl/session/past"
)

// pooled tells what was put together.
func pooled(name string, parts []frames.Part, specimens, columns int) page.Sentence {
	return page.Say(name+" has ", specimens, " specimens in ", columns, " columns: ",
		page.Joined(parts, ", ", func(p frames.Part) page.Sentence {
			return page.Say(p.Frame.Len(), " of "+p.Name)
		}), ".")
}

// mismatched puts what did not match between pooled series into words.
func mismatched(parts []frames.Part, odd []frames.Mismatch) []page.Sentence {
	var out []page.Sentence
	for i, m := range odd {
		in := strings.Join(m.Series, " and ")
		switch m.Code {
		case "only-in":
			if columns := sameLack(odd, i); columns != nil {
				out = append(out, page.Say(say.ShortList(columns)+say.Plural(len(columns), " stands", " stand")+
					" only in "+in+": the ", m.Count, say.Plural(m.Count, " specimen of ", " specimens of ")+
					strings.Join(lacking(parts, m.Series), " and ")+say.Plural(m.Count, " lacks ", " lack ")+
					say.Plural(len(columns), "it.", "them.")))
			}
		case "unit-assumed":
			out = append(out, page.Say(m.Column+" has no unit in "+in+" and is taken to be in "+m.Unit+" there."))
		case "kinds-differ":
			out = append(out, page.Say(m.Column+" is numbers in "+in+" and words elsewhere, so it is words now."))
		case "loads-apart":
			out = append(out, page.Say("The loads of "+in+" stay apart: they are called "+m.Other+" there and "+
				m.Column+" before it. To put them together, go back and rename one: rename "+m.Other+" to "+m.Column+
				"."))
		}
	}
	return out
}

// lacking are the series that are not among those that have a column.
func lacking(parts []frames.Part, have []string) []string {
	var out []string
	for _, p := range parts {
		if !slices.Contains(have, p.Name) {
			out = append(out, p.Name)
		}
	}
	return out
}

// sameLack lists the columns that only the same series have as the one at i, where that
// is the first of them; else nothing.
func sameLack(odd []frames.Mismatch, i int) []string {
	var columns []string
	for j, m := range odd {
		if m.Code != odd[i].Code || !slices.Equal(m.Series, odd[i].Series) {
			continue
		}
		if j < i {
			return nil
		}
		columns = append(columns, m.Column)
	}
	return columns
}

// linedUp tells how many specimens found a partner.
func linedUp(name string, a, b frames.Part, key string, l *frames.LinedUp, columns int) page.Sentence {
	return page.Say(name+": ", l.Matched, " of the ", a.Frame.Len(), " specimens of "+a.Name+" have a partner in "+
		b.Name+" with the same "+key, page.If(l.Shared > 0, "; ", l.Shared, " of "+b.Name+" "+say.Plural(l.Shared,
		"serves", "serve")+" more than one"), "; ", columns, say.Plural(columns, " column", " columns")+" in all.")
}

// withoutPartner lists what had no partner.
func withoutPartner(a, b frames.Part, key string, l *frames.LinedUp) []page.Sentence {
	alone, left := len(l.Alone), len(l.LeftOut)
	out := []page.Sentence{
		page.If(alone > 0, alone, " of "+a.Name+say.Plural(alone, " has", " have")+" no partner and "+
			say.Plural(alone, "lacks", "lack")+" the columns of "+b.Name+": ",
			listOf(a.Frame, l.Alone, key, l.Keyless[0])),
		page.If(left > 0, left, " of "+b.Name+say.Plural(left, " has", " have")+" no partner and "+
			say.Plural(left, "is", "are")+" left out: ", listOf(b.Frame, l.LeftOut, key, l.Keyless[1])),
	}
	for _, r := range l.Renamed {
		out = append(out, page.Say("Both have a column "+r[0]+"; that of "+b.Name+" is called "+r[1]+"."))
	}
	return append(out, page.If(l.AsideToo > 0, l.AsideToo, say.Plural(l.AsideToo, " specimen is", " specimens are")+
		" set aside because "+say.Plural(l.AsideToo, "its partner", "their partners")+" in "+b.Name+
		" "+say.Plural(l.AsideToo, "was", "were")+"."))
}

// listOf names rows by their key, the first few; those without one are counted.
func listOf(f *frames.Frame, rows []int, key string, keyless int) page.Sentence {
	var names []string
	for _, row := range rows {
		if cell, ok := f.Cell(key, row); ok {
			names = append(names, cell)
		}
	}
	return page.Say(say.ShortList(names), page.If(keyless > 0 && len(names) > 0, ", and "),
		page.If(keyless > 0, keyless, " without a "+key), ".")
}

// parts are the series that the command lists, and the name of the one to be made.
func parts(k *session.Call, list phrase.NameList, name phrase.Name) ([]frames.Part, string, error) {
	var parts []frames.Part
	for _, n := range list.List {
		if slices.ContainsFunc(parts, func(p frames.Part) bool { return p.Name == n.Text }) {
			return nil, "", page.Refuse(page.CodeSeriesTwice, n.At, n.Text+" is named twice", "")
		}
		f, _ := k.Session.Frame(n.Text)
		parts = append(parts, frames.Part{Name: n.Text, Frame: f})
	}
	if k.Session.NameTaken(name.Text) {
		return nil, "", nameTaken(name.Text, name.At)
	}
	k.Entry.Series = name.Text
	return parts, name.Text, nil
}

// Pool puts series one below the other.
func Pool(k *session.Call, cmd *phrase.Pool) (*session.Outcome, error) {
	parts, name, err := parts(k, cmd.List, cmd.Name)
	if err != nil {
		return nil, err
	}
	next, odd, err := frames.Pool(k.Context, parts)
	if err != nil {
		return nil, session.WithPlace(err, cmd.List.At)
	}
	load, origins := originsOf(k.Context, next)
	t := page.Table{ID: "series", Title: page.Say("Series in " + name)}
	if load.Name != "" {
		t.Note = page.Say("median: of " + load.Name)
	}
	var names []string
	var medians []float64
	for _, o := range origins {
		names, medians = append(names, o.Series), append(medians, o.Median)
	}
	t = page.Filled(t, origins, page.Names{"unit": load.Unit.String()})
	k.Entry.Findings = append([]page.Sentence{pooled(name, parts, next.Len(), len(next.Columns()))},
		specimens.LeftToCheck(next)...)
	k.Entry.Tables = []page.Table{t, columnTable(k.Context, next, next.Columns())}
	k.Entry.Cautions = append(mismatched(parts, odd), past.MixedUnits(k, names, medians, load, "")...)
	if c, n := namesShared(next); n > 0 {
		k.Entry.Warn(page.Say(n, say.Plural(n, " value", " values")+" of "+c+" "+say.Plural(n, "stands", "stand")+
			" for more than one specimen now; name such a one by its series too, as in for "+c+" is 7 and series is …"))
	}
	k.Entry.Warn(labelsShared(k, next, load.Name))
	return putTogether(k, name, next)
}

// labelsShared says of the boards, batches and days of a pool whose labels several series use that they are taken for
// different ones, with the line that takes them for the same.
func labelsShared(k *session.Call, f *frames.Frame, load string) page.Sentence {
	var shared []string
	within := ""
	first := &phrase.Drove{Y: session.Plainly(load)}
	for _, c := range f.Columns() {
		if !session.IsBlock(c) {
			continue
		}
		labels := session.SharedLabels(k.Context, f, c.Name)
		if len(labels) == 0 {
			continue
		}
		shared = append(shared, c.Name+" ("+say.ShortList(labels)+")")
		if within == "" {
			within = c.Name + " within " + frames.SeriesColumn
			first.Blocks = &phrase.Blocks{List: []phrase.BlockRef{{Column: phrase.ColumnRef{Column: c.Name}}}}
		}
	}
	n := len(shared)
	return page.If(n > 0, "Several of these series use the same labels of "+say.Listed(shared)+
		". In each they are taken for other pieces or days ("+within+").",
		page.If(load != "" && n > 0, " If they are the same, say so where you ask, as in: "+phrase.Line(first)))
}

// putTogether tells the remarks on the rows of a series that was put together, and goes on with it.
func putTogether(k *session.Call, name string, next *frames.Frame) (*session.Outcome, error) {
	// a remark on rows set aside only says what was said when they were
	rows, err := specimens.RowCautions(k, next, func(r proofread.Remark) bool { return r.Aside })
	if err != nil {
		return nil, err
	}
	k.Entry.Warn(rows...)
	return session.Becomes(k.Session.WithFrame(name, next)), nil
}

// originRow is what a pool holds of one series; Median is that of its loads without what is
// set aside, NaN where there are none.
type originRow struct {
	Series    string  `id:"series"`
	Specimens int     `id:"specimens"`
	SetAside  int     `id:"set_aside"`
	Median    float64 `id:"median" unit:"{unit}"`
}

// originsOf takes a pool apart by its series, and tells the column of loads: the one
// marked so, else the first of forces.
func originsOf(ctx context.Context, f *frames.Frame) (frames.Column, []originRow) {
	load, ok := f.RoleColumn(frames.Load)
	if !ok || load.Kind != frames.Number {
		load = frames.Column{}
		for _, c := range f.Columns() {
			if load.Name == "" && c.Kind == frames.Number && c.Unit.Dimension() == "force" {
				load = c
			}
		}
	}
	c, _ := f.Column(frames.SeriesColumn)
	codes, _ := f.Codes(ctx, frames.SeriesColumn) // every pool has the column
	loads, err := f.Numbers(load.Name)
	all := make([]originRow, len(c.Levels))
	values := make([][]float64, len(c.Levels))
	for row, code := range codes {
		all[code].Specimens++
		if _, aside := f.Aside(row); aside {
			all[code].SetAside++
		} else if err == nil && !math.IsNaN(loads[row]) {
			values[code] = append(values[code], loads[row])
		}
	}
	for i := range all {
		all[i].Series, all[i].Median = c.Levels[i], math.NaN()
		if len(values[i]) > 0 {
			all[i].Median = compare.Summarise(ctx, values[i], 0.95).Median
		}
	}
	return load, all
}

// namesShared counts the values of the specimen column that stand more than once.
func namesShared(f *frames.Frame) (column string, n int) {
	c, ok := f.RoleColumn(frames.Specimen)
	if !ok {
		return "", 0
	}
	times := map[string]int{}
	for row := range f.Len() {
		if cell, ok := f.Cell(c.Name, row); ok {
			if times[cell]++; times[cell] == 2 {
				n++
			}
		}
	}
	return c.Name, n
}

// unmatchedRow is a specimen of one series that has no partner in the other.
type unmatchedRow struct {
	Series string `id:"series"`
	Row    int    `id:"row"`
	Line   int    `id:"line"`
	Key    string `id:"{key}"`
}

// PutBeside puts the columns of two series side by side.
func PutBeside(k *session.Call, cmd *phrase.PutBeside) (*session.Outcome, error) {
	parts, name, err := parts(k, phrase.NameList{List: []phrase.Name{cmd.First, cmd.Second}, At: cmd.First.At},
		cmd.Name)
	if err != nil {
		return nil, err
	}
	ref := cmd.Key
	next, met, err := frames.LineUp(k.Context, parts[0], parts[1], ref.Column)
	if err != nil {
		if ue, isUnits := err.(*units.Error); isUnits {
			return nil, page.Refuse(page.CodeWrongDimension, ref.At, ref.Column+" does not measure the same in both: "+
				ue.Error(), "")
		}
		return nil, session.WithPlace(err, ref.At)
	}
	var unmatched []unmatchedRow
	for i, rows := range [][]int{met.Alone, met.LeftOut} {
		f := parts[i].Frame
		for _, row := range rows {
			cell, _ := f.Cell(ref.Column, row)
			unmatched = append(unmatched, unmatchedRow{parts[i].Name, row + 1, f.Line(row), cell})
		}
	}
	k.Entry.Findings = append([]page.Sentence{linedUp(name, parts[0], parts[1], ref.Column, met, len(next.Columns()))},
		specimens.LeftToCheck(next)...)
	k.Entry.Warn(withoutPartner(parts[0], parts[1], ref.Column, met)...)
	if len(unmatched) > 0 {
		k.Entry.Tables = append(k.Entry.Tables, page.Filled(page.Table{ID: "unmatched",
			Title: page.Say("Without a partner")}, unmatched, page.Names{"key": ref.Column}))
	}
	k.Entry.Tables = append(k.Entry.Tables, columnTable(k.Context, next, next.Columns()))
	return putTogether(k, name, next)
}
