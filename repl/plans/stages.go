package plans

import (
	"math"
	"slices"
	"strconv"

	"breakbook/models/plan"
	"breakbook/models/stages"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// stepper is a model of a plan whose numbers of specimens rise by steps.
type stepper interface {
	session.Sizer
	Step() int
}

// stageRow is a stage: what is there by then, where the series may stop, and how likely it has.
type stageRow struct {
	Stage    int     `id:"stage"`
	PerLevel int     `id:"n_per_level"`
	N        int     `id:"n"`
	PDiffers float64 `id:"p_differs" style:"p" label:"differs below p"`
	PStop    float64 `id:"p_stop" style:"p" label:"may stop above p"`
	Chance   float64 `id:"chance" style:"fraction"`
}

// planStaged are the figures of a plan in stages: how many specimens it takes on average, where the
// difference is as large as the plan's, half of that and none, and how many in one stage.
type planStaged struct {
	Stages   int     `id:"stages"`
	Expected float64 `id:"n_expected"`
	Half     float64 `id:"n_expected_half"`
	None     float64 `id:"n_expected_none"`
	OneStage int     `id:"n_one_stage"`
}

// inStages is a plan for means made in the stages that are asked for.
func inStages(cmd *phrase.Plan, of phrase.PlanMeans, m plan.Means) (plan.Stages, error) {
	s := plan.Stages{Means: m, Number: numberOf(of)}
	if of.Evenly {
		s.Spending = stages.Evenly
	}
	switch {
	case of.Stages == nil:
		return s, page.Refuse(page.CodeNoStages, of.A.At,
			"spending evenly is about the stages of a plan, and this one has none", "in 2 stages")
	case s.Number < 2 || s.Number > plan.MostStages:
		return s, page.Refuse(page.CodeOutOfRange, of.Stages.At, "a plan has from 2 to "+strconv.Itoa(plan.MostStages)+
			" stages", "in 2 stages")
	case of.B != nil:
		again, alone := *cmd, of
		alone.B = nil
		again.Subject = alone
		return s, page.Refuse(page.CodeOneFactor, of.B.At, "a plan in stages is for one factor, and cannot be for "+
			of.A.Column+" and "+of.B.Column+" together", phrase.Line(&again))
	}
	return s.Ready(), nil
}

// numberOf is in how many stages a plan is to be made; 0: all at once.
func numberOf(of phrase.PlanMeans) int {
	if of.Stages == nil {
		return 0
	}
	return of.Stages.Value
}

// stagesSaid tells how many specimens a plan in stages takes on average, beside those of one in one stage with its
// chance.
func stagesSaid(f planStaged, single float64) page.Sentence {
	out := page.Say("It ends as soon as a stage settles it. On average that takes ", int(math.Round(f.Expected)),
		" joints where the difference is as large as that, ", int(math.Round(f.Half)),
		" where it is half as large, and ", int(math.Round(f.None)), " where there is none; in one stage ")
	if f.OneStage == 0 {
		return append(out, page.Word("it would take more than a workshop can make."))
	}
	return page.Say(out, "it would take ", f.OneStage, " whatever there is",
		", for a chance of ", page.Share(single), ".")
}

// stagesMean tells what ends a stage.
func stagesMean(s plan.Stages) page.Sentence {
	k := s.Levels[0]
	out := page.Say("A stage with p below its first mark ends the series: the two levels differ.")
	if k > 2 {
		out = page.Say("A stage with p, of the F test of all ", k, " levels together, below its first mark ends the "+
			"series: they differ.")
	}
	return append(out, page.Word(" Above its second mark you may stop as well: a difference as large as that seldom "+
		"begins so, and going on costs nothing but joints."))
}

// tellStages tells a plan's stages: what each of them asks for, and what they save.
func tellStages(k *session.Call, s plan.Stages, own plan.Size) error {
	course, err := s.Course(own.PerLevel)
	if err != nil {
		return err
	}
	one := plan.Stages{Means: s.Means, Number: 1}
	single, err := one.Least()
	if plan.Because(err, "out-of-reach") {
		single, err = plan.Size{}, nil
	}
	if err != nil {
		return err
	}
	figures := planStaged{Stages: s.Number, Expected: course.Expected[2], Half: course.Expected[1],
		None: course.Expected[0], OneStage: single.N}
	k.Entry.Findings = slices.Insert(k.Entry.Findings, 1, stagesSaid(figures, single.Chance), stagesMean(s))
	var rows []stageRow
	for i, one := range course.Stages {
		rows = append(rows, stageRow{i + 1, one.PerLevel, one.N, one.PDiffers, one.PStop, one.Chance})
	}
	t := page.Filled(page.Table{ID: "stages", Title: page.Say("When to stop"),
		Note: page.Say("specimens: all that are there by then; differs below p: the series may end there, and ",
			"the levels differ; may stop above p: it may end there without; chance: to have ended with ",
			"“differs” by then, where the true difference is the one planned for")}, rows, nil)
	k.Entry.Tables = append([]page.Table{t}, k.Entry.Tables...)
	k.Entry.Values = append(k.Entry.Values, page.ValuesOf(figures, nil)...)
	return nil
}
