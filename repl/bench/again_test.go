package bench

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// Carried out again, every command that keeps a result gives what it gives in a book where
// the specimens were set aside from the start, whatever series is the current one.
func TestAgainIsTheCommandOnWhatTakesPartNow(t *testing.T) {
	aside := map[string]string{ // once this line is typed
		"open gates.csv": `set aside specimen G54, G61 because "knot at the pin"`,
		"pool gates, gates_spring as all": `set aside for specimen among G54, G61 and series is gates because "knot ` +
			`at the pin"`,
	}
	for _, e := range entriesFrom(0) {
		if e.Result == "" {
			continue
		}
		t.Run(e.Name, func(t *testing.T) {
			fresh := newBench(t)
			for _, line := range ready(e.Name) {
				fresh.run(line)
				if next := aside[line]; next != "" && (line != "open gates.csv" ||
					!strings.HasPrefix(e.Name, "agree")) {
					fresh.run(next)
				}
			}
			want := fresh.run(e.Example)

			b := newBench(t)
			b.run(ready(e.Name)...)
			was := b.run(e.Example)
			if b.s.Current() == "all" { // which stays as it is when its parts change
				b.run(aside["pool gates, gates_spring as all"])
			} else {
				b.run("switch to gates", aside["open gates.csv"])
			}
			b.run("open gates_2019.csv as other")
			got := b.run("again " + was.Name)
			if got.Name == was.Name || got.Kind != was.Kind || got.Series != was.Series {
				t.Errorf("%s of kind %s on %s, again %s of kind %s on %s", was.Name, was.Kind, was.Series, got.Name,
					got.Kind, got.Series)
			}
			if !reflect.DeepEqual(got.Specimens, want.Specimens) {
				t.Errorf("%+v took part, want %+v", got.Specimens, want.Specimens)
			}
			for i, table := range want.Tables {
				if i >= len(got.Tables) || !reflect.DeepEqual(got.Tables[i].Rows, table.Rows) {
					t.Errorf("the table %s is not that of a book with the specimens set aside from the start", table.ID)
				}
			}
			if !reflect.DeepEqual(got.Values, want.Values) {
				t.Errorf("the values are not those of a book with the specimens set aside from the start")
			}
		})
	}
}

// The first result stays as it was, the new one has a name of its own and can be asked
// and carried out again; the entry says who takes part now.
func TestAgainLeavesTheResult(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "fit load on density, pins as strong", "set aside specimen G54 because \"knot\"")
	before, _ := b.s.Result("strong")
	if e := b.run("again strong"); e.Name != "fit1" || e.Specimens.SetAside != 1 {
		t.Errorf("%s, %+v", e.Name, e.Specimens)
	}
	if said := words(b.run("again fit1 as weaker").Findings); !strings.Contains(said,
		"This is fit1 again (fit load on density, pins as strong)") {
		t.Errorf("again says %q", said)
	}
	if after, _ := b.s.Result("strong"); before.Fit != after.Fit {
		t.Error("the first fit is another now")
	}
	for line, want := range map[string]page.Problem{
		"again strong as weaker": {Code: "name-taken", At: 17},
		"again nothing":          {Code: "unknown-result", At: 7},
	} {
		var p *page.Problem
		var e *phrase.Error
		switch _, err := b.try(line); {
		case errors.As(err, &p):
		case errors.As(err, &e):
			p = &page.Problem{Code: page.Code(e.Code), At: e.At}
		default:
			t.Fatalf("%s: %v", line, err)
		}
		if p.Code != want.Code || p.At != want.At {
			t.Errorf("%s: %s at %d, want %s at %d", line, p.Code, p.At, want.Code, want.At)
		}
	}
}
