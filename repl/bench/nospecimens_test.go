package bench

import (
	"errors"
	"os"
	"strings"
	"testing"

	"breakbook/repl/page"
)

// Where no specimen is left the hint names what took most of them: a specimen set aside that
// lacks a value too counts as set aside.
func TestNoSpecimenIsLeft(t *testing.T) {
	const aside, lacking, widen = "type show aside", "lacks a value", "widen the condition"
	for _, c := range []struct {
		name, shape, ask, hint string
	}{
		{"all set aside", "set aside specimen a, b, c, d because \"wet\"", "average load by glue", aside},
		{"most set aside", "set aside specimen a, b, d because \"wet\"", "average density by glue", aside},
		{"most lack a value", "set aside specimen d because \"wet\"", "average density by glue", lacking},
		{"as many of each", "set aside specimen c, d because \"wet\"", "average density by glue", lacking},
		{"all lack a value", "", "average density by glue for specimen is not d", lacking},
		{"none meets the condition", "", "average load by glue for load > 900 N", widen},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			const series = "specimen,glue,load (N),density (kg/m3)\na,pu,400,\nb,pva,410,\nc,pu,420,\nd,pva,430,600\n"
			if err := os.WriteFile("few.csv", []byte(series), 0o600); err != nil {
				t.Fatal(err)
			}
			b.run("open few.csv")
			if c.shape != "" {
				b.run(c.shape)
			}
			_, err := b.try(c.ask)
			var p *page.Problem
			if !errors.As(err, &p) || p.Code != "no-specimens" || !strings.Contains(p.Hint, c.hint) {
				t.Errorf("got %+v, want a hint that says %q", err, c.hint)
			}
		})
	}
}
