package kernel

import (
	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"os"
	"path/filepath"
	"strings"
)

// open reads a CSV file and makes it the current series.
func open(k *call) (*Session, error) {
	file := k.file("file")
	name := seriesName(file.Path)
	if as := k.c.Clauses.As; as != nil {
		name = as.Text
		if k.s.taken(name) {
			return nil, nameTaken(name, as.At)
		}
	} else if k.s.taken(name) {
		return nil, &page.Problem{Code: "name-taken", At: file.At,
			Message: "a series or result named " + name + " is already there",
			Hint:    "open it under another name with as NAME, or switch to " + name}
	}
	o, err := k.overrides()
	if err != nil {
		return nil, err
	}
	f, reading, err := frames.Open(homed(file.Path), o)
	if err != nil {
		return nil, err
	}
	k.e.Series = name
	k.e.Findings = []page.Sentence{say.Opened(file.Path, f.Len(), len(f.Columns()), reading)}
	if reading.Look != "" {
		k.e.Findings = append(k.e.Findings, say.LookUsed(reading.Look, asideIn(f)))
	}
	k.e.Tables = []page.Table{columnTable(f, f.Columns())}
	k.e.Cautions = say.Remarks(reading.Remarks)
	return k.s.withFrame(name, f), nil
}

// overrides are the reader's guesses that the command replaces.
func (k *call) overrides() (frames.Overrides, error) {
	var o frames.Overrides
	marks := map[string]rune{"comma": ',', "semicolon": ';', "tab": '\t', "bar": '|', "point": '.'}
	if k.c.Options["separator"] {
		o.Separator = marks[k.choice("separator")]
	}
	if k.c.Options["decimal"] {
		o.Decimal = marks[k.choice("decimal")]
	}
	if o.Separator != 0 && o.Separator == o.Decimal {
		return o, &page.Problem{Code: "same-mark", Message: "a comma cannot both separate the cells and mark the decimals",
			At: k.c.Slots["decimal"].Place()}
	}
	if t, ok := k.c.Slots["missing"].(phrase.Texts); ok {
		o.Missing = t.List
	}
	return o, nil
}

// homed resolves `~` at the start of a path to the home folder.
func homed(path string) string {
	if rest, ok := strings.CutPrefix(path, "~"); ok && (rest == "" || rest[0] == '/' || rest[0] == filepath.Separator) {
		if home, err := os.UserHomeDir(); err == nil {
			return filepath.Join(home, rest)
		}
	}
	return path
}

func nameTaken(name string, at int) *page.Problem {
	return &page.Problem{Code: "name-taken", At: at,
		Message: "the name " + name + " is already taken", Hint: "choose another after as"}
}
