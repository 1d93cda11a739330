package groups

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
	"breakbook/repl/session"
)

// limitOfLevel is the characteristic value of one level.
type limitOfLevel struct {
	Level string // "pins pair"
	Value float64
	N     int
}

// limitsFinding tells what all but a few joints of each level exceed.
func limitsFinding(measure string, levels []limitOfLevel, unit string, exceeded, confidence float64) page.Sentence {
	var s page.Sentence
	for i, l := range levels {
		if i == 0 {
			s = page.Say("With "+l.Level+", ", page.Num{Value: exceeded, Style: page.Fraction}, " of such joints exceed ",
				page.Num{Value: l.Value, Unit: unit}, " in "+measure)
		} else {
			s = append(s, page.Say("; with "+l.Level+", ", page.Num{Value: l.Value, Unit: unit})...)
		}
		s = append(s, page.Say(" (", l.N, " specimens)")...)
	}
	return append(s, page.Say(". Each is set low enough, for the number of specimens it rests on, to be said with ",
		page.Num{Value: confidence, Style: page.Fraction}, " confidence.")...)
}

// lowestLimit tells the lowest characteristic value of all levels.
func lowestLimit(measure string, l limitOfLevel, unit string, exceeded float64) page.Sentence {
	return page.Say("the lowest "+measure+" that ", page.Num{Value: exceeded, Style: page.Fraction}, " of joints exceed is ",
		page.Num{Value: l.Value, Unit: unit}, ", with "+l.Level+".")
}

// noLimit says that ranks give no limit with so few specimens.
func noLimit(least int, exceeded, confidence float64) page.Sentence {
	return page.Say("There is no limit by ranks: what ", page.Num{Value: exceeded, Style: page.Fraction}, " of joints exceed takes at least ", least,
		" specimens per level to say with ", page.Num{Value: confidence, Style: page.Fraction}, " confidence, when nothing is assumed of how they scatter.")
}

// noDesignValue is the caution every characteristic value carries.
func noDesignValue() page.Sentence {
	return page.Say("These figures describe the joints of this series and are no design values: what a joint may be trusted to carry is for local codes and licensed practice to decide.")
}

// tooFewForLimit names levels that are left without a limit.
func tooFewForLimit(levels string, least int) page.Sentence {
	return page.Say("No limit for "+levels+": it takes at least ", least, " specimens per level.")
}

// tooFewForRanks names levels that ranks leave without a limit.
func tooFewForRanks(levels string, least int) page.Sentence {
	return page.Say("No limit by ranks for "+levels+": that takes at least ", least, " specimens per level.")
}

// fewForLimitCaution names levels whose limit rests on few specimens.
func fewForLimitCaution(levels string, least int) page.Sentence {
	return page.Say("Under ", least, " specimens: "+levels+". The factor k allows for that, but it cannot allow for loads that scatter otherwise than is assumed.")
}

// spreadFloored names levels that scattered less than is believed of any joint.
func spreadFloored(levels string, least float64) page.Sentence {
	return page.Say("The specimens of "+levels+" scatter by less than ", page.Num{Value: least, Style: page.Fraction},
		"; that is taken as the least, since few specimens can be alike by luck.")
}

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

// Characteristic tells what all but a few joints of each level exceed.
func Characteristic(k *session.Call, cmd *phrase.Characteristic) (*session.Outcome, error) {
	o, err := limitOptions(cmd)
	if err != nil {
		return nil, err
	}
	y := cmd.Y
	if y.Function != "" {
		return nil, &page.Problem{Code: "not-a-load", At: y.At, Message: "characteristic takes " + y.Column.Column + " itself",
			Hint: phrase.Line(&phrase.Characteristic{ByLevels: phrase.ByLevels{Y: session.Plainly(y.Column.Column), A: cmd.A}, Lognormal: true})}
	}
	by := cmd.A
	s, r, groups, err := k.Levelled(cmd.ByLevels)
	if err != nil {
		return nil, err
	}
	list, few, err := limitsOf(k, groups, by, o)
	if err != nil {
		return nil, err
	}
	k.Entry.Tables = []page.Table{limitTable(r, by, list, o)}
	mains := tellLimits(k, r, list, o)
	k.Entry.Cautions = append(k.Entry.Cautions, limitCautions(list, few, o)...)
	return session.Answered(s, r, []string{by.Column}, mains).Keeping(session.Result{Columns: []string{by.Column}}), nil
}

// levelLimit is the limit of one level and how the level is called in a sentence.
type levelLimit struct {
	level, called string
	limit.Limit
}

// limitsOf works out every level's limit; levels of too few specimens are named apart.
func limitsOf(k *session.Call, groups []session.Group, by phrase.ColumnRef, o limit.Options) (list []levelLimit, few []string, err error) {
	for _, g := range groups {
		l, err := limit.Of(k.Context, g.Values, nil, o)
		var e *limit.Error
		if errors.As(err, &e) && e.Code == "too-few-specimens" {
			nan := math.NaN()
			few = append(few, g.Level)
			l = limit.Limit{N: len(g.Values), Mean: nan, SD: nan, SDUsed: nan, K: nan, Value: nan, Upper: nan}
		} else if err != nil {
			return nil, nil, limitProblem(k, err, by.Column+" "+g.Level)
		}
		list = append(list, levelLimit{g.Level, by.Column + " " + g.Level, l})
	}
	if len(few) == len(list) {
		return nil, nil, limitProblem(k, &limit.Error{Code: "too-few-specimens"}, by.Column)
	}
	return list, few, nil
}

// limitProblem puts an error of a limit into words.
func limitProblem(k *session.Call, err error, level string) error {
	var e *limit.Error
	if !errors.As(err, &e) {
		return err
	}
	y, _ := phrase.Part[phrase.Response](k.Command)
	p := &page.Problem{Code: e.Code, At: y.At}
	switch e.Code {
	case "too-few-specimens":
		p.Message = "a characteristic value needs " + strconv.Itoa(limit.Fewest) + " specimens per level, and no level of " + level + " has them"
	case "not-positive":
		p.Code, p.Message = "impossible-value", "a characteristic value needs loads above zero, and those of "+level+" are not"
		p.Hint = "leave them out with for " + session.AboveZero(y.Column.Column)
	case "share":
		p.Code, p.Message = "out-of-range", "the share exceeded and the confidence lie between 0% and 100%, both ends left out"
		if c := k.Command.Clauses().Confidence; c != nil {
			p.At = c.At
		}
	default:
		p.Message = level + ": " + e.Code
	}
	return p
}

// limitRow is the characteristic value of one level.
type limitRow struct {
	A      string  `id:"{a}"`
	N      int     `id:"n"`
	Mean   float64 `id:"mean" unit:"{own}"`
	SD     float64 `id:"sd" unit:"{own}"`
	SDUsed float64 `id:"sd_used" unit:"{own}"`
	K      float64 `id:"k"`
	Limit  float64 `id:"limit" unit:"{y}"`
	Method string  `id:"method"`
}

func limitTable(r *session.Response, by phrase.ColumnRef, list []levelLimit, o limit.Options) page.Table {
	u := r.Unit()
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
		note = append(note, page.Word("; mean, sd and sd used are those of ln("+r.Column.Name+in+"), and the limit is e to the mean − k × sd used"))
	case limit.Normal:
		note = append(note, page.Word("; it is the mean − k × sd used"))
	}
	if o.Method != limit.Ranked {
		note = append(note, page.Say("; sd used is the sd, but not less than ", page.Num{Value: limit.LeastSpread, Style: page.Fraction}, floorOf(o.Method))...)
	}
	var rows []limitRow
	for _, l := range list {
		rows = append(rows, limitRow{l.level, l.N, l.Mean, l.SD, l.SDUsed, l.K, l.Value, o.Method.Name()})
	}
	return page.Filled(page.Table{ID: "limits", Title: page.Say("Characteristic " + r.Name() + " by " + by.Column), Note: note},
		rows, page.Names{"y": u, "own": own, "a": by.Column})
}

func floorOf(m limit.Method) string {
	if m == limit.Lognormal {
		return " (of the logarithms, which is about the same share of the load)"
	}
	return " of the mean"
}

// tellLimits tells every limit, and sets the lowest up as the main answer.
func tellLimits(k *session.Call, r *session.Response, list []levelLimit, o limit.Options) []session.Answer {
	var told []limitOfLevel
	lowest := -1
	for i, l := range list {
		if math.IsNaN(l.Value) {
			continue
		}
		told = append(told, limitOfLevel{Level: l.called, Value: l.Value, N: l.N})
		if lowest < 0 || l.Value < list[lowest].Value {
			lowest = i
		}
	}
	if lowest < 0 {
		k.Entry.Findings = []page.Sentence{noLimit(limit.FewestRanked(o.Exceeded, o.Confidence), o.Exceeded, o.Confidence)}
		return nil
	}
	k.Entry.Findings = []page.Sentence{limitsFinding(r.Measure(), told, r.Unit(), o.Exceeded, o.Confidence)}
	l := list[lowest]
	return []session.Answer{{Key: "lowest", Told: lowestLimit(r.Measure(), limitOfLevel{Level: l.called, Value: l.Value, N: l.N}, r.Unit(), o.Exceeded),
		Gap: say.Gap{Value: l.Value, Range: verdict.Range{Low: l.Value, High: l.Upper}}}}
}

// limitCautions are the standing caution and those of single levels.
func limitCautions(list []levelLimit, few []string, o limit.Options) []page.Sentence {
	out := []page.Sentence{noDesignValue()}
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
		out = append(out, tooFewForLimit(strings.Join(few, ", "), limit.Fewest))
	}
	if len(none) > 0 && len(none)+len(few) < len(list) {
		out = append(out, tooFewForRanks(strings.Join(none, ", "), limit.FewestRanked(o.Exceeded, o.Confidence)))
	}
	if len(thin) > 0 {
		out = append(out, fewForLimitCaution(strings.Join(thin, ", "), fewForLimit))
	}
	if len(floored) > 0 {
		out = append(out, spreadFloored(strings.Join(floored, ", "), limit.LeastSpread))
	}
	return out
}
