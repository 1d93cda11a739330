package scan

import "testing"

func TestScanNumbers(t *testing.T) {
	for text, want := range map[string]float64{"1": 1, "1.5": 1.5, ".5": .5, "1e3": 1000, "−2": -2, "-2.5e-1": -.25,
		"+": 0} {
		tok := Tokens([]rune(text))[0]
		if text == "+" {
			if tok.Kind == Number {
				t.Error("a plus sign is no number")
			}
			continue
		}
		if tok.Kind != Number || tok.Number != want || tok.End != len([]rune(text)) {
			t.Errorf("%s is read as %+v", text, tok)
		}
	}
	toks := Tokens([]rune("18mm t9 34-44"))
	if toks[0].Number != 18 || toks[1].Text != "mm" || !toks[1].Glued || toks[2].Text != "t9" || toks[4].Text != "-44" {
		t.Errorf("read as %+v", toks)
	}
}
