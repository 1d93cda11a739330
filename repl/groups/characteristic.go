package groups

import (
	"errors"
	"math"
	"strconv"

	limit "breakbook/models/limits"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// Characteristic tells what all but a few joints of each level, or of those named, exceed.
func Characteristic(k *session.Call, cmd *phrase.Characteristic) (*session.Outcome, error) {
	switch of := cmd.Subject.(type) {
	case phrase.LimitsByLevels:
		return limitsByLevels(k, cmd, of)
	case phrase.LimitsOfFit:
		return limitsOfFit(k, cmd, of)
	}
	return nil, k.Unhandled()
}

// limitOptions are the command's shares; a characteristic value keeps a confidence of its own.
func limitOptions(cmd *phrase.Characteristic) limit.Options {
	o := limit.Options{Exceeded: 0.95, Confidence: 0.75}
	if a := cmd.Exceeded; a != nil {
		o.Exceeded = a.Value
	}
	if c := cmd.Confidence; c != nil {
		o.Confidence = c.Value
	}
	return o
}

// limitMethod is the way asked for: normal where none is.
func limitMethod(of phrase.LimitsByLevels) (limit.Method, error) {
	method, chosen := limit.Normal, 0
	for _, m := range []struct {
		is     bool
		method limit.Method
	}{{of.Normal, limit.Normal}, {of.Lognormal, limit.Lognormal}, {of.Ranked, limit.Ranked}} {
		if m.is {
			method = m.method
			chosen++
		}
	}
	if chosen > 1 {
		return method, page.Refuse(page.CodeTwoWays, 0, "a characteristic value is worked out one way at a time",
			"keep one of normal, lognormal and ranked")
	}
	return method, nil
}

// limitsByLevels works out a limit for each level of a category.
func limitsByLevels(k *session.Call, cmd *phrase.Characteristic, of phrase.LimitsByLevels) (*session.Outcome, error) {
	o := limitOptions(cmd)
	var err error
	if o.Method, err = limitMethod(of); err != nil {
		return nil, err
	}
	y, by := of.Y, of.A
	if y.Function != "" {
		return nil, page.Refuse(page.CodeNotALoad, y.At, "characteristic takes "+y.Column.Column+
			" itself",
			phrase.Line(&phrase.Characteristic{Subject: phrase.LimitsByLevels{
				ByLevels: phrase.ByLevels{Y: session.Plainly(y.Column.Column), A: by}, Lognormal: true}}))
	}
	b, err := limitBlocks(k, of, o)
	if err != nil {
		return nil, err
	}
	s, r, err := k.Measured(y, append([]string{by.Column}, b.columns()...)...)
	if err != nil {
		return nil, err
	}
	if r.ColumnLogged() {
		return nil, page.Refuse(page.CodeNotALoad, y.At, y.Column.Column+" holds the logarithm of "+
			r.Medians().Name+", and characteristic takes that itself; with lognormal it takes the logarithm for it", "")
	}
	groups, err := k.Groups(s, r.Values, by)
	if err != nil {
		return nil, err
	}
	list, few, err := limitsOf(k, groups, by, b.codes(k.Context, s), o)
	if err != nil {
		return nil, err
	}
	teller := &limitTeller{k: k, o: o, measure: r.Measure(), name: r.Column.Name, unit: r.Unit(), by: by.Column,
		blocks: b, list: list, few: few, line: of.ByLevels}
	if err := teller.logNormalLimits(groups, b.codes(k.Context, s)); err != nil {
		return nil, err
	}
	k.Entry.Tables = teller.tables("Characteristic " + r.Name() + " by " + by.Column)
	mains := teller.limits()
	differences, err := teller.differences(r)
	if err != nil {
		return nil, err
	}
	mains = append(mains, differences...)
	k.Entry.Warn(teller.cautions()...)
	return session.Tested(s, r, append([]string{by.Column}, b.known()...),
		mains).Keeping(session.Result{Columns: []string{by.Column}}), nil
}

// levelLimit is the limit of one level and how the level is called in a sentence; beside is
// that by the log-normal, where the normal gives none.
type levelLimit struct {
	level  string
	called page.Sentence
	limit.Limit
	logNormal *limit.Limit
}

// misfits reports whether there is no limit because the method does not suit the loads.
func (l levelLimit) misfits() bool { return l.None == limit.BelowZero || l.None == limit.OddShape }

// limitsOf works out every level's limit; levels of too few specimens are named apart.
func limitsOf(k *session.Call, groups []session.Group, by phrase.ColumnRef, codes []int,
	o limit.Options) (list []levelLimit, few []string, err error) {
	for _, g := range groups {
		l, err := limit.Of(k.Context, g.Values, among(codes, g.Rows), o)
		var e *limit.Error
		if errors.As(err, &e) && e.Code == "too-few-specimens" {
			nan := math.NaN()
			few = append(few, g.Level)
			l = limit.Limit{N: len(g.Values), Mean: nan, SD: nan, SDUsed: nan, K: nan, Value: nan, Upper: nan}
		} else if err != nil {
			return nil, nil, limitProblem(k, err, by.Column+" "+g.Level)
		}
		list = append(list, levelLimit{level: g.Level, called: page.Say(by.Column + " " + g.Level), Limit: l})
	}
	if len(few) == len(list) {
		return nil, nil, limitProblem(k, &limit.Error{Code: "too-few-specimens"}, by.Column)
	}
	return list, few, nil
}

// among are the codes of some of the specimens; nil of none.
func among(codes, rows []int) []int {
	if codes == nil {
		return nil
	}
	return lists.Mapped(rows, func(row int) int { return codes[row] })
}

// logNormalLimits are the log-normal's limits of levels that the normal gives none.
func (t *limitTeller) logNormalLimits(groups []session.Group, codes []int) error {
	if t.o.Method != limit.Normal {
		return nil
	}
	o := t.o
	o.Method = limit.Lognormal
	for i := range t.list {
		if !t.list[i].misfits() {
			continue
		}
		other, err := limit.Of(t.k.Context, groups[i].Values, among(codes, groups[i].Rows), o)
		var e *limit.Error
		if errors.As(err, &e) { // a load of zero has no logarithm
			continue
		}
		if err != nil {
			return err
		}
		if other.None == limit.Given {
			t.list[i].logNormal = &other
		}
	}
	return nil
}

// limitProblem puts an error of a limit into words.
func limitProblem(k *session.Call, err error, level string) error {
	var e *limit.Error
	if !errors.As(err, &e) {
		return err
	}
	y, typed := phrase.Part[phrase.Response](k.Command)
	p := &page.Problem{Code: page.Code(e.Code), At: y.At}
	switch e.Code {
	case "too-few-specimens":
		p.Message = "a characteristic value needs " + strconv.Itoa(limit.Fewest) + " specimens per level, " +
			"and no level of " + level + " has them"
	case "not-positive":
		p.Code, p.Message = "impossible-value",
			"a characteristic value needs loads above zero, and those of "+level+" are not"
		if typed {
			if _, f, err := k.Frame(); err == nil {
				c, _ := f.Column(y.Column.Column)
				p.Hint = session.KeepAboveZero(k.Context, f, c, "them")
			}
		}
	case "share":
		p.Code, p.Message = "out-of-range", "the share exceeded and the confidence lie between 0% and 100%, "+
			"both ends left out"
		if c := k.Command.Clauses().Confidence; c != nil {
			p.At = c.At
		}
	default:
		p.Message = level + ": " + e.Code
	}
	return p
}
