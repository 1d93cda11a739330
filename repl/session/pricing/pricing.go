// Package pricing is what specimens cost and what a unit of cost has to bring: prices of a command in, a price in the
// unit of the response out, and the words for both.
package pricing

import (
	"strings"

	"breakbook/frames/units"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// Price is what one more unit of cost has to bring to be worth it.
type Price struct {
	Value float64 // in the response's unit, per unit of cost
	Cost  string  // the unit of cost
}

// Unit is what prices are in: minutes where nothing was typed.
func Unit(p *phrase.Prices) string {
	if p.Unit == "" {
		return "min"
	}
	return p.Unit
}

// Per is one unit of cost in words: minute, euro.
func Per(unit string) string {
	if word, ok := map[string]string{"s": "second", "min": "minute", "h": "hour", "day": "day"}[unit]; ok {
		return word
	}
	return singular(unit)
}

// singular is a word without the s of several.
func singular(word string) string {
	if one, ok := strings.CutSuffix(word, "s"); ok && len(one) > 2 && !strings.HasSuffix(one, "s") {
		return one
	}
	return word
}

// Of is the price that the command's worth names; nil where it names none. costing is what a specimen of each
// level costs, nil for none.
func Of(k *session.Call, r *session.Response, costing *phrase.Prices) (*Price, error) {
	own := k.Command.Clauses()
	if costing != nil && r.Logged() {
		return nil, page.Refuse(page.CodeNoPrice, costing.At,
			"a logarithm is not paid for: what "+r.Name()+" costs is judged by "+r.Column.Name+" itself",
			"ask the same of "+r.Column.Name)
	}
	if own.Per == nil {
		return nil, nil
	}
	if costing == nil {
		return nil, page.Refuse(page.CodeNoCost, own.Per.At,
			"what a "+Per(own.Per.Text)+" is worth is judged by what a specimen of each level costs, which is "+
				"not given", "add it: costing 4 LEVEL, 6 LEVEL")
	}
	w, err := session.WorthFrom(*own.Worth)
	if err != nil {
		return nil, err
	}
	p := Price{Cost: Unit(costing)}
	switch {
	case w.Amount > 0:
		p.Value, err = k.WorthIn(w, r.Unit())
	case session.NoRatio(r.Column) || !(k.MeanOfSeries(r) > 0):
		err = page.Refuse(page.CodeNoRatio, own.Worth.At, "a percentage of "+r.Name()+" means nothing",
			"give an amount instead")
	default:
		p.Value = w.Share * k.MeanOfSeries(r)
	}
	if err != nil {
		return nil, err
	}
	p.Value, err = perUnit(p.Value, own.Per, p.Cost)
	return &p, err
}

// perUnit turns a price per one unit of cost into that per another.
func perUnit(value float64, per *phrase.Text, cost string) (float64, error) {
	from, to := Per(per.Text), Per(cost)
	if from == to {
		return value, nil
	}
	a, ok := units.Parse(per.Text)
	b, known := units.Parse(cost)
	if ok && known && a.Dimension() == "time" && b.Dimension() == "time" {
		one, err := units.Convert(1, b, a)
		return value * one, err
	}
	return 0, page.Refuse(page.CodeOtherCost, per.At,
		"the costs are given in "+Several(cost)+", and the worth per "+from, "give both in one unit")
}

// Said is a cost as it is said.
func Said(x float64, unit string) page.Num {
	if x == 1 {
		return page.Num{Value: x, Unit: Per(unit), Style: page.Exact}
	}
	return page.Num{Value: x, Unit: Several(unit), Style: page.Exact}
}

// Several is a unit of cost in words, of more than one.
func Several(unit string) string {
	if word := Per(unit); word != unit || unit == "day" {
		return word + "s"
	}
	return unit
}
