package bench

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// Every command that keeps a result gives, made before its columns were renamed and carried
// out again after, what it gives where they were called so from the start.
func TestRenameCarriesEveryResultAlong(t *testing.T) {
	renames := []string{"rename pins to pegs", "rename density to heaviness"}
	names := strings.NewReplacer("pins", "pegs", "density", "heaviness")
	for _, e := range entriesFrom(2) {
		if e.Result == "" {
			continue
		}
		t.Run(e.Name, func(t *testing.T) {
			b := newBench(t)
			b.run(ready(e.Name)...)
			was := b.run(e.Example)
			before, _ := b.s.Result(was.Name)
			kept, samples := before.Command.Input, frameNames(before)
			b.run(renames...)
			line := names.Replace(e.Example)
			want := b.run(line)
			got := b.run("again " + was.Name)
			for i, table := range want.Tables {
				if i >= len(got.Tables) || !reflect.DeepEqual(got.Tables[i], table) {
					t.Errorf("the table %s is not that of a series with these names from the start", table.ID)
				}
			}
			if !reflect.DeepEqual(got.Values, want.Values) || len(got.Findings) == 0 ||
				words(got.Findings[:1]) != words(want.Findings[:1]) {
				t.Errorf("it says %q, want %q", words(got.Findings), words(want.Findings))
			}
			now, _ := b.s.Result(was.Name)
			if now.Command.Input != line {
				t.Errorf("its line reads %q, want %q", now.Command.Input, line)
			}
			if before.Command.Input != kept || !reflect.DeepEqual(frameNames(before), samples) {
				t.Error("the result of the session before was changed in place")
			}
		})
	}
}

func frameNames(r session.Result) []string {
	var out []string
	if f, ok := fitted.Of(r); ok {
		for _, c := range append(f.Sample.Frame.Columns(), f.Sample.Whole.Columns()...) {
			out = append(out, c.Name)
		}
		out = append(out, f.Known()...)
	}
	return append(out, r.Columns...)
}

// What is asked of a fit, a plan and shares after a rename is asked by the new names, and
// says what it says where they were called so from the start.
func TestRenamedColumnsAreAskedForByTheirNewName(t *testing.T) {
	withoutShort(t)
	made := []string{"open gates.csv", "fit load on density, pins for failure is not wood as fit1",
		"fit load on pins as fit2",
		"plan load by pins detecting 10%", "plan failure is glue by pins from 60% to 20%",
		"share out load on density, pins",
		"fit load on pins, thickness blocked by board as fit5", "fit load on pins weighted by density as fit6",
		"fit ln(load) on pins uneven spread as fit7", "what drove load", "what drove failure is glue"}
	columns := strings.NewReplacer("pins", "pegs", "load", "strength", "failure", "ending", "board", "plank", "density",
		"heaviness")
	renames := []string{"rename pins to pegs", "rename load to strength", "rename failure to ending",
		"rename board to plank", "rename density to heaviness"}
	asked := []string{"compare pins of fit1", "predict fit1 given pins pair, density 620", "adjusted pins of fit1",
		"draw adjusted pins of fit1 to a.png",
		"anova of fit1", "check of fit1", "draw effects of fit1 to b.png", "draw residuals of fit1 to c.png",
		"draw load against density by pins line of fit1 to d.png",
		"sheet of plan1 to s.csv", "draw chance of plan1 to e.png", "sheet of plan2 to t.csv",
		"draw chance of plan2 to g.png", "draw shares of shares1 to f.png",
		"share out of fit2", "suggest 4 of fit2", "rivals fit1, fit2", "again fit1", "compare pins of fit5",
		"again fit5", "anova of fit6", "again fit6", "adjusted pins of fit7",
		"check of fit5", "draw drove1 to h.png", "draw drove2 to i.png", "again drove1", "again drove2"}
	late := newBench(t)
	late.run(made...)
	late.run(renames...)
	early := newBench(t)
	early.run("open gates.csv")
	early.run(renames...)
	for _, line := range made[1:] {
		early.run(columns.Replace(line))
	}
	for _, line := range asked {
		want, failed := early.try(columns.Replace(line))
		got, err := late.try(columns.Replace(line))
		if (err == nil) != (failed == nil) || err != nil && err.Error() != failed.Error() {
			t.Errorf("%s: %v, want %v", line, err, failed)
			continue
		}
		if !reflect.DeepEqual(got.Tables, want.Tables) || !reflect.DeepEqual(got.Figures, want.Figures) ||
			words(got.Findings) != words(want.Findings) || words(got.Cautions) != words(want.Cautions) {
			t.Errorf("%s: it is not what it is where the columns were called so from the start:\n%s\n%s\nwant\n%s\n%s",
				line, words(got.Findings), words(got.Cautions), words(want.Findings), words(want.Cautions))
		}
	}
}

// The old name is unknown, and the hint knows the new one, also where it changed twice; undo
// takes that back too.
func TestTheOldNameOfAColumn(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "fit load on pins", "rename pins to pegs", "rename pegs to dowels")
	for line, hint := range map[string]string{"compare pins of fit1": "type dowels: it is called so now",
		"average load by pegs":         "type dowels: it is called so now",
		"predict fit1 given pins pair": "type dowels: it is called so now"} {
		_, err := b.try(line)
		var e *phrase.Error
		if !errors.As(err, &e) || e.Code != "unknown-column" || e.Hint != hint {
			t.Errorf("%s: %+v", line, e)
		}
	}
	b.run("undo", "undo", "compare pins of fit1", "again fit1")
	if looks := b.s.Looks(); len(looks) != 1 || looks[0].Response != "gates: break_load" {
		t.Errorf("looks %v", looks)
	}
}

// A result that rests on a forgotten fit says so, with the line that makes the fit again.
func TestAgainAfterItsFitWasForgotten(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "fit load on density, pins for density > 400 kg/m3", "compare pins of fit1", "forget fit1")
	_, err := b.try("again compare1")
	var p *page.Problem
	if !errors.As(err, &p) || !strings.Contains(p.Message, "compare1") ||
		!strings.Contains(p.Message, "fit1 was forgotten") || p.At != 7 {
		t.Fatalf("again after forget: %+v", p)
	}
	if p.Hint != "Try: fit break_load on density, pins for density > 400 kg/m3 as fit1" {
		t.Errorf("the hint is %q", p.Hint)
	}
	var e *phrase.Error
	if _, err := b.try("anova of fit1"); !errors.As(err, &e) || e.Hint != p.Hint {
		t.Errorf("anova of a forgotten fit: %v", err)
	}
	b.run("rename pins to pegs")
	if _, err = b.try("again compare1"); !errors.As(err, &p) {
		t.Fatal(err)
	}
	b.run("open gates_2019.csv as other")
	if _, err = b.try("again compare1"); !errors.As(err, &p) {
		t.Fatal(err)
	}
	b.run(phrase.Tried(p.Hint), "again compare1")
}
