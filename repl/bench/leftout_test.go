package bench

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// aboutDensity is the doubt left-out about density that an answer carries, as it is read; "" for none.
func aboutDensity(e page.Entry) string {
	at := slices.IndexFunc(e.Doubts, func(d page.Doubt) bool { return d.Code == "left-out" && d.About == "density" })
	if at < 0 {
		return ""
	}
	return render.Sentence(e.Doubts[at].Text, render.Options{})
}

// Of 20 joints too few broke so for density to show by itself what it does; but it changed together with
// pins, and allowing for it takes their difference away: the answer is in doubt. Where each joint of a pair
// of both levels has the same density, it is not.
func TestPropertyThatChangedAlongIsLeftOut(t *testing.T) {
	b := newBench(t)
	density := []int{547, 712, 645, 679, 620, 641, 551, 681, 601, 697, 638, 632, 634, 673, 555, 695, 584, 656, 616, 634}
	for name, of := range map[string]func(i int) int{
		"along": func(i int) int { return density[i] },
		"level": func(i int) int { return density[i-i%2] },
	} {
		var lines strings.Builder
		lines.WriteString("specimen,pins,density,failure\n")
		for i := range density {
			mode := "glue"
			if slices.Contains([]int{1, 2, 3, 7, 9, 19}, i) {
				mode = "wood"
			}
			fmt.Fprintf(&lines, "A%02d,%s,%d,%s\n", i, []string{"none", "pair"}[i%2], of(i), mode)
		}
		b.open(name, lines.String())
		got := aboutDensity(b.run("odds failure is glue on pins"))
		if reported := strings.Contains(got, "density is not in the fit, but it changed together with pins (p = "+
			"0.00015), and with it the answer "+
			"moves.") && strings.Contains(got, "cannot tell"); reported != (name == "along") {
			t.Errorf("%s: %q", name, got)
		}
	}
}

// A property that changed together with pins and has nothing to do with the load makes their interval
// longer where it is allowed for, so that it is another answer; but the estimate stays where it is, and
// that is no doubt. Where the load goes with the property a little, it is.
func TestLongerIntervalAloneIsNoDoubt(t *testing.T) {
	b := newBench(t)
	for slope, doubted := range map[float64]bool{0: false, 0.2: true} {
		var lines strings.Builder
		lines.WriteString("specimen,pins,density,load (N)\n")
		for i := range 20 {
			part := float64([]int{1, 1, -1, -1, 1, 1, -1, -1, 0, 0}[i/2])
			scatter := 26 * float64(i/2%2*2-1)
			density := 600 + 60*float64(i%2) + 20*part
			load := 400 + 30*float64(i%2) + scatter + slope*20*part
			fmt.Fprintf(&lines, "A%02d,%s,%.0f,%.1f\n", i, []string{"none", "pair"}[i%2], density, load)
		}
		b.open(fmt.Sprintf("slope%.0f", 10*slope), lines.String())
		plain := render.Sentence(b.run("compare load by pins").Findings[0], render.Options{})
		allowing := render.Sentence(b.run("fit load on pins, density").Findings[0], render.Options{})
		got := aboutDensity(b.run("compare load by pins"))
		if !strings.Contains(plain, ": differs") || !strings.Contains(allowing, ": cannot tell") ||
			(got != "") != doubted {
			t.Errorf("slope %g: %q, %q, in doubt %q", slope, plain, allowing, got)
		}
	}
}

// open writes a series and opens it.
func (b *bench) open(name, csv string) {
	b.t.Helper()
	if err := os.WriteFile(name+".csv", []byte(csv), 0o600); err != nil {
		b.t.Fatal(err)
	}
	b.run("open " + name + ".csv as " + name)
}
