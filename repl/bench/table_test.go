package bench

import (
	"reflect"
	"slices"
	"testing"

	"breakbook/repl/phrase"
)

// TestEveryCommandIsCarriedOut holds the phrase table and the handlers to each other: one
// function for each struct, and no function without an entry.
func TestEveryCommandIsCarriedOut(t *testing.T) {
	entries := map[string]int{}
	structs := map[reflect.Type]bool{}
	for _, e := range phrase.Table {
		entries[e.Name]++
		of := reflect.PointerTo(reflect.TypeOf(e.Do))
		structs[of] = true
		if handlers[of] == nil {
			t.Errorf("nothing carries out %q", e.Name)
		}
	}
	for name, n := range entries {
		if n > 1 {
			t.Errorf("%d entries of the phrase table are named %q", n, name)
		}
	}
	for of := range handlers {
		if !structs[of] {
			t.Errorf("the phrase table has no entry for the handler of %v", of)
		}
	}
}

// TestUnbookedKindsExist catches a kind that was renamed in the table alone.
func TestUnbookedKindsExist(t *testing.T) {
	kinds := map[string]bool{}
	for _, e := range phrase.Table {
		kinds[e.Kind] = true
	}
	for kind := range unbooked {
		if !kinds[kind] {
			t.Errorf("no command of the table is of the kind %q", kind)
		}
	}
}

// ready is what has to be open or fitted before an entry's example can be typed.
func ready(entry string) []string {
	switch entry {
	case "open":
		return nil
	case "bring back":
		return []string{"open gates.csv", `set aside specimen G54 because "knot"`}
	case "put beside":
		return []string{"open gates.csv as gates_spring", "open gates.csv"}
	case "agree", "agree effect", "agree measure":
		return []string{"open gates.csv as gates_spring", "open gates.csv", "pool gates, gates_spring as all"}
	case "sheet", "draw chance":
		return []string{"open gates.csv", "plan load by pins detecting 10%"}
	case "judge":
		return []string{"open gates.csv", "plan load by pins detecting 35 kgf spread 30 kgf in 2 stages"}
	case "rivals":
		return []string{"open gates.csv", "fit load on density, pins", "fit load on density, pins, place"}
	case "draw shares":
		return []string{"open gates.csv", "share out load on density, pins"}
	case "draw gaps":
		return []string{"open gates.csv", "what drove load"}
	case "draw curves":
		return []string{"open gates.csv", "read curves gates_slip.csv by specimen"}
	}
	return []string{"open gates.csv", "open gates_spring.csv", "switch to gates", "fit load on density, pins"}
}

// entriesFrom are the entries of the phrase table; under -short, where the race detector looks on, every sixth,
// from the given one: TestExamplesWork types all of them there too.
func entriesFrom(first int) []phrase.Entry {
	if !testing.Short() {
		return phrase.Table
	}
	var out []phrase.Entry
	for some := range slices.Chunk(phrase.Table[first:], 6) {
		out = append(out, some[0])
	}
	return out
}

// withoutShort begins a test of what is said over many commands. Under -short, where the race detector looks on, it is
// left out: TestExamplesWork types all of them there too.
func withoutShort(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("what is said of many commands, looked at without -short")
	}
}

// TestExamplesWork types the example of every command on the demo's files.
func TestExamplesWork(t *testing.T) {
	for _, e := range phrase.Table {
		t.Run(e.Name, func(t *testing.T) {
			b := newBench(t)
			b.run(ready(e.Name)...)
			before := b.s.Next()
			got := b.run(e.Example)
			if e.Name == "again" || e.Name == "show result" { // gives what its result was
				e.Kind, e.Result = "fit", "fit"
			}
			if got.Kind != e.Kind {
				t.Errorf("%s: kind %q, want %q", e.Example, got.Kind, e.Kind)
			}
			if got.Number != before || b.s.Next() != before+1 {
				t.Errorf("%s: entry %d, next %d, want %d and %d", e.Example, got.Number, b.s.Next(), before, before+1)
			}
			if got.Name == "" != (e.Result == "") {
				t.Errorf("%s: the result's name is %q", e.Example, got.Name)
			}
		})
	}
}
