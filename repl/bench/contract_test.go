package bench

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"breakbook/repl/render"
)

// contract is what the language promises of one command's JSON: its kind, the columns of
// its tables in their order, and the values there have to be.
type contract struct {
	line, kind string
	tables     map[string]string // by id: the columns
	values     string
}

const (
	termColumns = "term effect low high standard_error t df p"
	fitValues   = "n residual_df residual_sd explained explained_adjusted explained_unseen f f_df1 f_df2 p " +
		"log_likelihood aicc at_zero at_zero_standard_error"
	sourceColumns     = "source df df_against sum_of_squares mean_square f p share"
	testColumns       = "test statistic df p meaning"
	overallColumns    = "test statistic df p"
	shareColumns      = "factor share low high by_chance alone beyond_rest p"
	sizeColumns       = "n_per_level n chance chance_overall chance_pair detectable chance_if_spread_high"
	differenceColumns = "first second difference low high percent percent_low percent_high standard_error df " +
		"statistic p detectable answer"
)

// contracts is typed from the tables of LANGUAGE.md. Commands that shape the series are
// promised a kind only.
var contracts = []contract{
	{"open gates_spring.csv", "open", nil, ""},
	{"look", "look", nil, ""},
	{"rows 3", "rows", nil, ""},
	{"show series", "show", nil, ""},
	{"show results", "show", nil, ""},
	{"switch to gates", "switch", nil, ""},
	{"mark board as block", "mark", nil, ""},
	{"unit load is N", "unit", nil, ""},
	{"treat thickness as category", "treat", nil, ""},
	{"levels of pins are none, single, pair, offset", "levels", nil, ""},
	{"average load by pins", "average",
		map[string]string{"groups": "pins n mean sd cv smallest median largest low high"}, ""},
	{"average load by pins, place", "average",
		map[string]string{"groups": "pins place n mean sd cv smallest median largest low high"}, ""},
	{"count failure by place", "count", map[string]string{"counts": "place glue pin wood total"},
		"p_exact chi_square df p_chi_square"},
	{"modes failure by place", "modes", map[string]string{"proportions": "place mode n proportion low high"}, ""},
	{"modes failure by place under load", "modes", map[string]string{"proportions": "place mode n proportion low high",
		"buildup": "place mode load at_risk share low high"}, ""},
	{"odds failure is glue on place", "odds",
		map[string]string{"terms": "term effect standard_error odds_ratio low high p"}, "method log_likelihood p"},
	{"odds failure on place against wood", "odds",
		map[string]string{"terms": "mode term effect standard_error odds_ratio low high p"}, "method log_likelihood p"},
	{"fit load on density, pins", "fit", map[string]string{"terms": termColumns}, fitValues},
	{"fit load on step(density)", "fit", map[string]string{"terms": termColumns,
		"shapes": "shape support aicc residual_sd parameters p"},
		fitValues + " change_at change_low change_high change_p change_p_line change_places"},
	{"fit load on pins through zero", "fit", map[string]string{"terms": termColumns}, fitValues},
	{"fit load until failure is glue on pins", "strength",
		map[string]string{"terms": "term effect low high standard_error z p",
			"strengths": "level median low high fifth_percentile fifth_low", "bounds": "level median_low median_high",
			"bound_ranges": "level low high"},
		"scale shape spread_ln ended cut_short log_likelihood aicc"},
	{"draw load until failure is glue by pins", "draw", nil, ""},
	{"anova load on density, pins", "anova", map[string]string{"sources": sourceColumns}, ""},
	{"anova of fit1", "anova", map[string]string{"sources": sourceColumns}, ""},
	{"anova of fit1 sequential", "anova", map[string]string{"sources": sourceColumns}, ""},
	{"anova of fit1 each last", "anova", map[string]string{"sources": sourceColumns}, ""},
	{"adjusted pins of fit1", "adjusted", map[string]string{"means": "pins n mean low high standard_error df"}, ""},
	{"compare load by pins", "compare", map[string]string{"overall": overallColumns, "differences": differenceColumns},
		""},
	{"compare load by pins against none", "compare",
		map[string]string{"overall": overallColumns, "differences": differenceColumns}, ""},
	{"compare pins of fit1", "compare", map[string]string{"overall": overallColumns, "differences": differenceColumns},
		""},
	{"compare load by pins uneven spread", "compare",
		map[string]string{"overall": overallColumns, "differences": differenceColumns}, ""},
	{"compare load by pins ranked", "compare",
		map[string]string{"overall": overallColumns, "differences": differenceColumns}, ""},
	{"compare load by pins reshuffled 999 times", "compare",
		map[string]string{"overall": overallColumns, "differences": differenceColumns}, ""},
	{"compare load with 500 N by pins", "compare",
		map[string]string{"overall": overallColumns, "differences": differenceColumns}, ""},
	{"compare load with 500 N", "compare",
		map[string]string{"overall": overallColumns, "differences": differenceColumns}, ""},
	{"share out load on density, pins", "shares", map[string]string{"shares": shareColumns}, "explained"},
	{"share out of fit1", "shares", map[string]string{"shares": shareColumns}, "explained"},
	{"share out failure is glue on pins", "shares", map[string]string{"shares": shareColumns}, "explained"},
	{"check load by place", "check",
		map[string]string{"tests": testColumns, "varied_together": "first second strength meaning"},
		"grubbs_critical spread_by_place_df_against odd_specimens"},
	{"check ln(load) by pins", "check", map[string]string{"specimens": "specimen why value"}, ""},
	{"check of fit1", "check", map[string]string{"tests": testColumns},
		"grubbs_critical spread_by_pins_df_against curvature_along_density_df_against spread_against_fit_df_against"},
	{"predict fit1 given pins pair", "predict",
		map[string]string{"predicted": "inputs mean low high specimen_low specimen_high"}, ""},
	{"characteristic load by pins", "characteristic", map[string]string{"limits": "pins n mean sd sd_used k limit " +
		"method", "differences": "first second difference low high answer"}, ""},
	{"characteristic of fit1 given pins pair", "characteristic",
		map[string]string{"limits": "inputs n mean sd sd_used k limit method"}, ""},
	{"same load by pins within 10%", "same",
		map[string]string{"pairs": "first second difference low high margin_low margin_high p answer"}, ""},
	{"plan load by pins detecting 10%", "plan", map[string]string{"sizes": sizeColumns}, "n_per_level n chance sd"},
	{"plan load by pins, place detecting 40 N spread 12% chance 90%", "plan", map[string]string{"sizes": sizeColumns},
		""},
	{"plan failure is glue by place from 70% to 20%", "plan", map[string]string{"sizes": sizeColumns}, ""},
	{"plan characteristic load within 10%", "plan", map[string]string{"sizes": sizeColumns}, ""},
	{"sheet of plan1 to next.csv", "sheet", nil, ""},
	{"allot gates.csv over finish oil, wax balancing density", "allot",
		map[string]string{"allotted": "specimen finish test_day board density",
			"balance": "finish n density density_sd"},
		"gap spread_ratio"},
	{"suggest 8 of fit1", "suggest", map[string]string{"suggested": "density pins n"}, "narrower"},
	{"suggest 3 of fit1 from gates.csv", "suggest", map[string]string{"chosen": "specimen test_day board density pins"},
		"narrower"},
	{"draw load by pins", "draw", nil, ""},
	{"draw failure by pins", "draw", nil, ""},
	{"draw load against density line of fit1", "draw", nil, ""},
	{"draw residuals of fit1", "draw", nil, ""},
	{"draw chance of plan1", "draw", nil, ""},
	{"draw effects of fit1", "draw", nil, ""},
	{"draw adjusted pins of fit1", "draw", nil, ""},
	{"draw all of fit1 to pictures", "draw", nil, ""},
	{"again fit1", "fit", map[string]string{"terms": termColumns}, fitValues},
	{"sketch load by pins", "sketch", nil, ""},
	{"sketch load against density", "sketch", nil, ""},
	{"note words", "note", nil, ""},
	{"heading words", "heading", nil, ""},
	{"conclude words", "conclude", nil, ""},
	{"confidence 90%", "confidence", nil, ""},
	{"worth 10%", "worth", nil, ""},
	{"seed 7", "seed", nil, ""},
	{"digits 4", "digits", nil, ""},
	{"help compare", "help", nil, ""},
	{"save book gates.brk", "save", nil, ""},
	{"report gates.html", "report", nil, ""},
	{"replay gates.brk", "replay", nil, ""},
	{"resume", "resume", nil, ""},
	{"forget journal", "forget journal", nil, ""},
	{"undo", "undo", nil, ""},
	{"quit", "quit", nil, ""},
}

// tableJSON is a table of one.
type tableJSON struct {
	ID, Title, Note string
	Columns         []struct{ ID string }
	Rows            [][]any
}

// entryJSON is an entry as a script reads it.
type entryJSON struct {
	Kind               string
	Findings, Cautions []string
	Tables             []tableJSON
	Values             map[string]any
	Figures            []struct{ Alt string }
}

func TestContract(t *testing.T) {
	withoutShort(t)
	for _, c := range contracts {
		t.Run(c.line, func(t *testing.T) {
			b := newBench(t)
			b.run("open gates.csv", "fit load on density, pins", "plan load by pins detecting 40%")
			text, err := render.JSON(b.run(c.line), render.Options{})
			if err != nil {
				t.Fatal(err)
			}
			var e entryJSON
			if err := json.Unmarshal(text, &e); err != nil {
				t.Fatal(err)
			}
			if e.Kind != c.kind {
				t.Errorf("kind %q, want %q", e.Kind, c.kind)
			}
			e.hasTables(t, c.tables)
			e.saysNoIDs(t)
			for _, id := range strings.Fields(c.values) {
				if _, there := e.Values[id]; !there {
					t.Errorf("no value %s", id)
				}
			}
			if drawn := len(e.Figures) > 0 && e.Figures[0].Alt != ""; drawn != (c.kind == "draw") {
				t.Errorf("figures %v", e.Figures)
			}
		})
	}
}

// saysNoIDs checks that the words for people call a column or a value as the screen heads
// it, never by the id that scripts know it by.
func (e entryJSON) saysNoIDs(t *testing.T) {
	t.Helper()
	var ids []string
	for id := range e.Values {
		ids = append(ids, id)
	}
	said := append(slices.Clone(e.Findings), e.Cautions...)
	for _, table := range e.Tables {
		said = append(said, table.Title, table.Note)
		for _, c := range table.Columns {
			ids = append(ids, c.ID)
		}
	}
	own := []string{"break_load", "test_day", "cure_temp"} // columns of the demo
	for _, id := range ids {
		if !strings.Contains(id, "_") || slices.Contains(own, id) {
			continue
		}
		for _, s := range said {
			if strings.Contains(s, id) {
				t.Errorf("%q says the id %s", s, id)
			}
		}
	}
}

// hasTables checks that the tables are there, each with its columns in order and rows.
func (e entryJSON) hasTables(t *testing.T, want map[string]string) {
	t.Helper()
	for id, columns := range want {
		i := slices.IndexFunc(e.Tables, func(t tableJSON) bool { return t.ID == id })
		if i < 0 {
			t.Errorf("no table %s", id)
			continue
		}
		var got []string
		for _, c := range e.Tables[i].Columns {
			got = append(got, c.ID)
		}
		if strings.Join(got, " ") != columns {
			t.Errorf("columns of %s are %v, want %s", id, got, columns)
		}
		if len(e.Tables[i].Rows) == 0 {
			t.Errorf("table %s is empty", id)
		}
	}
}

// TestContractNamesRows holds the rows of a fit and of its analysis of variance to the
// names of the language.
func TestContractNamesRows(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "treat thickness as category", "levels of pins are none, single, pair, offset")
	for _, c := range []struct {
		line  string
		table int
		want  []string
	}{
		{"fit load on density curved, pins", 0, []string{"baseline", "density", "density²", "pins: single",
			"pins: pair", "pins: offset"}},
		{"fit load on ln(density), density^3", 0, []string{"baseline", "ln(density)", "density^3"}},
		{"fit load on together(place, thickness)", 0, []string{"baseline", "place: store", "thickness: 44",
			"place: store × thickness: 44"}},
		{"fit load on together(density, place)", 0,
			[]string{"baseline", "density", "place: store", "density × place: store"}},
		{"anova load on density, place", 0, []string{"density", "place", "residual", "total"}},
		{"fit load on density, density", 0, []string{"baseline", "density"}},
		{"compare load by place", 1, []string{"shed"}},
	} {
		e := b.run(c.line)
		var got []string
		for _, row := range e.Tables[c.table].Rows {
			got = append(got, row[0].Text)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: rows %q, want %q", c.line, got, c.want)
		}
	}
}
