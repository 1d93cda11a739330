package bench

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/session/fitted"
)

// intervals are the intervals of a figure by the level they stand at.
func intervals(fig page.Figure) map[string]page.Interval {
	out := map[string]page.Interval{}
	for _, l := range fig.Layers {
		if v, ok := l.(page.Interval); ok {
			out[fig.X.Levels[int(v.X)]] = v
		}
	}
	return out
}

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Max(math.Abs(a), math.Abs(b)) }

// Rows of levels are the fit's own; a number column's is that of one standard deviation
// (n-1) of the specimens used, its square's of the standard deviation squared.
func TestDrawnEffectsAreTheFits(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv")
	terms := b.run("fit load on density curved, pins, cure_temp").Tables[0]
	spread := map[string]float64{}
	for _, column := range []string{"density", "cure_temp"} {
		r, _ := b.s.Result("fit1")
		f, ok := fitted.Of(r)
		if !ok {
			t.Fatal("there is no fit")
		}
		x, err := f.Sample.Frame.Numbers(column)
		if err != nil {
			t.Fatal(err)
		}
		mean, squares := 0.0, 0.0
		for _, v := range x {
			mean += v / float64(len(x))
		}
		for _, v := range x {
			squares += (v - mean) * (v - mean)
		}
		spread[column] = math.Sqrt(squares / float64(len(x)-1))
	}
	step := map[string]float64{"density": spread["density"], "density²": spread["density"] * spread["density"],
		"cure_temp": spread["cure_temp"]}
	fig := b.run("draw effects of fit1").Figures[0]
	drawn := intervals(fig)
	if len(drawn) != len(terms.Rows)-1 {
		t.Errorf("%d effects drawn of %d rows and the baseline", len(drawn), len(terms.Rows)-1)
	}
	for _, row := range terms.Rows[1:] {
		name, by := row[0].Text, 1.0
		for part, s := range step {
			if name == part || strings.HasSuffix(name, "× "+part) {
				by = s
			}
		}
		label := name
		if by != 1 {
			label += ", +1 sd"
		}
		got, ok := drawn[label]
		if !ok || !near(got.Mean, by*row[1].Num) || !near(got.Low, by*row[2].Num) || !near(got.High, by*row[3].Num) {
			t.Errorf("%s is drawn as %+v, want %g times %g (%g to %g)", label, got, by, row[1].Num, row[2].Num,
				row[3].Num)
		}
	}
	if zone, ok := fig.Layers[0].(page.Zone); !ok || !(zone.High > 0) || zone.Low != -zone.High {
		t.Errorf("the band is %v, want one about 0", fig.Layers[0])
	}
	if rule, ok := fig.Layers[1].(page.Rule); !ok || rule.Y != 0 {
		t.Errorf("the rule is %v, want one at 0", fig.Layers[1])
	}
	if want := "Against pins none; +1 sd: a number one standard deviation above its mean"; fig.X.Label != want {
		t.Errorf("the axis says %q, want %q", fig.X.Label, want)
	}
}

// A factor that is combined with another is drawn within each of its settings: what the fit says of it
// where that setting is the baseline. The combined term has no row of its own.
func TestDrawnEffectsAreWithinLevels(t *testing.T) {
	b := newBench(t)
	turned := "pins,glue,density,load (N)\n"
	r := rand.New(rand.NewPCG(2, 7))
	for i := range 40 {
		pins, glue := i%2, i/2%2
		density := 560 + 80*r.Float64()
		load := 400 + 80*float64(pins*(1-2*glue)) + float64(1+pins)*(density-600) + 20*r.NormFloat64()
		turned += fmt.Sprintf("%s,%s,%.1f,%.2f\n", []string{"none", "pair"}[pins], []string{"warm", "cold"}[glue],
			density, load)
	}
	if err := os.WriteFile("turned.csv", []byte(turned), 0o666); err != nil {
		t.Fatal(err)
	}
	b.run("open turned.csv")
	rows := map[string]page.Interval{}
	for _, order := range []string{"warm, cold", "cold, warm"} {
		glue, _, _ := strings.Cut(order, ", ")
		for _, first := range []string{"none, pair", "pair, none"} {
			pins, _, _ := strings.Cut(first, ", ")
			b.run("levels of glue are "+order, "levels of pins are "+first)
			for _, row := range b.run("fit load on together(pins, glue), density").Tables[0].Rows {
				got := page.Interval{Mean: row[1].Num, Low: row[2].Num, High: row[3].Num}
				rows[row[0].Text+", glue "+glue] = got
				rows[row[0].Text+", pins "+pins] = got
			}
		}
	}
	b.run("levels of glue are warm, cold", "levels of pins are none, pair",
		"fit load on together(pins, glue), density as f")
	fig := b.run("draw effects of f").Figures[0]
	want := []string{"pins: pair, glue warm", "pins: pair, glue cold", "glue: cold, pins none", "glue: cold, pins pair",
		"density, +1 sd"}
	if !slices.Equal(fig.X.Levels, want) {
		t.Fatalf("drawn %q, want %q", fig.X.Levels, want)
	}
	drawn := intervals(fig)
	for _, name := range want[:4] {
		got, of := drawn[name], rows[name]
		if !near(got.Mean, of.Mean) || !near(got.Low, of.Low) || !near(got.High, of.High) {
			t.Errorf("%s is drawn as %+v, want %+v", name, got, of)
		}
	}
	b.run("fit load on together(pins, density), glue as g")
	fig = b.run("draw effects of g").Figures[0]
	want = []string{"pair (pins), density 10th percentile", "pair (pins), density 90th percentile",
		"density, +1 sd, pins none", "density, +1 sd, pins pair", "glue: cold"}
	if !slices.Equal(fig.X.Levels, want) {
		t.Errorf("drawn %q, want %q", fig.X.Levels, want)
	}
}

// Effects on ln are percents of the measure itself.
func TestDrawnEffectsOnLnArePercents(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv")
	row := b.run("fit ln(load) on pins").Tables[0].Rows[1]
	fig := b.run("draw effects confidence 95%").Figures[0]
	got := intervals(fig)[row[0].Text]
	for i, x := range []float64{got.Mean, got.Low, got.High} {
		if !near(x, 100*(math.Exp(row[i+1].Num)-1)) {
			t.Errorf("%g %% is drawn for %g on ln", x, row[i+1].Num)
		}
	}
	if fig.Y.Unit != "percent" {
		t.Errorf("the unit is %q", fig.Y.Unit)
	}
}

// Adjusted means are those of the table, over every specimen of the fit.
func TestDrawnAdjustedMeansAreTheTables(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "fit load on density, pins")
	table := b.run("adjusted pins confidence 90%").Tables[0]
	e := b.run("draw adjusted pins confidence 90%")
	fig := e.Figures[0]
	drawn := intervals(fig)
	for _, row := range table.Rows {
		got := drawn[row[0].Text]
		if got.Mean != row[2].Num || got.Low != row[3].Num || got.High != row[4].Num {
			t.Errorf("%s is drawn as %+v, the table has %v", row[0].Text, got, row)
		}
	}
	points := fig.Layers[0].(page.Points)
	counted := 0
	for _, n := range fig.X.Counts {
		counted += n
	}
	if n := e.Specimens.Used; !points.Faint || len(points.X) != n || counted != n || len(drawn) != len(table.Rows) {
		t.Errorf("%d points (faint: %v), %d counted, %d means, want %d specimens of %d levels", len(points.X),
			points.Faint, counted, len(drawn), n, len(table.Rows))
	}
	sums := make([]float64, len(fig.X.Levels))
	for i, at := range points.X {
		sums[int(at)] += points.Y[i]
	}
	for i, level := range fig.X.Levels { // residuals of a fit sum to nothing in each level that it has a mean for
		if mean := sums[i] / float64(fig.X.Counts[i]); !near(mean, drawn[level].Mean) {
			t.Errorf("the specimens of %s lie about %g, their adjusted mean is %g", level, mean, drawn[level].Mean)
		}
	}
}

// All pictures of a result are what each command draws by itself, in one folder.
func TestAllPicturesOfAResult(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "fit load on density, pins, place for species is oak as oak", "open gates_spring.csv")
	e := b.run("draw all of oak to pictures size 120 by 80 mm")
	var names []string
	for _, fig := range e.Figures {
		names = append(names, fig.Path)
		if !fig.NewFolder || fig.WidthMM != 120 {
			t.Errorf("%s: new folder %v, width %g", fig.Path, fig.NewFolder, fig.WidthMM)
		}
	}
	want := []string{"pictures/oak-effects.png", "pictures/oak-residuals.png",
		"pictures/oak-break_load-against-density.png",
		"pictures/oak-adjusted-pins.png", "pictures/oak-adjusted-place.png"}
	if !slices.Equal(names, want) {
		t.Errorf("drawn %v, want %v", names, want)
	}
	if e.Series != "gates" {
		t.Errorf("the series is %s", e.Series)
	}
	b.run("switch to gates")
	for i, line := range []string{"draw effects of oak", "draw residuals of oak",
		"draw load against density line of oak for species is oak",
		"draw adjusted pins of oak", "draw adjusted place of oak"} {
		one := b.run(line)
		if words(one.Findings) != words(e.Findings[i:i+1]) || len(one.Figures[0].Layers) != len(e.Figures[i].Layers) {
			t.Errorf("%s draws %q, draw all %q", line, words(one.Findings), words(e.Findings[i:i+1]))
		}
	}
	b.run("share out load on pins, place", "plan load by pins detecting 40%")
	for result, ending := range map[string]string{"shares1": "shares", "plan1": "chance"} {
		if e := b.run("draw all of " + result + " to x"); len(e.Figures) != 1 || e.Figures[0].Path != "x/"+result+
			"-"+ending+".png" {
			t.Errorf("%s: %v", result, e.Figures)
		}
	}
	if _, err := b.try("draw all of oak to all.PNG"); err == nil || err.(*page.Problem).Code != "unknown-format" {
		t.Errorf("a file for all pictures: %v", err)
	}
}

// The row of a long name begins with its level: its end may be cut off under the axis.
func TestLongRowsOfEffectsBeginWithTheirLevel(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "rename pins to way_of_pinning_the_corner")
	b.run("fit load on way_of_pinning_the_corner, place")
	drawn := intervals(b.run("draw effects").Figures[0])
	for _, want := range []string{"pair (way_of_pinning_the_corner)", "place: store"} {
		if _, ok := drawn[want]; !ok {
			t.Errorf("no effect named %q among %v", want, drawn)
		}
	}
}

// Every command that keeps a result has a picture of it, a file each named after the result.
func TestEveryResultHasItsPictures(t *testing.T) {
	for _, e := range entriesFrom(0) {
		if e.Result == "" {
			continue
		}
		t.Run(e.Name, func(t *testing.T) {
			b := newBench(t)
			b.run(ready(e.Name)...)
			name := b.run(e.Example).Name
			drawn := b.run("draw all of " + name + " to x")
			if len(drawn.Figures) == 0 {
				t.Fatalf("%s: no picture", e.Example)
			}
			met := map[string]bool{}
			for _, f := range drawn.Figures {
				if met[f.Path] || !strings.HasPrefix(f.Path, filepath.Join("x", name+"-")) {
					t.Errorf("%s: %s, of %v", e.Example, f.Path, met)
				}
				met[f.Path] = true
			}
		})
	}
}
