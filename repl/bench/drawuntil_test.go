package bench

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// Every specimen stands on the curve of its level: what broke in the glue line where its
// step ends (by hand: of four at risk one breaks, 75 % hold), what broke another way pale.
func TestEverySpecimenStandsOnItsCurve(t *testing.T) {
	const joints = "id,pins,load (N),failure\n1,none,400,glue\n2,none,410,wood\n3,none,420,glue\n4,none,430,glue\n" +
		"5,pair,500,wood\n6,pair,510,glue\n"
	_, e := startedSession(t, joints, "mark id as specimen", "mark failure as failure",
		"draw load until failure is glue by pins")
	var broke, cut page.Points
	for _, l := range e.Figures[0].Layers {
		if p, ok := l.(page.Points); ok && p.Faint {
			cut.X, cut.Y, cut.Names = append(cut.X, p.X...), append(cut.Y, p.Y...), append(cut.Names, p.Names...)
		} else if ok {
			broke.X, broke.Y = append(broke.X, p.X...), append(broke.Y, p.Y...)
		}
	}
	if !slices.Equal(broke.X, []float64{400, 420, 430, 510}) || !slices.Equal(broke.Y, []float64{75, 37.5, 0, 0}) {
		t.Errorf("breaks at %v, %v", broke.X, broke.Y)
	}
	if !slices.Equal(cut.X, []float64{410, 500}) || !slices.Equal(cut.Y, []float64{75, 100}) ||
		!slices.Equal(cut.Names, []string{"2", "5"}) {
		t.Errorf("others at %v, %v: %v", cut.X, cut.Y, cut.Names)
	}
}

// The levels of one sentence are told one after the other, parted by semicolons. Of five
// specimens the bounds are the middle load and that of the third break so, by hand.
func TestLevelsOfBoundsAreParted(t *testing.T) {
	const joints = "pins,load (N),failure\nnone,400,glue\nnone,410,wood\nnone,420,glue\nnone,430,glue\n" +
		"none,445,glue\n" +
		"pair,500,wood\npair,510,glue\npair,525,glue\npair,530,glue\n" +
		"pair,550,glue\nsplit,450,glue\nsplit,470,glue\nsplit,475,wood\nsplit,490,glue\n"
	_, e := startedSession(t, joints, "mark failure as failure", "fit load until failure is glue on pins")
	reported := ""
	for _, s := range e.Findings {
		if said := render.Sentence(s, render.Options{}); strings.HasPrefix(said, "With nothing assumed") {
			reported = said
		}
	}
	ranges := regexp.MustCompile(`some load: with pins none from 420 N to 430 N [^;]*; ` +
		`with pins pair from 525 N to 530 N [^;]*; with pins split [^;]*\.$`)
	if !ranges.MatchString(strings.ReplaceAll(reported, "\u00a0", " ")) {
		t.Errorf("%q", reported)
	}
}

// The fitted share that holds a load is the Weibull distribution's (textbook), with the scale and the shape
// that the fit tells.
func TestTheFittedCurveIsTheDistributions(t *testing.T) {
	b := newBench(t)
	values := map[string]float64{}
	for _, v := range b.run("open gates.csv", "fit load until failure is glue on pins").Values {
		values[v.ID] = v.Cell.Num
	}
	scale, shape := values["scale"], values["shape"]
	if !(scale > 300 && scale < 350 && shape > 7 && shape < 10) { // of the baseline, pins none
		t.Fatalf("scale %g, shape %g", scale, shape)
	}
	curves := 0
	for _, l := range b.run("draw load until failure is glue by pins").Figures[0].Layers {
		line, ok := l.(page.Line)
		if !ok || !line.Dashed {
			continue
		}
		curves++
		if curves > 1 { // the first level's is the baseline's
			continue
		}
		for i, x := range line.X {
			if want := 100 * math.Exp(-math.Pow(x/scale, shape)); math.Abs(line.Y[i]-want) > 1e-6 {
				t.Fatalf("at %g kgf %g %% hold, want %g", x, line.Y[i], want)
			}
		}
	}
	if curves != 4 {
		t.Errorf("%d fitted curves of four levels", curves)
	}
}
