package bench

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/render"
)

// joint is a specimen of an invented series.
type joint struct {
	glue, pins string
	density    float64
	load       float64
}

// joints are so many with a spread of 10 N, every pins with every glue, pairs 40 N stronger; shape changes each.
func joints(n int, shape func(i int, j *joint, noise float64)) string {
	r := rand.New(rand.NewPCG(3, 4))
	var b strings.Builder
	b.WriteString("specimen,glue,pins,density (kg/m3),load (N)\n")
	for i := range n {
		j := joint{[]string{"hide", "bone"}[i/2%2], []string{"none", "pair"}[i%2], 600 + 40*r.NormFloat64(), 0}
		noise := 10 * r.NormFloat64()
		j.load = 400 + noise
		if j.pins == "pair" {
			j.load += 40
		}
		shape(i, &j, noise)
		fmt.Fprintf(&b, "J%02d,%s,%s,%.0f,%.1f\n", i+1, j.glue, j.pins, j.density, j.load)
	}
	return b.String()
}

// A fault planted in joints that are sound otherwise is found wherever it lies, told with the figures that
// show it, and answered without it by a line that works.
func TestPlantedFaultsAreFound(t *testing.T) {
	sound := func(int, *joint, float64) {}
	odd := func(at int) func(int, *joint, float64) {
		return func(i int, j *joint, _ float64) {
			if i == at {
				j.load += 240
			}
		}
	}
	for _, c := range []struct {
		name, line, code, about string
		n                       int
		shape                   func(int, *joint, float64)
		says                    string
	}{
		{"nothing", "fit load on pins, glue", "", "", 40, sound, ""},
		{"an odd specimen first", "fit load on pins, glue", "odd-specimen", "J01", 24, odd(0), "specimen J01"},
		{"in the middle", "fit load on pins, glue", "odd-specimen", "J14", 24, odd(13), "specimen J14"},
		{"and last", "compare load by pins", "odd-specimen", "J24", 24, odd(23), "specimen J24"},
		{"glue that turns pins round", "fit load on pins, glue", "combination", "pins with glue", 40,
			func(_ int, j *joint, _ float64) {
				if j.glue == "bone" && j.pins == "pair" {
					j.load -= 80
				}
			}, "Within glue bone: with pins none, load is 4"},
		{"density that was left out", "fit load on pins, glue", "left-out", "density", 40,
			func(i int, j *joint, noise float64) {
				j.density += 30 * float64(i%2)
				j.load = 400 + j.density - 600 + noise
			}, "density"},
		{"a bend", "fit load on pins, density", "bend", "density", 60,
			func(_ int, j *joint, _ float64) { j.load -= (j.density - 600) * (j.density - 600) / 40 }, "density"},
		{"every row twice", "fit load on pins, glue", "repeated", "", 0, nil, "twice"},
	} {
		t.Run(c.name, func(t *testing.T) {
			csv := ""
			if c.shape != nil {
				csv = joints(c.n, c.shape)
			} else {
				head, rows, _ := strings.Cut(joints(20, sound), "\n")
				csv = head + "\n" + rows + rows
			}
			s, e := startedSession(t, csv, c.line)
			if c.code == "" {
				if len(e.Doubts) > 0 {
					t.Fatalf("sound joints carry %+v", e.Doubts)
				}
				return
			}
			var of *page.Doubt
			for i := range e.Doubts {
				if e.Doubts[i].Code == c.code {
					of = &e.Doubts[i]
				}
			}
			if of == nil {
				t.Fatalf("%s is not in %+v", c.code, e.Doubts)
			}
			if c.about != "" && of.About != c.about || !strings.Contains(render.Sentence(of.Text, render.Options{}),
				c.says) {
				t.Errorf("about %q: %s", of.About, render.Sentence(of.Text, render.Options{}))
			}
			if of.Try == "" && c.code != "repeated" {
				t.Error("no line to try")
			}
			if of.Try != "" {
				pieces, _, err := phrase.Split(of.Try)
				if err != nil {
					t.Fatal(err)
				}
				b := &bench{t, s}
				for _, p := range pieces {
					b.run(p.Text)
				}
			}
		})
	}
}

// Spreads that differ are told with the sd of the levels' residuals from their own means.
func TestUnevenSpreadIsReportedWithItsFigures(t *testing.T) {
	var tight, wide []float64
	csv := joints(35, func(i int, j *joint, noise float64) {
		j.pins, j.load = "none", 400+noise/2
		if i%7 == 0 {
			j.pins, j.load = "pair", 400+6*noise
			wide = append(wide, math.Round(j.load*10)/10)
		} else {
			tight = append(tight, math.Round(j.load*10)/10)
		}
	})
	_, e := startedSession(t, csv, "compare load by pins")
	at := -1
	for i, d := range e.Doubts {
		if d.Code == "uneven-spread" {
			at = i
		}
	}
	if at < 0 {
		t.Fatalf("the comparison carries %+v", e.Doubts)
	}
	var ends []float64
	for _, part := range e.Doubts[at].Text {
		if n, ok := part.(page.Span); ok && len(ends) == 0 {
			ends = append(ends, n.Low, n.High)
		}
	}
	for _, want := range []float64{stat.StdDev(tight, nil), stat.StdDev(wide, nil)} {
		found := false
		for _, got := range ends {
			found = found || math.Abs(got-want) < 1e-9*want
		}
		if !found {
			t.Errorf("no sd of %g among %v: %s", want, ends, render.Sentence(e.Doubts[at].Text, render.Options{}))
		}
	}
}

// Pins that help one glue and hurt the other drive the load together, and are told so.
func TestDroveTellsACombination(t *testing.T) {
	csv := joints(48, func(_ int, j *joint, noise float64) {
		j.load = 400 + noise
		if (j.glue == "bone") == (j.pins == "pair") {
			j.load += 60
		}
	})
	s, e := startedSession(t, csv, "what drove load worth 20 N")
	text := words(e.Findings)
	if !strings.Contains(text, "pins") || !strings.Contains(text, "glue") || !strings.Contains(text, "glue bone") ||
		strings.Contains(text, "No difference worth having") && strings.Contains(text, ": pins (") {
		t.Errorf("told is:\n%s", text)
	}
	r, ok := s.Result("fit1")
	if !ok || !strings.Contains(r.Command.String(), "on glue, pins, density, together(glue, pins)") {
		t.Errorf("the fit beside it is %q", r.Command)
	}
}

// A share of the loads is told as an amount where there is a number of loads.
func TestWorthAsAnAmount(t *testing.T) {
	for head, amount := range map[string]bool{"specimen,pins,load (N)": true, "specimen,pins,width (mm)": false} {
		_, e := startedSession(t, head+"\nA,none,400\nB,pair,500\nC,none,410\nD,pair,505\n", "worth 10%")
		if got := strings.Contains(words(e.Findings), "( of load)"); got != amount {
			t.Errorf("%s: %s", head, words(e.Findings))
		}
	}
}

// Pins that help one glue and hurt the other are told so of how joints fail too, each at the other's settings.
func TestDroveTellsACombinationOfFailures(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	var b strings.Builder
	b.WriteString("specimen,glue,pins,place,failure\n")
	for i := range 64 {
		glue, pins, place := []string{"hide", "bone"}[i/2%2], []string{"none", "pair"}[i%2],
			[]string{"shed", "store"}[i/4%2]
		chance := 0.2
		if (glue == "bone") == (pins == "pair") {
			chance = 0.85
		}
		mode := "wood"
		if r.Float64() < chance {
			mode = "glue"
		}
		fmt.Fprintf(&b, "J%02d,%s,%s,%s,%s\n", i+1, glue, pins, place, mode)
	}
	_, e := startedSession(t, b.String(), "what drove failure is glue")
	text := words(e.Findings)
	for _, want := range []string{"What glue does to the chance of failure glue depends on pins (",
		"glue bone (pins none)", "glue bone (pins pair)", "pins pair (glue hide)", "pins pair (glue bone)"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in:\n%s", want, text)
		}
	}
	for row, want := range map[string]string{"glue": "differs", "pins": "differs", "place": "cannot tell"} {
		if got := textOf(e.Tables[0], row, "answer"); got != want {
			t.Errorf("%s: %s, want %s", row, got, want)
		}
	}
}

// What drove a failure is questioned as what drove a load is: by the boards behind the levels, by what was left
// out, by rows entered twice, each beside the answer that it concerns.
func TestDroveOfFailuresIsQuestioned(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	rows := func(n int, more func(i int, glue string) (cells string, chance float64)) string {
		var b strings.Builder
		for i := range n {
			glue := []string{"hide", "bone"}[i%2]
			cells, chance := more(i, glue)
			mode := "wood"
			if r.Float64() < chance {
				mode = "glue"
			}
			fmt.Fprintf(&b, "J%02d,%s,%s,%s\n", i+1, glue, cells, mode)
		}
		return b.String()
	}
	plain := rows(30, func(i int, glue string) (string, float64) {
		return []string{"none", "pair"}[i/2%2], map[string]float64{"hide": 0.85, "bone": 0.15}[glue]
	})
	for _, c := range []struct{ name, csv, line, code, about string }{
		{"sound", "specimen,glue,pins,failure\n" + plain, "what drove failure is glue", "", ""},
		{"twice", "specimen,glue,pins,failure\n" + plain + plain, "what drove failure is glue", "repeated", ""},
		{"a board a level", "specimen,glue,board,failure\n" + rows(40, func(_ int, glue string) (string, float64) {
			return "board of " + glue, map[string]float64{"hide": 0.85, "bone": 0.15}[glue]
		}), "what drove failure is glue", "one-block", "board"},
		{"boards that fail as one", "specimen,glue,board,failure\n" +
			rows(40, func(i int, glue string) (string, float64) {
				board := i / 2 % 4
				chance := 0.02
				if glue == "hide" && board != 0 || glue == "bone" && board == 0 {
					chance = 0.98
				}
				return fmt.Sprintf("%s %d", glue, board+1), chance
			}), "what drove failure is glue", "blocks", "board"},
		{"left out", "specimen,glue,density (kg/m3),failure\n" + rows(80, func(_ int, glue string) (string, float64) {
			d := 640 + 40*r.NormFloat64()
			if glue == "hide" {
				d += 60
			}
			return fmt.Sprintf("%.0f", d), 1 / (1 + math.Exp((670-d)/15))
		}), "what drove failure is glue among glue", "left-out", "density"},
	} {
		_, e := startedSession(t, c.csv, c.line)
		if c.code == "" {
			if len(e.Doubts) > 0 {
				t.Errorf("%s: %+v", c.name, e.Doubts)
			}
			continue
		}
		if len(e.Doubts) != 1 || e.Doubts[0].Code != c.code || c.about != "" && e.Doubts[0].About != c.about {
			t.Errorf("%s: %+v", c.name, e.Doubts)
			continue
		}
		if got := textOf(e.Tables[0], "glue", "doubt"); got != e.Doubts[0].About {
			t.Errorf("%s: the table's doubt is %q, of %q", c.name, got, e.Doubts[0].About)
		}
		if reported := render.Sentence(e.Findings[2], render.Options{}); !strings.HasPrefix(reported, "In doubt: ") {
			t.Errorf("%s: after the answer stands %q", c.name, reported)
		}
	}
}

// What makes no difference worth having is told with its interval; where that reaches further than what is worth
// having, so is the shorter one that decided.
func TestDroveTellsWhichIntervalDecided(t *testing.T) {
	csv := joints(40, func(_ int, j *joint, noise float64) { j.load = 400 + noise })
	_, e := startedSession(t, csv, "what drove load among glue worth 100 N")
	row := e.Tables[0].Rows[0]
	low, high := row[column(t, e.Tables[0], "size_low")].Num, row[column(t, e.Tables[0], "size_high")].Num
	far, half := math.Max(-low, high), (high-low)/2
	for _, c := range []struct {
		worth float64
		want  string
	}{{far + half/10, "No difference worth having (none as large as "},
		{far - half/20, "No difference worth having (by their 90 % intervals none as large as "}} {
		_, e := startedSession(t, csv, fmt.Sprintf("what drove load among glue worth %.3f N", c.worth))
		reported := ""
		for _, f := range e.Findings {
			reported += render.Sentence(f, render.Options{}) + "\n"
		}
		if !strings.Contains(reported, c.want) {
			t.Errorf("of %g to %g, worth %g: %s", low, high, c.worth, reported)
		}
	}
}

// Three series share six boards of one level each. Each series seems to bear the others out, and the boards
// do not: with the series taken off, their means have p = 0.67 (statsmodels 0.13.5 for the series, scipy 1.10.1
// for one-way analysis of the six means).
func TestSeriesThatShareBoardsAreCountedByBoards(t *testing.T) {
	loads := []int{469, 469, 495, 400, 419, 469, 428, 435, 468, 447, 278, 330, 360, 373, 296, 254, 318, 345, 403, 349}
	var b strings.Builder
	b.WriteString("specimen,pins,board,series,load (N)\n")
	for i, load := range loads {
		board := i * 6 / 20
		fmt.Fprintf(&b, "A%02d,%s,K%d,S%d,%d\n", i+1, []string{"none", "pair"}[board%2], board+1, i/2%3+1, load)
	}
	_, e := startedSession(t, b.String(), "worth 40 N", "agree compare load by pins against none by series")
	for _, d := range e.Doubts {
		if text := render.Sentence(d.Text, render.Options{}); d.Code == "blocks" {
			if !strings.Contains(text, "every board has one level of pins, so 6 values of board were compared and "+
				"not 20") ||
				!strings.Contains(text, "pins has p = 0.67: cannot tell") || d.AnswerThen != "cannot tell" {
				t.Errorf("%s (%s)", text, d.AnswerThen)
			}
			return
		}
	}
	t.Errorf("not counted by boards: %+v", e.Doubts)
}

// Specimens of one series that stand in another too are told as rows entered twice are, whatever other columns one of
// the two has; fewer than three, or the same names of other breaks, are not.
func TestSpecimensOfTwoSeriesAreCountedOnce(t *testing.T) {
	first := joints(24, func(int, *joint, float64) {})
	head, rows, _ := strings.Cut(first, "\n")
	lines := strings.SplitAfter(strings.TrimSuffix(rows, "\n"), "\n")
	later := strings.SplitAfter(strings.TrimSuffix(joints(48, func(int, *joint, float64) {}), "\n"), "\n")[25:]
	for i, l := range later { // 24 others, under the same names
		later[i] = fmt.Sprintf("J%02d%s", i+1, l[3:])
	}
	cells := func(text string, change func([]string) []string) string {
		var out []string
		for _, l := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
			out = append(out, strings.Join(change(strings.Split(l, ",")), ","))
		}
		return strings.Join(out, "\n") + "\n"
	}
	with := func(n int) string {
		return head + "\n" + strings.Join(lines[:n], "") + strings.Join(later[n:], "") + "\n"
	}
	for _, c := range []struct {
		name, second string
		again        int // how many rows are entered already; 0 where none is told of
	}{
		{"the same file", first, 24},
		{"other breaks of the same names", with(0), 0},
		{"two of the same", with(2), 0},
		{"three of the same", with(3), 3},
		{"without the glue", cells(first, func(c []string) []string { return slices.Delete(c, 1, 2) }), 24},
		{"with a remark", cells(first, func(c []string) []string { return append(c, "remark "+c[0]) }), 24},
		{"without names", cells(first, func(c []string) []string { return c[1:] }), 0},
	} {
		b := newBench(t)
		b.open("first", first)
		alone := b.run("compare load by pins")
		b.open("second", c.second)
		for _, lines := range [][]string{
			{"pool first, second as all", "compare load by pins", "agree compare pins against none by series"},
			{"switch to first", "fit load on pins with series second"},
		} {
			for _, line := range lines {
				e := b.run(line)
				if e.Kind == "pool" || e.Kind == "switch" {
					continue
				}
				reported := ""
				for _, d := range e.Doubts {
					if d.Code == "repeated" {
						reported = render.Sentence(d.Text, render.Options{})
					}
				}
				if want := fmt.Sprintf("%d rows repeat a specimen", c.again); (reported != "") != (c.again > 0) ||
					c.again > 0 && !strings.HasPrefix(reported, want) {
					t.Errorf("%s, %s: %q, want %d rows", c.name, line, reported, c.again)
				}
				if once := render.Sentence(alone.Findings[0], render.Options{}); c.again == 24 &&
					strings.HasPrefix(line, "compare") &&
					!strings.HasSuffix(reported, "Each counted once: w"+once[1:]) {
					t.Errorf("%s: %q, alone %q", c.name, reported, once)
				}
			}
		}
	}
}
