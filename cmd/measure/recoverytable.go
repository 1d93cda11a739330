package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"breakbook/models/resample"
)

// recoveredRow is what a run found of one quantity; the shares are in percent of the series
// that were answered. The ratio has no bounds.
type recoveredRow struct {
	quantity, truth         string
	held                    string
	within, allowed, pooled string
	leastWanted, mostWanted string // empty where the intervals must miss
}

// rows lists the three quantities of a run.
func (r recovered) rows() []recoveredRow {
	share := func(n int) string { return fmt.Sprintf("%.1f", 100*float64(n)/float64(r.series-r.refused)) }
	var rows []recoveredRow
	for i, quantity := range []string{"median with pins none (N)", "median with pins pair (N)", "ratio of the two"} {
		row := recoveredRow{quantity: quantity, truth: fmt.Sprintf("%.3f", pairGain), held: share(r.held[i])}
		if i < len(recoveryLevels) {
			row.truth, row.within, row.allowed = fmt.Sprintf("%.1f", glueMedian(i)), share(r.within[i]),
				share(r.allowed[i])
			row.pooled = map[bool]string{true: "hold it", false: "miss it"}[r.pooled[i]]
		}
		if !r.related {
			row.leastWanted, row.mostWanted = fmt.Sprintf("%.0f", 100*leastCoverage),
				fmt.Sprintf("%.0f", 100*mostCoverage)
		}
		rows = append(rows, row)
	}
	return rows
}

// averages lists, level by level, the plain average, its simulation error, the expected
// smaller strength and how many errors lie between them. It means something only where the
// strengths are unrelated.
func (r recovered) averages() [][]string {
	var rows [][]string
	for i, name := range recoveryLevels {
		rows = append(rows, []string{name, fmt.Sprintf("%.2f", r.mean[i]), fmt.Sprintf("%.2f", r.error[i]),
			fmt.Sprintf("%.2f", r.min[i]), fmt.Sprintf("%.2f", (r.mean[i]-r.min[i])/r.error[i])})
	}
	return rows
}

// strengths says how a specimen's two strengths go together in the run.
func (r recovered) strengths() string {
	if r.related {
		return "related"
	}
	return "unrelated"
}

// printRecovery shows both runs.
func printRecovery(out io.Writer, runs [2]recovered) {
	percent := func(s string) string {
		if s == "" {
			return ""
		}
		return s + " %"
	}
	for _, r := range runs {
		how := r.strengths() + " strengths"
		if r.related {
			how += fmt.Sprintf(" (correlation %.1f of their normal scores)", relatedBy)
		}
		fmt.Fprintf(out, "%d series of %d joints, %s; refused %d (%.1f %%)\n", r.series, recoverySize, how, r.refused,
			100*float64(r.refused)/float64(r.series))
		w := plainTable("asked", "truth", "wanted", "intervals that hold it", "bounds that hold it",
			"with their scatter", "bounds of all joints together")
		for _, row := range r.rows() {
			want := "they must miss"
			if !r.related {
				want = row.leastWanted + " to " + percent(row.mostWanted)
			}
			w.AppendRow(table.Row{row.quantity, row.truth, want, percent(row.held), percent(row.within),
				percent(row.allowed), row.pooled})
		}
		fmt.Fprintln(out, w.Render())
		if r.related {
			continue
		}
		w = plainTable("pins", "plain average (N)", "its simulation error", "expected smaller strength", "errors apart")
		for _, row := range r.averages() {
			w.AppendRow(table.Row{row[0], row[1], row[2], row[3], row[4]})
		}
		fmt.Fprintln(out, w.Render())
		fmt.Fprintln(out)
	}
}

// recoveryFile is one CSV that recovery writes.
type recoveryFile struct {
	name    string
	content []byte
}

// recoveryFiles gives both runs as tables, and the first series of each run.
func recoveryFiles(seed uint64, runs [2]recovered) []recoveryFile {
	var found, averages bytes.Buffer
	found.WriteString("strengths,quantity,truth,runs,refused,held by intervals (%)," +
		"wanted from (%),wanted to (%),held by bounds (%),with scatter (%),bounds together\n")
	for _, r := range runs {
		for _, row := range r.rows() {
			fmt.Fprintf(&found, "%s,%s,%s,%d,%d,%s,%s,%s,%s,%s,%s\n", r.strengths(), row.quantity, row.truth, r.series,
				r.refused, row.held, row.leastWanted, row.mostWanted, row.within, row.allowed, row.pooled)
		}
	}
	averages.WriteString("pins,plain average (N),simulation error (N),expected smaller (N),errors apart\n")
	for _, row := range runs[0].averages() {
		averages.WriteString(strings.Join(row, ",") + "\n")
	}
	files := []recoveryFile{{"recovery.csv", found.Bytes()}, {"averages.csv", averages.Bytes()}}
	for _, related := range []bool{false, true} {
		r := recovered{related: related}
		files = append(files, recoveryFile{r.strengths() + ".csv", r.joints(resample.Stream(seed, 0))})
	}
	return files
}
