package kernel

import (
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// part is one of the pictures there are of a result: what draws it, from which slots, and
// how its file ends.
type part struct {
	ending string
	draw   handler
	slots  map[string]phrase.Node
	only   phrase.Condition // the specimens it shows; nil: all
}

// drawAll draws every picture there is of a result, a file each, in a folder. One that
// cannot be drawn is a caution, unless there is no other.
func drawAll(k *call) (*Session, error) {
	n, _ := k.c.Slots["result"].(phrase.Name)
	r, ok := k.s.result(n.Text)
	if !ok {
		return nil, &page.Problem{Code: "unknown-result", Message: "there is no result named " + n.Text, At: n.At, Hint: "show results"}
	}
	if err := k.replacing(); err != nil {
		return nil, err
	}
	folder, err := k.folder()
	if err != nil {
		return nil, err
	}
	var first error
	for _, p := range r.parts() {
		e := &page.Entry{}
		c := *k.c
		c.Options = maps.Clone(k.c.Options)
		delete(c.Options, "replacing") // it is about the folder
		c.Clauses.To, c.Clauses.For, c.Clauses.From = nil, p.only, &phrase.Name{Text: r.series}
		c.Slots = map[string]phrase.Node{"width": k.c.Slots["width"], "height": k.c.Slots["height"]}
		for name, node := range p.slots {
			c.Slots[name] = node
		}
		_, err := p.draw(&call{ctx: k.ctx, s: k.s, c: &c, e: e, all: k.all})
		if cancelled := k.ctx.Err(); cancelled != nil {
			return nil, cancelled
		}
		if err != nil {
			if first == nil {
				first = err
			}
			k.e.Cautions = append(k.e.Cautions, page.Say("No picture of "+strings.ReplaceAll(p.ending, "-", " ")+": "+k.problem(err).Message+"."))
			continue
		}
		for _, fig := range e.Figures {
			if folder != "" {
				fig.Path, fig.NewFolder = filepath.Join(folder, r.name+"-"+p.ending+".png"), true
			}
			k.e.Figures = append(k.e.Figures, fig)
			k.e.Findings = append(k.e.Findings, fig.Alt)
		}
		k.e.Cautions = append(k.e.Cautions, e.Cautions...)
		if k.e.Specimens == nil {
			k.e.Specimens = e.Specimens
		}
	}
	if len(k.e.Figures) == 0 {
		p := *k.problem(first)
		p.At = n.At
		return nil, &p
	}
	k.e.Series = r.series
	return nil, nil
}

// folder is where all pictures go; "" where none is named.
func (k *call) folder() (string, error) {
	to := k.c.Clauses.To
	if to == nil {
		return "", nil
	}
	if ext := filepath.Ext(to.Path); slices.Contains([]string{".png", ".svg", ".pdf"}, strings.ToLower(ext)) {
		return "", &page.Problem{Code: "unknown-format", At: to.At, Message: "all pictures go to a folder, a file each, not to " + to.Path,
			Hint: phrase.WithFile(k.c.Input, to.At, strings.TrimSuffix(to.Path, ext))}
	}
	return homed(to.Path), nil
}

// parts are the pictures there are of a result.
func (r result) parts() []part {
	name := phrase.Name{Text: r.name}
	switch {
	case r.shares != nil:
		return []part{{ending: "shares", draw: drawShares, slots: map[string]phrase.Node{"shares": name}}}
	case r.plan != nil:
		return []part{{ending: "chance", draw: drawChance, slots: map[string]phrase.Node{"plan": name}}}
	}
	of := map[string]phrase.Node{"fit": name}
	out := []part{{ending: "effects", draw: drawEffects, slots: of}, {ending: "residuals", draw: drawResiduals, slots: of}}
	for _, v := range r.fit.model().Variables {
		ref := phrase.ColumnRef{Column: v.Name}
		if v.IsCategory() {
			out = append(out, part{ending: "adjusted-" + v.Name, draw: drawAdjusted, slots: map[string]phrase.Node{"fit": name, "a": ref}})
			continue
		}
		out = append(out, part{ending: r.fit.response.column.Name + "-against-" + v.Name, draw: drawAgainst, only: r.fit.command.Clauses.For,
			slots: map[string]phrase.Node{"fit": name, "x": ref, "y": r.fit.command.Slots["y"]}})
	}
	return out
}
