package bench

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"breakbook/repl/render"
)

// A picture travels without its book: what the answers it shows are in doubt about stands in its
// note, that of one factor's picture for this factor alone.
func TestFiguresSayWhatTheirAnswersAreInDoubtAbout(t *testing.T) {
	b := newBench(t)
	var lines strings.Builder
	lines.WriteString("specimen,glue,pins,density (kg/m3),load (N)\n")
	for i := range 24 { // pairs are of the denser boards, and density is all there is; glue changes with nothing
		noise := 4 * (float64(i*i*7%13) - 6)
		pins, density := "none", 600+noise
		if i%2 == 1 {
			pins, density = "pair", 640+noise
		}
		fmt.Fprintf(&lines, "A%02d,%s,%s,%.0f,%.1f\n", i, []string{"hide", "bone"}[i/2%2], pins, density,
			400+(density-600)+float64(i*i*5%11)-5)
	}
	if err := os.WriteFile("joints.csv", []byte(lines.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	b.run("open joints.csv")
	fitted := b.run("fit load on pins, glue")
	if len(fitted.Doubts) != 1 || fitted.Doubts[0].Code != "left-out" || fitted.Doubts[0].About != "density" {
		t.Fatalf("the fit carries %+v", fitted.Doubts)
	}
	b.run("fit load on pins, glue, density as whole")
	for line, doubted := range map[string]bool{
		"draw effects of fit1": true, "draw residuals of fit1": true, "draw adjusted pins of fit1": true,
		"draw load against density by pins line of whole": false, "draw adjusted glue of fit1": false,
		"draw effects of whole": false, "draw load by pins": false,
	} {
		for _, f := range b.run(line).Figures {
			note := render.Sentence(f.Note, render.Options{})
			if got := strings.HasSuffix(note, "in doubt: density"); got != doubted {
				t.Errorf("%s: %q has the note %q", line, f.Title, note)
			}
		}
	}
	for _, f := range b.run("draw all of fit1 to pictures").Figures {
		if got := strings.HasSuffix(render.Sentence(f.Note, render.Options{}),
			"in doubt: density"); got == strings.Contains(f.Path, "glue") {
			t.Errorf("of all pictures %s is noted: %v", f.Path, got)
		}
	}
}

// A limit for a joint of a fit rests on its specimens as its differences do: those entered twice, and loads
// where the machine ends, are told of it too, with what the limit is without the repeats.
func TestLimitOfAFitIsQuestioned(t *testing.T) {
	b := newBench(t)
	var loads []int
	for i := range 30 {
		loads = append(loads, 340+40*(i%2)+i*i*7%97)
	}
	repeated := strengths(loads)
	repeated += strings.SplitN(strengths(loads[:8]), "\n", 2)[1]
	capped := make([]int, len(loads))
	for i, load := range loads {
		capped[i] = min(load, 425)
	}
	b.open("plain", strengths(loads))
	b.open("repeated", repeated)
	b.open("capped", strengths(capped))
	for name, want := range map[string]string{"plain": "", "repeated": "repeated", "capped": "ceiling"} {
		b.run("fit load on pins from " + name + " as of_" + name)
		e := b.run("characteristic of of_" + name + " given pins pair")
		var codes []string
		for _, d := range e.Doubts {
			codes = append(codes, d.Code)
			if text := render.Sentence(d.Text, render.Options{}); d.Code == "repeated" &&
				!strings.Contains(text, "Each counted once: the lowest load that 95 % of joints exceed is") {
				t.Errorf("%s: %q", name, text)
			}
		}
		if got := strings.Join(codes, " "); got != want {
			t.Errorf("%s is doubted for %q, want %q", name, got, want)
		}
	}
}

// Loads of specimens that did not break, as their failure says, are lower bounds: where they are many that is told
// with the answer by their strength, where they are few only if that is another answer; a strength takes them so
// already. The caution that specimens did not all break alike says what they count as.
func TestUnbrokenSpecimensAreLowerBounds(t *testing.T) {
	b := newBench(t)
	loads := []int{300, 331, 312, 322, 305, 340, 296, 335, 318, 328, 309, 345, 301, 350, 315, 326}
	held := func(rows ...int) string {
		lines := strings.Split(strengths(loads), "\n")
		for _, row := range rows {
			lines[row+1] = strings.Replace(lines[row+1], "glue", "held", 1)
		}
		return strings.Join(lines, "\n")
	}
	b.open("few", held(2))
	b.open("many", held(1, 3, 5))
	b.open("none", held())
	want := "3 of 16 specimens did not break (failure: held): their load is only a lower bound, and here they count " +
		"as if they had broken there. As lower bounds: with pins pair, the load until failure is glue is "
	for name, want := range map[string]string{"few": "", "many": want, "none": ""} {
		for _, line := range []string{"average load by pins", "fit load on pins", "compare load by pins"} {
			e := b.run(line + " from " + name)
			text, then := doubtOf(e, "ceiling", "load")
			if !strings.HasPrefix(text, want) || (text == "") != (want == "") || want != "" && then != "differs" {
				t.Errorf("%s of %s: %q, then %q", line, name, text, then)
			}
			if line != "average load by pins" {
				continue
			}
			said := ""
			for _, c := range e.Cautions {
				said += render.Sentence(c, render.Options{})
			}
			const bounds = " What did not break carried that load or more, and counts as if it had broken there."
			if strings.Contains(said, "did not all break alike") != (name != "none") ||
				strings.Contains(said, bounds) != (name != "none") {
				t.Errorf("%s: cautions %q", name, said)
			}
		}
		e := b.run("fit load until failure is glue on pins from " + name)
		if text, _ := doubtOf(e, "ceiling", "load"); text != "" {
			t.Errorf("the strength of %s: %q", name, text)
		}
	}
	// A test that was stopped early hides a difference, which the others bear out.
	loads[5] = 100
	b.open("one", held(5))
	text, then := doubtOf(b.run("fit load on pins from one"), "ceiling", "load")
	if !strings.HasPrefix(text, "1 of 16 specimens did not break (failure: held): its load is only a lower bound, and "+
		"here it counts as if it had broken there. As lower bounds: ") || then != "differs" {
		t.Errorf("one stopped early: %q, then %q", text, then)
	}
}
