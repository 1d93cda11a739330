package console

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
)

// maxLine is the longest line read, in bytes: far past anything typed, so that a
// binary file piped in by mistake is refused and does not fill the memory.
const maxLine = 1 << 20

// Lines reads a stream line by line in the background, so that waiting for a line
// can be given up. It reads ahead by one line at most.
type Lines struct {
	source io.Reader
	next   chan line
}

type line struct {
	text string
	err  error
}

// NewLines reads from r, which is first touched when the first line is asked for.
func NewLines(r io.Reader) *Lines { return &Lines{source: r} }

// Line gives the next line without its ending (\n or \r\n). After the last one the
// error is io.EOF; when ctx ends first, it is the cause of that.
func (l *Lines) Line(ctx context.Context) (string, error) {
	if l.next == nil {
		l.next = make(chan line)
		go l.read()
	}
	select {
	case got, open := <-l.next:
		if !open {
			return "", io.EOF
		}
		return got.text, got.err
	case <-ctx.Done():
		return "", context.Cause(ctx)
	}
}

func (l *Lines) read() {
	defer close(l.next)
	in := bufio.NewReader(l.source)
	for number := 1; ; number++ {
		text, err := readLine(in)
		if number == 1 {
			text = strings.TrimPrefix(text, "\ufeff")
		}
		if errors.Is(err, io.EOF) {
			if text != "" {
				l.next <- line{text: text}
			}
			return
		}
		if err != nil {
			err = fmt.Errorf("line %d of the commands: %w", number, err)
		}
		l.next <- line{text, err}
		if err != nil {
			return
		}
	}
}

// readLine reads one line of any length up to maxLine, without its ending.
func readLine(in *bufio.Reader) (string, error) {
	var whole []byte
	for {
		part, err := in.ReadSlice('\n')
		whole = append(whole, part...)
		if len(whole) > maxLine {
			return "", fmt.Errorf("longer than %d characters", maxLine)
		}
		if errors.Is(err, bufio.ErrBufferFull) {
			continue
		}
		text := strings.TrimSuffix(string(whole), "\n")
		return strings.TrimSuffix(text, "\r"), err
	}
}
