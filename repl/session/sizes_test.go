package session

import (
	"testing"
)

func TestGroupedDigits(t *testing.T) {
	for n, want := range map[int]string{0: "0", 999: "999", 1000: "1,000", 44850: "44,850", 1234567: "1,234,567",
		-1000: "-1,000"} {
		if got := grouped(n); got != want {
			t.Errorf("%d is %q", n, got)
		}
	}
}
