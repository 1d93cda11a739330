package repl

import (
	"context"
	"io"
	"strings"

	"breakbook/repl/bench"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/render"
	"breakbook/repl/session"
)

// Live is a session that a program types into, as a person does at the prompt.
type Live struct{ loop *loop }

// NewLive starts an empty book whose files go to folder; results are written to out and
// problems to problems.
func NewLive(folder string, out, problems io.Writer) *Live {
	return &Live{&loop{
		session: session.New(session.Options{}),
		run:     bench.Run,
		files:   files{folder: folder},
		screen:  &screen{out: out, err: problems, width: func() int { return render.DefaultWidth }},
	}}
}

// Line types one line and reports whether every command of it worked.
func (l *Live) Line(ctx context.Context, text string) bool {
	return l.loop.feed(ctx, linesOf(strings.NewReader(text+"\n")), false, true)
}

// HasQuit reports whether quit was typed; from then on nothing is carried out.
func (l *Live) HasQuit() bool { return l.loop.hasQuit }

// Slip types one command, and leaves the session as it was; it tells what the hint offers in its
// place, and whether it worked.
func (l *Live) Slip(ctx context.Context, text string) (offered string, worked bool) {
	was := *l.loop
	worked = l.Line(ctx, text)
	offered = l.loop.offer
	*l.loop = was
	return offered, worked
}

// Reads gives a command in the one way that it is written, its kind and the files that it reads;
// ok is false where a line is none.
func (l *Live) Reads(line string) (written, kind string, files []string, ok bool) {
	c, err := parser.Parse(phrase.Piece{Text: line, At: 1}, l.loop.session)
	if err != nil {
		return "", "", nil, false
	}
	for _, f := range c.Files {
		if !f.Written {
			files = append(files, f.Path)
		}
	}
	return c.String(), c.Entry.Kind, files, true
}
