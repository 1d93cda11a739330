package session

import (
	"iter"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// chalkPoint is where a white glue is taken to dry chalky unless the session says otherwise, in degC: sources give 4 to
// 13 for different glues, so it is a choice, and the tin knows better.
const chalkPoint = 13

// Session is a book in the making: the series that are open, the results so far, the
// entries and the settings. It never changes; Run returns the next one.
type Session struct {
	opened   []opened
	current  string
	results  chain[Result]
	options  Options // that it was begun with
	entries  chain[page.Entry]
	next     int             // the number of the entry to come
	named    map[string]int  // how many results of a kind were named: fit1, fit2, …
	looks    map[string]int  // analyses run by series and response, undone ones included
	cautions []string        // that were given, in their order: what they are about, the words of each
	notices  map[string]bool // what is said once a series, and of which it was
	settings Settings
	renamed  []renamedColumn // columns that have another name now, in the order they got it

	forgotten []Result // name, series and command of what was forgotten
	closed    []Source // the files of series that were closed
	before    *Session // as it was before the latest entry; nil at the start

	refits *refits
}

// Settings hold until they are changed.
type Settings struct {
	Confidence float64 // of intervals: 0.95
	Worth      Worth
	Seed       uint64
	Digits     int     // significant digits on the screen
	ChalkPoint float64 // of the glue, in degC: below it the glue line dries white and weak
}

// Worth is the smallest difference that matters: a share of the mean of the series, or an
// amount with its unit.
type Worth struct {
	Share  float64 // used when Amount is 0
	Amount float64
	Unit   string // canonical; "" is the response's own
}

type opened struct {
	name  string
	frame *frames.Frame
}

// Result is what an entry leaves behind under a name.
type Result struct {
	Name, Kind, Series string
	Command            *phrase.Command // that gave it, to carry it out again
	Specimens          *page.Specimens // who took part
	Columns            []string        // the columns of its terms
	Fit                Fitted          // of kind fit
	Plan               *Plan           // of kind plan
	Look               *PlanLook       // of kind judge
	Shares             *Shares         // of kind shares
	Gaps               *Gaps           // of kinds drove, compare, odds, count and agree
	Ceiling            float64         // of kind strength: from what load on all are lower bounds; 0: none
	Doubts             []page.Doubt    // that its answers carry
}

// Fitted is a fit as a session keeps it: it need not know what the fit can be asked.
type Fitted interface {
	FittedBy() *phrase.Command // what fitted it, to fit it again on other specimens
}

// Options start a session.
type Options struct {
	Seed uint64
}

// New is an empty book.
func New(o Options) *Session {
	return &Session{
		options: o,
		next:    1, named: map[string]int{},
		looks:   map[string]int{},
		notices: map[string]bool{},
		settings: Settings{Confidence: 0.95, Worth: Worth{Share: 0.10}, Seed: o.Seed, Digits: 4,
			ChalkPoint: chalkPoint},
		refits: new(refits),
	}
}

// Entries are the entries of the book so far, those undone left out.
func (s *Session) Entries() []page.Entry { return s.entries.all() }

// Latest gives the entries of the book so far from the latest to the first, those undone left out.
func (s *Session) Latest() iter.Seq[page.Entry] { return s.entries.backwards() }

// Next is the number of the entry to come.
func (s *Session) Next() int { return s.next }

// Settings are the session's settings now.
func (s *Session) Settings() Settings { return s.settings }

// Commit replaces the latest entry, once the loop has given its figures their paths.
func (s *Session) Commit(e page.Entry) *Session {
	n := s.clone()
	if last, before, ok := n.entries.latest(); ok && last.Number == e.Number {
		n.entries = before.with(e)
	}
	return n
}

// Failed books a command that did not work: its number is used, nothing else changes.
func (s *Session) Failed(input string, p *page.Problem) (*Session, page.Entry) {
	n := s.clone()
	n.next++
	return n, page.Entry{Number: s.next, Input: input, Problem: p}
}

// WasAsked reports whether an analysis was made of a series.
func (s *Session) WasAsked(series string) bool {
	for key := range s.looks {
		if strings.HasPrefix(key, series+": ") {
			return true
		}
	}
	return false
}

// Looks counts the tests of each response that the book ran, undone ones included:
// one row a response, in the order of their names.
func (s *Session) Looks() []Look {
	var out []Look
	for _, response := range slices.Sorted(maps.Keys(s.looks)) {
		out = append(out, Look{Response: response, Tests: s.looks[response]})
	}
	return out
}

// Look is how often one response of one series was tested.
type Look struct {
	Response string
	Tests    int
}

// Sources are the files that the series of the book came from, each once, with their
// number of specimens: the open series first, then those that were closed.
func (s *Session) Sources() []Source {
	var out []Source
	for _, o := range s.opened {
		out = append(out, s.sourcesOf(o.name)...)
	}
	var once []Source
	for _, o := range append(out, s.closed...) {
		k := slices.IndexFunc(once, func(seen Source) bool { return seen.Source == o.Source })
		switch {
		case k < 0:
			once = append(once, o)
		case once[k].Specimens == 0: // known only as part of a series put together
			once[k] = o
		}
	}
	return once
}

// sourcesOf are the files of one open series, with those whose numbers are in it beside; how many specimens each file
// of a series put together holds is not known.
func (s *Session) sourcesOf(name string) []Source {
	f, ok := s.Frame(name)
	if !ok {
		return nil
	}
	files := f.Files()
	out := make([]Source, len(files))
	for i, file := range files {
		if out[i] = (Source{Series: name, Source: file}); len(files) == 1 {
			out[i].Specimens = f.Len()
		}
	}
	for _, used := range f.Used() { // logs of readings and the like: no series, so no specimens
		out = append(out, Source{Series: name, Source: used})
	}
	return out
}

// Source is the file of one open series.
type Source struct {
	Series string
	frames.Source
	Specimens int
}

// clone copies what a command may replace; frames, results and entries are shared.
func (s *Session) clone() *Session {
	n := *s
	n.opened = slices.Clone(s.opened)
	n.forgotten = slices.Clone(s.forgotten)
	n.named, n.looks, n.notices = maps.Clone(s.named), maps.Clone(s.looks), maps.Clone(s.notices)
	return &n
}

// Frame finds an open series by name.
func (s *Session) Frame(name string) (*frames.Frame, bool) {
	for _, o := range s.opened {
		if o.name == name {
			return o.frame, true
		}
	}
	return nil, false
}

// Column finds a column of an open series.
func (s *Session) Column(series, name string) (frames.Column, bool) {
	f, ok := s.Frame(series)
	if !ok {
		return frames.Column{}, false
	}
	return f.Column(name)
}

// WithFrame is the session with the frame of a series replaced, or added and made current.
func (s *Session) WithFrame(name string, f *frames.Frame) *Session {
	n := s.clone()
	for i := range n.opened {
		if n.opened[i].name == name {
			n.opened[i].frame = f
			return n
		}
	}
	n.opened = append(n.opened, opened{name: name, frame: f})
	n.current = name
	return n
}

// NameTaken reports whether a series or a result already has the name.
func (s *Session) NameTaken(name string) bool {
	if _, ok := s.Frame(name); ok {
		return true
	}
	_, ok := s.Result(name)
	return ok
}

func (s *Session) Result(name string) (Result, bool) {
	for r := range s.results.backwards() {
		if r.Name == name {
			return r, true
		}
	}
	return Result{}, false
}

// Kept gives the named results, the latest first.
func (s *Session) Kept() iter.Seq[Result] { return s.results.backwards() }

// nameFor gives the next free name of a kind: fit1, fit2, …
func (s *Session) nameFor(kind string) string {
	for i := s.named[kind] + 1; ; i++ {
		if name := kind + strconv.Itoa(i); !s.NameTaken(name) {
			return name
		}
	}
}

// SeriesName makes a series name of a file name: "Gates 2024.csv" is gates_2024.
func SeriesName(path string) string {
	base := filepath.Base(path)
	return notation.PlainName(strings.TrimSuffix(base, filepath.Ext(base)))
}

// Aside are the specimens of the open series that are set aside, in the series' order.
func (s *Session) Aside() []Aside {
	var out []Aside
	for _, o := range s.opened {
		for row := range o.frame.Len() {
			if reason, aside := o.frame.Aside(row); aside {
				out = append(out, Aside{Series: o.name, Specimen: o.frame.SpecimenName(row), Reason: reason})
			}
		}
	}
	return out
}

// Aside is a specimen that was set aside, and why.
type Aside struct{ Series, Specimen, Reason string }
