package proofread

import (
	"strings"
	"sync"
	"unicode"

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
// after a load was mended is no sum of what stands there now, and no specimen either.
func called(t *table) []Remark {
	name := t.nameColumn()
	if t.quick || name < 0 {
		return nil
	}
	r := Remark{Code: Called, Column: t.columns[name].Name}
	for row := range t.rows {
		parallel.LookAt(t.ctx, row)
		cell, there := t.f.Cell(r.Column, row)
		stat, is := CalledFigure(cell)
		if !there || !is || t.out[row] {
			continue
		}
		if r.Rows = append(r.Rows, row); r.Word == "" {
			r.Word, r.Stat = cell, stat
		}
	}
	if len(r.Rows) == 0 || 4*len(r.Rows) > 3*t.rows { // names that say so nearly everywhere say nothing
		return nil
	}
	return []Remark{r}
}
