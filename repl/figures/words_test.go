package figures

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/recorder"
	"pgregory.net/rapid"

	"breakbook/repl/page"
)

// box is where drawn words really are on the canvas.
type box struct {
	words          string
	x0, y0, x1, y1 float64
}

// turn is a place and direction of drawing.
type turn struct{ x, y, sin, cos float64 }

// drawn records a figure and measures its words as they were drawn, following
// every move and turn of the canvas.
func drawn(t interface{ Fatal(...any) }, s *sheet) ([]box, []recorder.Action) {
	var rec recorder.Canvas
	if err := s.paint(&rec); err != nil {
		t.Fatal(err)
	}
	var boxes []box
	stack := []turn{{cos: 1}}
	for _, a := range rec.Actions {
		now := &stack[len(stack)-1]
		switch a := a.(type) {
		case *recorder.Push:
			stack = append(stack, *now)
		case *recorder.Pop:
			stack = stack[:len(stack)-1]
		case *recorder.Translate:
			x, y := float64(a.Point.X), float64(a.Point.Y)
			now.x, now.y = now.x+x*now.cos-y*now.sin, now.y+x*now.sin+y*now.cos
		case *recorder.Rotate:
			sin, cos := math.Sincos(a.Angle)
			now.sin, now.cos = now.sin*cos+now.cos*sin, now.cos*cos-now.sin*sin
		case *recorder.FillString:
			face := font.DefaultCache.Lookup(a.Font, a.Size)
			size := float64(a.Size)
			w, up, down := float64(face.Width(a.String)), 0.905*size, 0.212*size
			b := box{a.String, math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
			for _, c := range [][2]float64{{0, -down}, {w, -down}, {0, up}, {w, up}} {
				x, y := float64(a.Point.X)+c[0], float64(a.Point.Y)+c[1]
				px, py := now.x+x*now.cos-y*now.sin, now.y+x*now.sin+y*now.cos
				b.x0, b.x1, b.y0, b.y1 = min(b.x0, px), max(b.x1, px), min(b.y0, py), max(b.y1, py)
			}
			boxes = append(boxes, b)
		}
	}
	return boxes, rec.Actions
}

// clashes tells what is wrong with the places of words.
func clashes(boxes []box, size vg.Point) []string {
	const slack = 0.01
	var bad []string
	for i, a := range boxes {
		if a.x0 < -slack || a.y0 < -slack || a.x1 > float64(size.X)+slack || a.y1 > float64(size.Y)+slack {
			bad = append(bad, fmt.Sprintf("%q leaves the sheet: %.1f…%.1f, %.1f…%.1f", a.words, a.x0, a.x1, a.y0, a.y1))
		}
		for _, b := range boxes[:i] {
			if a.x0 < b.x1-slack && b.x0 < a.x1-slack && a.y0 < b.y1-slack && b.y0 < a.y1-slack {
				bad = append(bad, fmt.Sprintf("%q and %q overlap", a.words, b.words))
			}
		}
	}
	return bad
}

// levelled is a strip figure with so many specimens per level, spread by a fixed rule.
func levelled(levels []string, each int) page.Figure {
	f := page.Figure{X: page.Axis{Label: "Pins", Levels: levels}, Y: page.Axis{Label: "Break load", Unit: "kgf"}}
	var p page.Points
	for i := range levels {
		f.X.Counts = append(f.X.Counts, each)
		for j := range each {
			p.X = append(p.X, float64(i))
			p.Y = append(p.Y, 300+20*float64(i)+5*math.Round(9*math.Sin(float64(7*j+3*i))))
		}
		f.Layers = append(f.Layers, page.Interval{X: float64(i), Mean: 300 + 20*float64(i), Low: 290 + 20*float64(i),
			High: 310 + 20*float64(i)})
	}
	f.Layers = append(f.Layers, p)
	return f
}

// against is a scatter figure with a line and a band for each of k looks.
func against(k, each int) page.Figure {
	f := page.Figure{X: page.Axis{Label: "Density", Unit: "kg/m3"}, Y: page.Axis{Label: "Break load", Unit: "kgf"},
		KeyTitle: "Pins"}
	var p page.Points
	for look := range k {
		rise := 60 * float64(look)
		for j := range each {
			x := 480 + 200*float64(j)/float64(max(each-1, 1))
			p.X, p.Looks = append(p.X, x), append(p.Looks, look)
			p.Y = append(p.Y, rise+x/2+25*math.Sin(float64(5*j+look)))
		}
		f.Layers = append(f.Layers,
			page.Band{X: []float64{480, 680}, Low: []float64{rise + 220, rise + 320},
				High: []float64{rise + 260, rise + 360}, Look: look},
			page.Line{X: []float64{680, 480}, Y: []float64{rise + 340, rise + 240}, Look: look, Dashed: look%2 == 1})
		f.Keys = append(f.Keys, page.Key{Label: fmt.Sprintf("level %d", look), Look: look})
	}
	f.Layers = append(f.Layers, p)
	return f
}

// titled is a figure with long words wherever words go.
func titled(f page.Figure) page.Figure {
	long := strings.Repeat("every specimen of the series, with its mean and interval; ", 4)
	f.Title, f.X.Label, f.Y.Label = long, long, long
	f.Note = page.Say(long)
	for i := range f.Keys {
		f.Keys[i].Label += " of a key with a name that goes on and on"
	}
	f.Layers = append(f.Layers, page.Rule{Y: 300, Label: long}, page.Rule{Y: 302, Label: "mean of all"},
		page.Rule{Y: 304, Label: "close to it"})
	return f
}

// answers is a lying figure of differences with their answers.
func answers(names []string) page.Figure {
	f := page.Figure{Lying: true, X: page.Axis{Label: "Pins", Levels: names},
		Y:      page.Axis{Label: "How much higher", Unit: "kgf"},
		Layers: []page.Layer{page.Zone{Low: -20, High: 20, Label: "not worth having"}, page.Rule{Y: 0, Bold: true}}}
	words := []string{"differs", "no difference worth having", "cannot tell", "differs, by less than is worth having"}
	for i := range names {
		mid := float64(60 - 15*i)
		v := page.Interval{X: float64(i), Mean: mid, Low: mid - 25, High: mid + 25, Words: words[i%4],
			Held: page.Held(1 + i%4)}
		if i == 2 {
			v.High = math.Inf(1)
		}
		f.Layers = append(f.Layers, v)
	}
	return f
}

// holding is a scatter figure with the numbers still holding under its axis.
func holding(k int) page.Figure {
	f := against(k, 12)
	for look := range k {
		f.Holding = append(f.Holding, page.Holding{Label: fmt.Sprintf("level %d of a long name", look), Look: look,
			Ends: []float64{480, 500, 640, 680}})
	}
	return f
}

var (
	fewNames  = []string{"none", "single", "pair", "offset"}
	longNames = []string{"glued in an unheated shed", "Douglasfichtenkernholz", "tongue-and-groove", "larch/oak",
		"none", "four pins of beech, wedged from both sides", "pair", "offset", "oak", "larch", "sapwood",
		"kept in a warm store for a year"}
	oneWord = []string{"Lärchenkernholz", "Eichensplintholz", "Douglasfichtenholz", "Rotbuchenholz", "Robinienholz",
		"Weisstannenholz", "Edelkastanie", "Bergahornholz"}
	strangers  = []string{"", "木材の強さ", "наклон", "a\nb\tc\x00d", "\xff\xfe", "😀👍🏽", strings.Repeat("i", 300), "é"}
	everyFew   = []float64{1, 2, 3}
	manyLevels = func() (out []string) {
		for i := range 60 {
			out = append(out, fmt.Sprintf("board %d", i+1))
		}
		return out
	}()
)

// hard are the figures whose words are hardest to place.
func hard() map[string]page.Figure {
	dots := func(x, y []float64) page.Figure {
		return page.Figure{X: page.Axis{Label: "Order"}, Y: page.Axis{Label: "Response", Unit: "N/mm2"},
			Layers: []page.Layer{page.Points{X: x, Y: y}}}
	}
	return map[string]page.Figure{
		"few levels":        levelled(fewNames, 12),
		"twelve long":       levelled(longNames, 8),
		"eight single word": levelled(oneWord, 12),
		"sixty levels":      levelled(manyLevels, 3),
		"one level":         levelled([]string{"none"}, 1),
		"strange names":     levelled(strangers, 4),
		"long everything":   titled(levelled(longNames, 5)),
		"scatter":           against(4, 15),
		"scatter, long":     titled(against(12, 5)),
		"forty keys":        titled(against(40, 2)),
		"answers":           answers(fewNames),
		"long answers":      titled(answers(longNames)),
		"many answers":      answers(manyLevels),
		"still holding":     holding(3),
		"titled, holding":   titled(holding(5)),
		"a large series":    many(6000, 3),
		"huge":              dots(everyFew, []float64{1e12, 3e15, 2e15}),
		"tiny numbers":      dots(everyFew, []float64{1e-12, 3e-15, 2e-13}),
		"nearly equal":      dots(everyFew, []float64{1e12 + 0.2, 1e12 + 0.4, 1e12 + 0.8}),
		"ends of interval":  dots(everyFew, []float64{-1.7e308, 1.7e308, 5e-324}),
		"negative":          dots([]float64{-30000, -20000.5, -1}, []float64{-4e7, -3, -1e6}),
		"constant":          dots([]float64{5, 5, 5}, []float64{812.5, 812.5, 812.5}),
		"all zero":          dots([]float64{0}, []float64{0}),
		"one point":         dots([]float64{480}, []float64{-0.25}),
		"5000 points":       levelled([]string{"none", "single"}, 2500),
	}
}

// sheetSizes run over the whole reach, in millimetres.
var sheetSizes = [][2]float64{{0, 0}, {60, 40}, {90, 50}, {60, 200}, {300, 40}, {300, 200}, {500, 500}}

func TestWordsNeverOverlapNorLeaveTheSheet(t *testing.T) {
	for name, f := range hard() {
		for _, mm := range sheetSizes {
			for _, l := range []letters{ownLetters, anyLetters} {
				f.WidthMM, f.HeightMM = mm[0], mm[1]
				if err := check(f); err != nil {
					t.Fatal(name, err)
				}
				s := lay(t.Context(), f, l)
				boxes, _ := drawn(t, s)
				for _, c := range clashes(boxes, s.size) {
					t.Errorf("%s, %v mm, letters %v: %s", name, mm, l, c)
				}
				if s.data.Size().X < s.size.X*0.3 || s.data.Size().Y < s.size.Y*0.2 {
					t.Errorf("%s, %v mm: only %v of %v is left for the data", name, mm, s.data.Size(), s.size)
				}
			}
		}
	}
}

// The note stands on the figure where there is room for it, its numbers written out.
func TestNoteOfAFigure(t *testing.T) {
	f := levelled(fewNames, 3)
	f.Note = page.Say("black: the mean and its ", page.Num{Value: 0.9, Style: page.Fraction}, " interval")
	for _, mm := range [][2]float64{{160, 100}, {160, 40}, {60, 40}} {
		f.WidthMM, f.HeightMM = mm[0], mm[1]
		said, s := "", lay(t.Context(), f, ownLetters)
		for _, line := range s.texts {
			said += line.words + " "
		}
		if want := fmt.Sprintf("black: the mean and its 90 %% interval; the axis starts at %.0f kgf ",
			s.y.lo); strings.Count(said, want) != 1 {
			t.Errorf("%v mm: %q says not once %q", mm, said, want)
		}
	}
}

func TestWordsOfAnyFigure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.OneOf(rapid.StringN(0, 40, 80), rapid.StringMatching(`[a-zäöü]{1,14}([ /-][a-z]{1,12}){0,4}`))
		number := rapid.OneOf(rapid.Float64Range(-1e9, 1e9), rapid.Float64Range(0, 1), rapid.Just(5.0))
		k := rapid.IntRange(0, 14).Draw(t, "levels")
		n := rapid.IntRange(1, 30).Draw(t, "specimens")
		f := page.Figure{
			WidthMM:  rapid.Float64Range(60, 300).Draw(t, "width"),
			HeightMM: rapid.Float64Range(40, 200).Draw(t, "height"),
			Title:    words.Draw(t, "title"), Note: page.Say(words.Draw(t, "note")),
			X: page.Axis{Label: words.Draw(t, "x label"),
				Unit: rapid.SampledFrom([]string{"", "kg/m3", "degC"}).Draw(t, "x unit")},
			Y: page.Axis{Label: words.Draw(t, "y label"), Unit: "kgf"},
		}
		var p page.Points
		for range k {
			f.X.Levels = append(f.X.Levels, words.Draw(t, "level"))
			f.X.Counts = append(f.X.Counts, rapid.IntRange(0, 100000).Draw(t, "count"))
		}
		for range n {
			x := 0.0
			if k > 0 {
				x = float64(rapid.IntRange(0, k-1).Draw(t, "x"))
			} else {
				x = number.Draw(t, "x")
			}
			p.X, p.Y = append(p.X, x), append(p.Y, number.Draw(t, "y"))
		}
		for look := range rapid.IntRange(0, 9).Draw(t, "keys") {
			f.Keys = append(f.Keys, page.Key{Label: words.Draw(t, "key"), Look: look})
		}
		if rapid.Bool().Draw(t, "rule") {
			f.Layers = append(f.Layers, page.Rule{Y: p.Y[0], Label: words.Draw(t, "rule label")})
		}
		f.Layers = append(f.Layers, p)
		if err := check(f); err != nil {
			t.Fatal(err)
		}
		s := lay(t.Context(), f, ownLetters)
		boxes, _ := drawn(t, s)
		for _, c := range clashes(boxes, s.size) {
			t.Error(c)
		}
	})
}

func TestLettersTheTypefaceLacksShow(t *testing.T) {
	ts := &typesetter{ctx: t.Context(), letters: ownLetters}
	for in, want := range map[string]string{
		"kg/m³":       "kg/m³",
		"木 oak":       "□ oak",
		"a\nb":        "a b",
		"\xffx":       "□x",
		"e\u0301":     "é",
		"s⁻¹":         "s-¹",
		"−12 °C ≥ βж": "−12 °C ≥ βж",
		"σₘ ⌀ 8":      "σm Ø 8",
		"abc אבג":     "abc גבא",
	} {
		if got := ts.clean(in); got != want {
			t.Errorf("clean(%q) = %q, want %q", in, got, want)
		}
	}
	f := page.Figure{Title: "木 oak", X: page.Axis{Label: "⌀ 木", Levels: []string{"膠", "ₘ", "abc"}}}
	if got := strings.Join(Lacking(t.Context(), f), " "); got != "木 膠" {
		t.Errorf("the figure lacks %q", got)
	}
	svg := &typesetter{ctx: t.Context(), letters: anyLetters}
	if got := svg.clean("木\x00 oak"); got != "木 oak" {
		t.Errorf("SVG keeps letters a viewer can find: got %q", got)
	}
	if one, two := svg.width("木", 10), svg.width("木木", 10); one != 10 || two != 20 {
		t.Errorf("a letter of another typeface is one em wide: got %v, %v", one, two)
	}
}
