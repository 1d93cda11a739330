package parser

import (
	"slices"

	"breakbook/repl/phrase"
)

// bench is a session made up for the tests, with names that are hard to read.
type bench struct {
	phrase.NoPast
	current string
	series  map[string][]phrase.KnownColumn
	names   []string
	results []phrase.KnownResult
	roles   map[string]string
}

func (b bench) Current() string                       { return b.current }
func (b bench) SeriesNames() []string                 { return b.names }
func (b bench) Columns(s string) []phrase.KnownColumn { return b.series[s] }
func (b bench) Results() []phrase.KnownResult         { return b.results }
func (b bench) RoleColumn(series, r string) string    { return b.roles[series+" "+r] }
func (b bench) EachSpecimen(_ string, visit func(string) bool) {
	for _, name := range []string{"G1", "H2", "G12", "G 3"} {
		if !visit(name) {
			return
		}
	}
}
func (b bench) with(results ...phrase.KnownResult) bench { b.results = results; return b }
func (b bench) column(s, name string) (c phrase.KnownColumn) {
	k := slices.IndexFunc(b.series[s], func(c phrase.KnownColumn) bool { return c.Name == name })
	return b.series[s][k]
}

func newBench() bench {
	return bench{
		current: "gates", names: []string{"gates", "old-2024"},
		series: map[string][]phrase.KnownColumn{
			"gates": {
				{Name: "load", Label: "Load (N)", Kind: "number", Unit: "N"},
				{Name: "density", Label: "Density", Kind: "number", Unit: "kg/m3"},
				{Name: "specific_gravity", Label: "Specific gravity", Kind: "number"},
				{Name: "specific", Label: "specific", Kind: "number"},
				{Name: "moisture", Label: "Moisture", Kind: "number", Unit: "percent"},
				{Name: "pins", Label: "Pins", Kind: "category", Levels: []string{"none", "single", "pair", "offset"}},
				{Name: "thickness", Label: "Thickness", Kind: "category", Unit: "mm", Levels: []string{"34", "44"}},
				{Name: "glue", Label: "Glue", Kind: "category",
					Levels: []string{"hide", "hide hot", "two-part", `5" clamp`,
						"größe; a, b", "missing"}},
				{Name: "board", Label: "Board", Kind: "text"},
				{Name: "failure", Label: "Failure", Kind: "category", Levels: []string{"glue", "wood"}},
			},
			"old-2024": {
				{Name: "break_load", Label: "Break load (kgf)", Kind: "number", Unit: "kgf"},
				{Name: "größe", Label: "Größe", Kind: "number", Unit: "mm"},
				{Name: "dowels", Label: "Dowels", Kind: "category", Levels: []string{"yes", "no"}},
			},
		},
		results: []phrase.KnownResult{
			{Name: "plan1", Kind: "plan", Series: "gates"},
			{Name: "oldplan", Kind: "plan", Series: "old-2024"},
			{Name: "plan2", Kind: "plan", Series: "gates"},
			{Name: "shares1", Kind: "shares", Series: "gates"},
			{Name: "oldshares", Kind: "shares", Series: "old-2024"},
			{Name: "shares2", Kind: "shares", Series: "gates"},
			{Name: "drove1", Kind: "drove", Series: "gates"},
			{Name: "olddrove", Kind: "drove", Series: "old-2024"},
			{Name: "odds1", Kind: "odds", Series: "gates"},
			{Name: "oldodds", Kind: "odds", Series: "old-2024"},
			{Name: "fit1", Kind: "fit", Series: "gates"},
			{Name: "oldfit", Kind: "fit", Series: "old-2024"},
			{Name: "anova1", Kind: "anova", Series: "gates"},
			{Name: "fit2", Kind: "fit", Series: "gates"},
		},
		roles: map[string]string{"old-2024 load": "break_load"},
	}
}
