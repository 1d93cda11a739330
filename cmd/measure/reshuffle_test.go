package main

import (
	"bytes"
	"context"
	"strings"
	"testing"
)

// A short run must show the time on every core and on one, and say how it compares or
// what to install.
func TestReshufflePrintsItsTable(t *testing.T) {
	var out bytes.Buffer
	if err := measureReshuffle(context.Background(), []string{"--times", "500", "--runs", "1"}, &out); err != nil {
		t.Fatal(err)
	}
	got := out.String()
	if !strings.Contains(got, "of scipy's time") && !strings.Contains(got, "python3-scipy") {
		t.Errorf("neither a comparison nor what to install in\n%s", got)
	}
	if !strings.Contains(got, "500 reshuffles") || !strings.Contains(got, "one core") {
		t.Errorf("a row is lacking in\n%s", got)
	}
	out.Reset()
	if err := measureReshuffle(context.Background(), []string{"--times", "99", "--runs", "1", "--python",
		"no-such-python"}, &out); err != nil || !strings.Contains(out.String(), "python3-scipy") {
		t.Errorf("without scipy: %v\n%s", err, out.String())
	}
}
