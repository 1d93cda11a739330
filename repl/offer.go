package repl

import (
	"slices"
	"strings"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/phrase/repair"
)

// mended is the problem of a line that is no command, with the line that was meant as its hint,
// where that is clear.
func (l *loop) mended(p phrase.Piece, problem *page.Problem) *page.Problem {
	if parser.AfterProse(p) {
		return problem
	}
	line := repair.Line(p.Text, l.session)
	if line == "" {
		return problem
	}
	with := *problem
	with.Hint = phrase.Try(line)
	return &with
}

// mendedRun is that of a command that reads and does not work: where it names a specimen or a kind of
// file that there is not, another line may have been meant.
func (l *loop) mendedRun(p phrase.Piece, c *phrase.Command, problem *page.Problem) *page.Problem {
	if problem.Code == "unknown-specimen" || slices.ContainsFunc(c.Files, func(f phrase.FileUse) bool {
		return !phrase.FitsEnding(c.Entry, f.Path)
	}) {
		return l.mended(p, problem)
	}
	return problem
}

// offered is the line that the last hint offers, for as long as nothing else was typed; or "".
func (l *loop) offered(line string) (string, bool) {
	return l.offer, l.offer != "" && strings.TrimSpace(line) == ""
}
