package doubting

import (
	"slices"

	"gonum.org/v1/gonum/stat"

	"breakbook/models/doubts"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// modeCeiling tells breaks of the mode that pile up at exactly the largest load, as where a machine ends: a
// strength takes them for loads at which the mode gave way, and they are only bounds. What broke otherwise
// there is taken for a bound already, and the chances of a mode rest on no load.
func (q *inquiry) modeCeiling() error {
	cmd, ok := q.k.Command.Do.(*phrase.Until)
	r := q.k.Analysis.Response
	if !ok || !r.IsLoad() {
		return nil
	}
	ended, err := session.Where(q.k.Context, q.k.Analysis.Sample.Frame, cmd.Mode)
	if err != nil {
		return err
	}
	var so []float64
	for i, is := range ended {
		if is {
			so = append(so, r.Values[i])
		}
	}
	most := slices.Max(r.Values)
	ties, p := doubts.Ties(so, q.fit.Sigma*stat.Mean(r.Values, nil)) // the scatter is of the logarithm
	if ties < 3 || 10*ties < len(r.Values) || !(p < 0.001) || slices.Max(so) < most {
		return nil
	}
	d := page.Doubt{Code: "ceiling", About: r.Name(), Grave: true, Of: q.keysOf(""),
		Text: page.Say(ties, " of ", len(r.Values), " values of "+r.Name()+" stand at exactly the largest (",
			page.Num{Value: most, Unit: r.Unit()}, "), as if the machine ended there: those joints carried that or more, "+
				"and here they count as if they had broken so there.")}
	if list := q.heldAt(cmd, most); list != nil {
		if now, err := q.run(q.k.Session, list); err == nil {
			d.Try = line(list)
			if then, ok := q.same(now); ok {
				d.Text = say.After(append(d.Text, page.Word(" As lower bounds: ")), then.Finding)
				d.AnswerThen = then.Gap.Answer.Key()
			}
		}
	}
	q.hold(d)
	return nil
}

// heldAt is the same question with a way of breaking of its own for what stands at a load: the commands that
// a person types. nil for a series that is not the one in use, in which no column can be worked out.
func (q *inquiry) heldAt(cmd *phrase.Until, load float64) []any {
	if from := q.k.Whose().From; from != nil && from.Text != q.k.Session.Current() {
		return nil
	}
	name, mode := q.freeColumn("gave_way"), session.ModeName(cmd.Mode)
	words := func(s string) phrase.Expression { return phrase.Words{Text: s} }
	again := unnamed(cmd).(*phrase.Until)
	again.Mode = phrase.Is{Column: phrase.ColumnRef{Column: name}, Values: []phrase.Value{{Text: mode}}}
	return []any{
		&phrase.WorkOut{Name: phrase.Text{Text: name}, Expression: phrase.Choose{
			If: phrase.Inequality{Column: phrase.ColumnRef{Column: cmd.Y.Column.Column}, Op: ">=",
				Value: phrase.Amount{Value: load}},
			Then:      words("held"),
			Otherwise: phrase.Choose{If: cmd.Mode, Then: words(mode), Otherwise: words("otherwise")}}},
		&phrase.Mark{Column: phrase.ColumnRef{Column: name}, Role: phrase.Choice{Word: "result"}},
		again,
	}
}
