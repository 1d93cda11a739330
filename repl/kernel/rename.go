package kernel

import (
	"slices"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// rename gives a column another name, in the series and in what was made on it.
func rename(k *call, cmd *phrase.Rename) (*outcome, error) {
	series, f, err := k.frame()
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
		return nil, placed(err, cmd.Name.At)
	}
	k.e.Findings = []page.Sentence{page.Say(was.Name + " is now called " + name + ".")}
	n := k.reshape(series, next, name)
	if was.Name == name {
		return becomes(n), nil
	}
	r := renamer{was: was, name: name, label: label, frames: map[*frames.Frame]*frames.Frame{f: next},
		commands: map[*phrase.Command]*phrase.Command{}}
	if n, err = n.renaming(series, was, name, r.result); err != nil {
		return nil, placed(err, cmd.Name.At)
	}
	return becomes(n), nil
}

// renamer makes results anew with one column under another name; what they share, they
// share again.
type renamer struct {
	was         frames.Column
	name, label string
	frames      map[*frames.Frame]*frames.Frame
	commands    map[*phrase.Command]*phrase.Command
}

func (r *renamer) result(one result) (result, error) {
	one.columns = r.names(one.columns)
	one.command = r.command(one.command)
	var err error
	if one.fit != nil {
		if one.fit, err = r.fit(one.fit); err != nil {
			return one, err
		}
	}
	if one.plan != nil {
		one.plan = r.plan(one.plan)
	}
	if one.shares != nil {
		one.shares = r.shares(one.shares)
	}
	return one, nil
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

func (r *renamer) fit(f *fitted) (*fitted, error) {
	n, fit, s, y := *f, *f.Fit, *f.sample, *f.response
	var err error
	if s.frame, err = r.frame(s.frame); err != nil {
		return nil, err
	}
	if s.whole, err = r.frame(s.whole); err != nil {
		return nil, err
	}
	y.column = r.column(y.column)
	fit.Matrix.Model = r.model(fit.Matrix.Model)
	n.Fit, n.sample, n.response, n.command = &fit, &s, &y, r.command(f.command)
	n.way.weight.Column = r.called(f.way.weight.Column)
	if b, ok := phrase.Part[phrase.Blocks](n.command); ok {
		n.way.blocks = b.List
	}
	if f.by == f.Fit {
		n.by = n.Fit
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

func (r *renamer) plan(p *planned) *planned {
	n := *p
	n.response, n.mode, n.block = r.called(p.response), r.called(p.mode), r.called(p.block)
	n.factors = r.names(p.factors)
	n.of = r.column(p.of)
	n.told.What, n.told.Factors = p.aim(n.of), calledBy(n.factors)
	if b := p.told.Blocks; b != nil {
		l := *b
		l.Block, l.Whole, l.Within = r.called(b.Block), r.names(b.Whole), r.names(b.Within)
		n.told.Blocks = &l
	}
	return &n
}

func (r *renamer) shares(p *parted) *parted {
	n := *p
	n.model = r.model(p.model)
	n.of = r.column(p.of)
	n.whole, n.measure = p.calls(n.of)
	n.names = nil
	for t := range n.model.Terms {
		n.names = append(n.names, termName(n.model, t))
	}
	return &n
}
