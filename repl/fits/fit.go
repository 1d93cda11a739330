package fits

import (
	"context"
	"math"

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

// termRow is one coefficient of a fit.
type termRow struct {
	Term   string        `id:"term"`
	Effect page.Quantity `id:"effect" unit:"{y}"`
	Low    page.Quantity `id:"low" unit:"{y}"`
	High   page.Quantity `id:"high" unit:"{y}"`
	SE     page.Quantity `id:"standard_error" unit:"{y}"`
	T      float64       `id:"t" style:"ratio" wide:"yes"`
	DF     float64       `id:"df" label:"degrees of freedom" style:"df" wide:"yes"`
	P      float64       `id:"p" style:"p"`
}

// fitValues are the figures of a whole fit.
type fitValues struct {
	N                 int     `id:"n" label:"specimens"`
	DF                float64 `id:"df_left_over" style:"df" label:"degrees of freedom left over"`
	SD                float64 `id:"sd_left_over" unit:"{y}" label:"sd left over"`
	Explained         float64 `id:"explained" style:"fraction" label:"explained"`
	ExplainedAdjusted float64 `id:"explained_adjusted" style:"fraction" label:"explained, allowing for the number of terms"`
	ExplainedUnseen   float64 `id:"explained_unseen" style:"fraction" label:"explained of specimens not yet seen"`
	F                 float64 `id:"f" style:"ratio" label:"F of all terms together"`
	FDF1              float64 `id:"f_df1" style:"df" label:"degrees of freedom of that F"`
	FDF2              float64 `id:"f_df2" style:"df" label:"degrees of freedom it is set against"`
	P                 float64 `id:"p" style:"p" label:"p of all terms together"`
	LogLikelihood     float64 `id:"log_likelihood" label:"log likelihood"`
	AICc              float64 `id:"aicc" label:"AICc, to set rival fits against each other"`
	AtZero            float64 `id:"at_zero" unit:"{y}" label:"expected with every number at zero"`
	AtZeroSE          float64 `id:"at_zero_standard_error" unit:"{y}" label:"standard error of that"`
}

// termTable has one row a coefficient.
func termTable(f *session.Fit, conf float64) page.Table {
	u := f.Y.Unit()
	var rows []termRow
	for _, c := range f.Coefficients {
		unit := f.EffectUnit(c.Label)
		if unit == u {
			unit = ""
		}
		half := dist.TQuantile(0.5+conf/2, c.DF) * c.SE
		row := termRow{session.RowName(f.Model(), c.Label), page.Quantity{Value: c.Estimate, Unit: unit}, page.Quantity{Value: c.Estimate - half, Unit: unit},
			page.Quantity{Value: c.Estimate + half, Unit: unit}, page.Quantity{Value: c.SE, Unit: unit}, c.T, c.DF, c.P}
		if c.Dependent {
			none := page.Quantity{Value: math.NaN()}
			row = termRow{row.Term, none, none, none, none, math.NaN(), math.NaN(), math.NaN()}
		}
		rows = append(rows, row)
	}
	return page.Filled(page.Table{ID: "terms", Title: f.Title(),
		Note: page.Say("low and high: ", page.Num{Value: conf, Style: page.Fraction}, " range of the effect")}, rows, page.Names{"y": u})
}

func values(f *session.Fit) []page.Value {
	return page.ValuesOf(fitValues{f.N, f.DF, f.Sigma, f.Explained, f.ExplainedAdjusted, f.ExplainedUnseen, f.F, f.FDF1, f.FDF2, f.P,
		f.LogLikelihood, f.AICc, f.AtZero, f.AtZeroSE}, page.Names{"y": f.Y.Unit()})
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
