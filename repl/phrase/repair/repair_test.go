package repair

import (
	"strings"
	"testing"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
)

// gates is a session made up for the tests.
type gates struct{ phrase.NoPast }

func (gates) Current() string       { return "gates" }
func (gates) SeriesNames() []string { return []string{"gates", "spring"} }
func (gates) Columns(string) []phrase.KnownColumn {
	return []phrase.KnownColumn{
		{Name: "specimen", Label: "Specimen", Kind: "text"},
		{Name: "break_load", Label: "Break load (N)", Kind: "number", Unit: "N"},
		{Name: "density", Label: "Density (kg/m3)", Kind: "number", Unit: "kg/m3"},
		{Name: "pins", Label: "Pins", Kind: "category", Levels: []string{"none", "one", "two"}},
		{Name: "glue", Label: "Glue", Kind: "category", Levels: []string{"hide", "two part", "epoxy"}},
		{Name: "failure", Label: "Failure", Kind: "category", Levels: []string{"wood", "pins"}},
	}
}
func (gates) Results() []phrase.KnownResult {
	return []phrase.KnownResult{{Name: "fit1", Kind: "fit", Series: "gates", Columns: []string{"density", "pins"}},
		{Name: "odds1", Kind: "odds", Series: "gates", Columns: []string{"pins"}, Doubted: true}}
}
func (gates) RoleColumn(_, role string) string {
	return map[string]string{"load": "break_load", "failure": "failure", "specimen": "specimen"}[role]
}
func (gates) EachSpecimen(_ string, visit func(string) bool) {
	for _, name := range []string{"G1", "G2", "H12"} {
		if !visit(name) {
			return
		}
	}
}

func TestOneLineIsMeant(t *testing.T) {
	for typed, want := range map[string]string{
		// what the list of mistyped lines, which is typed on the demo, has not
		"anova sequential of fit1":                          "anova of fit1 sequential",
		"draw effects to x.png, confidence 90% of fit1":     "draw effects of fit1 to x.png, confidence 90%",
		"compare load by glue against two parts":            "compare load by glue against \"two part\"",
		"rows for glue is epoxi and pins is non":            "rows for glue is epoxy and pins is none",
		"set aside specimen G12 because \"knot\"":           "", // G1, G2 or H12
		"set aside specimen G3 because \"knot\"":            "", // G1 or G2
		"rows for pins not one":                             "rows for pins is not one",
		"averge load,\nby pins":                             "average load by pins",
		"AVERGE Load by Pins":                               "average Load by Pins",
		"fit load on dnsity curved, pins blocked by glue":   "fit load on density curved, pins blocked by glue",
		"work out x = laod * 2":                             "work out x = load * 2",
		"average load by pins without glue":                 "", // never the opposite
		"rows for pins is no one":                           "rows for pins is none",
		"compare load by":                                   "compare break_load by pins",
		"set aside specimen":                                "", // none is picked for the user
		"open":                                              "",
		"":                                                  "",
		"load pins":                                         "",
		"suggest 4 separating glue, pins":                   "suggest 4 to separate glue, pins",
		"suggest 4 for separating pins, density":            "suggest 4 to separate pins, density",
		"fit load on step density":                          "fit load on step(density)",
		"fit load on pins, ln density":                      "fit load on pins, ln(density)",
		"fit load on pins with spring":                      "fit load on pins with series spring",
		"note":                                              "",
		"help":                                              "help",
		"odds failure is wood on pins against one":          "", // of one level nothing is to be asked
		"rows for density between 500 kg/m3 and 600 kg/m3":  "rows for density >= 500 kg/m3 and density <= 600 kg/m3",
		"average load by pins for density is more than 500": "",
		"predict fit1 given pins one, densty 6,5":           "predict fit1 given pins one, density 6.5",
		"rows for density >= 600,5 and pins is non":         "rows for density >= 600.5 and pins is none",
		"correct load of G1 to 1,234":                       "", // 1.234 or 1234
		"save":                                              "", // not same load by pins within 10%
		"save it":                                           "",
		"set aside rows 2 to 4":                             "",
		"bring back rows 1 - 3":                             "bring back rows 1, 2, 3",
		"set aside row 1 to 30 because \"x\"":               "",
		"set aside specimen G1 to G2 because \"x\"":         "",
		"correct load of G1 to four because \"x\"":          "",
		"correct load of G1 because \"x\"":                  "",
		"correct load of G1 to empty because \"x\"":         "correct load of G1 to missing because \"x\"",
		"open a.csv no header":                              "open a.csv header none",
		"open a.csv sheet Gates without a header":           "open a.csv sheet Gates header none",
		"open a.csv, with no headers":                       "open a.csv header none",
		"open a.csv headerless":                             "open a.csv header none",
		"open a.csv Tests":                                  "open a.csv",
		"open a.csv, b.csv":                                 "open a.csv; open b.csv",
		"open a.csv b.csv as both":                          "",
		"\"average load by pins\"":                          "average load by pins",
		"'averge load by pins'":                             "average load by pins",
		"`average load by pins`":                            "average load by pins",
		"read curves slip.csv":                              "read curves slip.csv by specimen",
		"work out x = load / density in kN":                 "work out x = load / density; convert x to kN",
		"merge levels one, two, into pinned of pins":        "merge levels one, two into pinned of pins",
		"compare none and two":                              "compare load by pins for pins among none, two",
		"compare one to wood":                               "", // levels of two columns
		"gates 4 | average load by pins":                    "average load by pins",
		"breakbook 1 | open a.csv":                          "open a.csv",
		"… | averge load by pins":                           "average load by pins",
		"set aside specimen G1 because 'dropped it'":        `set aside specimen G1 because "dropped it"`,
		"set aside specimen G1 because ‘a’ or ‘b’":          `set aside specimen G1 because "‘a’ or ‘b’"`,
		"set aside G1":                                      "", // without a reason
		"compare failure by pins":                           "count failure by pins",
		"average failure by pins for density > 500":         "count failure by pins for density > 500",
		"fit failure on pins, density":                      "odds failure on pins, density",
		"predict odds1 given pins one":                      "show odds1",
		"show doubts":                                       "show odds1",
		"Doubt?":                                            "show odds1",
		"in doubt":                                          "show odds1",
		"how many more":                                     "plan load by pins detecting 10%",
		"bring back all":                                    "",
	} {
		got := Line(typed, gates{})
		if got != want {
			t.Errorf("%q: %q, want %q", typed, got, want)
		}
		if got == "" {
			continue
		}
		pieces, _, err := phrase.Split(got)
		for _, p := range pieces {
			if strings.HasPrefix(p.Text, "convert ") {
				continue // a column of the command before it
			}
			if _, err = parser.Parse(p, gates{}); err != nil {
				t.Errorf("%q: %q is offered, and is no command: %v", typed, p.Text, err)
			}
		}
		if err != nil {
			t.Errorf("%q: %q: %v", typed, got, err)
		}
	}
}

// The search is bounded by how many lines it reads, whatever was typed.
func TestTheSearchIsBounded(t *testing.T) {
	for _, line := range []string{strings.Repeat("fit load and ", 22), strings.Repeat("x", 299),
		strings.Repeat("木", 299), "rows for " + strings.Repeat("(", 250),
		"work out x = " + strings.Repeat("-", 250), strings.Repeat("of ", 39) + "load",
		strings.Repeat("average load by pins ", 100_000), "draw " + strings.Repeat("e\u0301\u0301", 90),
		strings.Repeat(`"`, 200), "correct " + strings.Repeat("G1, ", 38)} {
		s := searching(line, gates{})
		if s == nil {
			continue
		}
		s.run()
		if s.probes > mostProbes || len(s.seen) > 100*mostProbes {
			t.Errorf("%.40q…: %d lines read, %d looked at", line, s.probes, len(s.seen))
		}
	}
}

// Every target of a pointer is what some command starts with.
func TestPointersLeadToCommands(t *testing.T) {
	for _, p := range phrase.Pointers {
		for _, to := range p.To {
			found := false
			for _, e := range phrase.Table {
				found = found || strings.HasPrefix(strings.ReplaceAll(e.Phrase, "|", " ")+" ", to+" ") ||
					strings.HasPrefix("rows for ", to+" ")
			}
			if !found {
				t.Errorf("%v leads to %q, which no command starts with", p.Words, to)
			}
		}
	}
}

func FuzzLine(f *testing.F) {
	for _, e := range phrase.Table {
		f.Add(e.Example)
	}
	f.Add(`compare load by glue against "two part", for (load > 3 kN or not pins among one, none) worth 10 %`)
	f.Fuzz(func(t *testing.T, line string) {
		got := Line(line, gates{})
		if got == "" {
			return
		}
		if _, err := parser.Parse(phrase.Piece{Text: got, At: 1}, gates{}); err != nil {
			t.Errorf("%q: %q is offered, and is no command: %v", line, got, err)
		}
	})
}

// BenchmarkLine is how long the search takes where it finds nothing.
func BenchmarkLine(b *testing.B) {
	for _, line := range []string{"draw " + strings.Repeat("e\u0301\u0301", 90),
		"fit load and " + strings.Repeat("glue and ", 14),
		"what on earth is the matter with load and glue"} {
		b.Run(line[:12], func(b *testing.B) {
			for b.Loop() {
				Line(line, gates{})
			}
		})
	}
}
