package console

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"
	"unicode"

	"github.com/natefinch/atomic"
	"github.com/peterh/liner"

	"breakbook/frames/files"
)

// maxRemembered is the longest command kept in the history, in bytes.
const maxRemembered = 4000

// History is what was typed in earlier runs and in this one, oldest first. Each command is
// added to the file as it is typed, under a lock that every breakbook of this user takes, so
// that several at once lose nothing and one that is ended loses at most the command at hand.
type History struct {
	path  string
	old   []string
	typed []string
	found bool
	since int   // commands added since the file was last looked over
	wrong error // the first that could not be kept
}

const (
	lockWait = time.Second // what another breakbook may take to add a command
	trimEach = 250         // commands after which the file is looked over
)

// HistoryPath is the file that keeps the history of this user, or "" where the
// system names no folder for it.
func HistoryPath() string {
	folder, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(folder, "breakbook", "history")
}

// OpenHistory reads the history kept at path, and makes the file where there is none. One
// that cannot be read gives an empty history; damaged bytes in it are left out.
func OpenHistory(path string) *History {
	h := &History{path: path}
	var err error
	h.old, err = readHistory(path)
	h.found = err == nil
	h.under(func() error {
		var not *files.Error
		switch {
		case errors.As(err, &not) && not.Cause == files.Missing:
			return h.add("")
		case err != nil:
			return err
		case len(h.old) > liner.HistoryLimit+trimEach:
			return h.trim()
		}
		return nil
	})
	return h
}

// First says that nothing was kept before: this is the first run.
func (h *History) First() bool { return !h.found }

// Lines is everything remembered, oldest first.
func (h *History) Lines() []string {
	return append(append([]string(nil), h.old...), h.typed...)
}

// Add remembers one command, in the file too, unless it is the one before again; line
// breaks and other control characters become blanks.
func (h *History) Add(text string) {
	if text = cleanLine(text); text == "" || text == h.last() {
		return
	}
	h.typed = append(h.typed, text)
	h.under(func() error {
		if err := h.add(text + "\n"); err != nil {
			return err
		}
		if h.since++; h.since < trimEach {
			return nil
		}
		return h.trim()
	})
}

// last is the command remembered last, or "".
func (h *History) last() string {
	for _, lines := range [][]string{h.typed, h.old} {
		if len(lines) > 0 {
			return lines[len(lines)-1]
		}
	}
	return ""
}

// Close says what kept the history from being kept, if anything did.
func (h *History) Close() error {
	if h.wrong == nil {
		return nil
	}
	return fmt.Errorf("the history could not be kept: %w", h.wrong)
}

// under does work on the file while no other breakbook does.
func (h *History) under(work func() error) {
	if h.path == "" {
		return
	}
	if err := h.locked(work); err != nil && h.wrong == nil {
		h.wrong = err
	}
}

func (h *History) locked(work func() error) error {
	if err := os.MkdirAll(filepath.Dir(h.path), 0o700); err != nil {
		return err
	}
	// The lock is on a file of its own, since trimming puts another one in the history's place.
	lock, err := files.Edit(h.path + ".lock")
	if err != nil {
		return err
	}
	defer lock.Close()
	if err := files.Lock(lock, lockWait); err != nil {
		return err
	}
	return work()
}

// add appends to the file, on a line of its own, also where an earlier run broke off.
func (h *History) add(text string) (err error) {
	f, err := files.Edit(h.path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	end, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return err
	}
	last := []byte{'\n'}
	if end > 0 {
		if _, err := f.ReadAt(last, end-1); err != nil {
			return err
		}
	}
	if last[0] != '\n' {
		text = "\n" + text
	}
	_, err = f.WriteAt([]byte(text), end)
	return err
}

// trim drops the oldest commands beyond the line editor's limit, through a temporary file.
func (h *History) trim() error {
	h.since = 0
	lines, err := readHistory(h.path)
	if err != nil {
		return err
	}
	extra := len(lines) - liner.HistoryLimit
	if extra <= 0 {
		return nil
	}
	target, err := filepath.EvalSymlinks(h.path) // a link stays one
	if err != nil {
		return err
	}
	return atomic.WriteFile(target, strings.NewReader(strings.Join(lines[extra:], "\n")+"\n"))
}

func readHistory(path string) (lines []string, err error) {
	raw, err := files.Read(context.Background(), path, files.MostBook)
	if err != nil {
		return nil, err
	}
	for text := range strings.Lines(string(raw)) {
		if text = cleanLine(text); text != "" {
			lines = append(lines, text)
		}
	}
	return lines, nil
}

// cleanLine makes text safe to keep and to show again on one line; "" where
// nothing useful is left.
func cleanLine(text string) string {
	text = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(text, ""))
	text = strings.TrimSpace(text)
	if len(text) > maxRemembered {
		return ""
	}
	return text
}
