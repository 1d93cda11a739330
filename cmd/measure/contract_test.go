package main

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"breakbook/repl/bench"
	"breakbook/repl/page"
)

// The list that is kept is the one that the row types make.
func TestContractIsTheOneKept(t *testing.T) {
	kept, err := os.ReadFile("../../testdata/measured/contract.txt")
	if err != nil {
		t.Fatal(err)
	}
	now := contractText(bench.Contracts())
	was := strings.Split(string(kept), "\n")
	for i, line := range strings.Split(now, "\n") {
		if i >= len(was) || was[i] != line {
			t.Fatalf("line %d is now\n%s\nrun go run ./cmd/measure contract and look at what changed", i+1, line)
		}
	}
	if now != string(kept) {
		t.Error("the list that is kept is longer")
	}
}

func TestContractSaysWhatColumnsAreIn(t *testing.T) {
	type seldom struct {
		Draws int `id:"draws"`
	}
	type row struct {
		A     string        `id:"{a}"`
		Mean  page.Quantity `id:"mean" unit:"{y}"`
		Size  float64       `id:"size"`
		Share float64       `id:"share" style:"fraction"`
		*seldom
		Modes page.Many `id:"{mode}"`
	}
	got := contractText([]page.Contract{{Kind: "fit",
		Tables: []page.TableShape{{ID: "terms", Row: reflect.TypeFor[row]()}},
		Values: reflect.TypeFor[seldom]()}, {Kind: "note"}, {Kind: "sheet", Tables: []page.TableShape{{ID: "sheet"}}},
		{Tables: []page.TableShape{{ID: "each", Row: reflect.TypeFor[seldom]()}}}})
	want := "\nfit\n  terms: {a} (text), mean ({y}), size, share (fraction), [draws (count)], [{mode}]\n" +
		"  values: draws (count)\n\n" +
		"sheet\n  sheet: columns known only when it is made\n\nany kind, run with `each of`: first\n" +
		"  each: draws (count)\n\n" +
		"no table and no value of their own: open, "
	if !strings.Contains(got, want) || !strings.Contains(got, ", note, ") {
		t.Errorf("got\n%s\nwithout\n%s", got, want)
	}
}

func TestContractIsWrittenWhereItIsWanted(t *testing.T) {
	path := filepath.Join(t.TempDir(), "contract.txt")
	var out bytes.Buffer
	if err := contract(t.Context(), []string{"--to", path}, &out); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(path)
	if err != nil || string(text) != contractText(bench.Contracts()) || !strings.HasPrefix(out.String(), path) {
		t.Errorf("%v, said %q", err, out.String())
	}
}
