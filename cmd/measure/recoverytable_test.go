package main

import (
	"bytes"
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

var committedRecovery = filepath.Join("..", "..", "testdata", "recovery")

// The committed files of recovery are what the full run gives, byte for byte.
func TestCommittedRecovery(t *testing.T) {
	counts(t)
	folder := t.TempDir()
	var out, errs bytes.Buffer
	if status := dispatch(t.Context(), []string{"recovery", "--to", folder}, &out, &errs); status != 0 {
		t.Fatalf("status %d: %s", status, &errs)
	}
	made, err := os.ReadDir(folder)
	if err != nil || len(made) != 4 {
		t.Fatalf("%d files made, want 4 (%v)", len(made), err)
	}
	for _, f := range made {
		got, err := os.ReadFile(filepath.Join(folder, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		want, err := os.ReadFile(filepath.Join(committedRecovery, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s is not what the generator gives; run: go run ./cmd/measure recovery --to testdata/recovery",
				f.Name())
		}
	}
}

// What the committed tables must say: unrelated, every range holds the truth in 91 to 97 of
// 100 series and the averages lie within three simulation errors; related, the range of
// a pair and that of the ratio miss; the bounds of all joints, and those of one series with its
// scatter allowed for, hold in both.
func TestCommittedRecoverySays(t *testing.T) {
	table := readTable(t, "recovery.csv")
	if len(table) != 6 {
		t.Fatalf("%d rows, want 6", len(table))
	}
	for i, row := range table {
		held := number(t, row["held by intervals (%)"])
		if row["runs"] != "2000" {
			t.Errorf("row %d is of %s series", i, row["runs"])
		}
		switch unrelated := i < 3; {
		case unrelated != (row["strengths"] == "unrelated"):
			t.Errorf("row %d is of %s strengths", i, row["strengths"])
		case unrelated && (held < 100*leastCoverage || held > 100*mostCoverage):
			t.Errorf("%s: held in %g %%", row["quantity"], held)
		case i > 3 && held >= 100*leastCoverage:
			t.Errorf("%s: related strengths are held in %g %%", row["quantity"], held)
		}
		if ratio := i%3 == 2; ratio {
			continue
		}
		if row["bounds together"] != "hold it" || number(t, row["with scatter (%)"]) < 95 {
			t.Errorf("row %d: the bounds of all joints %q, with scatter %s %%", i, row["bounds together"],
				row["with scatter (%)"])
		}
	}
	averages := readTable(t, "averages.csv")
	if len(averages) != len(recoveryLevels) {
		t.Fatalf("%d averages", len(averages))
	}
	for _, row := range averages {
		if apart := number(t, row["errors apart"]); !(math.Abs(apart) < 3) {
			t.Errorf("pins %s: %g errors apart", row["pins"], apart)
		}
	}
}

// Another seed is another series, and the command says where it put it.
func TestRecoveryOfAnotherSeed(t *testing.T) {
	folder := t.TempDir()
	var out, errs bytes.Buffer
	if status := dispatch(t.Context(), []string{"recovery", "--series", "2", "--seed", "21", "--to", folder}, &out,
		&errs); status != 0 {
		t.Fatalf("status %d: %s", status, &errs)
	}
	for _, name := range []string{"unrelated.csv", "related.csv"} {
		got, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Fatal(err)
		}
		committed, err := os.ReadFile(filepath.Join(committedRecovery, name))
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Equal(got, committed) || bytes.Count(got, []byte("\n")) != recoverySize+1 {
			t.Errorf("%s of seed 21 is the committed one, or not %d joints", name, recoverySize)
		}
		if !bytes.Contains(out.Bytes(), []byte(name)) {
			t.Errorf("%s is not named: %s", name, &out)
		}
	}
}

// readTable reads a committed CSV as rows by column.
func readTable(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join(committedRecovery, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil || len(all) == 0 {
		t.Fatalf("%s: %d lines (%v)", name, len(all), err)
	}
	var rows []map[string]string
	for _, line := range all[1:] {
		row := map[string]string{}
		for i, cell := range line {
			row[all[0][i]] = cell
		}
		rows = append(rows, row)
	}
	return rows
}

// number is a cell that must be a number.
func number(t *testing.T, cell string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}
