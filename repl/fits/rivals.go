package fits

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/mixed"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// clearly is the share of the support from which one rival is clearly the best. Common
// practice, no source.
const clearly = 0.9

// bestRival tells which of several fits the data support best, the heaviest first.
func bestRival(measure string, list []rival) page.Sentence {
	best, next := list[0], list[1]
	said := best.name + " (" + best.fit.TermList() + ")"
	switch {
	case math.IsNaN(best.weight):
		return page.Say("These fits of " + measure + " cannot be weighed: one has nearly as many figures as specimens.")
	case best.weight >= clearly:
		return page.Say("Of these fits of "+measure+" the data support "+said+" clearly best: ",
			page.Share(best.weight), " of the support.")
	}
	return page.Say("Of these fits of "+measure+" "+said+" has the most support, ", page.Share(best.weight),
		"; "+next.name+" has ", page.Share(next.weight), ". The data do not settle between them.")
}

// nestedStep tells whether the terms that a larger fit has more are worth their keep.
func nestedStep(smaller, larger string, more []string, p float64) page.Sentence {
	what := larger + " has " + strings.Join(more, ", ") + " beyond " + smaller
	if p < say.Alarm {
		return page.Say(what+", and "+say.Plural(len(more), "it accounts", "they account")+
			" for more than chance would (", page.Chance(p), ").")
	}
	return page.Say(what+", with no more gained than chance would bring (", page.Chance(p),
		"); that is no proof of no effect.")
}

// rival is one of several fits of the same response on the same specimens.
type rival struct {
	name       string
	fit        *fitted.Fit
	parameters float64 // the sd counted, and that of every column of blocks that has one
	likelihood float64
	aicc       float64
	weight     float64
}

// Rivals sets fits of one response on the same specimens against each other.
func Rivals(k *session.Call, cmd *phrase.Rivals) (*session.Outcome, error) {
	list, err := rivalsNamed(k, cmd.Fits.List)
	if err != nil {
		return nil, err
	}
	if err := sameSpecimens(k, list, cmd.Fits.List); err != nil {
		return nil, err
	}
	weigh(list)
	best := byWeight(list)
	first := list[0].fit
	steps, findings, err := steps(k, list)
	if err != nil {
		return nil, err
	}
	k.Entry.Find(bestRival(first.Y.Measure(), best))
	k.Entry.Find(findings...)
	k.Entry.Tables = []page.Table{rivalTable(list), steps}
	if slices.ContainsFunc(list, func(r rival) bool { return r.fit.Method.Blocks != nil }) {
		k.Entry.Warn(page.Say("Fits with blocks are compared with the others by the full likelihood, not the " +
			"restricted one they were fitted by; their figures here are those of that refit."))
	}
	var known []string
	for _, r := range list {
		for _, c := range r.fit.Known() {
			known = lists.With(known, c)
		}
	}
	return session.Tested(first.Sample, first.Y, known,
		mainsOf(list, best, k.Entry.Findings[0])).Keeping(session.Result{Columns: known}), nil
}

// rivalsNamed are the fits named, each with its likelihood.
func rivalsNamed(k *session.Call, names []phrase.Name) ([]rival, error) {
	if len(names) < 2 {
		return nil, page.Refuse(page.CodeTooFewRivals, names[0].At, "one fit has no rival",
			phrase.Line(&phrase.Rivals{Fits: phrase.NameList{List: names}})+", and another fit")
	}
	var out []rival
	for _, n := range names {
		if slices.ContainsFunc(out, func(r rival) bool { return r.name == n.Text }) {
			return nil, page.Refuse(page.CodeNamedTwice, n.At, n.Text+" is named twice", "")
		}
		f, err := fitted.Open(k, n)
		if err != nil {
			return nil, err
		}
		r, err := rivalOf(k, n, f)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

// rivalOf finds the likelihood of a fit, the full one of a fit with blocks.
func rivalOf(k *session.Call, n phrase.Name, f *fitted.Fit) (rival, error) {
	r := rival{name: n.Text, fit: f, likelihood: f.LogLikelihood, aicc: f.AICc, parameters: float64(f.Parameters())}
	if f.Method.Resistant {
		return r, page.Refuse(page.CodeNoLikelihood, n.At, n.Text+
			" is resistant and has no likelihood to compare with others", "fit the same terms without resistant")
	}
	if f.Method.Blocks == nil {
		return r, nil
	}
	blocks := make([]mixed.Block, len(f.Method.Blocks))
	for i, b := range f.Method.Blocks {
		blocks[i].Codes = f.Sample.BlockCodes(k.Context, b)
	}
	var full *mixed.Fit
	var err error
	if f.Method.Differ != nil {
		full, err = mixed.SolveKnown(k.Context, f.Response, f.Model(), blocks[0], f.Method.Known, mixed.Full)
	} else {
		full, err = mixed.Solve(k.Context, f.Response, f.Model(), blocks, mixed.Full)
	}
	if err != nil {
		return r, f.Method.Problem(err)
	}
	r.likelihood, r.aicc = full.LogLikelihood, full.AICc
	for _, c := range full.Components {
		if c.SD > 0 && f.Method.Differ == nil {
			r.parameters++
		}
	}
	return r, nil
}

// sameSpecimens refuses fits of different responses or specimens, and offers the lines
// that fit them on the specimens they share.
func sameSpecimens(k *session.Call, list []rival, names []phrase.Name) error {
	a := list[0].fit
	for i, r := range list[1:] {
		b := r.fit
		switch {
		case a.Sample.Series != b.Sample.Series || a.Y.Name() != b.Y.Name():
			return page.Refuse(page.CodeOtherResponse, names[i+1].At, r.name+" is about "+b.Y.Name()+" of "+
				b.Sample.Series+", "+list[0].name+" about "+a.Y.Name()+" of "+a.Sample.Series+": they are no rivals",
				"name fits of one response")
		case !slices.Equal(a.Sample.Rows, b.Sample.Rows):
			return page.Refuse(page.CodeOtherSpecimens, names[i+1].At, list[0].name+" used "+strconv.Itoa(a.N)+
				" specimens and "+r.name+" "+strconv.Itoa(b.N)+
				", not the same ones: their likelihoods cannot be compared", refit(k, list))
		case !slices.Equal(a.Model().Weights, b.Model().Weights):
			return page.Refuse(page.CodeOtherWeights, names[i+1].At, list[0].name+" and "+r.name+
				" are weighted differently: they are no rivals", "")
		}
	}
	return nil
}

// weigh shares a weight of 1 out by AICc (Akaike 1978; Burnham & Anderson 2002, 2.9); all
// are NaN where one has none.
func weigh(list []rival) {
	aicc := lists.Mapped(list, func(r rival) float64 { return r.aicc })
	for i, w := range weights(aicc) {
		list[i].weight = w
	}
}

// weights are those of fits with these AICc.
func weights(aicc []float64) []float64 {
	least, sum := math.Inf(1), 0.0
	for _, a := range aicc {
		least = min(least, a) // NaN where one is
	}
	out := make([]float64, len(aicc))
	for i, a := range aicc {
		out[i] = math.Exp((least - a) / 2)
		sum += out[i]
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}

// byWeight is the list with the heaviest first.
func byWeight(list []rival) []rival {
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(a, b rival) int { return cmp.Compare(b.weight, a.weight) })
	return sorted
}

// mainsOf is, for the best two and then every other pair, by how much one has the better
// AICc: the answer is which it is, and whether it is clearly so of the two.
func mainsOf(list, best []rival, findings page.Sentence) []session.Answer {
	var out []session.Answer
	add := func(a, b rival) {
		gap := say.Gap{Value: b.aicc - a.aicc, Range: verdict.Range{Low: math.Inf(-1), High: math.Inf(1)}}
		if 1/(1+math.Exp(-math.Abs(gap.Value)/2)) >= clearly {
			gap.Answer = verdict.Differs
		}
		out = append(out, session.Answer{Key: a.name + ", " + b.name, Finding: findings, Gap: gap})
	}
	add(best[0], best[1])
	for _, a := range list {
		for _, b := range list {
			if a.name != b.name && (a.name != best[0].name || b.name != best[1].name) {
				add(a, b)
			}
		}
	}
	return out
}

// modelRow is one fit among its rivals.
type modelRow struct {
	Model           string  `id:"model"`
	Weight          float64 `id:"weight" style:"fraction"`
	AICc            float64 `id:"aicc" label:"AICc"`
	ExplainedUnseen float64 `id:"explained_unseen" label:"for new specimens" style:"fraction"`
	Parameters      float64 `id:"parameters" style:"count"`
	LogLikelihood   float64 `id:"log_likelihood"`
	N               int     `id:"n"`
}

// stepRow is the test of the terms that one fit has more than another.
type stepRow struct {
	Smaller   string  `id:"smaller"`
	Larger    string  `id:"larger"`
	Test      string  `id:"test"`
	Statistic float64 `id:"statistic" style:"ratio"`
	DF        float64 `id:"df" label:"degrees of freedom" style:"df"`
	DFAgainst float64 `id:"df_against" label:"against" style:"df" wide:"yes"`
	P         float64 `id:"p" style:"p"`
}

func rivalTable(list []rival) page.Table {
	var rows []modelRow
	for _, r := range list {
		rows = append(rows, modelRow{r.name, r.weight, r.aicc, r.fit.ExplainedUnseen, r.parameters, r.likelihood,
			r.fit.N})
	}
	return page.Filled(page.Table{ID: "models", Title: page.Say("Rival fits of " + list[0].fit.Y.Name()),
		Note: page.Say("weight: how the data share their support out among these fits, by AICc")}, rows, nil)
}

// steps tests, for every pair of which one has all terms of the other, whether the terms
// more have something to add.
func steps(k *session.Call, list []rival) (page.Table, []page.Sentence, error) {
	t := page.Table{ID: "steps", Title: page.Say("From a smaller fit to a larger")}
	var rows []stepRow
	var findings []page.Sentence
	for _, small := range list {
		for _, large := range list {
			if !nested(small.fit, large.fit) {
				continue
			}
			row, err := step(k, small, large)
			if err != nil {
				return t, nil, err
			}
			rows = append(rows, row)
			if !math.IsNaN(row.P) {
				findings = append(findings, nestedStep(small.name, large.name, more(small.fit, large.fit), row.P))
			}
		}
	}
	if len(rows) == 0 {
		t.Note = page.Say("None of these fits has all the terms of another.")
	}
	return page.Filled(t, rows, nil), findings, nil
}

// step is F where both fits are least squares, their likelihood ratio where there are
// blocks. F is that of the terms more, taken after the smaller fit's, in the larger.
func step(k *session.Call, small, large rival) (stepRow, error) {
	x := stepRow{Smaller: small.name, Larger: large.name, P: math.NaN()}
	if small.fit.Method.Blocks != nil {
		x.Test, x.DFAgainst = "likelihood ratio", math.NaN()
		x.Statistic, x.DF = 2*(large.likelihood-small.likelihood), float64(large.fit.Rank()-small.fit.Rank())
		x.P = dist.ChiSquareTail(max(x.Statistic, 0), x.DF)
		return x, nil
	}
	m := large.fit.Model()
	m.Terms = nil
	var last []design.Term
	names := small.fit.TermNames()
	for i, term := range large.fit.Model().Terms {
		if slices.Contains(names, session.TermName(large.fit.Model(), i)) {
			m.Terms = append(m.Terms, term)
		} else {
			last = append(last, term)
		}
	}
	before := len(m.Terms)
	m.Terms = append(m.Terms, last...)
	f, err := linear.Solve(k.Context, large.fit.Response, m)
	if err != nil {
		return x, err
	}
	a, err := f.Anova(k.Context, linear.Sequential)
	if err != nil {
		return x, err
	}
	squares := 0.0
	for _, s := range a.Sources[before:] {
		if !s.Untestable {
			squares, x.DF = squares+s.SS, x.DF+s.DF
		}
	}
	c := large.fit.Change
	anew := c != nil && small.fit.Change == nil
	if anew {
		x.DF++ // the place
	}
	x.DFAgainst, x.Statistic = a.ResidualDF, squares/x.DF/a.ResidualMS
	switch {
	case anew:
		x.Test = "F, p by reshuffling over all places"
		if len(a.Sources)-before == 1 { // the change alone, whose place was looked for anew in every reshuffle
			x.P = c.P
		}
		return x, nil
	case c != nil:
		x.Test = "F, each place as found"
		return x, nil
	}
	x.Test, x.P = "F", dist.FTail(x.Statistic, x.DF, x.DFAgainst)
	if small.fit.Method.Uneven {
		x.Test = "F, taking spread as equal"
	}
	return x, nil
}

// nested reports whether large has all terms of small and more, fitted in the same way.
func nested(small, large *fitted.Fit) bool {
	a, b := small.TermNames(), large.TermNames()
	for _, name := range a {
		if !slices.Contains(b, name) {
			return false
		}
	}
	return len(b) > len(a) && small.Rank() < large.Rank() && small.Model().ThroughZero == large.Model().ThroughZero &&
		small.Method.Said() == large.Method.Said()
}

// more lists the terms that large has and small has not.
func more(small, large *fitted.Fit) []string {
	a := small.TermNames()
	return slices.DeleteFunc(large.TermNames(), func(name string) bool { return slices.Contains(a, name) })
}
