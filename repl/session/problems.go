package session

import (
	"context"
	"errors"
	"fmt"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/models/compare"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// Problem turns any error into the one kind a user sees, with a place in the line
// where the command has one.
func (k *Call) Problem(err error) *page.Problem {
	var p *page.Problem
	var fe *frames.Error
	var ue *units.Error
	var le *linear.Error
	var ce *compare.Error
	switch {
	case errors.As(err, &p):
		return p
	case errors.As(err, &fe):
		return page.Refuse(page.Code(fe.Code), k.placeOf(fe), fe.Error(), fe.Hint)
	case errors.As(err, &ue):
		return page.Refuse(page.CodeWrongDimension, 0, ue.Error(), "")
	case errors.As(err, &le):
		return k.linearProblem(le)
	case errors.As(err, &ce):
		return k.compareProblem(ce)
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return page.Refuse(page.CodeInterrupted, 0, "stopped; the book is as it was", "")
	}
	return page.Refuse(page.CodeFailed, 0, err.Error(), "")
}

// placeOf points at the file or column of the command that a frames error is about.
func (k *Call) placeOf(e *frames.Error) int {
	if e.Column != "" {
		return k.Command.PlaceOf(e.Column)
	}
	f, _ := phrase.Part[phrase.File](k.Command)
	return f.At
}

func (k *Call) linearProblem(e *linear.Error) *page.Problem {
	p := &page.Problem{Code: page.Code(e.Code), At: k.TermPlace(e.Term)}
	if terms, ok := phrase.Part[phrase.Terms](k.Command); p.At == 0 && ok {
		p.At = terms.At
	}
	name := k.TermName(e.Term)
	switch e.Code {
	case "too-few-specimens":
		p.Message = fmt.Sprintf("%d specimens cannot settle %d figures at once", e.N, e.P)
		p.Hint = "leave terms out, or use more specimens"
	case "no-freedom-left":
		p.Message = fmt.Sprintf("%d specimens for %d figures leave nothing to judge the spread by", e.N, e.P)
		p.Hint = "leave terms out, or use more specimens"
	case "all-equal":
		if y, ok := phrase.Part[phrase.Response](k.Command); ok {
			p.At = y.At
		}
		p.Message = "every value of " + k.responseName() + " is the same, so nothing can be said to drive it"
		p.Hint = k.LookHint()
	case "one-level":
		p.Message = name + " has only one level among the specimens used"
		p.Hint = k.OrWiden("leave it out")
	case "nothing-varies":
		p.Message = name + " is the same for every specimen used"
		p.Hint = k.OrWiden("leave it out")
	case "too-many-columns":
		p.Message = fmt.Sprintf("%s brings these terms to more than %d columns, the most in one fit", name,
			design.MostColumns)
		p.Hint = "merge levels of it, mark it as a block, or leave it out"
		if name == "" { // levels alone, as check and compare have them
			p.Message, p.Hint = fmt.Sprintf("there are more than %d levels, the most in one comparison",
				design.MostColumns), "merge levels, or use for to keep some of them"
		}
	case "no-anova":
		p.Message = "a resistant fit plays specimens down by how far off they lie, so the variation cannot be shared " +
			"out among its sources"
		p.Hint = "fit without resistant for an anova; compare and predict work with a resistant fit"
	case "no-order":
		p.Message = "the sources of a blocked fit are each adjusted for the others; in the order listed they cannot " +
			"be tested"
		p.Hint = "leave sequential out, or take it from a fit without blocks"
	case "played-down":
		p.Message = "so many specimens lie far off that those left do not settle every figure of the fit"
		p.Hint = "leave terms out, or fit without resistant"
	case "no-scale":
		p.Message = "half of the specimens are fitted exactly, so there is no scatter to judge the others by"
		p.Hint = "fit without resistant"
	default:
		p.Message = e.Error()
		if name != "" {
			p.Message = name + ": " + p.Message
		}
	}
	return p
}

func (k *Call) compareProblem(e *compare.Error) *page.Problem {
	p := &page.Problem{Code: page.Code(e.Code)}
	factor := ""
	if grouped, ok := phrase.Facet[phrase.Grouped](k.Command); ok && len(grouped.Categories()) > 0 {
		first := grouped.Categories()[0]
		p.At, factor = first.At, first.Column
	}
	switch e.Code {
	case "too-few-levels":
		p.Message = factor + " has only one level among the specimens used, so there is nothing to compare"
		p.Hint = k.OrWiden("choose another column")
	case "too-few-specimens":
		p.Message = "there are too few specimens per level of " + factor + " to judge the spread by"
		p.Hint = "at least one level needs two specimens"
	case "all-equal", "no-spread":
		p.Code = page.CodeAllEqual
		p.Message = "the values of " + k.responseName() + " do not differ within the levels of " + factor +
			", so there is no spread to compare with"
		p.Hint = k.LookHint()
	default:
		p.Message = e.Error()
	}
	return p
}

// OrWiden is a hint, with that the condition may be widened where the command has one.
func (k *Call) OrWiden(hint string) string {
	if k.Command.Clauses().For == nil {
		return hint
	}
	return hint + ", or widen the condition after `for`"
}

// LookAtOrWiden shows a column that is the same for all specimens, or has the condition widened where there is one.
func (k *Call) LookAtOrWiden(column string) string {
	if k.Command.Clauses().For == nil {
		return phrase.Line(&phrase.Look{Columns: &phrase.Columns{List: []phrase.ColumnRef{{Column: column}}}})
	}
	return "widen the condition after `for`"
}

// LookHint is the line that shows the response's range, or "" where the command names none.
func (k *Call) LookHint() string {
	if r, ok := phrase.Part[phrase.Response](k.Command); ok {
		return phrase.Line(&phrase.Look{Columns: &phrase.Columns{List: []phrase.ColumnRef{r.Column}}})
	}
	return ""
}
