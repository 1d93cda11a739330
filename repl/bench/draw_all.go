package bench

import (
	"path/filepath"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/files"
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
	r, err := k.Session.Named(n)
	if err != nil {
		return nil, err
	}
	if err := k.Replacing(); err != nil {
		return nil, err
	}
	folder, err := folder(k)
	if err != nil {
		return nil, err
	}
	var first error
	for _, p := range parts(k.Session, r, cmd) {
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
			k.Entry.Warn(page.Say("No picture of " + strings.ReplaceAll(p.ending, "-", " ") + ": " +
				k.Problem(err).Message + "."))
			continue
		}
		for _, fig := range e.Figures {
			if folder != "" {
				fig.Path, fig.NewFolder = filepath.Join(folder, r.Name+"-"+p.ending+".png"), true
			}
			k.Entry.Figures = append(k.Entry.Figures, fig)
			k.Entry.Find(fig.Alt)
		}
		k.Entry.Warn(e.Cautions...)
		if k.Entry.Specimens == nil {
			k.Entry.Specimens = e.Specimens
		}
	}
	if len(k.Entry.Figures) == 0 {
		if first == nil {
			return nil, page.Refuse(page.CodeNoFigure, n.At, "there is no picture of "+r.Name, "show "+r.Name)
		}
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
		return "", page.Refuse(page.CodeUnknownFormat, to.At,
			"all pictures go to a folder, a file each, not to "+to.Path,
			phrase.WithFile(k.Command.Input, to.At, strings.TrimSuffix(to.Path, ext)))
	}
	return files.Home(to.Path), nil
}

// parts are the pictures there are of a result.
func parts(s *session.Session, r session.Result, cmd *phrase.DrawAll) []part {
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
		return askedAbout(s, r, all, wished)
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

// askedAbout are the pictures of what a result was asked about: its specimens, or the fits that it is of.
func askedAbout(s *session.Session, r session.Result, all phrase.Clauses, wished phrase.Picture) []part {
	used := all
	used.For = r.Command.Clauses().For
	byLevel := func(of phrase.ByLevels) []part {
		return []part{{of.Y.Column.Column + "-by-" + of.A.Column,
			&phrase.DrawBy{Clauses: used, ByLevels: of, Picture: wished}}}
	}
	effects := func(of phrase.OfFit) []part {
		return []part{{"effects", &phrase.DrawEffects{Clauses: all, OfFit: of, Picture: wished}}}
	}
	residuals := func(of phrase.OfFit, ending string) []part {
		return []part{{"residuals" + ending, &phrase.DrawResiduals{Clauses: all, OfFit: of, Picture: wished}}}
	}
	switch do := r.Command.Do.(type) {
	case *phrase.Characteristic:
		switch of := do.Subject.(type) {
		case phrase.LimitsByLevels:
			return byLevel(of.ByLevels)
		case phrase.LimitsOfFit:
			return effects(of.OfFit)
		}
	case *phrase.Check:
		switch of := do.Subject.(type) {
		case phrase.ByLevels:
			return byLevel(of)
		case phrase.OfFit:
			return residuals(of, "")
		}
	case *phrase.Anova:
		switch of := do.Subject.(type) {
		case phrase.OfFit:
			return effects(of)
		case phrase.AnovaOnTerms:
			return termParts(s, r, of.OnTerms, used, wished)
		}
	case *phrase.Same:
		return byLevel(do.ByLevels)
	case *phrase.Adjusted:
		return []part{{"adjusted-" + do.A.Column, &phrase.DrawAdjusted{Clauses: all, LevelsOfFit: do.LevelsOfFit,
			Picture: wished}}}
	case *phrase.Predict:
		return effects(do.OfFit)
	case *phrase.Rivals:
		var out []part
		for _, n := range do.Fits.List {
			out = append(out, residuals(phrase.OfFit{Fit: n}, "-of-"+n.Text)...)
		}
		return out
	case *phrase.Judge:
		return []part{{"chance", &phrase.DrawChance{Clauses: all, Plan: do.Plan, Picture: wished}}}
	case *phrase.Modes:
		return []part{{"modes-by-" + do.A.Column, &phrase.DrawModes{Clauses: used, Mode: do.Mode, A: do.A,
			Picture: wished}}}
	case *phrase.Until:
		return untilParts(s, r, do, used, wished)
	}
	return nil
}

// termParts are the response by each category of its terms, and against each number.
func termParts(s *session.Session, r session.Result, on phrase.OnTerms, used phrase.Clauses,
	wished phrase.Picture) []part {
	var out []part
	for _, c := range columnsOfTerms(s, r, on.Terms) {
		ref := phrase.ColumnRef{Column: c.Name}
		if c.Kind == frames.Category {
			out = append(out, part{on.Y.Column.Column + "-by-" + c.Name,
				&phrase.DrawBy{Clauses: used, ByLevels: phrase.ByLevels{Y: on.Y, A: ref}, Picture: wished}})
			continue
		}
		out = append(out, part{on.Y.Column.Column + "-against-" + c.Name,
			&phrase.DrawAgainst{Clauses: used, Y: on.Y, X: ref, Picture: wished}})
	}
	return out
}

// columnsOfTerms are the columns that terms are of, each once.
func columnsOfTerms(s *session.Session, r session.Result, terms phrase.Terms) []frames.Column {
	frame, ok := s.Frame(r.Series)
	if !ok {
		return nil
	}
	var out []frames.Column
	for _, t := range terms.List {
		for _, f := range t.Factors {
			c, ok := frame.Column(f.Column.Column)
			if ok && !slices.ContainsFunc(out, func(o frames.Column) bool { return o.Name == c.Name }) {
				out = append(out, c)
			}
		}
	}
	return out
}

// untilParts are the step curves of a strength, by each category that it was fitted on.
func untilParts(s *session.Session, r session.Result, do *phrase.Until, used phrase.Clauses,
	wished phrase.Picture) []part {
	of := phrase.DrawUntil{Clauses: used, Y: do.Y, Mode: do.Mode, Scatter: do.Scatter, Picture: wished}
	var out []part
	if do.Terms != nil {
		for _, c := range columnsOfTerms(s, r, *do.Terms) {
			if c.Kind == frames.Category {
				by := of
				by.A = &phrase.ColumnRef{Column: c.Name}
				out = append(out, part{"holding-by-" + c.Name, &by})
			}
		}
	}
	if len(out) == 0 {
		out = append(out, part{"holding", &of})
	}
	return out
}
