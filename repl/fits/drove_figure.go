package fits

import (
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// drawn is what a picture of the factors shows.
func (d *drivers) drawn(all []*driven) *session.Drove {
	function := d.fit.Y.Function
	out := &session.Drove{Of: d.fit.Y.Column, Unit: d.fit.Y.Unit(), Confidence: d.k.Confidence(),
		Calls: func(c frames.Column) string {
			r := session.Response{Column: c, Function: function}
			return r.Measure()
		}}
	for _, t := range all {
		for _, g := range t.gaps {
			row := session.DroveRow{Factors: t.Names(), Value: g.Value, Range: g.Range, Answer: t.answer}
			if len(t.gaps) > 1 {
				row.Answer = g.Answer
				_, row.Where, _ = strings.Cut(g.Of, "; ")
			}
			out.Rows = append(out.Rows, row)
			out.Worth = g.Worth
		}
	}
	return out
}

// DrawDrove shows what each factor did, a row each, beside nothing and the size worth having.
func DrawDrove(k *session.Call, cmd *phrase.DrawDrove) (*session.Outcome, error) {
	r, ok := k.Session.Result(cmd.Drove.Text)
	if !ok || r.Drove == nil {
		return nil, &page.Problem{Code: "unknown-result", Message: "there is no answer of what drove named " + cmd.Drove.Text,
			At: cmd.Drove.At, Hint: "show results"}
	}
	k.Entry.Series = r.Series
	d := r.Drove
	measure := d.Calls(d.Of)
	fig, err := k.Picture("What drove "+measure, cmd.Picture)
	if err != nil {
		return nil, err
	}
	fig.X, fig.Y = page.Axis{Label: "Factor"}, page.Axis{Label: "Difference in " + measure, Unit: d.Unit}
	fig.Layers = []page.Layer{page.Rule{Y: 0, Label: "no difference"}}
	if w := d.Worth.Value; w > 0 {
		fig.Layers = append(fig.Layers, page.Rule{Y: w, Label: "worth having"}, page.Rule{Y: -w})
	}
	alt := page.Say("What each factor did to "+measure+", with its ", page.Num{Value: d.Confidence, Style: page.Fraction},
		" interval: ")
	for i, row := range d.Rows {
		fig.X.Levels = append(fig.X.Levels, row.Label())
		fig.Layers = append(fig.Layers, page.Interval{X: float64(i), Mean: row.Value, Low: row.Range.Low,
			High: row.Range.High})
		if i > 0 {
			alt = append(alt, page.Word("; "))
		}
		alt = append(alt, page.Say(row.Label()+", ", page.Num{Value: row.Value, Unit: d.Unit,
			Resolution: (row.Range.High - row.Range.Low) / 2, Signed: true}, " (",
			page.Span{Low: row.Range.Low, High: row.Range.High, Unit: d.Unit}, "): "+row.Answer.Key())...)
	}
	fig.Alt = append(alt, page.Word("."))
	fig.Note = say.BarsNote("difference", d.Confidence)
	return k.Drawn(fig)
}
