package figures

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"breakbook/repl/page"
)

func TestPNGHasTheSizeAskedFor(t *testing.T) {
	for _, c := range []struct{ w, h, wide, high float64 }{
		{0, 0, 160, 100}, {60, 40, 60, 40}, {300, 200, 300, 200}, {80, 0, 80, 50}, {0, 50, 80, 50},
	} {
		f := levelled(fewNames, 10)
		f.WidthMM, f.HeightMM = c.w, c.h
		b, err := Bytes(t.Context(), f, "png")
		if err != nil {
			t.Fatal(err)
		}
		im, err := png.Decode(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		px := func(mm float64) int { return int(math.Round(mm / 25.4 * 200)) }
		if s := im.Bounds().Size(); s.X != px(c.wide) || s.Y != px(c.high) {
			t.Errorf("%g by %g mm is %v pixels, want %d by %d", c.w, c.h, s, px(c.wide), px(c.high))
		}
		if !bytes.Contains(b[:70], []byte("pHYs\x00\x00\x1e\xc2\x00\x00\x1e\xc2\x01")) { // 7874 dots a metre
			t.Error("the file does not say that it has 200 dots an inch")
		}
	}
}

func TestSVGKeepsTextAndIsSmall(t *testing.T) {
	f := against(4, 15)
	f.Title = "Load & density <木>"
	b, err := Bytes(t.Context(), f, "svg")
	if err != nil {
		t.Fatal(err)
	}
	if len(b) > 60_000 {
		t.Errorf("60 specimens take %d bytes", len(b))
	}
	var words []string
	dec := xml.NewDecoder(bytes.NewReader(b))
	inText := false
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal("not well-formed: ", err)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			inText = tok.Name.Local == "text"
			for _, a := range tok.Attr {
				if tok.Name.Local == "svg" && a.Name.Local == "font-family" &&
					!strings.HasSuffix(a.Value, "sans-serif") {
					t.Errorf("the typefaces named are %q", a.Value)
				}
			}
		case xml.CharData:
			if inText {
				words = append(words, string(tok))
			}
		case xml.EndElement:
			inText = false
		}
	}
	all := strings.Join(words, "|")
	for _, want := range []string{"Load & density <木>", "Break load (kgf)", "Density (kg/m³)", "level 3"} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is not among the words %q", want, all)
		}
	}
}

func TestPDFIsReadByAnotherProgram(t *testing.T) {
	tool, err := exec.LookPath("pdftoppm")
	if err != nil {
		t.Skip("pdftoppm is not here to read the PDF with")
	}
	path := filepath.Join(t.TempDir(), "strips.pdf")
	f := levelled(fewNames, 10)
	f.X.Label, f.Y.Unit = "Überlänge −5 °C", "N/mm2"
	b, err := Bytes(t.Context(), f, "pdf")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, b, 0o666); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, "-png", "-r", "100", "-singlefile", path).Output()
	if err != nil {
		t.Fatal(err)
	}
	im, err := png.Decode(bytes.NewReader(out))
	if err != nil {
		t.Fatal(err)
	}
	if s := im.Bounds().Size(); math.Abs(float64(s.X)-160/25.4*100) > 1.5 || math.Abs(float64(s.Y)-100/25.4*100) > 1.5 {
		t.Errorf("the page is %v at 100 dots an inch, want 630 by 394", s)
	}
	red := 0
	for y := range im.Bounds().Dy() {
		for x := range im.Bounds().Dx() {
			if r, g, b, _ := im.At(x, y).RGBA(); r>>8 > 120 && g>>8 < 90 && b>>8 < 110 {
				red++
			}
		}
	}
	if red < 40*9 { // 40 marks of about 38 dots each
		t.Errorf("only %d dots have the colour of the marks", red)
	}
}

func TestSameFigureSameBytes(t *testing.T) {
	for _, format := range []string{"png", "svg", "pdf"} {
		one, err := Bytes(t.Context(), against(3, 12), format)
		if err != nil {
			t.Fatal(err)
		}
		two, err := Bytes(t.Context(), against(3, 12), format)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(one, two) {
			t.Errorf("two %s files of one figure differ", format)
		}
		if format == "pdf" && bytes.Count(one, []byte("Date (D:20000101000000)")) != 2 {
			t.Error("the PDF carries the time it was made at")
		}
	}
}

func TestBadFiguresAreErrors(t *testing.T) {
	dot := func(x, y float64) page.Layer { return page.Points{X: []float64{x}, Y: []float64{y}} }
	figure := func(l ...page.Layer) page.Figure { return page.Figure{Layers: l} }
	sized := figure(dot(1, 1))
	sized.WidthMM, sized.HeightMM = 20, 20
	endless := figure(dot(1, 1))
	endless.WidthMM = math.NaN()
	levels := page.Figure{X: page.Axis{Levels: []string{"a"}}, Layers: []page.Layer{dot(1, 2)}}
	counts := page.Figure{X: page.Axis{Levels: []string{"a"}, Counts: []int{1, 2}}, Layers: []page.Layer{dot(0, 2)}}
	for name, c := range map[string]struct {
		f    page.Figure
		want error
	}{
		"nothing":     {figure(), ErrEmpty},
		"no points":   {figure(page.Points{}), ErrEmpty},
		"only a rule": {figure(page.Rule{Y: 1}), ErrEmpty},
		"NaN":         {figure(dot(1, math.NaN())), ErrNotFinite},
		"infinite x":  {figure(dot(math.Inf(1), 1)), ErrNotFinite},
		"NaN in a band": {figure(page.Band{X: []float64{1}, Low: []float64{math.NaN()}, High: []float64{1}}),
			ErrNotFinite},
		"interval of no end": {figure(page.Interval{Mean: 1, Low: 0, High: math.NaN()}), ErrNotFinite},
		"unequal lengths":    {figure(page.Points{X: []float64{1, 2}, Y: []float64{1}}), ErrShape},
		"unequal line":       {figure(page.Line{X: []float64{1, 2}, Y: []float64{1}}), ErrShape},
		"looks too few":      {figure(page.Points{X: []float64{1, 2}, Y: []float64{1, 2}, Looks: []int{0}}), ErrShape},
		"negative look":      {figure(page.Line{X: []float64{1}, Y: []float64{1}, Look: -2}), ErrShape},
		"off the levels":     {levels, ErrShape},
		"counts too many":    {counts, ErrShape},
		"a nil layer":        {figure(nil), ErrShape},
		"too small":          {sized, ErrSize},
		"no size":            {endless, ErrSize},
	} {
		for _, format := range []string{"png", "svg", "pdf"} {
			if _, err := Bytes(t.Context(), c.f, format); !errors.Is(err, c.want) ||
				strings.Contains(err.Error(), "\n") {
				t.Errorf("%s: got %v, want %v in one line", name, err, c.want)
			}
		}
	}
	if _, err := Bytes(t.Context(), levelled(fewNames, 3), "gif"); !errors.Is(err, ErrFormat) {
		t.Errorf("gif: got %v, want %v", err, ErrFormat)
	}
}

func BenchmarkDraw(b *testing.B) {
	for _, format := range []string{"png", "svg", "pdf"} {
		b.Run(format, func(b *testing.B) {
			f := levelled(fewNames, 15)
			for b.Loop() {
				if _, err := Bytes(b.Context(), f, format); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// What the picture shows in words goes with it.
func TestPicturesCarryTheirWords(t *testing.T) {
	f := levelled(fewNames, 3)
	f.Title, f.Alt = "Load <by> pins", page.Say("Every specimen's load by pins & more.")
	svg, err := Bytes(t.Context(), f, "svg")
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Title string `xml:"title"`
		Desc  string `xml:"desc"`
	}
	if err := xml.Unmarshal(svg, &doc); err != nil || doc.Title != f.Title ||
		doc.Desc != "Every specimen's load by pins & more." {
		t.Errorf("the SVG says %+v (%v)", doc, err)
	}
	b, err := Bytes(t.Context(), f, "png")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := png.Decode(bytes.NewReader(b)); err != nil {
		t.Error(err)
	}
	for _, want := range []string{"iTXtTitle\x00\x00\x00\x00\x00Load <by> pins",
		"iTXtDescription\x00\x00\x00\x00\x00Every specimen's load by pins & more."} {
		if !bytes.Contains(b, []byte(want)) {
			t.Errorf("the PNG has no %q", want)
		}
	}
}
