package repl

import (
	"path/filepath"
	"slices"
	"strings"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/phrase/repair"
	"breakbook/repl/phrase/scan"
)

// mended is the problem of a line that is no command, with the line that was meant as its hint,
// where that is clear.
func (l *loop) mended(p phrase.Piece, problem *page.Problem) *page.Problem {
	if !parser.AfterProse(p) {
		if line := repair.Line(p.Text, l.session); line != "" {
			return trying(problem, line)
		}
	}
	return problem
}

// mendedRun is that of a command that reads and does not work: where it names a specimen or a
// kind of file that there is not, another line may have been meant; where the hint is another name, the
// line is offered with it; a hint that is a line is offered as one.
func (l *loop) mendedRun(p phrase.Piece, c *phrase.Command, problem *page.Problem) *page.Problem {
	strange := func(f phrase.FileUse) bool { return !phrase.FitsEnding(c.Entry, f.Path) }
	if problem.Code == "unknown-specimen" || slices.ContainsFunc(c.Files, strange) {
		return l.mended(p, problem)
	}
	if name, asked := strings.CutPrefix(problem.Hint, "did you mean "); asked && strings.HasSuffix(name, "?") {
		if line := with(p.Text, c, problem.At, strings.TrimSuffix(name, "?")); l.works(line) {
			return trying(problem, line)
		}
	}
	if !strings.Contains(problem.Hint, "FILE") && l.works(problem.Hint) {
		return trying(problem, problem.Hint)
	}
	return problem
}

// works reports whether a text is one command.
func (l *loop) works(line string) bool {
	_, err := parser.Parse(phrase.Piece{Text: line, At: 1}, l.session)
	return err == nil
}

func trying(problem *page.Problem, line string) *page.Problem {
	with := *problem
	with.Hint = phrase.Try(line)
	return &with
}

// with is a command's line with another name in the place of the one at a character, or "". A
// file stays in its folder.
func with(line string, c *phrase.Command, at int, name string) string {
	in := []rune(line)
	for _, f := range c.Files {
		if f.At == at {
			path := filepath.Join(filepath.Dir(f.Path), name)
			return string(in[:at-1]) + phrase.SpelledPath(path) + string(in[f.End-1:])
		}
	}
	for _, t := range scan.Tokens(in) {
		if t.Start == at-1 && t.Kind != scan.End {
			return string(in[:t.Start]) + phrase.Spelled(name) + string(in[t.End:])
		}
	}
	return ""
}

// offered is the line that the last hint offers, where nothing is typed yet.
func (l *loop) offered(line string) (string, bool) {
	return l.offer, l.offer != "" && strings.TrimSpace(line) == ""
}
