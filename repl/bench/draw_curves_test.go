package bench

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/render"
	"breakbook/repl/session"
)

// Up to 150 curves are lines; of more the readings are counted, each level's under its own look, and the note
// says so.
func TestManyCurvesAreCounted(t *testing.T) {
	for _, n := range []int{150, 151} {
		var tests, slips strings.Builder
		tests.WriteString("specimen,pins,load (N)\n")
		slips.WriteString("specimen,slip (mm),load (N)\n")
		for i := range n {
			fmt.Fprintf(&tests, "S%d,%s,%d\n", i, []string{"none", "pair"}[i%2], 300+i)
			for j := range 60 {
				fmt.Fprintf(&slips, "S%d,%g,%d\n", i, float64(j)/10, min(5*(300+i)*j/200, 300+i))
			}
		}
		folder := t.TempDir()
		for name, text := range map[string]string{"a.csv": tests.String(), "s.csv": slips.String()} {
			if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		b := &bench{t: t, s: session.New(session.Options{})}
		b.run(`open "`+filepath.Join(folder, "a.csv")+`"`, `read curves "`+filepath.Join(folder,
			"s.csv")+`" by specimen`)
		fig := b.run("draw curves by pins").Figures[0]
		lines, readings := 0, 0
		looks := map[int]bool{}
		for _, l := range fig.Layers {
			switch l := l.(type) {
			case page.Line:
				lines++
			case page.Points:
				if l.Of == "readings" {
					readings += len(l.X)
				}
				for _, look := range l.Looks {
					looks[look] = true
				}
			}
		}
		note := render.Sentence(fig.Note, render.Options{})
		if n == 150 && (lines != n || readings != 0 || !strings.HasPrefix(note, "Each line one specimen")) {
			t.Errorf("%d curves: %d lines, %d readings: %s", n, lines, readings, note)
		}
		if n == 151 && (lines != 0 || readings != 60*n || len(looks) != 2 ||
			!strings.HasPrefix(note, "Readings of 151 specimens")) {
			t.Errorf("%d curves: %d lines, %d readings, looks %v: %s", n, lines, readings, looks, note)
		}
	}
}
