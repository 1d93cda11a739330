package parser

import (
	"testing"

	"breakbook/repl/phrase"
)

func TestWithFile(t *testing.T) {
	for _, c := range []struct{ input, path, want string }{
		{"save book gates.csv", "gates.brk", "save book gates.brk"},
		{"write  x.csv replacing", "x_2.csv", "write  x_2.csv replacing"},
		{"write x.csv, from gates", "x_2.csv", "write x_2.csv, from gates"},
		{`write "spring gates.csv" from gates`, "spring gates_2.csv", `write "spring gates_2.csv" from gates`},
		{"report é/a.txt", `a "b".html`, `report "a ""b"".html"`},
		{`write "a""b.csv"`, "ab.csv", "write ab.csv"},
		{"write a.csv", "#1.csv", `write "#1.csv"`},
	} {
		cmd, err := Parse(phrase.Piece{Text: c.input, At: 1}, newBench())
		if err != nil {
			t.Fatal(err)
		}
		file, _ := phrase.Part[phrase.File](cmd)
		line := phrase.WithFile(c.input, file.At, c.path)
		if line != c.want {
			t.Errorf("%s: %s, want %s", c.input, line, c.want)
		}
		again, err := Parse(phrase.Piece{Text: line, At: 1}, newBench())
		if err != nil {
			t.Fatal(err)
		}
		if file, _ := phrase.Part[phrase.File](again); file.Path != c.path {
			t.Errorf("%s does not name %s", line, c.path)
		}
	}
}

func TestWithFileNowhere(t *testing.T) {
	for _, at := range []int{0, -1, 9} {
		if got := phrase.WithFile("write a", at, "b"); got != "write a" {
			t.Errorf("at %d: %s", at, got)
		}
	}
}
