package gates

import (
	"bytes"
	"fmt"
	"strings"
	"text/template"
)

// page is TRUTH.md: what was put in, what that does to the load that shows, and which
// answer the main series should give to which question.
func (all Series) page() []byte {
	var b bytes.Buffer
	if err := truthPage.Execute(&b, all.facts()); err != nil {
		panic(fmt.Sprintf("gates: the page of truth: %v", err))
	}
	return b.Bytes()
}

// facts are what the page shows beside the truth itself.
type facts struct {
	Truth
	Seed          uint64
	Committed     bool
	Made, Spoiled int
	Broken, Empty int
	Cells         []expectedRow
	StoreShows    [4]float64
	PairShows     float64 // pair over none, both places alike
	SingleShows   float64 // single over none
	OffsetShows   float64 // offset over pair

	SlippedName            string  // the joint of spring whose decimal point slipped
	SlippedLoad, SlippedAs float64 // what it carried, and what stands for it, in newtons
}

type expectedRow struct {
	Pins                    string
	Shed, Store, OverNoPins float64
}

func (all Series) facts() facts {
	t := all.Truth
	f := facts{Truth: t, Seed: all.Seed, Committed: all.Seed == DemoSeed, Made: len(all.Gates) + all.Spoiled,
		Spoiled: all.Spoiled,
		Broken:  len(all.Gates), Empty: all.NotWritten}
	var middle [4]float64
	for pins, name := range pinLevels {
		shed, store := t.Expected(pins, false), t.Expected(pins, true)
		middle[pins] = (shed + store) / 2
		f.StoreShows[pins] = store - shed
		f.Cells = append(f.Cells, expectedRow{Pins: name, Shed: shed, Store: store,
			OverNoPins: middle[pins] - middle[0]})
	}
	f.SingleShows, f.PairShows, f.OffsetShows = middle[1]-middle[0], middle[2]-middle[0], middle[3]-middle[2]
	for _, j := range all.Spring {
		if j.Slipped {
			f.SlippedName, f.SlippedLoad, f.SlippedAs = j.Name, j.springLoad(), 10*j.springLoad()
		}
	}
	return f
}

var truthPage = template.Must(template.New("truth").Funcs(template.FuncMap{
	"kgf":  func(x float64) string { return strings.TrimSuffix(fixed(toStep(x, 1), 1), ".0") },
	"half": func(x float64) string { return fixed(x, 2) },
	"one":  func(x float64) string { return fixed(x, 1) },
}).Parse(`# The truth behind the demo

Everything here is invented. ` + "`go run ./cmd/measure demo`" + ` wrote the data and this page from
seed {{.Seed}}{{if .Committed}}, which is the first seed, from 1 on, whose main series gives every answer of the
table further down{{end}}; no figure was altered by hand. The loads are not design values of anything.

## What was put in

A joint can give way in its glue line, its wood or its pins. Each of the three has a strength,
the smallest one shows, and its load is the breaking load. All loads in kgf.

| strength of the | without pins, density {{kgf .MeanDensity}} kg/m3, glued in the shed |
| --- | --- |
| glue line | {{kgf .GlueInShed}} |
| wood | {{kgf .Wood}} |
| pins, where there are any | {{kgf .Pin}} |

| what changes it | by | where |
| --- | --- | --- |
| pins: single, pair, offset | {{range $i, $a := .PinsAdd}}{{if $i}}{{if gt $i 1}}, {{
end}}{{kgf $a}}{{end}}{{end}} | all three |
| density | {{half .DensitySlope}} for each kg/m3 | all three |
| glued in the warm store | {{kgf .StoreAdds}} | the glue line only |
| thickness 44 mm instead of 34 mm (the tenon is the same) | {{kgf .ThicknessAdd}} | |
| oak instead of larch, at the same density | {{kgf .OakAdds}} | |
| test day | {{range $i, $a := .DayAdds}}{{if $i}}, {{end}}{{kgf $a}}{{end}} | |
| cure temperature, beyond the place | {{kgf .DegreeAdds}} for each degC | |

| spread | sd |
| --- | --- |
| from board to board | {{kgf .BoardSD}} |
| from joint to joint | {{kgf .JointSD}} |
| of each of the three strengths of one joint | {{kgf .PlaceSD}} |

Density: larch {{kgf .LarchMean}}, oak {{kgf .OakMean}} kg/m3, sd {{
kgf .BoardDensitySD}} from board to board and {{kgf .JointDensitySD}} along a board.
Cure temperature: shed {{one .ShedTemp}} degC (sd {{one .ShedTempSD}}), store {{
one .StoreTemp}} degC (sd {{one .StoreSD}}).

## What that does to the load that shows

Expected breaking load of an average board at {{kgf .MeanDensity}} kg/m3, worked out from 60,000 invented joints
for each of the eight kinds, so good to about 0.2 kgf. Because the weakest place shows, it is a little less than the
smallest of the three strengths.

| pins | shed | store | over none, both places alike |
| --- | --- | --- | --- |
{{range .Cells}}| {{.Pins}} | {{one .Shed}} | {{one .Store}} | {{one .OverNoPins}} |
{{end}}
## What the main series should say

{{.Made}} joints were made, four from each of sixteen boards, one of each pin pattern to a board. {{
.Spoiled}} were spoiled
before they came to the bench (five offset of oak, one offset of larch, one single of larch), {{.Broken}} were broken;
{{.Empty}} of those each have one cell that was never written down. Worth having: 10 % of the baseline mean.

| question | truth | should say |
| --- | --- | --- |
| pair against none (the strong factor) | {{one .PairShows}} more | differs |
| single against none (middling) | {{one .SingleShows}} more | differs |
| density (the covariate) | {{half .DensitySlope}} for each kg/m3 | its range leaves out zero and holds the truth |
| 44 mm against 34 mm (no effect) | {{kgf .ThicknessAdd}} | no difference worth having |
| store against shed, on its own | {{range $i, $a := .StoreShows}}{{if $i}}, {{end}}{{
one $a}}{{end}} more (by pin pattern) | differs |
| store against shed, with cure temperature in the fit (varied together) {{/*
*/}}| cannot be known from this series | cannot tell, both |
| offset against pair (too small for this many) | {{one .OffsetShows}} more | cannot tell |

How often each answer comes over other seeds: ` + "`go run ./cmd/measure answers`" + `.

## The earlier series and the slip log

Same truth, but every joint of ` + "`gates_spring.csv`" + ` carries {{
kgf .SpringAdds}} and every joint of ` + "`gates_2019.csv`" + ` {{kgf .OldAdds}} more:
another bench, another glue. Spring: 24 joints, all 34 mm, no offset. 2019: 18 joints, all glued in the
shed, pegs none, one or two. One load of spring was written down with its decimal point slipped: {{
.SlippedName}} carried
{{one .SlippedLoad}} N and stands as {{one .SlippedAs}}.

` + "`gates_slip.csv`" + ` holds the readings of three joints of each pin pattern, {{/*
*/}}the largest of which is the breaking load.
True stiffness of the straight part, kgf/mm: none {{kgf (index .StiffnessKgfPerMM 0)}}, single {{
kgf (index .StiffnessKgfPerMM 1)}}, pair {{
kgf (index .StiffnessKgfPerMM 2)}}, offset {{
kgf (index .StiffnessKgfPerMM 3)}}, sd 8 from joint to
joint. A joint without pins falls below a fifth at once; a pinned one falls to 56 % and climbs again to
64 % (single), 72 % (pair) or 76 % (offset).
`))
