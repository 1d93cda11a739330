package reading

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"breakbook/frames"
	"breakbook/frames/notation"
)

// planter writes tables of random columns for tests of headers.
type planter struct {
	*rand.Rand
	used map[string]bool
}

// plantedColumn is a name, in a header with its unit or over a row of units, and how its
// cells come.
type plantedColumn struct {
	name, unit string
	cell       func(row int) string
}

var usualNames = []string{"load", "failure", "joint", "specimen", "glue", "density", "width", "board", "date",
	"remark", "Bruchlast", "Holz", "Ø pin"}

// name is a name that was not drawn before: a usual one, or letters.
func (p *planter) name() string {
	for {
		name := usualNames[p.IntN(len(usualNames))]
		if p.IntN(2) == 0 {
			letters := make([]byte, 3+p.IntN(6))
			for i := range letters {
				letters[i] = byte('a' + p.IntN(26))
			}
			name = string(letters)
		}
		if label, u := notation.SplitHeader(name); !p.used[strings.ToLower(name)] && u.None() && label == name &&
			!newAbsence(nil).is(name) {
			p.used[strings.ToLower(name)] = true
			return name
		}
	}
}

// numbers is a column of numbers, words one of words that repeat or, sometimes, of names.
func (p *planter) numbers() plantedColumn {
	middle, unit := 10+1000*p.Float64(), []string{"", "N", "mm", "kN", "kg/m3"}[p.IntN(5)]
	return plantedColumn{p.name(), unit, func(int) string { return fmt.Sprintf("%.1f", middle*(0.8+0.4*p.Float64())) }}
}

func (p *planter) words() plantedColumn {
	list := []string{"hide", "fish", "bone"}
	if p.IntN(2) == 0 {
		list = []string{"oak", "larch"}
	}
	if names := p.IntN(3) == 0; names {
		letter := string(rune('A' + p.IntN(26)))
		return plantedColumn{p.name(), "", func(row int) string { return fmt.Sprint(letter, row+1) }}
	}
	return plantedColumn{p.name(), "", func(int) string { return list[p.IntN(len(list))] }}
}

func (p *planter) column() plantedColumn {
	if p.IntN(2) == 0 {
		return p.words()
	}
	return p.numbers()
}

func (p *planter) columns(n int) []plantedColumn {
	all := []plantedColumn{p.numbers()}
	for len(all) < n {
		all = append(all, p.column())
	}
	p.Shuffle(n, func(i, j int) { all[i], all[j] = all[j], all[i] })
	return all
}

// write joins records with a mark.
func (p *planter) write(records [][]string) string {
	mark := []string{",", ";", "\t"}[p.IntN(3)]
	var b strings.Builder
	for _, r := range records {
		b.WriteString(strings.Join(r, mark) + "\n")
	}
	return b.String()
}

// unitsAmong puts a row of units, where there is one, before the header, between its
// lines or after it.
func (p *planter) unitsAmong(header [][]string, units []string) [][]string {
	if !slices.ContainsFunc(units, func(u string) bool { return u != "" }) || filled(units) == 1 && units[0] != "" {
		return header
	}
	at := len(header)
	if p.IntN(4) == 0 {
		at = p.IntN(len(header) + 1)
	}
	return slices.Insert(header, at, units)
}

// blocks is a file of side-by-side blocks, and the columns of the first.
func (p *planter) blocks() (file string, first []string, times int, shared []string) {
	block, ahead := p.columns(2+p.IntN(3)), []plantedColumn(nil)
	for range p.IntN(3) {
		ahead = append(ahead, p.column())
	}
	times = 2 + p.IntN(3)
	rows, gap, unitsRow := 4+p.IntN(20), p.IntN(2) == 0, p.IntN(3) == 0
	var header, units []string
	add := func(c plantedColumn) {
		name, unit := c.name, c.unit
		if !unitsRow && unit != "" {
			name += " (" + unit + ")"
		}
		header, units = append(header, name), append(units, unit)
	}
	for _, c := range ahead {
		add(c)
		shared = append(shared, notation.PlainName(c.name))
	}
	for b := range times {
		if gap && (b > 0 || len(ahead) > 0) {
			header, units = append(header, ""), append(units, "")
		}
		for _, c := range block {
			add(c)
		}
	}
	records := [][]string{header}
	if unitsRow {
		records = p.unitsAmong(records, units)
	}
	lengths := make([]int, times)
	for b := range lengths {
		lengths[b] = rows
		if p.IntN(2) == 0 {
			lengths[b] = 2 + p.IntN(rows-2)
		}
	}
	lengths[0] = rows
	for row := range rows {
		var r []string
		for _, c := range ahead {
			r = append(r, c.cell(row))
		}
		for b := range times {
			if gap && (b > 0 || len(ahead) > 0) {
				r = append(r, "")
			}
			for _, c := range block {
				cell := c.cell(row + 100*b)
				if row >= lengths[b] || p.IntN(15) == 0 {
					cell = ""
				}
				r = append(r, cell)
			}
		}
		records = append(records, r)
	}
	for _, c := range block {
		first = append(first, notation.PlainName(c.name))
	}
	return p.write(records), first, times, shared
}

// TestPlantedBlocksAreFound counts in how many files the blocks planted are found, each
// with its columns: 95 of 100 at least.
func TestPlantedBlocksAreFound(t *testing.T) {
	const files = 500
	found := 0
	for seed := range uint64(files) {
		p := &planter{rand.New(rand.NewPCG(seed, 1)), map[string]bool{}}
		file, first, times, shared := p.blocks()
		f, r, err := Read(t.Context(), "x.csv", []byte(file), Overrides{})
		if err != nil {
			t.Fatalf("seed %d: %v\n%s", seed, err, file)
		}
		if len(r.Blocks) != times || !slices.Equal(r.Blocks[0], first) {
			t.Logf("seed %d: %d times %q found as %q\n%s", seed, times, first, r.Blocks, file)
			continue
		}
		found++
		next, met, err := f.PutBelow(t.Context(), r.Blocks)
		if err != nil {
			t.Errorf("seed %d: %v\n%s", seed, err, file)
			continue
		}
		if !slices.Equal(met.Shared, shared) || len(next.Columns()) != len(first)+len(shared) {
			t.Errorf("seed %d: shared %q, want %q", seed, met.Shared, shared)
		}
	}
	t.Logf("%d of %d found", found, files)
	if 100*found < 95*files {
		t.Errorf("only %d of %d", found, files)
	}
}

// twoLined is a file whose header stands in two lines, the columns that are in groups as
// they may be called, and the line of the upper names.
func (p *planter) twoLined() (file string, grouped map[string][]string, upper int) {
	var top, low, units []string
	var columns []plantedColumn
	grouped = map[string][]string{}
	singlesAbove, unitsRow := p.IntN(2) == 0, p.IntN(2) == 0
	single := func() {
		c := p.column()
		if singlesAbove {
			top, low = append(top, c.name), append(low, "")
		} else {
			top, low = append(top, ""), append(low, c.name)
		}
		columns, units = append(columns, c), append(units, c.unit)
	}
	single()
	for range 1 + p.IntN(3) {
		group := p.name()
		for i := range 2 + p.IntN(2) {
			c := p.numbers()
			for saysRole(notation.PlainName(c.name)) {
				c = p.numbers()
			}
			top, low = append(top, ""), append(low, c.name)
			if i == 0 {
				top[len(top)-1] = group
			}
			columns, units = append(columns, c), append(units, c.unit)
			grouped[notation.PlainName(c.name)] = []string{notation.PlainName(group + " " + c.name),
				notation.PlainName(c.name)}
		}
		if singlesAbove && p.IntN(2) == 0 {
			single()
		}
	}
	if p.IntN(2) == 0 {
		single()
	}
	header := [][]string{top, low}
	if unitsRow {
		header = p.unitsAmong(header, units)
	}
	upper = 1 + slices.IndexFunc(header, func(r []string) bool { return slices.Equal(r, top) })
	if p.IntN(4) == 0 {
		header = slices.Insert(header, 0, append([]string{"Tests of the spring"}, make([]string, len(top)-1)...))
		upper++
	}
	records := header
	for row := range 4 + p.IntN(20) {
		var r []string
		for _, c := range columns {
			cell := c.cell(row)
			if p.IntN(15) == 0 {
				cell = ""
			}
			r = append(r, cell)
		}
		records = append(records, r)
	}
	return p.write(records), grouped, upper
}

// TestPlantedTwoLineHeadersAreFound counts in how many files a header in two lines is read
// as one, its names complete: 95 of 100 at least.
func TestPlantedTwoLineHeadersAreFound(t *testing.T) {
	const files = 500
	found := 0
	for seed := range uint64(files) {
		p := &planter{rand.New(rand.NewPCG(seed, 2)), map[string]bool{}}
		file, grouped, upper := p.twoLined()
		f, r, err := Read(t.Context(), "x.csv", []byte(file), Overrides{})
		if err != nil {
			t.Fatalf("seed %d: %v\n%s", seed, err, file)
		}
		all := r.UpperLine == upper
		for _, may := range grouped {
			all = all && slices.ContainsFunc(may, func(name string) bool { _, has := f.Column(name); return has })
		}
		if !all {
			t.Logf("seed %d: upper line %d, want %d, columns %v\n%s", seed, r.UpperLine, upper, f.Columns(), file)
			continue
		}
		found++
	}
	t.Logf("%d of %d found", found, files)
	if 100*found < 95*files {
		t.Errorf("only %d of %d", found, files)
	}
}

// plain is a file with one header and no blocks, with the oddities of files as they are.
func (p *planter) plain() string {
	columns := p.columns(1 + p.IntN(7))
	var header []string
	for _, c := range columns {
		header = append(header, c.name)
	}
	switch p.IntN(5) {
	case 0: // a column without a header, not the first: under a title that would be a name of its own
		header[len(header)-1-p.IntN((len(header)+1)/2)] = ""
	case 1: // a header that stands twice
		header[p.IntN(len(header))] = header[0]
	case 2: // empty columns at the end
		header = append(header, "", "")
	}
	var records [][]string
	switch p.IntN(7) {
	case 3:
		records = append(records, append([]string{"Operator", "Jo"}, make([]string, max(0, len(header)-2))...))
	case 0:
		records = append(records, []string{"Tests of the spring"})
	case 1:
		records = append(records, []string{"Operator:", "Jo"}, []string{})
	case 2:
		records = append(records, append([]string{"Tests of the spring"}, make([]string, len(header)-1)...))
	}
	records = append(records, header)
	if p.IntN(4) == 0 {
		units := make([]string, len(header))
		for i, c := range columns {
			units[i] = c.unit
		}
		records = append(records, units)
	}
	rows := 3 + p.IntN(20)
	for row := range rows {
		r := make([]string, len(header))
		for i, c := range columns {
			switch p.IntN(12) {
			case 0:
			case 1:
				r[i] = []string{"n/a", "slipped", "knot", "-"}[p.IntN(4)]
			default:
				r[i] = c.cell(row)
			}
		}
		records = append(records, r)
	}
	return p.write(records)
}

// TestPlainTablesAreNotTakenForMore: no file with one header and no blocks is read with
// two lines or with blocks.
func TestPlainTablesAreNotTakenForMore(t *testing.T) {
	seeds := uint64(2000)
	if testing.Short() {
		seeds = 200
	}
	for seed := range seeds {
		p := &planter{rand.New(rand.NewPCG(seed, 3)), map[string]bool{}}
		file := p.plain()
		_, r, err := Read(t.Context(), "x.csv", []byte(file), Overrides{})
		if err != nil {
			continue // a table of one column whose rows are all blank
		}
		if slices.ContainsFunc(r.Remarks, func(m frames.Remark) bool { return m.Code == "data-in-header" }) {
			t.Errorf("seed %d: the header is doubted\n%s", seed, file)
		}
		if len(r.Blocks) > 0 || r.UpperLine > 0 {
			t.Errorf("seed %d: blocks %q, upper line %d\n%s", seed, r.Blocks, r.UpperLine, file)
		}
	}
}
