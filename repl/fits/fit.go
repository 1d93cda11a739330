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

// togetherSentence warns that two terms of a fit can hardly be told apart.
func togetherSentence(first, second string, strength float64) page.Sentence {
	return page.Say(first+" and "+second+" went together in these specimens (strength ", page.Num{Value: strength, Style: page.Ratio},
		" of 1), so the fit can hardly tell which of them did it. More specimens of the same kind would not help; some that part the two would.")
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
		Note: page.Say("low and high: ", page.Num{Value: conf, Style: page.Fraction}, " range of the effect")}
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
	v := []page.Value{
		session.ValueOf("n", float64(f.N), page.Count, ""), session.ValueOf("df_left_over", f.DF, page.DF, ""),
		session.ValueOf("sd_left_over", f.Sigma, page.Plain, u), session.ValueOf("explained", f.Explained, page.Fraction, ""),
		session.ValueOf("explained_adjusted", f.ExplainedAdjusted, page.Fraction, ""), session.ValueOf("explained_unseen", f.ExplainedUnseen, page.Fraction, ""),
		session.ValueOf("f", f.F, page.Ratio, ""), session.ValueOf("f_df1", f.FDF1, page.DF, ""), session.ValueOf("f_df2", f.FDF2, page.DF, ""),
		session.ValueOf("p", f.P, page.P, ""), session.ValueOf("log_likelihood", f.LogLikelihood, page.Plain, ""), session.ValueOf("aicc", f.AICc, page.Plain, ""),
		session.ValueOf("at_zero", f.AtZero, page.Plain, u), session.ValueOf("at_zero_standard_error", f.AtZeroSE, page.Plain, u),
	}
	labels := map[string]string{"n": "specimens", "df_left_over": "degrees of freedom left over", "sd_left_over": "sd left over",
		"explained": "explained", "explained_adjusted": "explained, allowing for the number of terms",
		"explained_unseen": "explained of specimens not yet seen", "f": "F of all terms together",
		"f_df1": "degrees of freedom of that F", "f_df2": "degrees of freedom it is set against", "p": "p of all terms together", "log_likelihood": "log likelihood",
		"aicc": "AICc, to set rival fits against each other", "at_zero": "expected with every number at zero",
		"at_zero_standard_error": "standard error of that"}
	for i := range v {
		v[i].Label = labels[v[i].ID]
	}
	return v
}

// explainedFinding says how much of the variation the terms account for, all together.
func explainedFinding(f *session.Fit) page.Sentence {
	left := page.Num{Value: f.Sigma, Unit: f.Y.Unit()}
	if f.Method.Resistant {
		return page.Say("What the terms leave scatters by ", left, " (sd, without the specimens that stand far off).")
	}
	if f.Method.Blocks != nil {
		return page.Say("Together the terms account for ", page.Num{Value: f.Explained, Style: page.Fraction}, " of the variation in "+
			f.Y.Measure()+"; within the blocks what is left scatters by ", left, " (sd).")
	}
	s := page.Say("Together the terms account for ", page.Num{Value: f.Explained, Style: page.Fraction},
		" of the variation in "+f.Y.Measure()+"; what is left scatters by ",
		left, " (sd)")
	if f.ExplainedUnseen == f.ExplainedUnseen {
		s = append(s, page.Say("; of a specimen not yet seen they would account for ",
			page.Num{Value: max(f.ExplainedUnseen, 0), Style: page.Fraction})...)
	}
	return append(s, page.Word("."))
}

// nearlyTogether is the strength from which two terms are said to have gone together:
// 0.9 leaves less than a fifth of one's variation free of the other. Common practice, no source.
const nearlyTogether = 0.9

// togetherCautions name the pairs of terms that the specimens can hardly tell apart.
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
		specimens+" more than figures fitted: the spread is hardly known, and with it every range here.")}
}
