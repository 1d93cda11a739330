package pictures

import (
	"strings"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// StripAlt tells what a picture of specimens by level shows.
func StripAlt(measure, unit, by string, levels []say.LevelMean) page.Sentence {
	return page.Say("Every specimen's "+measure+" by "+by+", with the mean of each level and its interval: ",
		page.Joined(levels, "; ", func(l say.LevelMean) page.Sentence {
			return page.Say(l.Level+" mean ", page.In(l.Mean, unit), " (n = ", l.N, ")")
		}), ".")
}

// scatterAlt tells what a picture of one number against another shows.
func scatterAlt(measure, against, xUnit string, n int, lo, hi float64, levels []string, line bool) page.Sentence {
	return page.Say(say.Capital(measure)+" of ", n, " specimens against "+against+" from ", page.In(lo, xUnit), " to ",
		page.In(hi, xUnit), page.If(len(levels) > 0, ", marked by level: "+strings.Join(levels, ", ")),
		page.If(line, "; with the fitted line and its interval"), ".")
}

// StripNote says what is what on a picture of every specimen by level, with or without means.
func StripNote(conf float64, means bool) page.Sentence {
	return page.Say("Each mark one specimen",
		page.If(means, "; black: the mean and its ", page.Share(conf), " interval"))
}

// DrawAgainst shows points of one number against another, and the line of a fit.
func DrawAgainst(k *session.Call, cmd *phrase.DrawAgainst) (*session.Outcome, error) {
	fig, err := pointsAgainst(k, cmd)
	if err != nil {
		return nil, err
	}
	return k.Drawn(fig)
}

// pointsAgainst is the figure of one number against another.
func pointsAgainst(k *session.Call, cmd *phrase.DrawAgainst) (page.Figure, error) {
	x := cmd.X
	columns := []string{x.Column}
	var by phrase.ColumnRef
	coloured := cmd.A != nil
	if coloured {
		by = *cmd.A
		columns = append(columns, by.Column)
	}
	s, r, err := k.Measured(cmd.Y, columns...)
	if err != nil {
		return page.Figure{}, err
	}
	at, err := s.Number(x.Column)
	if err != nil {
		return page.Figure{}, session.WithPlace(err, x.At)
	}
	xc, _ := s.Frame.Column(x.Column)
	fig, err := k.Picture(r.AxisLabel()+" against "+session.InSentence(xc), cmd.Picture)
	if err != nil {
		return page.Figure{}, err
	}
	fig.X, fig.Y = session.AxisOf(xc), r.Axis()
	fig.Y.FromZero = cmd.FromZero
	points := page.Points{X: at, Y: r.Values, Looks: make([]int, len(at)), Names: namesOf(k, s.Frame), Apart: true}
	var levels []string
	if coloured {
		c, _ := s.Frame.Column(by.Column)
		groups, err := k.Groups(s, r.Values, by)
		if err != nil {
			return page.Figure{}, err
		}
		fig.KeyTitle = c.Label
		for _, g := range groups {
			levels = append(levels, g.Level)
			look := session.LookOf(c, g.Level)
			fig.Keys = append(fig.Keys, page.Key{Label: g.Level, Look: look})
			for _, row := range g.Rows {
				points.Looks[row] = look
			}
		}
	}
	lines, fitted, turn, err := fitLines(k, cmd.Fit, r, xc, by.Column, levels)
	if err != nil {
		return page.Figure{}, err
	}
	aside, err := asideAgainst(s, cmd.Y, x.Column, by.Column)
	if err != nil {
		return page.Figure{}, err
	}
	aside.Apart = true
	fig.Layers = append(lines, points, aside)
	if len(lines) > 0 {
		fig.Note = andNote(page.Say("Each mark one specimen; line: the mean that the fit expects; shaded: its ",
			page.Share(k.Confidence()), " interval"), turn, page.If(fitted != len(at), "line fitted to ", fitted,
			say.Plural(fitted, " specimen", " specimens")+", ", len(at), " shown: again "+cmd.Fit.Text))
	}
	fig.Note = andNote(fig.Note, leftOutNote(s, len(aside.X)))
	lo, hi := session.MinMax(at)
	fig.Alt = scatterAlt(r.Measure(), session.InSentence(xc), xc.Unit.String(), len(at), lo, hi, levels, len(lines) > 0)
	return fig, nil
}
