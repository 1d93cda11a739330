package bench

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

func TestWorkOfKnownSizeIsRefusedBeforehand(t *testing.T) {
	b := &bench{t: t}
	b.s = session.New(session.Options{})
	b.run("open "+longSeries(t, 2_000), "treat board as category", "fit load on density, pins, board")
	values := make([]string, 40)
	for i := range values {
		values[i] = "60" + string(rune('0'+i%10)) + "." + string(rune('0'+i/10))
	}
	boards := make([]string, 30)
	for i := range boards {
		boards[i] = "b" + string(rune('1'+i/10)) + string(rune('0'+i%10))
	}
	for line, says := range map[string]string{
		"band density into 1000000":                        "2 to 100 levels, not 1,000,000",
		"band density into 1":                              "2 to 100 levels, not 1",
		"compare load by pins reshuffled 1000000000 times": "99 to 10000000 times",
		"predict fit1 given density " + strings.Join(values, " or ") + ", board " +
			strings.Join(boards, " or "): "more than 1,000 predictions",
		"fit load on density^999999": "a power is between −20 and 20",
		"fit load on density^1e300":  "a power is between −20 and 20",
		"fit load on together(pins, density, board, failure, pins, density, board)": "at most 6 columns, which is " +
			"63 terms",
	} {
		_, err := b.under(t.Context(), line)
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%.60s: %v, not %q", line, err, says)
			continue
		}
		var problem *page.Problem
		var wording *phrase.Error
		if !(errors.As(err, &problem) && problem.Hint != "" || errors.As(err, &wording) && wording.Hint != "") {
			t.Errorf("%.60s: no hint", line)
		}
	}
}

func TestManyLevelsAreNotComparedPairByPair(t *testing.T) {
	b := &bench{t: t}
	b.s = session.New(session.Options{})
	var text strings.Builder
	text.WriteString("load (N),board\n")
	for i := range 1000 {
		fmt.Fprintf(&text, "%d,b%d\n", 300+i*7919%101, i/2)
	}
	path := filepath.Join(t.TempDir(), "boards.csv")
	if err := os.WriteFile(path, []byte(text.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	b.run("open "+path, "treat board as category")
	for _, line := range []string{"compare load by board", "compare load by board ranked",
		"compare load by board uneven spread", "same load by board within 10%"} {
		_, err := b.under(t.Context(), line)
		var p *page.Problem
		if !errors.As(err, &p) || p.Code != "too-many" ||
			!strings.Contains(p.Message, "board has 500 levels, and at most 300") || p.At == 0 {
			t.Errorf("%s: %v", line, err)
		}
	}
	if e := b.run("average load by board"); len(e.Tables) == 0 || len(e.Tables[0].Rows) != 500 {
		t.Error("the average of each board is not there")
	}
}
