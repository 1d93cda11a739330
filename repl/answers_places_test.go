package repl_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// said reports whether some sentence matches.
func said(sentences []string, words string) bool {
	return slices.ContainsFunc(sentences, regexp.MustCompile(words).MatchString)
}

// A plan stands on the spread of the series, or, where that is given and a share is asked
// for, on its baseline mean: a specimen set aside is told of when it would move that by more than
// half its interval. Eight loads of mean 400 and sd 8 with none; interval of the mean ± t·s/√8 with
// the 14 degrees of freedom of both levels, t = 2.144786687916927; of the sd, s·√(14/χ²) with
// χ² of 26.118948045037371 and 5.628726103029732 (scipy 1.10.1, t.ppf and chi2.ppf).
func TestPlansTellWhatTheyStandOn(t *testing.T) {
	deviations := []float64{-10, -8, -6, -2, 2, 6, 8, 10}
	squares := 0.0
	for _, d := range deviations {
		squares += 2 * d * d
	}
	sd := math.Sqrt(squares / 14)
	series := func(extra float64) map[string]string {
		text := "Specimen,Load (N),Pins\n"
		for i, d := range deviations {
			text += fmt.Sprintf("%d,%g,none\n%d,%g,pair\n", 2*i+1, 400+d, 2*i+2, 500+d)
		}
		return map[string]string{"s.csv": text + fmt.Sprintf("17,%v,none\n", extra)}
	}
	const lines = `open s.csv; levels of pins are none, pair; set aside specimen 17 because "knot"; plan load by pins `
	half := 2.144786687916927 * sd / math.Sqrt(8)
	meanEdge := 400 + 9*half // there the mean of nine is half the interval away from that of eight
	// With it back the squares grow by 8/9 of its distance squared, with 15 degrees of freedom.
	move := sd * (math.Sqrt(14/5.628726103029732) - math.Sqrt(14/26.118948045037371)) / 2
	spreadEdge := 400 + math.Sqrt((15*(sd+move)*(sd+move)-squares)*9/8)
	for _, c := range []struct {
		name, plan string
		extra      float64
		warned     bool
	}{
		{"the mean moves a little less", "detecting 10% spread 12 N", meanEdge - 0.01, false},
		{"the mean moves a little more", "detecting 10% spread 12 N", meanEdge + 0.01, true},
		{"no share is asked for", "detecting 40 N spread 12 N", meanEdge + 50, false},
		{"the spread moves a little less", "detecting 40 N", spreadEdge - 0.01, false},
		{"the spread moves a little more", "detecting 40 N", spreadEdge + 0.01, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := session(t, series(c.extra), lines+c.plan)[3]
			if got := said(e.Cautions, "17 is set aside"); got != c.warned {
				t.Errorf("told %v, want %v: %v", got, c.warned, e.Cautions)
			}
		})
	}
}

// Two levels, each made from boards of its own: so many specimens per level are twice as many
// boards, since each comes from one of its own.
func TestPlansOfWholeBlocksCountThem(t *testing.T) {
	files := map[string]string{"s.csv": `Joint,Board,Pins,Failure
1,b1,none,glue
2,b1,none,wood
3,b2,none,glue
4,b2,none,glue
5,b3,pair,wood
6,b3,pair,glue
7,b4,pair,wood
8,b4,pair,wood
`}
	e := session(t, files, "open s.csv; mark board as block; plan failure is glue by pins from 80% to 20%")[2]
	for _, table := range e.Tables {
		if table.ID != "sizes" {
			continue
		}
		for _, row := range table.Rows {
			if level, blocks := row[0].(float64), row[7].(float64); blocks != 2*level {
				t.Errorf("%v specimens per level from %v boards, want %v", level, blocks, 2*level)
			}
		}
		return
	}
	t.Error("no table of sizes")
}

// Curves: what is told of loops, and how a drawn curve follows its readings.
func TestCurvesAreReportedAndDrawnAsRead(t *testing.T) {
	plain := "Slip (mm),Load (N)\n0,0\n1,100\n2,200\n3,300\n4,400\n5,500\n6,600\n7,350\n8,20\n"
	looped := strings.Replace(plain, "3,300\n", "3,300\n2.5,150\n2,60\n2.5,200\n3,300\n", 1)
	files := map[string]string{"gates.csv": "Joint,Load (N)\ng1,600\ng2,600\n", "g1.csv": plain, "g2.csv": looped}
	entries := session(t, files, "open gates.csv; read curves g1.csv by joint; draw curves to one.svg; undo; undo; "+
		"read curves g1.csv g2.csv by joint")
	if e := entries[1]; said(e.Cautions, "unloaded") {
		t.Errorf("no curve has a loop, and the cautions are %v", e.Cautions)
	}
	if e := entries[5]; !said(e.Cautions, "^1 specimen was unloaded.*g2") {
		t.Errorf("g2 has a loop, and the cautions are %v", e.Cautions)
	}
	drawing, err := os.ReadFile("one.svg")
	if err != nil {
		t.Fatal(err)
	}
	most := 0
	for _, path := range regexp.MustCompile(`d="M[\d.]+,[\d.]+(?:L[\d.]+,[\d.]+)+"`).FindAllString(string(drawing),
		-1) {
		most = max(most, strings.Count(path, "L"))
	}
	if most != 8 {
		t.Errorf("a curve of 9 readings is drawn in %d strokes, want 8", most)
	}
}

// A list of names names twelve, or all where there is one more, and counts the rest.
func TestLongListsAreCutWithACount(t *testing.T) {
	series := func(singles int) map[string]string {
		text := "Load (N),Day\n401,a\n405,a\n398,a\n410,b\n402,b\n415,b\n"
		for i := range singles {
			text += fmt.Sprintf("%d,s%02d\n", 400+i, i+1)
		}
		return map[string]string{"s.csv": text}
	}
	for singles, want := range map[int]string{13: "s12, s13 were left out", 14: "s12 and 2 more were left out",
		17: "s12 and 5 more were left out"} {
		e := session(t, series(singles), "open s.csv; treat day as category; agree load by day")[2]
		if !said(e.Cautions, want) {
			t.Errorf("%d series of one specimen: %v", singles, e.Cautions)
		}
	}
}

// The gauge's reading with nothing on it is nothing up to half of its step.
func TestTareIsHeldAgainstHalfTheStep(t *testing.T) {
	for reading, want := range map[string]string{"0.4": "shows nothing", "0.6": "shows this when there is nothing"} {
		files := map[string]string{"gates.csv": "Joint,Load (kgf)\na,60\nb,151\nc,77\nd,93\ne,110\nf,128\n",
			"gauge.csv": "reading (kgf),true (kgf)\n" + reading +
				",0\n52,50\n102,100\n127,125\n153,150\n178,175\n200,200\n" +
				"211,210\n222,220\n233,230\n244,240\n255,250\n266,260\n277,270\n288,280\n299,290\n310,300\n321,310\n" +
				"332,320\n343,330\n354,340\n"}
		e := session(t, files, "open gates.csv; calibrate load from gauge.csv")[1]
		found := false
		for _, table := range e.Tables {
			for _, row := range table.Rows {
				if row[0] == "tare" {
					found = true
					if !said([]string{fmt.Sprint(row...)}, want) {
						t.Errorf("a tare of %s with steps of 1: %v, want %q", reading, row, want)
					}
				}
			}
		}
		if !found {
			t.Error("no tare in the checks")
		}
	}
}
