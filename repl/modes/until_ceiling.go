package modes

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"breakbook/frames"
	"breakbook/models/doubts"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// ceiling is the load at which specimens pile up as where a machine ends; the zero value is none. Whatever gave way
// there carried that or more, so its load is a lower bound.
type ceiling struct {
	load     float64
	column   string // of the loads
	ties, of int    // specimens that stand at it, of how many
	broke    int    // of those that stand at it, they broke in the way asked about
}

// ceilingOf looks for a ceiling among the loads of specimens that broke in one way or another: what did not break may
// stand at the end of the test for another reason, and is a lower bound already. The scatter is that of the logarithms
// about the terms.
func ceilingOf(k *session.Call, s *session.Sample, load *session.Response, mode phrase.Is,
	b session.Formula) (ceiling, error) {
	top := ceiling{column: load.Column.Name, of: len(load.Values)}
	ended, err := session.Where(k.Context, s.Frame, mode)
	if err != nil || !load.IsLoad() {
		return ceiling{}, err
	}
	var broken []float64
	logs := make([]float64, len(load.Values))
	_, top.load = session.MinMax(load.Values)
	for i, x := range load.Values {
		if !(x > 0) {
			return ceiling{}, nil // which is refused for itself
		}
		logs[i] = math.Log(x)
		if cell, _ := s.Frame.Cell(mode.Column.Column, i); !session.NothingBroke(cell) {
			broken = append(broken, x)
		}
		if ended[i] && x == top.load {
			top.broke++
		}
	}
	top.ties = lists.Count(broken, func(x float64) bool { return x == top.load })
	if top.broke == 0 || !doubts.Many(top.ties, top.of) {
		return ceiling{}, nil
	}
	ln := &session.Response{Column: load.Column, Function: "ln", Values: logs}
	p, _, err := placedOn(k, s, ln, b)
	if err != nil {
		return ceiling{}, nil // the fit itself says why
	}
	ties, chance := doubts.Ties(broken, p.Place.Sigma*stat.Mean(load.Values, nil))
	if !doubts.PileUp(ties, top.of, chance) {
		return ceiling{}, nil
	}
	return top, nil
}

// ended are the specimens that broke in a way at a load, and not only at the ceiling or above it.
func (c ceiling) ended(k *session.Call, f *frames.Frame, mode phrase.Is) ([]bool, error) {
	ended, err := session.Where(k.Context, f, mode)
	if err != nil || c.load == 0 {
		return ended, err
	}
	for row, so := range ended {
		ended[row] = so && f.Number(c.column, row) < c.load
	}
	return ended, nil
}

// asBounds tells how many breaks of the mode are taken as lower bounds, and why.
func (c ceiling) asBounds(load *session.Response, was string) page.Sentence {
	return page.Say(c.ties, " of ", c.of, " values of "+load.Name()+" stand at exactly the largest (",
		page.In(c.load, load.Unit()), "), as if the machine ended there: of the ", c.broke, " in which "+was+
			" it is taken as a lower bound.")
}

// why says of breaks under the largest load why those at it do not count; nothing where there is no ceiling.
func (c ceiling) why() string {
	if c.load == 0 {
		return ""
	}
	return ", where the machine seems to have ended"
}
