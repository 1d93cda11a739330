package frames

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"breakbook/frames/notation"
	"breakbook/frames/origin"
	"breakbook/frames/units"
)

// lookVersion is that of the form below.
const lookVersion = 1

// look is what a CSV cannot say about a frame: the data of a .look.json. It is read
// as data and checked against the CSV; nothing in it is a path, a command or a rule.
type look struct {
	Version int          `json:"breakbook_look"`
	SHA256  string       `json:"sha256"` // of the CSV's bytes
	Rows    int          `json:"rows"`
	Decimal string       `json:"decimal"`             // of the first file, for text read as numbers later
	Parted  string       `json:"thousands,omitempty"` // what parted thousands in it, by name
	Dates   string       `json:"dates,omitempty"`     // the order of its dates
	Missing []string     `json:"missing,omitempty"`
	Columns []lookColumn `json:"columns,omitempty"`
	Aside   []lookAside  `json:"aside,omitempty"`

	Corrected []lookCorrected `json:"corrected,omitempty"`
}

// lookColumn describes a column. Rows count from 1, in the order of the file.
type lookColumn struct {
	Name    string      `json:"name"`
	Label   string      `json:"label"`
	Header  string      `json:"header"`
	Kind    string      `json:"kind"`
	Unit    string      `json:"unit,omitempty"`
	Apart   bool        `json:"difference,omitempty"` // of a temperature: differences
	Made    bool        `json:"made,omitempty"`       // worked out, not entered
	From    []string    `json:"from,omitempty"`       // worked out from which columns
	Step    float64     `json:"step,omitempty"`       // that numbers worked out support
	Role    Role        `json:"role,omitempty"`
	Levels  []string    `json:"levels,omitempty"`
	Escaped []int       `json:"escaped,omitempty"` // rows whose cell has an apostrophe put before it
	Exact   []exactCell `json:"exact,omitempty"`   // cells a CSV cannot hold: an empty text, a CR LF

	Adjusted *origin.Adjustment `json:"adjusted,omitempty"` // brought to reference conditions: to which
}

type exactCell struct {
	Row  int    `json:"row"`
	Text string `json:"text"`
}

type lookAside struct {
	Because string `json:"because"`
	Rows    []int  `json:"rows"`
}

// lookCorrected is a cell that is not as the file had it from which the series was first read. Texts are as
// Correction has them.
type lookCorrected struct {
	Row     int    `json:"row"`
	Column  string `json:"column"`
	Was     string `json:"was,omitempty"`
	Now     string `json:"now,omitempty"`
	Because string `json:"because,omitempty"`
}

// LookPath is where the look of a CSV lies: gates.look.json beside gates.csv. It is
// empty for a file that is not called .csv.
func LookPath(csv string) string {
	ext := filepath.Ext(csv)
	if !strings.EqualFold(ext, ".csv") {
		return ""
	}
	return strings.TrimSuffix(csv, ext) + ".look.json"
}

func (f *Frame) decimalMark() byte {
	if f.decimal == ',' {
		return ','
	}
	return '.'
}

// lookColumn is the look of a column, without its cells.
func (f *Frame) lookColumn(i int) (lookColumn, error) {
	c := f.held[i].Column
	l := lookColumn{Name: c.Name, Label: c.Label, Header: c.Header, Kind: c.Kind.String(), Unit: c.Unit.String(),
		Apart: c.Difference, Step: c.Step, Made: c.Made, From: c.From, Adjusted: c.Adjusted, Role: c.Role,
		Levels: c.Levels}
	for _, text := range append([]string{c.Name, c.Label, c.Header}, c.Levels...) {
		if strings.ToValidUTF8(text, "") != text {
			return l, &Error{Code: "not-text", File: f.source.Path, Column: c.Name, Detail: c.Name +
				" holds bytes that are no text"}
		}
	}
	return l, nil
}

// asideGroups lists the rows set aside by reason, in the order first met.
func (f *Frame) asideGroups() []lookAside {
	var groups []lookAside
	for row, reason := range f.aside {
		if reason == "" {
			continue
		}
		i := slices.IndexFunc(groups, func(g lookAside) bool { return g.Because == reason })
		if i < 0 {
			i = len(groups)
			groups = append(groups, lookAside{Because: reason})
		}
		groups[i].Rows = append(groups[i].Rows, row+1)
	}
	return groups
}

// parseLook reads and checks a look on its own.
func parseLook(text []byte) (*look, error) {
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	l := &look{}
	if err := d.Decode(l); err != nil {
		return nil, err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("something follows it")
	}
	if l.Version != lookVersion || l.Rows < 1 || len(l.Columns) < 1 || len(l.Columns) > MostColumns ||
		l.Decimal != "." && l.Decimal != "," || !l.knownMarks() {
		return nil, errors.New("no look of a series")
	}
	names, roles := map[string]bool{}, map[Role]bool{}
	for i := range l.Columns {
		c := &l.Columns[i]
		if c.Role == "found" { // as it was called once
			c.Role = Given
		}
		if err := c.check(); err != nil {
			return nil, err
		}
		if names[c.Name] || !c.Role.several() && roles[c.Role] {
			return nil, errors.New("a name or a role twice")
		}
		names[c.Name], roles[c.Role] = true, true
	}
	return l, nil
}

// knownMarks tells whether the thousands mark and the order of dates are ones there are.
func (l *look) knownMarks() bool {
	_, dates := notation.OrderCalled(l.Dates)
	return dates && (l.Parted == "" || notation.PartingCalled(l.Parted) != 0)
}

// check looks at what a column says of itself.
func (c *lookColumn) check() error {
	if c.Name == "" || strings.ContainsFunc(c.Name, func(r rune) bool { return r < ' ' || r == 0x7f }) {
		return errors.New("a name that is none")
	}
	if !slices.Contains(roles, c.Role) {
		return errors.New("a role that is none")
	}
	if u, ok := units.Parse(c.Unit); c.Unit != "" && (!ok || u.String() != c.Unit) {
		return errors.New("a unit that is none")
	}
	if !(c.Step >= 0) || math.IsInf(c.Step, 0) {
		return errors.New("a step that is none")
	}
	kind, ok := kindCalled(c.Kind)
	if !ok || kind != Category && c.Levels != nil || kind == Number && (c.Escaped != nil || c.Exact != nil) {
		return errors.New("a kind that is none, or has no levels or texts")
	}
	seen := make(map[string]bool, len(c.Levels))
	for _, level := range c.Levels {
		if seen[level] {
			return errors.New("a level twice")
		}
		seen[level] = true
	}
	return nil
}

// kindCalled is the kind of a bench word.
func kindCalled(word string) (Kind, bool) {
	for _, k := range []Kind{Number, Category, Text} {
		if k.String() == word {
			return k, true
		}
	}
	return 0, false
}
