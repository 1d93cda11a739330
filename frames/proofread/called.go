package proofread

import (
	"strings"
	"sync"
	"unicode"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// figureWords are what people call the rows under their specimens, by what these are, in the languages of the units
// table; from memory.
var figureWords = map[Stat]string{
	Total: "total sum subtotal grandtotal summe gesamt somme suma soma somma totale totaal summa",
	Mean: "mean average avg mittel mittelwert durchschnitt moyenne media média promedio gemiddelde medel " +
		"medelvärde gjennomsnitt gennemsnit średnia",
	Median: "median mediane médiane mediana mediaan",
	SD: "sd std stdev stddev stdabw stdabweichung standarddeviation standardabweichung écarttype ecarttype " +
		"desviación deviazione standaardafwijking",
	Variance: "variance varianz varianza variantie",
	StdError: "sem standarderror standardfehler",
	CV:       "cv coefficientofvariation variationskoeffizient",
	Least:    "min minimum smallest lowest kleinster",
	Most:     "max maximum largest highest größter",
	Range:    "range spannweite",
	Count:    "count number anzahl nombre aantal antal",
}

var statCalled = sync.OnceValue(func() map[string]Stat {
	of := map[string]Stat{}
	for stat, words := range figureWords {
		for w := range strings.FieldsSeq(words) {
			of[w] = stat
		}
	}
	return of
})

// CalledFigure is what a name says its row is of others; false for the name of a specimen.
func CalledFigure(name string) (Stat, bool) {
	if strings.ContainsFunc(name, unicode.IsDigit) {
		return "", false
	}
	stat, is := statCalled()[strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, name)]
	return stat, is
}

// called finds the rows that are called a figure of others, whatever they hold: one that was not worked out again
// after a load was mended is no sum of what stands there now, and no specimen either. The word names its row, or is the
// only one in a row where others have several.
func called(t *table) (all []Remark) {
	name := t.nameColumn()
	if t.quick {
		return nil
	}
	words := lists.Where(lists.Indices(len(t.columns)), func(i int) bool {
		return i == name || t.columns[i].Kind != frames.Number
	})
	found := make([]Remark, len(t.columns))
	several, some := 0, 0
	for row := range t.rows {
		parallel.LookAt(t.ctx, row)
		if t.out[row] {
			continue
		}
		only, n := name, 0
		for _, i := range words {
			cell, there := t.f.Cell(t.columns[i].Name, row)
			if there && (i == name || strings.ContainsFunc(cell, unicode.IsLetter)) { // loads read as words are none
				only, n = i, n+1
			}
		}
		if some++; n > 1 {
			several++
			only = name
		}
		if only < 0 {
			continue
		}
		cell, there := t.f.Cell(t.columns[only].Name, row)
		stat, is := CalledFigure(cell)
		if r := &found[only]; there && is {
			if r.Rows = append(r.Rows, row); r.Word == "" {
				r.Word, r.Stat = cell, stat
			}
		}
	}
	for i, r := range found {
		if len(r.Rows) > 0 && 4*len(r.Rows) <= 3*t.rows && (i == name || 2*several > some) {
			// names that say so nearly everywhere say nothing
			r.Code, r.Column = Called, t.columns[i].Name
			all = append(all, r)
			for _, row := range r.Rows {
				t.out[row] = true // what it holds is no slip
			}
			t.counts = make([][]int, len(t.columns)) // of levels, which it was counted with
		}
	}
	return all
}
