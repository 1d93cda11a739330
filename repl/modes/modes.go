package modes

import (
	"context"
	"math"
	"slices"
	"strconv"
	"strings"

	"breakbook/models/incidence"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// modeShare is how many of a level's specimens broke in a mode.
type modeShare struct {
	Level, Mode string   // "pins pair", "glue"
	Alike       []string // other modes that as many broke in
	Count, N    int
}

// said names the mode in a sentence: "glue", or "glue and wood each".
func (m modeShare) said() string {
	if len(m.Alike) == 0 {
		return m.Mode
	}
	return strings.Join(append([]string{m.Mode}, m.Alike...), " and ") + " each"
}

// modeRange is the share of a level's specimens that broke in a mode, with its interval.
type modeRange struct {
	modeShare
	Share float64
	Range verdict.Range
}

// modesShared tells how often each level broke in its commonest mode. Under is the load the
// shares are taken at, and what load that is, nil for all specimens whatever their load.
func modesShared(mode string, under page.Sentence, levels []modeRange, confidence float64) page.Sentence {
	s := page.Say("The commonest " + mode + ": ")
	if under != nil {
		s = page.Say("By ", under, ", "+mode+" had been: ")
	}
	for i, l := range levels {
		s = page.Say(s, page.If(i > 0, "; "), l.said()+" in ", page.Share(l.Share), " of the ", l.N,
			say.Plural(l.N, " specimen", " specimens")+" with "+l.Level, page.If(l.Range.Known(), " (",
				page.If(i == 0, page.Share(confidence), " interval "),
				page.Span{Low: l.Range.Low, High: l.Range.High, Style: page.Fraction}, ")"))
	}
	return append(s, page.Word("."))
}

// Modes tells the share of each way of breaking at each level, and with `under` how those
// shares build up with the load.
func Modes(k *session.Call, cmd *phrase.Modes) (*session.Outcome, error) {
	var columns []string
	if cmd.Under != nil {
		columns = append(columns, cmd.Under.Column.Column)
	}
	c, err := readCrossed(k, cmd.Mode, cmd.A, columns...)
	if err != nil {
		return nil, err
	}
	conf := k.Confidence()
	most, mains := c.shares(conf)
	lead := modesShared(c.mode.Column, nil, most, conf)
	for i := range mains {
		mains[i].Finding = lead
	}
	k.Entry.Findings = []page.Sentence{lead}
	k.Entry.Tables = []page.Table{c.proportionTable(conf)}
	known := []string{c.mode.Column, c.by.Column}
	if cmd.Under != nil {
		r, err := k.ReadResponse(c.sample, *cmd.Under)
		if err != nil {
			return nil, err
		}
		buildup(k, c, r, conf)
		known = append(known, r.Column.Name)
	}
	out := session.Tested(c.sample, c.sample.Mode(c.mode.Column), known, mains)
	return out.Keeping(session.Result{Columns: known}), nil
}

// shares is the commonest mode of each level, for a sentence and as an answer.
func (c *crossed) shares(conf float64) (commonest []modeRange, mains []session.Answer) {
	for _, m := range c.most() {
		r := modeRange{modeShare: m, Share: float64(m.Count) / float64(m.N),
			Range: incidence.Proportion(m.Count, m.N, conf)}
		commonest = append(commonest, r)
		mains = append(mains, session.Answer{Key: m.Level + ", " + m.Mode, Gap: say.Gap{Value: r.Share,
			Range: r.Range}})
	}
	return commonest, mains
}

// proportionRow is the share of a level's specimens that broke in a mode.
type proportionRow struct {
	Level      string  `id:"{by}"`
	Mode       string  `id:"mode"`
	N          int     `id:"n"`
	Proportion float64 `id:"proportion" style:"fraction"`
	Low        float64 `id:"low" style:"fraction"`
	High       float64 `id:"high" style:"fraction"`
}

// buildupRow is the share of a level's specimens that had broken in a mode at a load.
type buildupRow struct {
	Level  string  `id:"{by}"`
	Mode   string  `id:"mode"`
	Load   float64 `id:"load" unit:"{y}"`
	AtRisk int     `id:"at_risk"`
	Share  float64 `id:"share" style:"fraction"`
	Low    float64 `id:"low" style:"fraction"`
	High   float64 `id:"high" style:"fraction"`
}

// proportionTable has one row a level and mode.
func (c *crossed) proportionTable(conf float64) page.Table {
	var rows []proportionRow
	for i, counts := range c.counts {
		n := len(c.specimens[i])
		for j, count := range counts {
			r := incidence.Proportion(count, n, conf)
			rows = append(rows, proportionRow{c.rows[i], c.modes[j], n, float64(count) / float64(n), r.Low, r.High})
		}
	}
	t := page.Table{ID: "proportions", Title: page.Say("Share of each " + c.mode.Column + " by " + c.by.Column),
		Note: page.Say("low and high: exact ", page.Share(conf), " interval of each proportion by itself")}
	return page.Filled(t, rows, page.Names{"by": c.by.Column})
}

// buildup adds the table and the finding of the shares as they build up with the load.
func buildup(k *session.Call, c *crossed, r *session.Response, conf float64) {
	modeOf, whole := c.endings()
	unit := r.Unit()
	t := page.Table{ID: "buildup",
		Title: page.Say("Share of each " + c.mode.Column + " as " + r.Name() + " rises, by " + c.by.Column),
		Note: page.Say("share: of all specimens of the level, ended so at this load or under it; low and high: ",
			page.Share(conf), " interval on ln(−ln share), a dash where all have ended so")}
	names := page.Names{"by": c.by.Column, "y": unit}
	middle := medianOf(k.Context, r.Values)
	var commonest []modeRange
	for i, specimens := range c.specimens {
		loads, modes := make([]float64, len(specimens)), make([]int, len(specimens))
		for j, row := range specimens {
			loads[j], modes[j] = r.Values[row], modeOf[row]
		}
		largest := modeRange{modeShare: modeShare{Level: c.said(i), N: len(specimens)}}
		for m, steps := range incidence.Buildup(k.Context, loads, modes, len(c.modes), conf) {
			rows := make([]buildupRow, 0, len(steps))
			for n, s := range steps {
				parallel.LookAt(k.Context, n)
				rows = append(rows, buildupRow{c.rows[i], c.modes[m], s.Load, s.AtRisk, s.Share, s.Range.Low,
					s.Range.High})
				if s.Load <= middle && s.Share > largest.Share {
					largest.Mode, largest.Share, largest.Range = c.modes[m], s.Share, s.Range
				}
			}
			t = page.Filled(t, rows, names)
		}
		if largest.Mode != "" && len(commonest) < mostNamed {
			commonest = append(commonest, largest)
		}
	}
	k.Entry.Tables = append(k.Entry.Tables, t)
	if len(commonest) > 0 {
		all := "the loads"
		if !r.IsLoad() || !r.Plain() {
			all = "the values of " + r.Name()
		}
		under := page.Say(page.In(middle, unit), ", the middle one of "+all)
		k.Entry.Find(modesShared(c.mode.Column, under, commonest, conf))
	}
	if len(whole) > 0 {
		n := lists.Count(modeOf, func(w int) bool { return w == incidence.Whole })
		k.Entry.Find(page.Say(n, say.Plural(n, " specimen", " specimens")+" of "+c.mode.Column+" "+
			strings.Join(whole, " or ")+say.Plural(n, " is", " are")+
			" taken as unbroken: the load at which the test ended is only a lower bound."))
	}
}

// endings is the mode of each specimen, whole where its level says that nothing broke, and those levels.
func (c *crossed) endings() (modeOf []int, whole []string) {
	modeOf = slices.Clone(c.codes)
	for j, m := range c.modes {
		if !session.NothingBroke(m) {
			continue
		}
		whole = append(whole, m)
		for i, code := range c.codes {
			if code == j {
				modeOf[i] = incidence.Whole
			}
		}
	}
	return modeOf, whole
}

// medianOf is the middle value, the lower of the two middle ones.
func medianOf(ctx context.Context, values []float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	sorted := slices.Clone(values)
	parallel.Sort(ctx, sorted)
	return sorted[(len(sorted)-1)/2]
}

// modesAlt tells what a picture of the shares of the ways of breaking shows.
func modesAlt(mode string, shares []modeRange) page.Sentence {
	s := page.Say("The share of each " + mode + " at each level, with its exact interval")
	last := ""
	for i, m := range shares {
		lead := ", "
		switch {
		case i == 0:
			lead = ": " + m.Level + " (" + strconv.Itoa(m.N) + "): "
		case m.Level != last:
			lead = "; " + m.Level + " (" + strconv.Itoa(m.N) + "): "
		}
		last = m.Level
		s = page.Say(s, lead+m.Mode+" ", page.Share(m.Share))
	}
	return append(s, page.Word("."))
}

// modesWidth is how much of a level's place on the axis its modes take up side by side.
const modesWidth = 0.6

// DrawModes shows the share of each way of breaking at each level, with its exact interval.
func DrawModes(k *session.Call, cmd *phrase.DrawModes) (*session.Outcome, error) {
	c, err := readCrossed(k, cmd.Mode, cmd.A)
	if err != nil {
		return nil, err
	}
	by, _ := c.sample.Frame.Column(c.by.Column)
	mode, _ := c.sample.Frame.Column(c.mode.Column)
	fig, err := k.Picture(session.AxisOf(mode).Label+" by "+session.InSentence(by), cmd.Picture)
	if err != nil {
		return nil, err
	}
	fig.X, fig.Y = session.AxisOf(by), page.Axis{Label: "Share of specimens", Unit: "percent"}
	fig.KeyTitle = session.AxisOf(mode).Label
	for _, m := range c.modes {
		fig.Keys = append(fig.Keys, page.Key{Label: m, Look: session.LookOf(mode, m)})
	}
	var ranges []modeRange
	for i, counts := range c.counts {
		n := len(c.specimens[i])
		fig.X.Levels, fig.X.Counts = append(fig.X.Levels, c.rows[i]), append(fig.X.Counts, n)
		for j, count := range counts {
			share, r := float64(count)/float64(n), incidence.Proportion(count, n, k.Confidence())
			x := float64(i) + modesWidth*((float64(j)+0.5)/float64(len(counts))-0.5)
			fig.Layers = append(fig.Layers, page.Interval{X: x, Mean: 100 * share, Low: 100 * r.Low, High: 100 * r.High,
				Look: session.LookOf(mode, c.modes[j])})
			ranges = append(ranges, modeRange{modeShare: modeShare{Level: c.said(i), Mode: c.modes[j], Count: count,
				N: n}, Share: share, Range: r})
		}
	}
	fig.Note = say.BarsNote("share", k.Confidence())
	fig.Alt = modesAlt(c.mode.Column, ranges)
	return k.Drawn(fig)
}
