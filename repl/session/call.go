package session

import (
	"context"
	"path/filepath"
	"reflect"
	"strings"

	"breakbook/frames"
	"breakbook/frames/files"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// Where is where a file that is read lies: for a replayed book, what is beside it.
func (k *Call) Where(f phrase.File) string {
	for _, named := range k.Command.Files {
		if named.At == f.At && named.Real != "" {
			return named.Real
		}
	}
	return files.Home(f.Path)
}

// Call is one command at work: the session as it was and the entry being filled in.
type Call struct {
	Context  context.Context
	Session  *Session
	Command  *phrase.Command
	Entry    *page.Entry
	Handlers map[reflect.Type]Handler // what carries out each command, by its struct

	Taken     *Sample   // the first specimens taken, whatever came of them
	Analysis  *analysis // what an analysis command was about; nil for the others
	Back      []bool    // in a quiet rerun: the specimens of the series that are back
	WorthFrom *Session  // in a quiet rerun: whose series says what is worth having; nil: the own one
	// in a quiet rerun whose answers are only compared: nobody asks how many specimens would settle one
	Unplanned bool
	// in a quiet rerun: the two values that each number is told between; nil: the lowest and the highest seen
	Between map[string][2]float64

	Asked *phrase.Command // the command typed, while it has an earlier one carried out again
}

// Handler runs one command: it fills in the entry and returns the next session
// (nil: nothing changed but the book).
type Handler func(*Call) (*Outcome, error)

// Unhandled is for a command that nothing carries out: a slip in the program.
func (k *Call) Unhandled() *page.Problem {
	return page.Refuse(page.CodeUnknownCommand, 0, "nothing carries out "+k.Command.Entry.Name, "")
}

// Frame is the series the command is about: the one named by `from`, else the current one.
func (k *Call) Frame() (string, *frames.Frame, error) {
	name, at := k.series(), 0
	if from := k.Command.Clauses().From; from != nil {
		at = from.At
	}
	f, ok := k.Session.Frame(name)
	if !ok {
		return "", nil, page.Refuse(page.CodeNoSeries, at, "no series is open", "open FILE.csv")
	}
	k.Entry.Series = name
	return name, f, nil
}

// series is the name of the series the command is about.
func (k *Call) series() string {
	if from := k.Command.Clauses().From; from != nil {
		return from.Text
	}
	return k.Session.Current()
}

// Confidence is that of the intervals: the clause's, else the session's.
func (k *Call) Confidence() float64 {
	if c := k.Command.Clauses().Confidence; c != nil {
		return c.Value
	}
	return k.Session.Settings().Confidence
}

// UnknownFormat refuses the ending of a file to be written, with the line for the right one.
func (k *Call) UnknownFormat(f phrase.File, written, ext string) error {
	path := strings.TrimSuffix(f.Path, filepath.Ext(f.Path)) + ext
	return page.Refuse(page.CodeUnknownFormat, f.At, written+", not as "+f.Path,
		phrase.WithFile(k.Command.Input, f.At, path))
}

// Replacing refuses that word where no file is named that it could be about.
func (k *Call) Replacing() error {
	if k.Command.Replacing() && k.Command.Clauses().To == nil {
		return page.Refuse(page.CodeNothingToReplace, 0, "replacing is about a file named after to, and none "+
			"is named", "")
	}
	return nil
}

// ForLevel is the call for the specimens of one level, on a session; a result's name gets an ending.
func (k *Call) ForLevel(s *Session, ref phrase.ColumnRef, level, ending string) *Call {
	c := k.Command.Copy()
	c.Clauses().Each = nil
	is := phrase.Condition(phrase.Is{Column: ref, Values: []phrase.Value{{Text: level, At: ref.At}}, At: ref.At})
	if c.Clauses().For != nil {
		is = phrase.And{Left: c.Clauses().For, Right: is, At: c.Clauses().For.Place()}
	}
	c.Clauses().For = is
	if as := c.Clauses().As; as != nil {
		c.Clauses().As = &phrase.Name{Text: as.Text + "_" + ending, At: as.At}
	}
	return &Call{Context: k.Context, Session: s, Command: c, Handlers: k.Handlers,
		Entry: &page.Entry{Number: k.Entry.Number, Input: k.Entry.Input, Kind: k.Entry.Kind}}
}

// Quiet is a call that carries out a command on a session without a word or a trace: a rerun, with the specimens of
// the series that are back in it.
func (k *Call) Quiet(s *Session, c *phrase.Command, back []bool) *Call {
	out := &Call{Context: parallel.WithProgress(k.Context, nil), Session: s, Command: c, Back: back,
		WorthFrom: k.Session, Handlers: k.Handlers, Entry: &page.Entry{Kind: c.Entry.Kind}, Between: k.Between}
	if k.Analysis != nil {
		out.Between = k.Analysis.Between
	}
	return out
}

// Scope is the command's condition and its series: which specimens it asks about.
func (k *Call) Scope() phrase.Clauses {
	own := k.Command.Clauses()
	return phrase.Clauses{For: own.For, From: own.From}
}
