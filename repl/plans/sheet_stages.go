package plans

import (
	"slices"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// layOut is a test sheet's columns, and how its lines are spread over stages and days.
type layOut struct {
	columns        []frames.Column
	stages         int // 1: all at once
	aDay           int // specimens; 0: the sheet knows of no days
	stageAt, dayAt int // the columns of these; -1: none
	day, today     int // the day, and the specimens that it has
}

// layOver adds the columns for stages and days before those that are to be filled in.
func layOver(cmd *phrase.Sheet, p *session.Plan, columns []frames.Column) (layOut, error) {
	l := layOut{columns: columns, stages: 1, stageAt: -1, dayAt: -1}
	if d := cmd.Day; d != nil {
		if l.aDay = d.Value; l.aDay < 1 {
			return l, page.Refuse(page.CodeOutOfRange, d.At, "a day has at least one specimen", "with 8 a day")
		}
		l.dayAt = l.add("day", "bench_day")
	}
	if s, ok := p.Model.(plan.Stages); ok {
		l.stages, l.stageAt = s.Number, l.add("test_stage", "plan_stage")
		if l.dayAt >= 0 {
			l.dayAt++
		}
	}
	return l, nil
}

// add puts a column of categories first, under another name where the series has one of its own.
func (l *layOut) add(name, other string) int {
	if slices.ContainsFunc(l.columns, func(c frames.Column) bool { return c.Name == name }) {
		name = other
	}
	c := frames.Column{Name: name, Label: say.Capital(strings.ReplaceAll(name, "_", " ")), Kind: frames.Category}
	l.columns = slices.Insert(slices.Clone(l.columns), 0, c)
	return 0
}

func (l *layOut) stageOf(p *session.Plan) *session.Plan {
	one := *p
	one.PerLevel /= l.stages
	return &one
}

// begin begins a stage, on a day of its own.
func (l *layOut) begin() {
	if l.today > 0 || l.day == 0 {
		l.day, l.today = l.day+1, 0
	}
}

// date says in a line which stage and day it is of.
func (l *layOut) date(row []string, stage int) []string {
	if l.aDay > 0 && l.today == l.aDay {
		l.day, l.today = l.day+1, 0
	}
	l.today++
	if l.stageAt >= 0 {
		row[l.stageAt] = strconv.Itoa(stage)
	}
	if l.dayAt >= 0 {
		row[l.dayAt] = strconv.Itoa(l.day)
	}
	return row
}
