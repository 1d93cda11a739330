package series

import (
	"slices"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// Rename gives a column another name, in the series and in what was made on it.
func Rename(k *session.Call, cmd *phrase.Rename) (*session.Outcome, error) {
	series, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	name, label, err := newName(cmd.Name)
	if err != nil {
		return nil, err
	}
	was, _ := f.Column(cmd.Column.Column)
	next, err := f.Rename(was.Name, name, label)
	if err != nil {
		return nil, session.WithPlace(err, cmd.Name.At)
	}
	k.Entry.Findings = []page.Sentence{page.Say(was.Name + " is now called " + name + ".")}
	n := reshape(k, series, next, name)
	if was.Name == name {
		return session.Becomes(n), nil
	}
	r := renamer{was: was, name: name, label: label, frames: map[*frames.Frame]*frames.Frame{f: next},
		commands: map[*phrase.Command]*phrase.Command{}}
	if n, err = n.Renaming(series, was, name, r.result); err != nil {
		return nil, session.WithPlace(err, cmd.Name.At)
	}
	return session.Becomes(n), nil
}

// renamer makes results anew with one column under another name; what they share, they share again.
type renamer struct {
	was         frames.Column
	name, label string
	frames      map[*frames.Frame]*frames.Frame
	commands    map[*phrase.Command]*phrase.Command
}

func (r *renamer) result(one session.Result) (session.Result, error) {
	one.Columns = r.names(one.Columns)
	one.Command = r.command(one.Command)
	if f, ok := fitted.Of(one); ok {
		renamed, err := r.fit(f)
		if err != nil {
			return one, err
		}
		one.Fit = renamed
	}
	one.Plan, one.Shares, one.Gaps = ifAny(one.Plan, r.plan), ifAny(one.Shares, r.shares), ifAny(one.Gaps, r.gaps)
	return one, nil
}

// ifAny is what is made of a part of a result; nil of none.
func ifAny[T any](part *T, made func(*T) *T) *T {
	if part == nil {
		return nil
	}
	return made(part)
}

func (r *renamer) called(name string) string {
	if name == r.was.Name {
		return r.name
	}
	return name
}

func (r *renamer) names(list []string) []string {
	out := slices.Clone(list)
	for i := range out {
		out[i] = r.called(out[i])
	}
	return out
}

func (r *renamer) column(c frames.Column) frames.Column {
	if c.Name == r.was.Name {
		c.Name, c.Label = r.name, r.label
	}
	return c
}

func (r *renamer) command(c *phrase.Command) *phrase.Command {
	if c == nil {
		return nil
	}
	n, done := r.commands[c]
	if !done {
		n = c.Renamed(r.was.Name, r.was.Label, r.name)
		r.commands[c] = n
	}
	return n
}

// frame is the specimens of a result with the column renamed; a column that was not there
// when the result was made needs nothing.
func (r *renamer) frame(f *frames.Frame) (*frames.Frame, error) {
	n, done := r.frames[f]
	if done {
		return n, nil
	}
	n = f
	if _, there := f.Column(r.was.Name); there {
		var err error
		if n, err = f.Rename(r.was.Name, r.name, r.label); err != nil {
			return nil, err
		}
	}
	r.frames[f] = n
	return n, nil
}

func (r *renamer) fit(f *fitted.Fit) (*fitted.Fit, error) {
	n, fit, s, y := *f, *f.Fit, *f.Sample, *f.Y
	var err error
	if s.Frame, err = r.frame(s.Frame); err != nil {
		return nil, err
	}
	if s.Whole, err = r.frame(s.Whole); err != nil {
		return nil, err
	}
	y.Column = r.column(y.Column)
	fit.Matrix.Model = r.model(fit.Matrix.Model)
	n.Fit, n.Sample, n.Y, n.Command = &fit, &s, &y, r.command(f.Command)
	n.Method.Weight.Column = r.called(f.Method.Weight.Column)
	if b, ok := phrase.Part[phrase.Blocks](n.Command); ok {
		n.Method.Blocks = b.List
	}
	if f.Estimator == f.Fit {
		n.Estimator = n.Fit
	}
	if f.Change != nil {
		change := *f.Change
		change.Column, change.Name = r.called(change.Column), session.TermName(n.Model(), change.Term)
		n.Change = &change
	}
	return &n, nil
}

func (r *renamer) model(m design.Model) design.Model {
	m.Variables = slices.Clone(m.Variables)
	for i := range m.Variables {
		m.Variables[i].Name = r.called(m.Variables[i].Name)
	}
	return m
}

func (r *renamer) plan(p *session.Plan) *session.Plan {
	n := *p
	n.Response, n.Mode, n.Block = r.called(p.Response), r.called(p.Mode), r.called(p.Block)
	n.Factors = r.names(p.Factors)
	n.Of = r.column(p.Of)
	n.Finding.What, n.Finding.Factors = p.Aim(n.Of), session.CalledBy(n.Factors)
	if b := p.Finding.Blocks; b != nil {
		l := *b
		l.Block, l.Whole, l.Within = r.called(b.Block), r.names(b.Whole), r.names(b.Within)
		n.Finding.Blocks = &l
	}
	return &n
}

func (r *renamer) shares(p *session.Shares) *session.Shares {
	n := *p
	n.Model = r.model(p.Model)
	n.Of = r.column(p.Of)
	n.Whole = p.Calls(n.Of)
	n.Names = nil
	for t := range n.Model.Terms {
		n.Names = append(n.Names, session.TermName(n.Model, t))
	}
	return &n
}

func (r *renamer) gaps(d *session.Gaps) *session.Gaps {
	n := *d
	n.Of, n.Factor, n.Series = r.column(d.Of), r.called(d.Factor), r.called(d.Series)
	n.Rows = slices.Clone(d.Rows)
	for i := range n.Rows {
		n.Rows[i].Factors = r.names(n.Rows[i].Factors)
	}
	return &n
}
