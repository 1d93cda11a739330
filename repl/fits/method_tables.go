package fits

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"breakbook/models/linear"
	"breakbook/models/mixed"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session/fitted"
)

// alone names specimens that nothing but themselves tells of, in a fit that takes each
// specimen's spread from how far it lies off.
func alone(names []string) page.Sentence {
	return page.Say(say.Plural(len(names), "Specimen ", "Specimens ") + strings.Join(names, ", ") +
		say.Plural(len(names), " is", " are") + " alone on " + say.Plural(len(names), "its", "their") +
		" level: nothing tells how such specimens scatter, so with uneven spread what rests on " +
		say.Plural(len(names), "it", "them") + " has no interval.")
}

// noJointTest says that a test of several figures at once does not exist without equal spread.
func noJointTest(what string) page.Sentence {
	return page.Say(what + " cannot be tested at once with uneven spread: the specimens do not tell enough of how " +
		"each level scatters.")
}

// unresisted names specimens whose place among the terms gives them a pull that a
// resistant fit does not resist.
func unresisted(names []string, more int) page.Sentence {
	s := strings.Join(names, ", ")
	if more > 0 {
		return page.Say("Specimens "+s+" and ", more, " more lie so far out among the terms that they pull the fit to "+
			"themselves; a resistant fit does not resist that.")
	}
	return page.Say(say.Plural(len(names), "Specimen ", "Specimens ") + s + say.Plural(len(names), " lies", " lie") +
		" so far out among the terms that " + say.Plural(len(names), "it pulls the fit to itself",
		"they pull the fit to themselves") + "; a resistant fit does not resist that.")
}

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

// methodTables are the tables that a method of fitting adds to the terms.
func methodTables(f *fitted.Fit) []page.Table {
	switch by := f.Estimator.(type) {
	case *mixed.Fit:
		return []page.Table{blockTable(f, by)}
	case *linear.Resistant:
		return []page.Table{playedDown(f, by)}
	}
	return nil
}

// blockRow is the scatter of one column of blocks.
type blockRow struct {
	Block      string  `id:"block"`
	SD         float64 `id:"sd" unit:"{y}" difference:"yes"`
	Proportion float64 `id:"proportion" style:"fraction"`
}

// playedDownRow is a specimen that kept less than half of its weight.
type playedDownRow struct {
	Specimen string  `id:"specimen"`
	Weight   float64 `id:"weight" style:"fraction"`
	Residual float64 `id:"residual" unit:"{y}" difference:"yes"`
}

// blockTable has one row a column of blocks.
func blockTable(f *fitted.Fit, by *mixed.Fit) page.Table {
	var rows []blockRow
	for i, c := range by.Components {
		rows = append(rows, blockRow{f.Method.Blocks[i].Name(), c.SD, c.Proportion})
	}
	return page.Filled(page.Table{ID: "blocks", Title: page.Say("Scatter between blocks"),
		Note: page.Say("proportion: of all variance that the terms leave, within the blocks too")}, rows,
		page.Names{"y": f.Y.Unit()})
}

// playedDown has one row a specimen that kept less than half of its weight.
func playedDown(f *fitted.Fit, by *linear.Resistant) page.Table {
	var rows []playedDownRow
	for i, share := range by.Share {
		if share < playedDownBelow {
			rows = append(rows, playedDownRow{f.Sample.Frame.SpecimenName(i), share, by.Residuals[i]})
		}
	}
	return page.Filled(page.Table{ID: "played_down", Title: page.Say("Specimens played down"),
		Note: page.Say("weight: what is left of a specimen's weight; listed below one half")}, rows,
		page.Names{"y": f.Y.Unit()})
}

// blockFindings tell how much lies between the blocks.
func blockFindings(f *fitted.Fit) []page.Sentence {
	by, ok := f.Estimator.(*mixed.Fit)
	if !ok {
		return nil
	}
	var some page.Sentence
	var none []page.Sentence
	for i, c := range by.Components {
		name := f.Method.Blocks[i].Name()
		if c.SD > 0 {
			some = page.Say(some, page.If(some != nil, " and "), page.Share(c.Proportion),
				" lies between one "+name+" and the next (sd ", page.Difference(c.SD, f.Y.Unit()), ")")
		} else {
			none = append(none, page.Say("No difference from one "+name+" to the next could be seen: "+
				"its variance was estimated as zero, and the fit goes on without it."))
		}
	}
	if some != nil {
		none = slices.Insert(none, 0, page.Say("Of what the terms do not explain, ", some, "."))
	}
	return none
}

// methodCautions are those of the method the model was fitted by.
func methodCautions(f *fitted.Fit) []page.Sentence {
	var out []page.Sentence
	if f.ZeroWeight > 0 {
		n := f.ZeroWeight
		out = append(out, page.Say(n, say.Plural(n, " specimen has ", " specimens have ")+"the "+f.Method.Weight.Column+
			" 0 and "+say.Plural(n, "was", "were")+" left out."))
	}
	switch by := f.Estimator.(type) {
	case *linear.Uneven:
		if len(by.Alone) > 0 {
			out = append(out, alone(f.Names(by.Alone)))
		} else if math.IsNaN(f.F) && f.FDF1 > 0 && f.Sigma > 0 {
			out = append(out, noJointTest("All terms together"))
		}
	case *linear.Resistant:
		out = append(out, resistantCautions(f, by)...)
	case *mixed.Fit:
		for i, c := range by.Components {
			if c.SD > 0 && c.Levels < fewBlocks && f.Method.Differ == nil {
				out = append(out, page.Say("There are only ", c.Levels, " values of "+f.Method.Blocks[i].Name()+
					", so how much it scatters is hardly known."))
			}
		}
	}
	return out
}

// resistantCautions name what a resistant fit does not resist. A leverage of more than
// twice the mean is high (Hoaglin and Welsch 1978, Amer. Statist. 32).
func resistantCautions(f *fitted.Fit, by *linear.Resistant) []page.Sentence {
	var out []page.Sentence
	if f.N < fewForResistance {
		out = append(out, page.Say("A resistant fit of ", f.N,
			" specimens: with fewer than 20 its intervals are often too narrow."))
	}
	if !by.Settled {
		out = append(out, page.Say("The scatter that decides which specimens are played down went round in circles "+
			"and was held in the end: another choice would play down others."))
	}
	var high []int
	for i, h := range f.Leverage {
		if h > 2*float64(f.Rank())/float64(f.N) {
			high = append(high, i)
		}
	}
	slices.SortStableFunc(high, func(a, b int) int { return cmp.Compare(f.Leverage[b], f.Leverage[a]) })
	if len(high) > 0 {
		named := min(len(high), mostNamed)
		out = append(out, unresisted(f.Names(high[:named]), len(high)-named))
	}
	return out
}
