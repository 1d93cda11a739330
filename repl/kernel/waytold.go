package kernel

import (
	"math"
	"slices"

	"breakbook/models/linear"
	"breakbook/models/mixed"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

const (
	// playedDownBelow is the share of its weight below which a specimen is listed as played
	// down: about two and a half scales off. Common practice, no source.
	playedDownBelow = 0.5
	// fewForResistance is the number of specimens under which a resistant fit carries a caution.
	fewForResistance = 20
	// fewBlocks is the number of blocks under which their scatter is hardly known. Common
	// practice, no source.
	fewBlocks = 5
	// mostNamed is how many specimens a caution names.
	mostNamed = 6
)

// wayTables are the tables that a way of fitting adds to the terms.
func (f *fitted) wayTables() []page.Table {
	switch by := f.by.(type) {
	case *mixed.Fit:
		return []page.Table{f.blockTable(by)}
	case *linear.Resistant:
		return []page.Table{f.playedDown(by)}
	}
	return nil
}

// blockTable has one row a column of blocks.
func (f *fitted) blockTable(by *mixed.Fit) page.Table {
	t := page.Table{ID: "blocks", Title: page.Say("Scatter between blocks"), Columns: []page.Column{{ID: "block"},
		{ID: "sd", Unit: f.response.unit()}, {ID: "proportion", Style: page.Fraction}},
		Note: page.Say("proportion: of all variance that the terms leave, within the blocks too")}
	for i, c := range by.Components {
		t.Rows = append(t.Rows, []page.Cell{page.T(f.way.blocks[i].Name()), page.N(c.SD), page.N(c.Proportion)})
	}
	return t
}

// playedDown has one row a specimen that kept less than half of its weight.
func (f *fitted) playedDown(by *linear.Resistant) page.Table {
	t := page.Table{ID: "played_down", Title: page.Say("Specimens played down"), Columns: []page.Column{{ID: "specimen"},
		{ID: "weight", Style: page.Fraction}, {ID: "left_over", Unit: f.response.unit()}},
		Note: page.Say("weight: what is left of a specimen's weight; listed below one half")}
	for i, share := range by.Share {
		if share < playedDownBelow {
			t.Rows = append(t.Rows, []page.Cell{page.T(f.sample.frame.SpecimenName(i)), page.N(share), page.N(by.Residuals[i])})
		}
	}
	return t
}

// blockFindings tell how much lies between the blocks.
func (f *fitted) blockFindings() []page.Sentence {
	by, ok := f.by.(*mixed.Fit)
	if !ok {
		return nil
	}
	shares := make([]say.BlockShare, len(by.Components))
	for i, c := range by.Components {
		shares[i] = say.BlockShare{Name: f.way.blocks[i].Name(), SD: c.SD, Proportion: c.Proportion}
	}
	return say.Scatter(shares, f.response.unit())
}

// wayCautions are those of the way the model was fitted.
func (f *fitted) wayCautions() []page.Sentence {
	var out []page.Sentence
	if f.zero > 0 {
		out = append(out, say.LeftOut(f.zero, f.way.weight.Column))
	}
	switch by := f.by.(type) {
	case *linear.Uneven:
		if len(by.Alone) > 0 {
			out = append(out, say.Alone(f.names(by.Alone)))
		}
	case *linear.Resistant:
		out = append(out, f.resistantCautions(by)...)
	case *mixed.Fit:
		for i, c := range by.Components {
			if c.SD > 0 && c.Levels < fewBlocks {
				out = append(out, say.FewBlocks(f.way.blocks[i].Name(), c.Levels))
			}
		}
	}
	return out
}

// resistantCautions name what a resistant fit does not resist. A leverage of more than
// twice the mean is high (Hoaglin and Welsch 1978, Amer. Statist. 32).
func (f *fitted) resistantCautions(by *linear.Resistant) []page.Sentence {
	var out []page.Sentence
	if f.N < fewForResistance {
		out = append(out, say.FewForResistance(f.N))
	}
	if !by.Settled {
		out = append(out, say.Unsettled())
	}
	var high []int
	for i, h := range f.Leverage {
		if h > 2*float64(f.Rank())/float64(f.N) {
			high = append(high, i)
		}
	}
	slices.SortStableFunc(high, func(a, b int) int {
		switch {
		case f.Leverage[a] > f.Leverage[b]:
			return -1
		case f.Leverage[a] < f.Leverage[b]:
			return 1
		}
		return 0
	})
	if len(high) > 0 {
		named := min(len(high), mostNamed)
		out = append(out, say.Unresisted(f.names(high[:named]), len(high)-named))
	}
	return out
}

func (f *fitted) names(specimens []int) []string {
	var out []string
	for _, i := range specimens {
		out = append(out, f.sample.frame.SpecimenName(i))
	}
	return out
}

// aloneProblem is the reason why levels of a fit with uneven spread have no ranges; nil
// where that is not it.
func (f *fitted) aloneProblem(at int) *page.Problem {
	by, ok := f.by.(*linear.Uneven)
	if !ok || len(by.Alone) == 0 {
		return nil
	}
	for _, l := range f.Coefficients {
		if math.IsNaN(l.SE) && !l.Dependent {
			return &page.Problem{Code: "alone-on-level", At: at, Message: "specimen " + listed(f.names(by.Alone)) +
				" is alone on its level: with uneven spread nothing tells how such specimens scatter",
				Hint: "fit without uneven spread, or leave that level out with `for`"}
		}
	}
	return nil
}
