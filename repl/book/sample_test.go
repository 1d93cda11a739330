package book

import (
	"context"
	"strings"

	"breakbook/repl/page"
)

// sampleDocument is an invented book with every part a report can have.
func sampleDocument() Document {
	return Document{
		Title: "Gate corner joints: pins & density",
		By:    "the <gate> workshop",
		Entries: append(sampleEntries(), page.Entry{Number: 11, Input: "conclude Pin them.", Kind: "conclude",
			Prose: "Pin them with a pair."}),
		Series: []Series{{Name: "gates", Specimens: 41, Dates: []string{"Tested on: 2026-11-03 to 2026-11-14"},
			CSV: []byte("specimen,load (N)\n1,2210\n"),
			Rows: page.Table{ID: "rows", Title: page.Say("Specimens of gates"), Columns: []page.Column{{ID: "specimen"},
				{ID: "load", Unit: "N", Style: page.Exact}}, Rows: [][]page.Cell{{page.T("1"), page.N(2210)}}}}},
		Book:    []byte("# breakbook book 1\nopen series/gates.csv as gates\ncompare load by pins against none\n"),
		Version: "breakbook v1.2.3",
		Methods: []Method{{"", "An answer comes from an interval."},
			{"compare", "Levels against one by the many-to-one t."}, {"odds", "Odds by likelihood."}},
		Sources: []Source{{File: "series/gates 2.csv", SHA256: strings.Repeat("9f86d081884c7d65", 4), Rows: 41},
			{File: "old.csv", SHA256: strings.Repeat("0a1b2c3d4e5f6071", 4)}},
		Settings: []Setting{{"confidence", "95 %"}, {"worth", "10 %"}, {"seed", "1"}},
		Tests:    []Tests{{"load", 3}},
		SetAside: []SetAside{{"gates", "17", "grip slipped"}},
	}
}

func sampleEntries() []page.Entry {
	return []page.Entry{
		{Number: 1, Input: "open series/gates.csv as gates", Kind: "open", Series: "gates",
			Findings: []page.Sentence{page.Say("gates holds ", 41, " specimens and ", 7, " columns.")}},
		{Number: 2, Input: "heading Pins", Kind: "heading", Prose: "Pins"},
		{Number: 3, Input: "note The shed stood at 4 °C in the first week; the <second> gauge was used from day 3.",
			Kind:  "note",
			Prose: "The shed stood at 4 °C in the first week; the <second> gauge was used from day 3."},
		sampleCompare(),
		{Number: 5, Input: "fit lod on pins", Kind: "fit",
			Problem: &page.Problem{Code: "unknown-column", Message: "no column lod", At: 5}},
		{Number: 6, Input: "draw load by pins to pins.png", Kind: "draw", Series: "gates",
			Figures:  []page.Figure{sampleFigure()},
			Findings: []page.Sentence{page.Say("Every specimen by pins, with the mean and its interval.")}},
		{Number: 7, Input: "heading Density", Kind: "heading", Prose: "Density"},
		sampleFit(),
		{Number: 9, Input: "save book gates.brk", Kind: "save",
			Asks: []page.Ask{{Kind: page.SaveBook, Path: "gates.brk"}}},
		{Number: 10, Input: "report gates.html", Kind: "report",
			Asks: []page.Ask{{Kind: page.Report, Path: "gates.html"}}},
	}
}

func sampleCompare() page.Entry {
	columns := []page.Column{{ID: "first"}, {ID: "second"}, {ID: "difference", Unit: "N"}, {ID: "low", Unit: "N"},
		{ID: "high", Unit: "N"},
		{ID: "percent", Style: page.Percent}, {ID: "percent_low", Style: page.Percent, Wide: true},
		{ID: "percent_high", Style: page.Percent, Wide: true},
		{ID: "df", Label: "degrees of freedom", Style: page.DF, Wide: true}, {ID: "p", Style: page.P},
		{ID: "detectable", Unit: "N"}, {ID: "answer"}}
	row := func(first, second string, answer string, xs ...float64) []page.Cell {
		cells := []page.Cell{page.T(first), page.T(second)}
		for _, x := range xs {
			cells = append(cells, page.N(x))
		}
		return append(cells, page.T(answer))
	}
	return page.Entry{Number: 4, Input: "compare load by pins against none", Kind: "compare", Name: "compare1",
		Series:    "gates",
		Response:  "gates: load",
		Specimens: &page.Specimens{Used: 38, SetAside: 1, Missing: 2},
		LeftOut: []page.LeftOut{{Specimen: "G12", Lacks: []string{"load"}},
			{Specimen: "G31", Lacks: []string{"pins", "load"}}},
		Doubts: []page.Doubt{{Code: "order", About: "pins with order",
			Text: page.Say("The pairs were tested last.")}},
		Findings: []page.Sentence{
			page.Say("A pair of pins carries ", page.Num{Value: 412.13, Unit: "N", Resolution: 161.2},
				" more than none, 95 % interval ",
				page.Span{Low: 250.91, High: 573.35, Unit: "N"}, ", ", page.Chance(0.0000031), ": ",
				page.Verdict{Words: "differs", Of: "pins: none, pair", Doubt: "pins with order"}, "."),
			page.Say("In doubt: The pairs were tested last."),
			page.Say("For a single pin the answer is ", page.Verdict{Words: "cannot tell", Of: "pins: none, single"},
				": about ", 31, " specimens per level would settle it.")},
		Tables: []page.Table{{ID: "differences", Title: page.Say("Each level against none"), Columns: columns,
			Rows: [][]page.Cell{row("none", "pair", "differs", 412.13, 250.91, 573.35, 18.2, 10.7, 26.1, 34,
				0.0000031, 228),
				row("none", "single", "cannot tell", -35.2, -190.1, 119.7, -1.6, -8.3, 5.4, 34, 0.87, 231),
				row("none", "offset", "no difference worth having", 61.7, -20.4, 143.8, 2.7, -0.9, 6.4, 34, 0.19,
					229)}}},
		Cautions: []page.Sentence{page.Say(6, " boards: specimens of one board are alike; compare load by pins "+
			"blocked by board takes that in."),
			page.Say("Specimens failed in ", 3, " modes: this says what the joint carries, not what the glue line "+
				"would.")},
		Numbered: []page.CautionNumber{{N: 1}, {N: 2}}}
}

func sampleFit() page.Entry {
	own := func(x float64) page.Cell { return page.Cell{Kind: page.Number, Num: x, Unit: "N per kg/m3"} }
	return page.Entry{Number: 8, Input: "fit load on density, pins", Kind: "fit", Name: "fit1", Series: "gates",
		Specimens: &page.Specimens{Used: 38},
		Findings: []page.Sentence{page.Say("With every kg/m³ of density a joint carries ",
			page.Num{Value: 3.2143, Unit: "N", Resolution: 1.2, Signed: true}, ", ", page.Chance(0.031), ".")},
		Tables: []page.Table{{ID: "terms",
			Title: page.Say("Expected load of a baseline specimen (pins: none) and what changes it"),
			Columns: []page.Column{{ID: "term"}, {ID: "effect", Unit: "N"}, {ID: "low", Unit: "N"},
				{ID: "high", Unit: "N"}, {ID: "t", Style: page.Ratio}, {ID: "p", Style: page.P}},
			Rows: [][]page.Cell{
				{page.T("baseline"), page.N(2512.37), page.N(2301.5), page.N(2723.24), page.N(24.297), page.N(1e-22)},
				{page.T("pins: pair"), page.N(412.13), page.N(250.91), page.N(573.35), page.N(5.195),
					page.N(0.0000031)},
				{page.T("density"), own(3.2143), own(0.31), own(6.1186), page.N(2.249), page.N(0.0311)}},
			Note: page.Say("Number columns are measured from their mean.")}},
		Values: []page.Value{{ID: "n", Label: "specimens", Cell: page.N(38), Style: page.Count},
			{ID: "residual_sd", Label: "residual sd", Cell: page.N(251.31), Unit: "N"},
			{ID: "explained", Cell: page.N(0.6123), Style: page.Fraction},
			{ID: "f", Label: "F", Cell: page.N(17.93), Style: page.Ratio},
			{ID: "p", Cell: page.N(4.2e-7), Style: page.P}}}
}

func sampleFigure() page.Figure {
	return page.Figure{Path: "pins.png",
		Alt: page.Say("Load by pins: the pair stands ", page.Num{Value: 412, Unit: "N"}, " above none."),
		X:   page.Axis{Label: "pins", Levels: []string{"none", "single", "pair"}, Counts: []int{4, 4, 4}},
		Y:   page.Axis{Label: "load", Unit: "N"},
		Layers: []page.Layer{
			page.Points{X: []float64{0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2},
				Y:     []float64{2210, 2480, 2610, 2390, 2280, 2350, 2590, 2440, 2710, 2890, 3050, 2930},
				Looks: []int{0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2}},
			page.Interval{X: 0, Mean: 2422, Low: 2260, High: 2590, Look: 0},
			page.Interval{X: 1, Mean: 2415, Low: 2290, High: 2540, Look: 1},
			page.Interval{X: 2, Mean: 2895, Low: 2740, High: 3050, Look: 2}}}
}

// writeReport writes a report as the program does.
func writeReport(path string, d Document) error {
	pieces, err := Report(context.Background(), path, d)
	if err != nil {
		return err
	}
	_, err = Write(context.Background(), &Fingerprints{}, Order{Pieces: pieces})
	return err
}
