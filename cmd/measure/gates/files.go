package gates

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// File is one file of the demo.
type File struct {
	Name    string
	Content []byte
}

// Data are the series of the demo, the main one first.
func (all Series) Data() []File {
	return []File{
		{"gates.csv", all.gatesCSV()},
		{"gates_spring.csv", all.springCSV()},
		{"gates_2019.csv", all.oldCSV()},
		{"gates_slip.csv", all.slipCSV()},
	}
}

// Files are the data of the demo and the page that tells the truth behind them.
func (all Series) Files() []File { return append(all.Data(), File{"TRUTH.md", all.page()}) }

// gatesCSV is the main series, in the order of breaking.
func (all Series) gatesCSV() []byte {
	rows := [][]string{{"Specimen", "Test day", "Board", "Species", "Density (kg/m3)",
		"Thickness (mm)", "Pins", "Place", "Cure temp (degC)", "Break load (kgf)", "Failure"}}
	for _, j := range all.Gates {
		rows = append(rows, []string{j.Name, dayLevels[j.Day], j.Board, j.species(),
			j.unless("density", fixed(j.Density, 0)), strconv.Itoa(j.Thickness), pinLevels[j.Pins], j.place(),
			j.unless("temp", fixed(j.Temp, 1)), j.unless("load", fixed(j.Load, 1)), j.unless("failure", j.Failure)})
	}
	return table(rows, ',', false)
}

// springCSV is the earlier series as a spreadsheet of another country wrote it:
// byte-order mark, semicolons, decimal commas, newtons and degrees Fahrenheit.
func (all Series) springCSV() []byte {
	comma := func(s string) string { return strings.Replace(s, ".", ",", 1) }
	rows := [][]string{{"Joint", "Timber", "Density [kg/m³]", "Pin pattern", "Glued in",
		"Glue room [°F]", "Breaking load [N]", "Broke in"}}
	for _, j := range all.Spring {
		load := comma(fixed(j.springLoad(), 1))
		switch {
		case j.Unwritten["load"]:
			load = "n/a"
		case j.Slipped:
			load = comma(fixed(10*j.springLoad(), 1))
		}
		rows = append(rows, []string{j.Name, j.species(), comma(fixed(j.Density, 1)), pinLevels[j.Pins], j.place(),
			comma(fixed(toStep(float64(j.Temp*1.8)+32, 10), 1)), load, j.Failure})
	}
	return append([]byte("\ufeff"), table(rows, ';', true)...)
}

// springLoad is the load of a joint of the earlier series, in newtons.
func (j Joint) springLoad() float64 { return toStep(j.Load*9.80665, 1) }

// oldCSV is the oldest series: specific gravity, inches, pounds of force, remarks.
func (all Series) oldCSV() []byte {
	remarks := map[string]string{"5": "pulled slowly, hook slipped once", "11": `knot, "pea sized", off the joint`}
	pegs := [...]string{"none", "one", "two"}
	rows := [][]string{{"Sample", "Wood", "Specific gravity", "Rail thickness (in)", "Pegs",
		"Load at break (lbf)", "What broke", "Remarks"}}
	for _, j := range all.Old {
		rows = append(rows, []string{j.Name, j.species(), fixed(j.Density/1000, 2),
			fixed(toStep(float64(j.Thickness)/25.4, 100), 2), pegs[j.Pins],
			fixed(math.Round(j.Load*9.80665/4.4482216152605), 0), j.Failure, remarks[j.Name]})
	}
	return table(rows, ',', false)
}

// slipCSV is the load-slip log, one reading a line.
func (all Series) slipCSV() []byte {
	rows := [][]string{{"Specimen", "Slip (mm)", "Load (kgf)"}}
	for i, j := range all.Slip {
		for _, r := range all.Truth.curve(j, newSource(all.Seed, 100+uint64(i))) {
			rows = append(rows, []string{j.Name, fixed(r.Slip, 2), fixed(r.Load, 1)})
		}
	}
	return table(rows, ',', false)
}

// table writes rows as RFC 4180 has it. Writing to memory cannot fail.
func table(rows [][]string, separator rune, crlf bool) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Comma, w.UseCRLF = separator, crlf
	if err := w.WriteAll(rows); err != nil {
		panic(fmt.Sprintf("gates: a row that cannot be written: %v", err))
	}
	return b.Bytes()
}

// unless is the cell, or nothing where it was left unwritten.
func (j Joint) unless(column, cell string) string {
	if j.Unwritten[column] {
		return ""
	}
	return cell
}

func fixed(x float64, digits int) string { return strconv.FormatFloat(x, 'f', digits, 64) }
