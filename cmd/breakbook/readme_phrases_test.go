package main

import (
	"bytes"
	"context"
	"os"
	"regexp"
	"strings"
	"testing"

	"breakbook/repl"
	"breakbook/testdata/demo"
)

// What has to be typed before a phrase of the README's table for it to have something to work on.
var before = map[string][]string{
	"look": {"switch to gates"},
	"merge levels two, double into pair of pins": {"open doubles.csv"},
	`set aside specimen G54 because "dropped"`:   {"switch to gates"},
	"pool gates, spring as both": {"switch to spring", "rename breaking_load to break_load",
		"rename pin_pattern to pins", "switch to gates"},
	"read curves gates_slip.csv by specimen":          {"switch to gates"},
	"agree load by series":                            {"switch to both"},
	"fit load on density, pins with series spring":    {"switch to gates"},
	"adjust load to density 640":                      {"switch to gates"},
	"predict fit1 given pins pair, density 640 kg/m3": {"switch to gates"},
	"draw load by pins":                               {"switch to gates"},
}

// Phrases that need a book of their own, with what is typed in it first.
var apart = map[string][]string{
	"rivals fit1, fit2": {"open gates.csv", "fit load on density, pins", "fit load on density, pins, thickness"},
}

// TestReadmePhrasesWork types every phrase of the README's table of commands, one after the other.
func TestReadmePhrasesWork(t *testing.T) {
	if testing.Short() {
		t.Skip("the README's words, tried without -short: repl/bench types every command")
	}
	page, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	workbook, err := os.ReadFile("../../testdata/messy/book_rig.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	_, table, found := strings.Cut(string(page), "| to | type |\n| --- | --- |\n")
	table, _, ends := strings.Cut(table, "\n\n")
	if !found || !ends {
		t.Fatal("the README has no table of what to type")
	}
	t.Chdir(t.TempDir())
	if err := os.CopyFS(".", demo.Files); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"tests.xlsx": string(workbook),
		"gauge.csv":   "Reading (kgf),True (kgf)\n0,0\n500,510\n1000,1020\n",
		"doubles.csv": "specimen,load (N),pins\na,300,two\nb,310,double\nc,280,none\nd,290,none\n",
		"blanks.csv":  "blank,density (kg/m3)\nb1,610\nb2,655\nb3,640\nb4,622\n"} {
		if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	var problems bytes.Buffer
	book := repl.NewLive("", &bytes.Buffer{}, &problems)
	typed := 0
	book.Line(context.Background(), "open gates_spring.csv as spring")
	for _, m := range regexp.MustCompile("`([^`]*)`").FindAllStringSubmatch(table, -1) {
		phrase, in := m[1], book
		if first, ok := apart[phrase]; ok {
			in = repl.NewLive("", &bytes.Buffer{}, &problems)
			for _, line := range first {
				in.Line(context.Background(), line)
			}
		}
		for _, line := range before[phrase] {
			in.Line(context.Background(), line)
		}
		line := phrase
		if rest, ok := strings.CutPrefix(phrase, "… "); ok {
			line = "average load by pins " + rest
		}
		problems.Reset()
		typed++
		if !in.Line(context.Background(), line) {
			t.Errorf("the README has %q, which does not work:\n%s", phrase, problems.String())
		}
	}
	if typed < 50 {
		t.Errorf("%d phrases are typed, want the table's 50 and more", typed)
	}
}
