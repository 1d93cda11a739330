package fits

import (
	"math"

	"breakbook/models/dist"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// Fit explains a response by a list of terms.
func Fit(k *session.Call, cmd *phrase.Fit) (*session.Outcome, error) {
	if cmd.Past != nil {
		return fitWithPast(k, cmd)
	}
	f, err := fitted.OfCommand(k)
	if err != nil {
		return nil, err
	}
	conf := k.Confidence()
	effects, err := effects(f, k, conf)
	if err != nil {
		return nil, err
	}
	mains := tellInOrder(k, effects)
	shapes, _, err := shapes(k, f)
	if err != nil {
		return nil, err
	}
	k.Entry.Find(explainedFinding(f, firstFit(k)))
	k.Entry.Find(blockFindings(f)...)
	k.Entry.Tables = append([]page.Table{termTable(f, conf)}, append(shapes, methodTables(f)...)...)
	k.Entry.Values = values(f)
	k.Entry.Warn(changeCaution(f))
	warn(k, f)
	k.Entry.Warn(k.ReusedCautions(f.Sample, f.Method.Blocks)...)
	return session.Tested(f.Sample, f.Y, f.Known(), mains).Keeping(session.Result{Fit: f, Columns: f.Columns()}), nil
}

// warn puts the cautions of a fit's terms and of its method.
func warn(k *session.Call, f *fitted.Fit) {
	k.Entry.Warn(f.DependentCautions()...)
	k.Entry.Warn(methodCautions(f)...)
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
	Explained         float64 `id:"explained" style:"fraction" group:"How well it fits"`
	ExplainedUnseen   float64 `id:"explained_unseen" style:"fraction" label:"explained for new specimens" group:"How well it fits" short:"for new specimens"`
	SD                float64 `id:"residual_sd" unit:"{y}" difference:"yes" group:"How well it fits"`
	DF                float64 `id:"residual_df" style:"df" label:"residual degrees of freedom" group:"How well it fits" short:"its degrees of freedom"`
	F                 float64 `id:"f" style:"ratio" label:"F of all terms together" group:"All terms together" short:"F"`
	FDF1              float64 `id:"f_df1" style:"df" label:"degrees of freedom of that F" group:"All terms together" short:"degrees of freedom"`
	FDF2              float64 `id:"f_df2" style:"df" label:"degrees of freedom it is tested against" group:"All terms together" short:"against"`
	P                 float64 `id:"p" style:"p" label:"p of all terms together" group:"All terms together" short:"p"`
	N                 int     `id:"n" label:"specimens" group:"To rank fits" short:"n"`
	LogLikelihood     float64 `id:"log_likelihood" group:"To rank fits"`
	AICc              float64 `id:"aicc" label:"AICc, to rank fits" group:"To rank fits" short:"AICc (lower is better)"`
	ExplainedAdjusted float64 `id:"explained_adjusted" style:"fraction" label:"explained, adjusted for the number of terms" group:"To rank fits" short:"explained, adjusted"`
	AtZero            float64 `id:"at_zero" unit:"{y}" label:"expected with every number at zero"`
	AtZeroSE          float64 `id:"at_zero_standard_error" unit:"{y}" difference:"yes" label:"standard error of that"`
	*changeValues
}

// termTable has one row a coefficient.
func termTable(f *fitted.Fit, conf float64) page.Table {
	u := f.Y.Unit()
	var rows []termRow
	for _, c := range f.Coefficients {
		unit := f.EffectUnit(c.Label)
		if unit == u {
			unit = ""
		}
		half := dist.TQuantile(0.5+conf/2, c.DF) * c.SE
		in := func(x float64) page.Quantity { return page.Quantity{Value: x, Unit: unit} }
		row := termRow{session.RowName(f.Model(), c.Label), in(c.Estimate), in(c.Estimate - half),
			in(c.Estimate + half), in(c.SE), c.T, c.DF, c.P}
		if ch := f.Change; ch != nil && c.Label.Term == ch.Term { // its place left open
			row.Low.Value, row.High.Value, row.T, row.P = ch.SizeLow, ch.SizeHigh, math.NaN(), ch.P
		}
		if c.Dependent {
			none := page.Quantity{Value: math.NaN()}
			row = termRow{row.Term, none, none, none, none, math.NaN(), math.NaN(), math.NaN()}
		}
		rows = append(rows, row)
	}
	note := page.Say("low and high: ", page.Share(conf), " interval of the effect")
	if f.Change != nil {
		note = append(note, page.Word("; "+f.Change.Name+": with its place left open, its p over all places looked at"))
	}
	return page.Filled(page.Table{ID: "terms", Title: f.Title(), Note: note}, rows, page.Names{"y": u})
}

func values(f *fitted.Fit) []page.Value {
	names := page.Names{"y": f.Y.Unit()}
	if f.Change != nil {
		names["x"] = f.Change.Unit
	}
	return page.ValuesOf(fitValues{f.Explained, f.ExplainedUnseen, f.Sigma, f.DF, f.F, f.FDF1, f.FDF2, f.P,
		f.N, f.LogLikelihood, f.AICc, f.ExplainedAdjusted, f.AtZero, f.AtZeroSE, valuesOfChange(f)}, names)
}

// firstFit reports whether no other fit is kept yet.
func firstFit(k *session.Call) bool {
	for r := range k.Session.Kept() {
		if r.Kind == "fit" {
			return false
		}
	}
	return true
}

// explainedFinding says how much of the variation the terms account for, all together; the first
// of a book says what a residual is.
func explainedFinding(f *fitted.Fit, first bool) page.Sentence {
	residual := page.Say("residual sd", page.If(first, " (of measured less expected)"), " is ",
		page.Difference(f.Sigma, f.Y.Unit()))
	if f.Method.Weight.Column != "" {
		residual = append(residual, page.Word(", of a specimen of weight 1"))
	}
	if f.Method.Resistant {
		return page.Say("The ", residual, ", without the specimens that lie far off.")
	}
	together := page.Say("Together the terms account for ", page.Share(f.Explained),
		" of the variation in "+f.Y.Measure())
	if f.Method.Blocks != nil {
		return page.Say(together, "; within the blocks the ", residual, ".")
	}
	return page.Say(together, "; the ", residual,
		page.If(f.ExplainedUnseen < 0, "; for new specimens they are worse than the plain mean"),
		page.If(f.ExplainedUnseen >= 0, "; for new specimens they explain ", page.Share(f.ExplainedUnseen)), ".")
}
