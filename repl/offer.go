package repl

import (
	"path/filepath"
	"slices"
	"strings"

	"breakbook/frames/meant"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/phrase/repair"
	"breakbook/repl/phrase/scan"
)

// mostMended is how many commands of one line the line meant is looked for.
const mostMended = 5

// mended is the problem of a line that is no command, with the line that was meant as its hint,
// where that is clear.
func (l *loop) mended(p phrase.Piece, problem *page.Problem) *page.Problem {
	if l.refused < mostMended && !parser.AfterProse(p) {
		if line := repair.Line(p.Text, l.session); line != "" && line != strings.TrimSpace(p.Text) {
			return trying(problem, line)
		}
	}
	if only, ok := strings.CutPrefix(problem.Hint, "there is "); ok && problem.At > 0 &&
		problem.At <= len([]rune(p.Text)) {
		in := []rune(p.Text) // the only result of the kind that is needed
		line := string(in[:problem.At-1]) + only + string(in[problem.At-1+scan.Tokens(in[problem.At-1:])[0].End:])
		if l.works(line) {
			return trying(problem, line)
		}
	}
	return problem
}

// mendedRun is that of a command that reads and does not work: where it names a specimen or a
// kind of file that there is not, another line may have been meant; where cuts do not go upwards, a
// comma may have been meant as a decimal point; where the hint is another name, the line is offered with it; a
// hint that is a line is offered as one.
func (l *loop) mendedRun(p phrase.Piece, c *phrase.Command, problem *page.Problem) *page.Problem {
	strange := func(f phrase.FileUse) bool { // save book, in full, is no slip for another command
		return !strings.HasPrefix(c.Entry.Phrase, "save book ") && !phrase.FitsEnding(c.Entry, f.Path)
	}
	if problem.Code == "unknown-specimen" || slices.ContainsFunc(c.Files, strange) {
		return l.mended(p, problem)
	}
	if problem.Code == "bad-cuts" {
		if d, found := parser.UpwardWithPoints(p.Text, l.session); found {
			return problemOf(d.Problem())
		}
	}
	name, asked := strings.CutPrefix(problem.Hint, "did you mean ")
	if asked && strings.HasSuffix(name, "?") && problem.At > 0 {
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
	_, err := parser.ParseLine(line, l.session)
	return err == nil
}

func trying(problem *page.Problem, line string) *page.Problem {
	with := *problem
	with.Hint = phrase.Try(line)
	return &with
}

// with is a command's line with another name in the place of what nearly spells it at a character, or
// "". A file stays in its folder.
func with(line string, c *phrase.Command, at int, name string) string {
	in := []rune(line)
	near := func(typed string) int {
		found := meant.Near(typed, []string{name}, 1)
		if len(found) == 0 {
			return len(in)
		}
		return found[0].Halves
	}
	for _, f := range c.Files {
		if f.At == at && near(filepath.Base(f.Path)) < len(in) {
			return string(in[:at-1]) + phrase.SpelledPath(filepath.Join(filepath.Dir(f.Path), name)) +
				string(in[f.End-1:])
		}
	}
	best, end := len(in), 0
	for n, t := range scan.Tokens(in[at-1:]) { // a name may be of several words
		if n < 3 && t.Kind != scan.End && near(string(in[at-1:at-1+t.End])) < best {
			best, end = near(string(in[at-1:at-1+t.End])), at-1+t.End
		}
	}
	if end == 0 {
		return ""
	}
	return string(in[:at-1]) + phrase.Spelled(name) + string(in[end:])
}

// offered is the line that the last hint offers, where nothing is typed yet.
func (l *loop) offered(line string) (string, bool) {
	return l.offer, l.offer != "" && strings.TrimSpace(line) == ""
}
