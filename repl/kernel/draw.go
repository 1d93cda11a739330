package kernel

import (
	"path/filepath"
	"strings"

	"breakbook/frames"
	"breakbook/models/compare"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// drawBy shows every specimen of each level, with the mean and its range.
func drawBy(k *call, cmd *phrase.DrawBy) (*outcome, error) {
	fig, err := k.strip(cmd.ByLevels, cmd.Picture)
	if err != nil {
		return nil, err
	}
	return k.drawn(fig)
}

// strip is the figure of every specimen of each level.
func (k *call) strip(of phrase.ByLevels, wished phrase.Picture) (page.Figure, error) {
	by := of.A
	s, r, groups, err := k.levelled(of)
	if err != nil {
		return page.Figure{}, err
	}
	c, _ := s.frame.Column(by.Column)
	fig, err := k.picture(r.axisLabel()+" by "+inSentence(c), wished)
	if err != nil {
		return page.Figure{}, err
	}
	fig.X = axisOf(c)
	fig.Y = r.axis()
	var points page.Points
	var means []page.Layer
	var told []say.LevelMean
	for i, g := range groups {
		fig.X.Levels = append(fig.X.Levels, g.level)
		fig.X.Counts = append(fig.X.Counts, len(g.values))
		for j, v := range g.values {
			points.X = append(points.X, float64(i))
			points.Y = append(points.Y, v)
			points.Looks = append(points.Looks, lookOf(c, g.level))
			points.Names = append(points.Names, s.frame.SpecimenName(g.rows[j]))
		}
		m := compare.Summarise(k.ctx, g.values, k.confidence())
		told = append(told, say.LevelMean{Level: g.level, N: m.N, Mean: m.Mean})
		if m.N < 2 {
			continue // one specimen has no range
		}
		means = append(means, page.Interval{X: float64(i), Mean: m.Mean, Low: m.Interval.Low, High: m.Interval.High, Look: lookOf(c, g.level)})
	}
	fig.Layers = append([]page.Layer{points}, means...)
	fig.Note = say.StripNote(k.confidence(), len(means) > 0)
	fig.Alt = say.StripAlt(r.measure(), r.unit(), by.Column, told)
	return fig, nil
}

// drawAgainst shows points of one number against another, and the line of a fit.
func drawAgainst(k *call, cmd *phrase.DrawAgainst) (*outcome, error) {
	fig, err := k.pointsAgainst(cmd)
	if err != nil {
		return nil, err
	}
	return k.drawn(fig)
}

// pointsAgainst is the figure of one number against another.
func (k *call) pointsAgainst(cmd *phrase.DrawAgainst) (page.Figure, error) {
	x := cmd.X
	columns := []string{x.Column}
	var by phrase.ColumnRef
	coloured := cmd.A != nil
	if coloured {
		by = *cmd.A
		columns = append(columns, by.Column)
	}
	s, r, err := k.measured(cmd.Y, columns...)
	if err != nil {
		return page.Figure{}, err
	}
	at, err := s.number(x.Column)
	if err != nil {
		return page.Figure{}, placed(err, x.At)
	}
	xc, _ := s.frame.Column(x.Column)
	fig, err := k.picture(r.axisLabel()+" against "+inSentence(xc), cmd.Picture)
	if err != nil {
		return page.Figure{}, err
	}
	fig.X, fig.Y = axisOf(xc), r.axis()
	points := page.Points{X: at, Y: r.values, Looks: make([]int, len(at)), Names: make([]string, len(at))}
	var levels []string
	if coloured {
		c, _ := s.frame.Column(by.Column)
		groups, err := k.groups(s, r.values, by)
		if err != nil {
			return page.Figure{}, err
		}
		fig.KeyTitle = c.Label
		for _, g := range groups {
			levels = append(levels, g.level)
			look := lookOf(c, g.level)
			fig.Keys = append(fig.Keys, page.Key{Label: g.level, Look: look})
			for _, row := range g.rows {
				points.Looks[row] = look
			}
		}
	}
	for i := range points.Names {
		points.Names[i] = s.frame.SpecimenName(i)
	}
	lines, err := k.fitLines(cmd.Fit, r, xc, by.Column, levels)
	if err != nil {
		return page.Figure{}, err
	}
	fig.Layers = append(lines, points)
	if len(lines) > 0 {
		fig.Note = say.LineNote(cmd.Fit.Text, k.confidence())
	}
	lo, hi := extent(at)
	fig.Alt = say.ScatterAlt(r.measure(), r.unit(), inSentence(xc), xc.Unit.String(), len(at), lo, hi, levels, len(lines) > 0)
	return fig, nil
}

// drawResiduals shows what a fit left over against what it expected.
func drawResiduals(k *call, cmd *phrase.DrawResiduals) (*outcome, error) {
	f, err := k.fitNamed(cmd.Fit)
	if err != nil {
		return nil, err
	}
	fig, err := k.picture("What "+cmd.Fit.Text+" left over", cmd.Picture)
	if err != nil {
		return nil, err
	}
	u := f.response.unit()
	fig.X = page.Axis{Label: "Expected " + f.response.expected(), Unit: u}
	fig.Y = page.Axis{Label: "Left over", Unit: u}
	points := page.Points{X: f.Fitted, Y: f.Residuals, Looks: make([]int, len(f.Fitted)), Names: make([]string, len(f.Fitted))}
	for i := range points.Names {
		points.Names[i] = f.sample.frame.SpecimenName(i)
	}
	fig.Layers = []page.Layer{page.Rule{Y: 0}, points}
	fig.Alt = say.ResidualAlt(f.response.measure(), u, len(f.Fitted), f.Sigma)
	return k.drawn(fig)
}

// picture starts a figure with the command's own wishes: file, size, title.
func (k *call) picture(title string, wished phrase.Picture) (page.Figure, error) {
	fig := page.Figure{Title: say.Capital(title)}
	if err := k.replacing(); err != nil {
		return fig, err
	}
	if to := k.c.Clauses().To; to != nil {
		switch strings.ToLower(filepath.Ext(to.Path)) {
		case ".png", ".svg", ".pdf":
			fig.Path = homed(to.Path)
		default:
			return fig, k.unknownFormat(*to, "a figure is drawn as .png, .svg or .pdf", ".png")
		}
	}
	if wished.Titled != nil {
		fig.Title = wished.Titled.Text
	}
	if wished.Size != nil {
		w, h := wished.Size.Width, wished.Size.Height
		if w.Value < 40 || w.Value > 500 || h.Value < 30 || h.Value > 500 {
			return fig, &page.Problem{Code: "out-of-range", Message: "a figure can be 40 to 500 mm wide and 30 to 500 mm high", At: w.At, Hint: "size 160 by 100 mm"}
		}
		fig.WidthMM, fig.HeightMM = float64(w.Value), float64(h.Value)
	}
	return fig, nil
}

// drawn books the figure; the loop draws it.
func (k *call) drawn(fig page.Figure) (*outcome, error) {
	k.e.Figures = []page.Figure{fig}
	k.e.Findings = []page.Sentence{fig.Alt}
	return nil, nil
}

// axisOf labels an axis with the column's own header and unit.
func axisOf(c frames.Column) page.Axis {
	label := c.Label
	if label == "" {
		label = c.Name
	}
	return page.Axis{Label: label, Unit: c.Unit.String()}
}

func (r *response) axis() page.Axis {
	return page.Axis{Label: r.axisLabel(), Unit: r.unit()}
}

func (r *response) axisLabel() string {
	a := axisOf(r.column)
	if r.function == "" {
		return a.Label
	}
	if a.Unit != "" {
		return r.function + " of " + a.Label + " in " + a.Unit
	}
	return r.function + " of " + a.Label
}

// expected is the response in the middle of an axis label.
func (r *response) expected() string {
	if r.function == "" {
		return inSentence(r.column)
	}
	return r.axisLabel()
}

// lookOf is the place of a level in its column: the same in every figure of the book.
func lookOf(c frames.Column, level string) int {
	for i, l := range c.Levels {
		if l == level {
			return i
		}
	}
	return 0
}
