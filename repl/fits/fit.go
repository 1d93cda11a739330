package fits

import (
	"context"

	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/models/together"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// togetherSentence warns that two terms of a fit can hardly be distinguished.
func togetherSentence(first, second string, strength float64) page.Sentence {
	return page.Say(first+" and "+second+" are confounded: they changed together in these specimens (association ", page.Num{Value: strength, Style: page.Ratio},
		"), so the fit can hardly distinguish which of them did it. More specimens of the same kind would not help; some that separate the two would.")
}

func Specimen(f *session.Fit, w []float64) (linear.Estimate, bool) { return f.Estimator.Specimen(w) }

// Fit explains a response by a list of terms.
func Fit(k *session.Call, cmd *phrase.Fit) (*session.Outcome, error) {
	f, err := k.FitTerms(cmd.OnTerms, cmd.FitWays, cmd.Resistant)
	if err != nil {
		return nil, err
	}
	conf := k.Confidence()
	effects, err := effects(f, k, conf)
	if err != nil {
		return nil, err
	}
	mains := tellInOrder(k, effects)
	k.Entry.Findings = append(k.Entry.Findings, explainedFinding(f))
	k.Entry.Findings = append(k.Entry.Findings, blockFindings(f)...)
	k.Entry.Tables = append([]page.Table{termTable(f, conf)}, wayTables(f)...)
	k.Entry.Values = values(f)
	k.Entry.Cautions = append(k.Entry.Cautions, f.DependentCautions()...)
	together, err := togetherCautions(f, k.Context)
	if err != nil {
		return nil, err
	}
	k.Entry.Cautions = append(k.Entry.Cautions, together...)
	k.Entry.Cautions = append(k.Entry.Cautions, sizeCautions(f)...)
	k.Entry.Cautions = append(k.Entry.Cautions, wayCautions(f)...)
	k.Entry.Cautions = append(k.Entry.Cautions, k.ReusedCautions(f.Sample, f.Method.Blocks)...)
	return session.Answered(f.Sample, f.Y, f.Known(), mains).Keeping(session.Result{Fit: f, Columns: f.Columns()}), nil
}

// termTable has one row a coefficient.
func termTable(f *session.Fit, conf float64) page.Table {
	u := f.Y.Unit()
	t := page.Table{ID: "terms", Title: f.Title(), Columns: []page.Column{{ID: "term"}, {ID: "effect", Unit: u},
		{ID: "low", Unit: u}, {ID: "high", Unit: u}, {ID: "standard_error", Unit: u}, {ID: "t", Style: page.Ratio, Wide: true},
		{ID: "df", Label: "degrees of freedom", Style: page.DF, Wide: true}, {ID: "p", Style: page.P}},
		Note: page.Say("low and high: ", page.Num{Value: conf, Style: page.Fraction}, " interval of the effect")}
	for _, c := range f.Coefficients {
		row := []page.Cell{page.T(session.RowName(f.Model(), c.Label)), {}, {}, {}, {}, {}, {}, {}}
		if !c.Dependent {
			unit := f.EffectUnit(c.Label)
			half := dist.TQuantile(0.5+conf/2, c.DF)
			for i, x := range []float64{c.Estimate, c.Estimate - half*c.SE, c.Estimate + half*c.SE, c.SE} {
				row[i+1] = page.N(x)
				if unit != u {
					row[i+1].Unit = unit
				}
			}
			row[5], row[6], row[7] = page.N(c.T), page.N(c.DF), page.N(c.P)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// values are the figures of the whole fit, by the ids of the contract.
func values(f *session.Fit) []page.Value {
	u := f.Y.Unit()
	const well, together, rank = "How well it fits", "All terms together", "To rank fits"
	v := []page.Value{
		{ID: "explained", Group: well, Cell: page.N(f.Explained), Style: page.Fraction},
		{ID: "explained_unseen", Label: "explained for new specimens", Group: well, Short: "for new specimens", Cell: page.N(f.ExplainedUnseen), Style: page.Fraction},
		{ID: "residual_sd", Group: well, Cell: page.N(f.Sigma), Unit: u},
		{ID: "residual_df", Label: "residual degrees of freedom", Group: well, Short: "its degrees of freedom", Cell: page.N(f.DF), Style: page.DF},
		{ID: "f", Label: "F of all terms together", Group: together, Short: "F", Cell: page.N(f.F), Style: page.Ratio},
		{ID: "f_df1", Label: "degrees of freedom of that F", Group: together, Short: "degrees of freedom", Cell: page.N(f.FDF1), Style: page.DF},
		{ID: "f_df2", Label: "degrees of freedom it is tested against", Group: together, Short: "against", Cell: page.N(f.FDF2), Style: page.DF},
		{ID: "p", Label: "p of all terms together", Group: together, Short: "p", Cell: page.N(f.P), Style: page.P},
		{ID: "n", Label: "specimens", Group: rank, Short: "n", Cell: page.N(float64(f.N)), Style: page.Count},
		{ID: "log_likelihood", Group: rank, Cell: page.N(f.LogLikelihood)},
		{ID: "aicc", Label: "AICc, to rank fits", Group: rank, Short: "AICc (lower is better)", Cell: page.N(f.AICc)},
		{ID: "explained_adjusted", Label: "explained, adjusted for the number of terms", Group: rank, Short: "explained, adjusted", Cell: page.N(f.ExplainedAdjusted), Style: page.Fraction},
		{ID: "at_zero", Label: "expected with every number at zero", Cell: page.N(f.AtZero), Unit: u},
		{ID: "at_zero_standard_error", Label: "standard error of that", Cell: page.N(f.AtZeroSE), Unit: u},
	}
	return v
}

// explainedFinding says how much of the variation the terms account for, all together.
func explainedFinding(f *session.Fit) page.Sentence {
	left := page.Num{Value: f.Sigma, Unit: f.Y.Unit()}
	if f.Method.Resistant {
		return page.Say("The residual sd is ", left, ", without the specimens that lie far off.")
	}
	if f.Method.Blocks != nil {
		return page.Say("Together the terms account for ", page.Num{Value: f.Explained, Style: page.Fraction}, " of the variation in "+
			f.Y.Measure()+"; within the blocks the residual sd is ", left, ".")
	}
	s := page.Say("Together the terms account for ", page.Num{Value: f.Explained, Style: page.Fraction},
		" of the variation in "+f.Y.Measure()+"; the residual sd is ", left)
	if f.ExplainedUnseen == f.ExplainedUnseen {
		s = append(s, page.Say("; for new specimens they explain ",
			page.Num{Value: max(f.ExplainedUnseen, 0), Style: page.Fraction})...)
	}
	return append(s, page.Word("."))
}

// nearlyTogether is the strength from which two terms are said to have gone together:
// 0.9 leaves less than a fifth of one's variation free of the other. Common practice, no source.
const nearlyTogether = 0.9

// togetherCautions name the pairs of terms that the specimens can hardly distinguish.
func togetherCautions(f *session.Fit, ctx context.Context) ([]page.Sentence, error) {
	var out []page.Sentence
	v := f.Model().Variables
	all, err := together.Strengths(ctx, v)
	for i, of := range all {
		for j, s := range of {
			if s >= nearlyTogether {
				out = append(out, togetherSentence(v[j].Name, v[i].Name, s))
			}
		}
	}
	return out, err
}

// sizeCautions warn of a fit with little to stand on.
func sizeCautions(f *session.Fit) []page.Sentence {
	if f.DF >= 5 {
		return nil
	}
	specimens := " specimens"
	if f.DF == 1 {
		specimens = " specimen"
	}
	return []page.Sentence{page.Say("Only ", page.Num{Value: f.DF, Style: page.DF},
		specimens+" more than figures fitted: the spread is hardly known, and with it every interval here.")}
}
