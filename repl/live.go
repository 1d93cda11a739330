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
		run:     bench.Run, files: files{folder: folder},
		screen: &screen{out: out, err: problems, width: func() int { return render.DefaultWidth }},
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

// Reads gives the commands of a line in the one way that they are written, the kind of the last and the files
// that they read; ok is false where one is none.
func (l *Live) Reads(line string) (written, kind string, files []string, ok bool) {
	pieces, more, err := phrase.Split(line)
	if err != nil || more || len(pieces) == 0 {
		return "", "", nil, false
	}
	var all []string
	for _, p := range pieces {
		c, err := parser.Parse(p, l.loop.session)
		if err != nil {
			return "", "", nil, false
		}
		for _, f := range c.Files {
			if !f.Written {
				files = append(files, f.Path)
			}
		}
		all, kind = append(all, c.String()), c.Entry.Kind
	}
	return strings.Join(all, "; "), kind, files, true
}
