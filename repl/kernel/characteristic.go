package kernel

import (
	"errors"
	"math"
	"strconv"
	"strings"

	limit "breakbook/models/limits"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// fewForLimit is the number of specimens under which a characteristic value carries a
// caution (fewer than ten are little trusted: common practice, no source).
const fewForLimit = 10

// limitOptions are the command's route and shares; a characteristic value keeps a
// confidence of its own.
func limitOptions(cmd *phrase.Characteristic) (limit.Options, error) {
	o := limit.Options{Exceeded: 0.95, Confidence: 0.75}
	if a := cmd.Exceeded; a != nil {
		o.Exceeded = a.Value
	}
	if c := cmd.Confidence; c != nil {
		o.Confidence = c.Value
	}
	chosen := 0
	for _, m := range []struct {
		is     bool
		method limit.Method
	}{{cmd.Normal, limit.Normal}, {cmd.Lognormal, limit.Lognormal}, {cmd.Ranked, limit.Ranked}} {
		if m.is {
			o.Method = m.method
			chosen++
		}
	}
	if chosen > 1 {
		return o, &page.Problem{Code: "two-ways", Message: "a characteristic value is worked out one way at a time",
			Hint: "keep one of normal, lognormal and ranked"}
	}
	return o, nil
}

// characteristic tells what all but a few joints of each level exceed.
func characteristic(k *call, cmd *phrase.Characteristic) (*outcome, error) {
	o, err := limitOptions(cmd)
	if err != nil {
		return nil, err
	}
	y := cmd.Y
	if y.Function != "" {
		return nil, &page.Problem{Code: "not-a-load", At: y.At, Message: "characteristic takes " + y.Column.Column + " itself",
			Hint: phrase.Line(&phrase.Characteristic{ByLevels: phrase.ByLevels{Y: plainly(y.Column.Column), A: cmd.A}, Lognormal: true})}
	}
	by := cmd.A
	s, r, groups, err := k.levelled(cmd.ByLevels)
	if err != nil {
		return nil, err
	}
	list, few, err := k.limitsOf(groups, by, o)
	if err != nil {
		return nil, err
	}
	k.e.Tables = []page.Table{limitTable(r, by, list, o)}
	mains := k.tellLimits(r, list, o)
	k.e.Cautions = append(k.e.Cautions, limitCautions(list, few, o)...)
	return answered(s, r, []string{by.Column}, mains).keeping(result{columns: []string{by.Column}}), nil
}

// levelLimit is the limit of one level and how the level is called in a sentence.
type levelLimit struct {
	level, called string
	limit.Limit
}

// limitsOf works out every level's limit; levels of too few specimens are named apart.
func (k *call) limitsOf(groups []group, by phrase.ColumnRef, o limit.Options) (list []levelLimit, few []string, err error) {
	for _, g := range groups {
		l, err := limit.Of(k.ctx, g.values, o)
		var e *limit.Error
		if errors.As(err, &e) && e.Code == "too-few-specimens" {
			nan := math.NaN()
			few = append(few, g.level)
			l = limit.Limit{N: len(g.values), Mean: nan, SD: nan, SDUsed: nan, K: nan, Value: nan, Upper: nan}
		} else if err != nil {
			return nil, nil, k.limitProblem(err, by.Column+" "+g.level)
		}
		list = append(list, levelLimit{g.level, by.Column + " " + g.level, l})
	}
	if len(few) == len(list) {
		return nil, nil, k.limitProblem(&limit.Error{Code: "too-few-specimens"}, by.Column)
	}
	return list, few, nil
}

// limitProblem puts an error of a limit into words.
func (k *call) limitProblem(err error, level string) error {
	var e *limit.Error
	if !errors.As(err, &e) {
		return err
	}
	y, _ := phrase.Part[phrase.Response](k.c)
	p := &page.Problem{Code: e.Code, At: y.At}
	switch e.Code {
	case "too-few-specimens":
		p.Message = "a characteristic value needs " + strconv.Itoa(limit.Fewest) + " specimens a level, and no level of " + level + " has them"
	case "not-positive":
		p.Code, p.Message = "impossible-value", "a characteristic value needs loads above zero, and those of "+level+" are not"
		p.Hint = "leave them out with for " + aboveZero(y.Column.Column)
	case "share":
		p.Code, p.Message = "out-of-range", "the share exceeded and the confidence lie between 0% and 100%, both ends left out"
		if c := k.c.Clauses().Confidence; c != nil {
			p.At = c.At
		}
	default:
		p.Message = level + ": " + e.Code
	}
	return p
}

func limitTable(r *response, by phrase.ColumnRef, list []levelLimit, o limit.Options) page.Table {
	u := r.unit()
	own := u // of mean and sd
	share := page.Num{Value: o.Exceeded, Style: page.Fraction}
	note := page.Say("limit: what ", share, " of such joints exceed, said with ", page.Num{Value: o.Confidence, Style: page.Fraction}, " confidence")
	switch o.Method {
	case limit.Lognormal:
		own = ""
		in := ""
		if u != "" {
			in = " in " + u
		}
		note = append(note, page.Word("; mean, sd and sd used are those of ln("+r.column.Name+in+"), and the limit is e to the mean − k × sd used"))
	case limit.Normal:
		note = append(note, page.Word("; it is the mean − k × sd used"))
	}
	if o.Method != limit.Ranked {
		note = append(note, page.Say("; sd used is the sd, but not less than ", page.Num{Value: limit.LeastSpread, Style: page.Fraction}, floorOf(o.Method))...)
	}
	t := page.Table{ID: "limits", Title: page.Say("Characteristic " + r.name() + " by " + by.Column), Note: note,
		Columns: []page.Column{{ID: by.Column}, {ID: "n", Style: page.Count}, {ID: "mean", Unit: own}, {ID: "sd", Unit: own},
			{ID: "sd_used", Unit: own}, {ID: "k"}, {ID: "limit", Unit: u}, {ID: "method"}}}
	for _, l := range list {
		t.Rows = append(t.Rows, []page.Cell{page.T(l.level), page.N(float64(l.N)), page.N(l.Mean), page.N(l.SD),
			page.N(l.SDUsed), page.N(l.K), page.N(l.Value), page.T(o.Method.Name())})
	}
	return t
}

func floorOf(m limit.Method) string {
	if m == limit.Lognormal {
		return " (of the logarithms, which is about the same share of the load)"
	}
	return " of the mean"
}

// tellLimits tells every limit, and sets the lowest up as the main answer.
func (k *call) tellLimits(r *response, list []levelLimit, o limit.Options) []main {
	var told []say.Limit
	lowest := -1
	for i, l := range list {
		if math.IsNaN(l.Value) {
			continue
		}
		told = append(told, say.Limit{Level: l.called, Value: l.Value, N: l.N})
		if lowest < 0 || l.Value < list[lowest].Value {
			lowest = i
		}
	}
	if lowest < 0 {
		k.e.Findings = []page.Sentence{say.NoLimit(limit.FewestRanked(o.Exceeded, o.Confidence), o.Exceeded, o.Confidence)}
		return nil
	}
	k.e.Findings = []page.Sentence{say.Limits(r.measure(), told, r.unit(), o.Exceeded, o.Confidence)}
	l := list[lowest]
	return []main{{key: "lowest", told: say.LowestLimit(r.measure(), say.Limit{Level: l.called, Value: l.Value, N: l.N}, r.unit(), o.Exceeded),
		gap: say.Gap{Value: l.Value, Range: verdict.Range{Low: l.Value, High: l.Upper}}}}
}

// limitCautions are the standing caution and those of single levels.
func limitCautions(list []levelLimit, few []string, o limit.Options) []page.Sentence {
	out := []page.Sentence{say.NoDesignValue()}
	var thin, floored, none []string
	for _, l := range list {
		switch {
		case l.N < limit.Fewest:
			continue
		case o.Method == limit.Ranked && math.IsNaN(l.Value):
			none = append(none, l.level)
			continue
		case l.N < fewForLimit:
			thin = append(thin, l.level)
		}
		if o.Method != limit.Ranked && l.SDUsed > l.SD {
			floored = append(floored, l.level)
		}
	}
	if len(few) > 0 {
		out = append(out, say.TooFewForLimit(strings.Join(few, ", "), limit.Fewest))
	}
	if len(none) > 0 && len(none)+len(few) < len(list) {
		out = append(out, say.TooFewForRanks(strings.Join(none, ", "), limit.FewestRanked(o.Exceeded, o.Confidence)))
	}
	if len(thin) > 0 {
		out = append(out, say.FewForLimit(strings.Join(thin, ", "), fewForLimit))
	}
	if len(floored) > 0 {
		out = append(out, say.SpreadFloored(strings.Join(floored, ", "), limit.LeastSpread))
	}
	return out
}
