package render

import "breakbook/repl/page"

// sampleFit is an invented fit with every kind of part an entry can have.
func sampleFit() page.Entry {
	unit := func(x float64, u string) page.Cell { return page.Cell{Kind: page.Number, Num: x, Unit: u} }
	return page.Entry{
		Number: 3, Input: "fit load on density, pins", Kind: "fit", Name: "fit1", Series: "gates",
		Specimens: &page.Specimens{Used: 38, SetAside: 2, Missing: 1},
		Findings: []page.Sentence{
			page.Say("A pair of pins carries ", page.Num{Value: 412.13, Unit: "N", Resolution: 161.2},
				" more than none, 95 % interval ",
				page.Span{Low: 250.91, High: 573.35, Unit: "N"}, ", ", page.Chance(0.0000031), ": differs."),
			page.Say("Density: ", page.Num{Value: 3.2143, Unit: "N per kg/m3", Resolution: 1.2, Signed: true}, ", ",
				page.Chance(0.031), "."),
			page.Say("The terms explain ", page.Num{Value: 0.6123, Style: page.Fraction}, " of the variation."),
		},
		Tables: []page.Table{{ID: "terms",
			Title: page.Say("Expected load of a baseline specimen (pins: none) and what changes it"),
			Columns: []page.Column{{ID: "term"}, {ID: "effect", Unit: "N"}, {ID: "low", Unit: "N"},
				{ID: "high", Unit: "N"},
				{ID: "standard_error", Unit: "N", Wide: true}, {ID: "t", Style: page.Ratio},
				{ID: "df", Label: "degrees of freedom", Style: page.DF, Wide: true}, {ID: "p", Style: page.P}},
			Rows: [][]page.Cell{
				{page.T("baseline"), page.N(2512.37), page.N(2301.5), page.N(2723.24), page.N(103.4), page.N(24.297),
					page.N(34), page.N(1e-22)},
				{page.T("pins: pair"), page.N(412.13), page.N(250.91), page.N(573.35), page.N(79.33), page.N(5.195),
					page.N(34), page.N(0.0000031)},
				{page.T("pins: single"), page.N(-35.2), page.N(-190.1), page.N(119.7), page.N(76.2), page.N(-0.462),
					page.N(34), page.N(0.647)},
				{page.T("density"), unit(3.2143, "N per kg/m3"), unit(0.31, "N per kg/m3"), unit(6.1186, "N per kg/m3"),
					unit(1.429, "N per kg/m3"), page.N(2.249), page.N(34), page.N(0.0311)},
			},
			Note: page.Say("Number columns are measured from their mean.")}},
		Values: []page.Value{{ID: "n", Label: "specimens", Cell: page.N(38), Style: page.Count},
			{ID: "residual_sd", Label: "residual sd", Cell: page.N(251.31), Unit: "N"},
			{ID: "explained", Cell: page.N(0.6123), Style: page.Fraction},
			{ID: "f", Label: "F", Cell: page.N(17.93), Style: page.Ratio},
			{ID: "p", Cell: page.N(4.2e-7), Style: page.P}},
		Figures: []page.Figure{{Path: "out/figure-1.png", Alt: page.Say("Load by pins: the pair stands highest.")}},
		Cautions: []page.Sentence{page.Say(6, " boards: specimens of one board are alike; fit load on density, "+
			"pins blocked by board takes that in.")},
	}
}
