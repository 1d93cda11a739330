package console

import (
	"context"
	"errors"
	"io"
	"strings"
	"testing"
)

func TestLines(t *testing.T) {
	long := strings.Repeat("density, ", 2000) // more than any buffer inside holds
	for _, c := range []struct {
		name, text string
		want       []string
	}{
		{"nothing", "", nil},
		{"endings of either kind", "look\r\nrows 5\n", []string{"look", "rows 5"}},
		{"no ending on the last", "look\nquit", []string{"look", "quit"}},
		{"blank lines count", "a\n\nb\n", []string{"a", "", "b"}},
		{"byte-order mark", "\ufefflook\n", []string{"look"}},
		{"a long line stays whole", long + "\nlook", []string{long, "look"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			lines := NewLines(strings.NewReader(c.text))
			for i, want := range c.want {
				if got, err := lines.Line(t.Context()); err != nil || got != want {
					t.Fatalf("line %d: %.40q, %v, want %.40q", i+1, got, err, want)
				}
			}
			if got, err := lines.Line(t.Context()); !errors.Is(err, io.EOF) {
				t.Errorf("after the last line: %q, %v, want the end", got, err)
			}
		})
	}
}

func TestLinesRefusesOneWithoutEnd(t *testing.T) {
	lines := NewLines(io.LimitReader(zeros{}, 1<<30))
	_, err := lines.Line(t.Context())
	if err == nil || !strings.Contains(err.Error(), "line 1 of the commands: longer than") {
		t.Errorf("error %v", err)
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

func TestLinesWaitCanBeGivenUp(t *testing.T) {
	from, to := io.Pipe()
	defer to.Close()
	lines := NewLines(from)
	reason := errors.New("enough")
	ctx, cancel := context.WithCancelCause(t.Context())
	cancel(reason)
	if _, err := lines.Line(ctx); !errors.Is(err, reason) {
		t.Errorf("error %v, want the cause", err)
	}
	go io.WriteString(to, "look\n")
	if got, err := lines.Line(t.Context()); got != "look" || err != nil {
		t.Errorf("the line after: %q, %v", got, err)
	}
}
