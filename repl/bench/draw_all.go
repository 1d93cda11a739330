package bench

import (
	"path/filepath"
	"slices"
	"strings"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// part is one of the pictures there are of a result: what draws it, and how its file
// ends.
type part struct {
	ending string
	do     any // the struct of the command that draws it
}

// drawAll draws every picture there is of a result, a file each, in a folder. One that
// cannot be drawn is a caution, unless there is no other.
func drawAll(k *session.Call, cmd *phrase.DrawAll) (*session.Outcome, error) {
	n := cmd.Result
	r, ok := k.Session.Result(n.Text)
	if !ok {
		return nil, &page.Problem{Code: "unknown-result", Message: "there is no result named " + n.Text, At: n.At,
			Hint: "show results"}
	}
	if err := k.Replacing(); err != nil {
		return nil, err
	}
	folder, err := folder(k)
	if err != nil {
		return nil, err
	}
	var first error
	for _, p := range parts(r, cmd) {
		e := &page.Entry{}
		c := &phrase.Command{Entry: k.Command.Entry, Input: k.Command.Input, At: k.Command.At, Do: p.do}
		_, err := handlerOf(k, c)(&session.Call{Context: k.Context, Session: k.Session, Command: c, Entry: e,
			Handlers: k.Handlers})
		if cancelled := k.Context.Err(); cancelled != nil {
			return nil, cancelled
		}
		if err != nil {
			if first == nil {
				first = err
			}
			k.Entry.Cautions = append(k.Entry.Cautions,
				page.Say("No picture of "+strings.ReplaceAll(p.ending, "-", " ")+": "+k.Problem(err).Message+"."))
			continue
		}
		for _, fig := range e.Figures {
			if folder != "" {
				fig.Path, fig.NewFolder = filepath.Join(folder, r.Name+"-"+p.ending+".png"), true
			}
			k.Entry.Figures = append(k.Entry.Figures, fig)
			k.Entry.Findings = append(k.Entry.Findings, fig.Alt)
		}
		k.Entry.Cautions = append(k.Entry.Cautions, e.Cautions...)
		if k.Entry.Specimens == nil {
			k.Entry.Specimens = e.Specimens
		}
	}
	if len(k.Entry.Figures) == 0 {
		p := *k.Problem(first)
		p.At = n.At
		return nil, &p
	}
	k.Entry.Series = r.Series
	return nil, nil
}

// folder is where all pictures go; "" where none is named.
func folder(k *session.Call) (string, error) {
	to := k.Command.Clauses().To
	if to == nil {
		return "", nil
	}
	if ext := filepath.Ext(to.Path); slices.Contains([]string{".png", ".svg", ".pdf"}, strings.ToLower(ext)) {
		return "", &page.Problem{Code: "unknown-format", At: to.At,
			Message: "all pictures go to a folder, a file each, not to " + to.Path,
			Hint:    phrase.WithFile(k.Command.Input, to.At, strings.TrimSuffix(to.Path, ext))}
	}
	return session.HomePath(to.Path), nil
}

// parts are the pictures there are of a result.
func parts(r session.Result, cmd *phrase.DrawAll) []part {
	name := phrase.Name{Text: r.Name}
	all := phrase.Clauses{From: &phrase.Name{Text: r.Series}, Confidence: cmd.Confidence}
	wished := phrase.Picture{Size: cmd.Size}
	switch {
	case r.Gaps != nil:
		return []part{{"differences", &phrase.DrawGaps{Clauses: all, Gaps: name, Picture: wished}}}
	case r.Shares != nil:
		return []part{{"shares", &phrase.DrawShares{Clauses: all, Shares: name, Picture: wished}}}
	case r.Plan != nil:
		return []part{{"chance", &phrase.DrawChance{Clauses: all, Plan: name, Picture: wished}}}
	}
	f, ok := fitted.Of(r)
	if !ok {
		return nil
	}
	of := phrase.OfFit{Fit: name}
	out := []part{{"effects", &phrase.DrawEffects{Clauses: all, OfFit: of, Picture: wished}},
		{"residuals", &phrase.DrawResiduals{Clauses: all, OfFit: of, Picture: wished}}}
	used := all
	used.For = f.Command.Clauses().For
	y, _ := phrase.Part[phrase.Response](f.Command)
	for _, v := range f.Model().Variables {
		ref := phrase.ColumnRef{Column: v.Name}
		if v.IsCategory() {
			levels := phrase.LevelsOfFit{A: ref, Fit: name}
			out = append(out,
				part{"adjusted-" + v.Name, &phrase.DrawAdjusted{Clauses: all, LevelsOfFit: levels, Picture: wished}})
			continue
		}
		out = append(out, part{f.Y.Column.Name + "-against-" + v.Name,
			&phrase.DrawAgainst{Clauses: used, Y: y, X: ref, Fit: &name, Picture: wished}})
	}
	return out
}
