package render

import (
	"strings"
	"testing"

	"breakbook/repl/page"
)

// threeLevels has one specimen of each of two levels, two of one in one place, and two of different ones in another.
func threeLevels() page.Figure {
	return page.Figure{Title: "Bruchlast über Rohdichte ρ", X: page.Axis{Label: "Höhe", Unit: "mm"},
		Y:    page.Axis{Label: "Load", Unit: "kg/m3"},
		Keys: []page.Key{{Label: "weiß", Look: 0}, {Label: "grün", Look: 3}},
		Layers: []page.Layer{page.Points{X: []float64{0, 10, 5, 5, 7, 7}, Y: []float64{-5, 10, 5, 5, 0, 0},
			Looks: []int{0, 3, 0, 0, 0, 3}}}}
}

// The levels of a field are letters: small for one specimen, a capital for several of one level, and a digit for
// several of different levels in one place.
func TestSketchTellsLevelsApart(t *testing.T) {
	picture, legend, _ := strings.Cut(soft(sketch(threeLevels(), Options{Width: 100})), "one specimen: ")
	var marks []string
	for _, line := range strings.Split(picture, "\n") {
		_, row, found := strings.Cut(strings.ReplaceAll(line, "┤", "│"), "│")
		if found && strings.TrimSpace(row) != "" {
			marks = append(marks, strings.TrimSpace(row))
		}
	}
	if got := strings.Join(marks, " "); got != "b A 2 a" {
		t.Errorf("marks %q from the top, want b A 2 a, in\n%s", got, picture)
	}
	want := "a weiß, b grün; a capital: several of that level in one place; " +
		"a digit: so many of several levels in one place"
	if got := strings.Join(strings.Fields(legend), " "); got != want {
		t.Errorf("legend %q, want %q", got, want)
	}
}

// On a terminal without UTF-8 a sketch has no other letters than those of ASCII, and says the same.
func TestSketchInPlainLetters(t *testing.T) {
	f := threeLevels()
	strips := page.Figure{Title: "Load", X: page.Axis{Label: "Pins", Levels: []string{"ohne Dübel", "木"}},
		Y: page.Axis{Label: "Load", Unit: "kg/m3"}, Layers: []page.Layer{
			page.Points{X: []float64{0, 0, 1}, Y: []float64{-3, 6, 12}},
			page.Interval{X: 0, Mean: 1, Low: -2, High: 5}}}
	for _, c := range []struct {
		figure page.Figure
		holds  []string
	}{
		{f, []string{"Bruchlast ueber Rohdichte rho", "Hoehe (mm)", "Load (kg/m3)", "a weiss, b gruen", "-5 |"}},
		{strips, []string{"ohne Duebel", "?", "|-", "o", "-|", "* one specimen; |-o-| mean and its interval"}},
	} {
		text := sketch(c.figure, Options{Width: 100, Plain: true})
		for _, r := range text {
			if r > 0x7E || r < ' ' && r != '\n' {
				t.Errorf("%q is no plain letter, in\n%s", r, text)
			}
		}
		for _, words := range c.holds {
			if !strings.Contains(text, words) {
				t.Errorf("no %q in\n%s", words, text)
			}
		}
	}
	if f.Title != threeLevels().Title || f.Keys[0].Label != "weiß" {
		t.Error("the figure itself was changed")
	}
}
