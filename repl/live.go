package repl

import (
	"context"
	"io"
	"strings"

	"breakbook/repl/bench"
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
