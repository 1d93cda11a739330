package kernel

import (
	"path/filepath"
	"slices"
	"strings"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// part is one of the pictures there are of a result: what draws it, and how its file
// ends.
type part struct {
	ending string
	do     any // the struct of the command that draws it
}

// drawAll draws every picture there is of a result, a file each, in a folder. One that
// cannot be drawn is a caution, unless there is no other.
func drawAll(k *call, cmd *phrase.DrawAll) (*outcome, error) {
	n := cmd.Result
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
	for _, p := range r.parts(cmd) {
		e := &page.Entry{}
		c := &phrase.Command{Entry: k.c.Entry, Input: k.c.Input, At: k.c.At, Do: p.do}
		_, err := k.handlerOf(c)(&call{ctx: k.ctx, s: k.s, c: c, e: e, all: k.all})
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
	to := k.c.Clauses().To
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
func (r result) parts(cmd *phrase.DrawAll) []part {
	name := phrase.Name{Text: r.name}
	all := phrase.Clauses{From: &phrase.Name{Text: r.series}, Confidence: cmd.Confidence}
	wished := phrase.Picture{Size: cmd.Size}
	switch {
	case r.shares != nil:
		return []part{{"shares", &phrase.DrawShares{Clauses: all, Shares: name, Picture: wished}}}
	case r.plan != nil:
		return []part{{"chance", &phrase.DrawChance{Clauses: all, Plan: name, Picture: wished}}}
	}
	of := phrase.OfFit{Fit: name}
	out := []part{{"effects", &phrase.DrawEffects{Clauses: all, OfFit: of, Picture: wished}},
		{"residuals", &phrase.DrawResiduals{Clauses: all, OfFit: of, Picture: wished}}}
	used := all
	used.For = r.fit.command.Clauses().For
	y, _ := phrase.Part[phrase.Response](r.fit.command)
	for _, v := range r.fit.model().Variables {
		ref := phrase.ColumnRef{Column: v.Name}
		if v.IsCategory() {
			levels := phrase.LevelsOfFit{A: ref, Fit: name}
			out = append(out, part{"adjusted-" + v.Name, &phrase.DrawAdjusted{Clauses: all, LevelsOfFit: levels, Picture: wished}})
			continue
		}
		out = append(out, part{r.fit.response.column.Name + "-against-" + v.Name,
			&phrase.DrawAgainst{Clauses: used, Y: y, X: ref, Fit: &name, Picture: wished}})
	}
	return out
}
