package parser

import (
	"reflect"
	"slices"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

// Fault is where one reading of a line failed, and what the reader knows of it: what a
// search for the line meant starts from.
type Fault struct {
	Entry    *phrase.Entry
	Code     page.Code
	From, To int      // the token at fault, in characters from 0; From is the length at the end of the line
	Before   int      // where the token before it starts; From where there is none
	Stopped  bool     // the reading could not go on; else it was read past
	Words    []string // the words of the phrase and of choices that could have stood there
	Options  []string // the words of options and clauses that could have, of those that go on
	Bare     []string // of those that do not
	Names    []string // the columns, levels, results, series, units that could have
	Text     bool     // a text in quotation marks could have
	Tailed   int      // where options and clauses start; -1: not that far
	File     int      // where the last file starts; -1: none was read
	Columns  [][2]int // where columns stand, in characters from 0

	reading *parser
}

// Probe reads a line as every entry that starts with its first word. Where one fits it gives
// the command; else what each of them failed at, without the hints that Parse looks for.
func Probe(l *phrase.Language, line string, k phrase.Known) (*phrase.Command, []Fault) {
	in := []rune(line)
	toks := scan.Tokens(in)
	k = Remember(k)
	var out []Fault
	for _, single := range []bool{false, true} {
		for c := range begunBy(l, toks[0]) {
			p := newParser(l, c, in, toks, k)
			p.single, p.probing = single, true
			if p.command(); p.error() == nil {
				p.out.Input, p.out.At = line, 1
				return p.out, nil
			}
			if !single {
				out = append(out, p.probed()...)
			}
		}
	}
	return nil, out
}

// probed are the faults of a reading: the first that was read past, and where it stopped.
func (p *parser) probed() []Fault {
	var out []Fault
	if len(p.soft) > 0 {
		f := p.fault(p.soft[0].Code, p.soft[0].At-1)
		f.Names, f.Words = p.near, p.nearBefore
		f.To = max(f.To, p.nearTo)
		if p.whole > 0 && p.toks[p.whole].Start == f.From { // all could be left out from here on
			f.Options = p.slotOptions()
		}
		out = append(out, f)
	}
	if p.stop == nil || p.rank == telling && len(p.soft) > 0 {
		return out
	}
	f := p.fault(p.stop.Code, p.stop.At-1)
	f.Stopped = true
	if p.whole == p.i && p.i > 0 && p.rank == needed {
		p.noteTails()
	}
	if p.at == p.i {
		for _, w := range p.wants {
			switch {
			case w.code == "text":
				f.Text = true
			case w.words == nil, w.code == "function":
			case w.option == slotOption:
				f.Options = append(f.Options, w.words()...)
			case w.option == bareOption:
				f.Bare = append(f.Bare, w.words()...)
			case w.code == "word" || w.code == "choice":
				f.Words = append(f.Words, w.words()...)
			default:
				f.Names = append(f.Names, w.words()...)
			}
		}
	}
	return append(out, f)
}

// slotOptions are the words of the options and clauses that go on after them.
func (p *parser) slotOptions() []string {
	var out []string
	for _, t := range p.cmd.Tails {
		if len(t.Nodes) > t.Lead {
			out = append(out, leadOf(t))
		}
	}
	return out
}

func (p *parser) fault(code page.Code, at int) Fault {
	f := Fault{Entry: p.cmd.Entry, Code: code, From: at, To: at, Before: at, Tailed: -1, File: -1, reading: p}
	for k, t := range p.toks {
		if t.Start == at && t.Kind != scan.End {
			f.To = at + len([]rune(p.tokenText(k)))
			if t.Kind == scan.OpenQuote {
				f.To = len(p.in)
			}
		}
		if t.Start < at {
			f.Before = t.Start
		}
	}
	if p.tailed > 0 && p.tailed < len(p.toks) {
		f.Tailed = p.toks[p.tailed].Start
	}
	if n := len(p.out.Files); n > 0 {
		f.File = p.out.Files[n-1].At - 1
	}
	for _, s := range p.spans {
		if s.kind == columnSpan {
			f.Columns = append(f.Columns, [2]int{p.toks[s.start].Start, p.toks[s.end-1].End})
		}
	}
	return f
}

// fromExamples are the types of slots that an example can stand in for; not those that pick specimens,
// name what is new or say something in words.
var fromExamples = []string{"response", "number", "category", "column", "columns", "terms", "mode", "result", "results",
	"amount", "percent", "count", "given", "series", "level", "levels"}

// Completed is the line with what it stops short of taken from the example of the entry, put
// into the user's own words; "" where that makes none.
func (f Fault) Completed() string {
	p := f.reading
	if len(p.soft) > 0 || p.tailed > 0 || f.From < len(p.in) {
		return ""
	}
	ex := example(p.lang, p.cmd.Entry, p.known)
	in := []rune(ex)
	q := newParser(p.lang, p.cmd, in, scan.Tokens(in), p.known)
	if q.command(); q.error() != nil {
		return ""
	}
	do := p.cmd.Fresh()
	own, _ := pattern.Slots(p.cmd.Nodes)
	for k, s := range pattern.AllSlots(p.cmd.Nodes) {
		held, ok := p.cmd.Held(p.out.Do, s.Name)
		if !ok || reflect.ValueOf(held).IsZero() {
			if k >= len(own) {
				continue
			}
			if held, ok = p.cmd.Held(q.out.Do, s.Name); !ok || !slices.Contains(fromExamples, s.Kind) {
				return ""
			}
			if c, is := held.(phrase.ColumnRef); is && s.Name == "series" && c.Column != "series" {
				return "" // the levels of another column are no series
			}
		}
		p.cmd.Set(do, s.Name, held)
	}
	return phrase.Line(do)
}
