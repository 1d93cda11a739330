package console

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"github.com/natefinch/atomic"
	"github.com/peterh/liner"
)

// maxRemembered is the longest command kept in the history, in bytes.
const maxRemembered = 4000

// History is what was typed in earlier runs and in this one, oldest first.
type History struct {
	path  string
	old   []string
	typed []string
	found bool
}

// HistoryPath is the file that keeps the history of this user, or "" where the
// system names no folder for it.
func HistoryPath() string {
	folder, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(folder, "breakbook", "history")
}

// OpenHistory reads the history kept at path. A file that is missing or cannot be
// read gives an empty one; damaged bytes in it are left out.
func OpenHistory(path string) *History {
	h := &History{path: path}
	h.old, h.found = readHistory(path)
	return h
}

// First says that nothing was kept before: this is the first run.
func (h *History) First() bool { return !h.found }

// Lines is everything remembered, oldest first.
func (h *History) Lines() []string {
	return append(append([]string(nil), h.old...), h.typed...)
}

// Add remembers one command; line breaks and other control characters become blanks.
func (h *History) Add(text string) {
	if text = cleanLine(text); text != "" {
		h.typed = append(h.typed, text)
	}
}

// Save writes the history through a temporary file, after what another breakbook
// may have added meanwhile; the oldest beyond the line editor's limit are dropped.
func (h *History) Save() error {
	if h.path == "" || h.found && len(h.typed) == 0 {
		return nil
	}
	lines, _ := readHistory(h.path)
	for _, text := range h.typed {
		if len(lines) == 0 || lines[len(lines)-1] != text {
			lines = append(lines, text)
		}
	}
	if extra := len(lines) - liner.HistoryLimit; extra > 0 {
		lines = lines[extra:]
	}
	if err := os.MkdirAll(filepath.Dir(h.path), 0o700); err != nil {
		return fmt.Errorf("the history could not be kept: %w", err)
	}
	var text bytes.Buffer
	for _, l := range lines {
		fmt.Fprintln(&text, l)
	}
	if err := atomic.WriteFile(h.path, &text); err != nil {
		return fmt.Errorf("the history could not be kept: %w", err)
	}
	return nil
}

func readHistory(path string) (lines []string, found bool) {
	if path == "" {
		return nil, false
	}
	raw, err := os.ReadFile(path)
	if err != nil {
		return nil, false
	}
	for text := range strings.Lines(string(raw)) {
		if text = cleanLine(text); text != "" {
			lines = append(lines, text)
		}
	}
	return lines, true
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
