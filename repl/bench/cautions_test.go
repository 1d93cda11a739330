package bench

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"breakbook/repl/render"
)

// Specimens share boards only where several boards have several specimens: from one board
// alone nothing is clustered, and with a board each every specimen stands for itself (each
// of Kish's cluster sizes is then one, Survey Sampling 1965, and his design effect too).
func TestSharedBoardsAreCautionedOf(t *testing.T) {
	for boards, c := range map[int]struct {
		of   string // the board of each of eight specimens
		want string // what is told of them, "" for nothing
	}{
		1: {of: "AAAAAAAA"},
		2: {of: "AABBAABB", want: "2 values of board"},
		4: {of: "AABBCCDD", want: "4 values of board"},
		7: {of: "ABCDEFGG", want: "7 values of board"},
		8: {of: "ABCDEFGH"},
	} {
		t.Run(fmt.Sprint(boards), func(t *testing.T) {
			b := newBench(t)
			text := "board,load (N),glue\n"
			for i, load := range []int{980, 1010, 1105, 1085, 1000, 1040, 1120, 1095} {
				text += fmt.Sprintf("%c,%d,%s\n", c.of[i], load, []string{"pva", "pu"}[i%4/2])
			}
			if err := os.WriteFile("boards.csv", []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
			e := b.run("open boards.csv", "compare load by glue")
			var reported []string
			for _, s := range e.Findings {
				if text := render.Sentence(s, render.Options{}); strings.Contains(text, "values of board") {
					reported = append(reported, text)
				}
			}
			switch {
			case c.want == "" && len(reported) > 0:
				t.Errorf("cautioned: %s", reported)
			case c.want != "" && (len(reported) != 1 || !strings.Contains(reported[0], c.want)):
				t.Errorf("got %q, want one that says %q", reported, c.want)
			}
		})
	}
}
