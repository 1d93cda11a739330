package session

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// Factor is one candidate that is tried, or several that changed together.
type Factor struct {
	Candidate
	With          []string // what it is confounded with: one of them did it
	ExplainsAlone float64  // what it explains by itself
}

// AsLevels is the number of values of a number that is compared value by value; two values are
// a difference as they stand.
const AsLevels = 3

// Said is the factor in a sentence: one of those that changed together.
func (f *Factor) Said() string { return strings.Join(f.Names(), " or ") }

// All names the factor and those that it changed together with.
func (f *Factor) All() string { return strings.Join(f.Names(), ", ") }

// Names are its name and those of what it changed together with.
func (f *Factor) Names() []string { return append([]string{f.Name}, f.With...) }

// Term is the factor as a term: one of three values with its square, which is the same as three levels.
func (f *Factor) Term() phrase.Term {
	t := phrase.TermOf(f.Name)
	t.Curved = len(f.Few) == AsLevels
	return t
}

// df is how many degrees of freedom a factor takes.
func (f *Factor) df(ctx context.Context, s *Sample) int {
	switch {
	case len(f.Few) == AsLevels:
		return AsLevels - 1
	case f.Kind == frames.Number:
		return 1
	}
	return s.Distinct(ctx, f.Name) - 1
}

// ResidualDFFor is how many residual degrees of freedom factors that are tried together leave of so many
// specimens: five, or a third of them.
func ResidualDFFor(n int) int { return max(5, (n+2)/3) }

// Grouped joins factors that changed together so nearly that no fit can tell which of them did it: the
// one that explains most by itself stands for all.
func (s *Sample) Grouped(ctx context.Context, all []*Factor) []*Factor {
	var out []*Factor
	for _, one := range strongest(all) {
		at := slices.IndexFunc(out, func(o *Factor) bool { return s.Together(ctx, o.Name, one.Name) >= Confounded })
		if at >= 0 {
			out[at].With = append(out[at].With, one.Name)
		} else {
			out = append(out, one)
		}
	}
	return slices.DeleteFunc(slices.Clone(all), func(one *Factor) bool { return !slices.Contains(out, one) })
}

// strongest are factors in the order of what they explain by themselves.
func strongest(all []*Factor) []*Factor {
	return slices.SortedStableFunc(slices.Values(all), func(a, b *Factor) int {
		return cmp.Compare(b.ExplainsAlone, a.ExplainsAlone)
	})
}

// The reasons why nothing is tried.
var (
	errNoFactors    = errors.New("no factors")
	errTooFewToTell = errors.New("too few specimens")
)

// AsMany keeps as many factors as the specimens bear, those that explain most by themselves, and tells
// which it did not; room is how many degrees of freedom there are for them of so many specimens.
func (s *Sample) AsMany(ctx context.Context, response phrase.ColumnRef, all []*Factor,
	room func(n int) int) ([]*Factor, []LeftOut, error) {
	if len(all) == 0 {
		return nil, nil, &noFactors{errNoFactors, response, s.Counts.Used}
	}
	var kept []*Factor
	var excluded []LeftOut
	for _, one := range strongest(all) {
		if n, used := s.complete(ctx, append(slices.Clone(kept), one)); used > room(n) {
			excluded = append(excluded, LeftOut{one.All(), fmt.Sprintf(
				"not tried together with the others: %d specimens are too few for so many factors", n)})
			continue
		}
		kept = append(kept, one)
	}
	if len(kept) == 0 {
		return nil, nil, &noFactors{errTooFewToTell, response, s.Counts.Used}
	}
	inOrder := slices.DeleteFunc(slices.Clone(all), func(one *Factor) bool { return !slices.Contains(kept, one) })
	return inOrder, excluded, nil
}

// complete is how many specimens have a value of every factor, and the degrees of freedom of these.
func (s *Sample) complete(ctx context.Context, all []*Factor) (n, used int) {
	gone := make([]bool, s.Frame.Len())
	for _, one := range all {
		missing, err := s.Frame.MissingIn(one.Name)
		if err != nil {
			continue
		}
		for i := range missing {
			gone[i] = gone[i] || missing[i]
		}
		used += one.df(ctx, s)
	}
	for _, g := range gone {
		if !g {
			n++
		}
	}
	return n, used
}

// noFactors says why nothing is tried as a factor.
type noFactors struct {
	error
	response phrase.ColumnRef
	n        int
}

// NoFactors words why nothing can be tried as a factor, with what was left out.
func (k *Call) NoFactors(err error, excluded []LeftOut) error {
	var none *noFactors
	if !errors.As(err, &none) {
		return err
	}
	what := none.response.Column
	if errors.Is(none.error, errTooFewToTell) {
		return page.Refuse(page.CodeTooFewSpecimens, none.response.At,
			fmt.Sprintf("%d specimens are too few to ask what drove %s", none.n, what),
			"break more, or compare the levels of one column")
	}
	p := page.Refuse(page.CodeNoCandidates, none.response.At, "no column of this series can have driven "+what,
		k.asLevels(excluded))
	why := lists.Mapped(excluded[:min(3, len(excluded))], func(l LeftOut) string { return l.Column + ": " + l.Why })
	if len(why) > 0 {
		p.Message += " (" + strings.Join(why, "; ") + ")"
	}
	return p
}

// itIsText is why a column of text is left out.
const itIsText = "it is text"

// asLevels is the line by which a column of text that was left out can be tried, because its texts repeat; else the one
// that shows all columns.
func (k *Call) asLevels(excluded []LeftOut) string {
	_, f, err := k.Frame()
	for _, l := range excluded {
		if err != nil || l.Why != itIsText {
			continue
		}
		seen, present := map[string]bool{}, 0
		for row := range f.Len() {
			parallel.LookAt(k.Context, row)
			if text, ok := f.Cell(l.Column, row); ok {
				seen[text] = true
				present++
			}
		}
		if 2*len(seen) <= present {
			return phrase.Line(&phrase.Treat{Column: phrase.ColumnRef{Column: l.Column},
				Kind: phrase.Choice{Word: "category"}})
		}
	}
	return phrase.Line(&phrase.Look{})
}

// Driven is what was found of one factor that may have driven something.
type Driven struct {
	*Factor
	P            float64 // that it does nothing anywhere
	AdjustedP    float64 // for all that is asked about
	Answer       verdict.Answer
	DiffersAlone bool // it differs taken alone, but not among so many factors
	Share        float64
}

// Decide gives the factor its answer, that of all its differences. Where Holm's correction does not bear out that
// it differs, what lies within the size worth having stays there.
func (t *Driven) Decide(answers []verdict.Answer, joined, level float64) {
	t.AdjustedP, t.Answer = joined, say.Overall(answers)
	switch {
	case !t.Answer.Differs() || joined < level:
	case t.Answer == verdict.DiffersLessThanWorth:
		t.Answer = verdict.NoDifferenceWorth
	default:
		t.Answer, t.DiffersAlone = verdict.CannotTell, true
	}
}

// ByAnswer parts what was found into what differs, what makes no difference worth having, and what cannot be told.
func ByAnswer[T any](all []T, answer func(T) verdict.Answer) (driving, none, undecided []T) {
	for _, t := range all {
		switch a := answer(t); {
		case a.Differs():
			driving = append(driving, t)
		case a == verdict.NoDifferenceWorth:
			none = append(none, t)
		default:
			undecided = append(undecided, t)
		}
	}
	return driving, none, undecided
}

// LeftOutTable names the columns that were not tried.
func LeftOutTable(excluded []LeftOut) page.Table {
	return page.Filled(page.Table{ID: "left_out", Title: page.Say("Columns that were not tried")}, excluded, nil)
}
