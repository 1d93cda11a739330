package kernel

import (
	"math"
	"slices"
	"strconv"

	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/models/mixed"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// rival is one of several fits of the same response on the same specimens.
type rival struct {
	name       string
	fit        *fitted
	parameters float64 // the sd counted, and that of every column of blocks that has one
	likelihood float64
	aicc       float64
	weight     float64
}

// rivals sets fits of one response on the same specimens against each other.
func rivals(k *call, cmd *phrase.Rivals) (*outcome, error) {
	list, err := k.rivalsNamed(cmd.Fits.List)
	if err != nil {
		return nil, err
	}
	if err := k.sameSpecimens(list, cmd.Fits.List); err != nil {
		return nil, err
	}
	weigh(list)
	best := byWeight(list)
	first := list[0].fit
	steps, told, err := k.steps(list)
	if err != nil {
		return nil, err
	}
	k.e.Findings = append(k.e.Findings, leadOf(best, first.response.measure()))
	k.e.Findings = append(k.e.Findings, told...)
	k.e.Tables = []page.Table{rivalTable(list), steps}
	if slices.ContainsFunc(list, func(r rival) bool { return r.fit.way.blocks != nil }) {
		k.e.Cautions = append(k.e.Cautions, page.Say("Fits with blocks are set against the others by the full likelihood, not the restricted one they were fitted by; their figures here are those of that refit."))
	}
	var known []string
	for _, r := range list {
		for _, c := range r.fit.known() {
			if !slices.Contains(known, c) {
				known = append(known, c)
			}
		}
	}
	return answered(first.sample, first.response, known, mainsOf(list, best, k.e.Findings[0])).keeping(result{columns: known}), nil
}

// rivalsNamed are the fits named, each with its likelihood.
func (k *call) rivalsNamed(names []phrase.Name) ([]rival, error) {
	if len(names) < 2 {
		return nil, &page.Problem{Code: "too-few-rivals", At: names[0].At, Message: "one fit has no rival",
			Hint: phrase.Line(&phrase.Rivals{Fits: phrase.NameList{List: names}}) + ", and another fit"}
	}
	var out []rival
	for _, n := range names {
		if slices.ContainsFunc(out, func(r rival) bool { return r.name == n.Text }) {
			return nil, &page.Problem{Code: "named-twice", At: n.At, Message: n.Text + " is named twice"}
		}
		f, err := k.fitNamed(n)
		if err != nil {
			return nil, err
		}
		r, err := k.rivalOf(n, f)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

// rivalOf finds the likelihood of a fit, the full one of a fit with blocks.
func (k *call) rivalOf(n phrase.Name, f *fitted) (rival, error) {
	r := rival{name: n.Text, fit: f, likelihood: f.LogLikelihood, aicc: f.AICc, parameters: float64(f.Rank()) + 1}
	if f.way.resistant {
		return r, &page.Problem{Code: "no-likelihood", At: n.At, Message: n.Text + " is resistant and has no likelihood to set against others",
			Hint: "fit the same terms without resistant"}
	}
	if f.way.blocks == nil {
		return r, nil
	}
	blocks := make([]mixed.Block, len(f.way.blocks))
	for i, b := range f.way.blocks {
		blocks[i].Codes = f.sample.blockCodes(k.ctx, b)
	}
	full, err := mixed.Solve(k.ctx, f.Response, f.model(), blocks, mixed.Full)
	if err != nil {
		return r, f.way.problem(err)
	}
	r.likelihood, r.aicc = full.LogLikelihood, full.AICc
	for _, c := range full.Components {
		if c.SD > 0 {
			r.parameters++
		}
	}
	return r, nil
}

// sameSpecimens refuses fits of different responses or specimens, and offers the lines
// that fit them on the specimens they share.
func (k *call) sameSpecimens(list []rival, names []phrase.Name) error {
	a := list[0].fit
	for i, r := range list[1:] {
		b := r.fit
		switch {
		case a.sample.series != b.sample.series || a.response.name() != b.response.name():
			return &page.Problem{Code: "other-response", At: names[i+1].At, Message: r.name + " is about " + b.response.name() + " of " +
				b.sample.series + ", " + list[0].name + " about " + a.response.name() + " of " + a.sample.series + ": they are no rivals",
				Hint: "name fits of one response"}
		case !slices.Equal(a.sample.rows, b.sample.rows):
			return &page.Problem{Code: "other-specimens", At: names[i+1].At, Message: list[0].name + " used " + strconv.Itoa(a.N) +
				" specimens and " + r.name + " " + strconv.Itoa(b.N) + ", not the same ones: their likelihoods cannot be set against each other",
				Hint: k.refit(list)}
		case !slices.Equal(a.model().Weights, b.model().Weights):
			return &page.Problem{Code: "other-weights", At: names[i+1].At, Message: list[0].name + " and " + r.name + " are weighted differently: they are no rivals"}
		}
	}
	return nil
}

// weigh shares a weight of 1 out by AICc (Akaike 1978; Burnham & Anderson 2002, 2.9); all
// are NaN where one has none.
func weigh(list []rival) {
	least, sum := math.Inf(1), 0.0
	for _, r := range list {
		least = min(least, r.aicc) // NaN where one is
	}
	for i := range list {
		list[i].weight = math.Exp((least - list[i].aicc) / 2)
		sum += list[i].weight
	}
	for i := range list {
		list[i].weight /= sum
	}
}

// byWeight is the list with the heaviest first.
func byWeight(list []rival) []rival {
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(a, b rival) int {
		switch {
		case a.weight > b.weight:
			return -1
		case a.weight < b.weight:
			return 1
		}
		return 0
	})
	return sorted
}

func leadOf(best []rival, measure string) page.Sentence {
	if math.IsNaN(best[0].weight) {
		return say.NoWeights(measure)
	}
	return say.BestRival(measure, best[0].name, best[0].fit.termList(), best[0].weight, best[1].name, best[1].weight)
}

// mainsOf is, for the best two and then every other pair, by how much one has the better
// AICc: the answer is which it is, and whether it is clearly so of the two.
func mainsOf(list, best []rival, told page.Sentence) []main {
	var out []main
	add := func(a, b rival) {
		gap := say.Gap{Value: b.aicc - a.aicc, Range: verdict.Range{Low: math.Inf(-1), High: math.Inf(1)}}
		if 1/(1+math.Exp(-math.Abs(gap.Value)/2)) >= say.Clearly {
			gap.Answer = verdict.Differs
		}
		out = append(out, main{key: a.name + ", " + b.name, told: told, gap: gap})
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

func rivalTable(list []rival) page.Table {
	t := page.Table{ID: "models", Title: page.Say("Rival fits of " + list[0].fit.response.name()), Columns: []page.Column{{ID: "model"},
		{ID: "n", Style: page.Count}, {ID: "parameters", Style: page.Count}, {ID: "log_likelihood"}, {ID: "aicc", Label: "AICc"},
		{ID: "weight", Style: page.Fraction}, {ID: "explained_unseen", Label: "explained of unseen", Style: page.Fraction}},
		Note: page.Say("weight: how the data share their support out among these fits, by AICc")}
	for _, r := range list {
		t.Rows = append(t.Rows, []page.Cell{page.T(r.name), page.N(float64(r.fit.N)), page.N(r.parameters), page.N(r.likelihood),
			page.N(r.aicc), page.N(r.weight), page.N(r.fit.ExplainedUnseen)})
	}
	return t
}

// steps tests, for every pair of which one has all terms of the other, whether the terms
// more have something to add.
func (k *call) steps(list []rival) (page.Table, []page.Sentence, error) {
	t := page.Table{ID: "steps", Title: page.Say("From a smaller fit to a larger"), Columns: []page.Column{{ID: "smaller"}, {ID: "larger"}, {ID: "test"},
		{ID: "statistic", Style: page.Ratio}, {ID: "df", Label: "degrees of freedom", Style: page.DF},
		{ID: "df_against", Label: "against", Style: page.DF, Wide: true}, {ID: "p", Style: page.P}}}
	var told []page.Sentence
	for _, small := range list {
		for _, large := range list {
			if !nested(small.fit, large.fit) {
				continue
			}
			test, x, err := k.step(small, large)
			if err != nil {
				return t, nil, err
			}
			t.Rows = append(t.Rows, []page.Cell{page.T(small.name), page.T(large.name), page.T(test), page.N(x.statistic), page.N(x.df),
				page.N(x.against), page.N(x.p)})
			told = append(told, say.Step(small.name, large.name, more(small.fit, large.fit), x.p))
		}
	}
	if len(t.Rows) == 0 {
		t.Note = page.Say("None of these fits has all the terms of another.")
	}
	return t, told, nil
}

// stepTest is one test of terms more.
type stepTest struct{ statistic, df, against, p float64 }

// step is F where both fits are least squares, their likelihood ratio where there are
// blocks. F is that of the terms more, taken after the smaller fit's, in the larger.
func (k *call) step(small, large rival) (string, stepTest, error) {
	if small.fit.way.blocks != nil {
		x := stepTest{statistic: 2 * (large.likelihood - small.likelihood), df: float64(large.fit.Rank() - small.fit.Rank()), against: math.NaN()}
		x.p = dist.ChiSquareTail(max(x.statistic, 0), x.df)
		return "likelihood ratio", x, nil
	}
	m := large.fit.model()
	var last []design.Term
	m.Terms, last = nil, nil
	names := termNames(small.fit)
	for i, term := range large.fit.model().Terms {
		if slices.Contains(names, termName(large.fit.model(), i)) {
			m.Terms = append(m.Terms, term)
		} else {
			last = append(last, term)
		}
	}
	before := len(m.Terms)
	m.Terms = append(m.Terms, last...)
	f, err := linear.Solve(k.ctx, large.fit.Response, m)
	if err != nil {
		return "", stepTest{}, err
	}
	a, err := f.Anova(k.ctx, linear.Sequential)
	if err != nil {
		return "", stepTest{}, err
	}
	x := stepTest{against: a.LeftDF}
	squares := 0.0
	for _, s := range a.Sources[before:] {
		if !s.Untestable {
			squares, x.df = squares+s.SS, x.df+s.DF
		}
	}
	x.statistic = squares / x.df / a.LeftMS
	x.p = dist.FTail(x.statistic, x.df, x.against)
	if small.fit.way.uneven {
		return "F, taking spread as equal", x, nil
	}
	return "F", x, nil
}

func termNames(f *fitted) []string {
	var out []string
	for i := range f.model().Terms {
		out = append(out, termName(f.model(), i))
	}
	return out
}

// nested reports whether large has all terms of small and more, fitted in the same way.
func nested(small, large *fitted) bool {
	a, b := termNames(small), termNames(large)
	for _, name := range a {
		if !slices.Contains(b, name) {
			return false
		}
	}
	return len(b) > len(a) && small.Rank() < large.Rank() && small.model().ThroughZero == large.model().ThroughZero &&
		small.way.said() == large.way.said()
}

// more lists the terms that large has and small has not.
func more(small, large *fitted) []string {
	a := termNames(small)
	return slices.DeleteFunc(termNames(large), func(name string) bool { return slices.Contains(a, name) })
}
