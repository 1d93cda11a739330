package render

import (
	"encoding/json"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestClean(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"plain words, ö and 木", "plain words, ö and 木"},
		{"one\ttab\nand\r\nlines", "one tab and  lines"},
		{"\x1b[2Jgone", "\ufffd[2Jgone"},
		{"\u009b2J and \x7f", "\ufffd2J and \ufffd"},
		{"\x9b2J", "\ufffd2J"},
		{"a\u202eb\u2066c\u200fd\u2060e", "a\ufffdb\ufffdc\ufffdd\ufffde"},
		{"soft\u00adhyphen, \u200djoined", "soft\u00adhyphen, \u200djoined"},
	} {
		if got := Clean(c.in); got != c.want {
			t.Errorf("%q becomes %q, want %q", c.in, got, c.want)
		}
	}
}

// The place under which a caret stands is counted in characters of what was typed.
func TestCleanKeepsCount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "s")
		if got := Clean(s); utf8.RuneCountInString(got) != utf8.RuneCountInString(s) || Clean(got) != got {
			t.Fatalf("%q becomes %q", s, got)
		}
	})
}

func TestCleanTextKeepsLinesAndItsOwnColours(t *testing.T) {
	const text = bold + "first\x1b[2J" + plain + "\n" + failure + "second" + plain + "\x1b[31mred"
	const want = bold + "first\ufffd[2J" + plain + "\n" + failure + "second" + plain + "\ufffd[31mred"
	if got := CleanText(text, true); got != want {
		t.Errorf("%q becomes %q, want %q", text, got, want)
	}
	if got := CleanText(bold+"a\nb", false); got != "\ufffd[1ma\nb" {
		t.Errorf("without colours: %q", got)
	}
}

func TestEscapedReadsBack(t *testing.T) {
	for _, s := range []string{"a\u009bb", "\x7f", "\u202e", "\U000e0041x", "\ufeff", "\u2028", "\ue000"} {
		line, err := compact(s)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range string(line) {
			if r > '~' {
				t.Errorf("%q holds %U", line, r)
			}
		}
		var back string
		if err := json.Unmarshal(line, &back); err != nil || back != s {
			t.Errorf("%q is read back as %q, %v", line, back, err)
		}
	}
}
