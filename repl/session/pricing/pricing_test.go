package pricing

import "testing"

func TestSingular(t *testing.T) {
	for word, want := range map[string]string{"minutes": "minute", "euros": "euro", "pins": "pin", "glass": "glass",
		"os": "os", "gas": "gas", "kg": "kg", "s": "s", "": "", "pounds sterling": "pounds sterling"} {
		if got := singular(word); got != want {
			t.Errorf("%q is %q, want %q", word, got, want)
		}
	}
}
