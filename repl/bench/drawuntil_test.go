package bench

import (
	"slices"
	"testing"

	"breakbook/repl/page"
)

// Every specimen stands on the curve of its level: what broke in the glue line where its
// step ends (by hand: of four at risk one breaks, 75 % hold), what broke another way pale.
func TestEverySpecimenStandsOnItsCurve(t *testing.T) {
	const joints = "id,pins,load (N),failure\n1,none,400,glue\n2,none,410,wood\n3,none,420,glue\n4,none,430,glue\n" +
		"5,pair,500,wood\n6,pair,510,glue\n"
	_, e := startedSession(t, joints, "mark id as specimen", "mark failure as failure",
		"draw load until failure is glue by pins")
	var broke, cut page.Points
	for _, l := range e.Figures[0].Layers {
		if p, ok := l.(page.Points); ok && p.Faint {
			cut.X, cut.Y, cut.Names = append(cut.X, p.X...), append(cut.Y, p.Y...), append(cut.Names, p.Names...)
		} else if ok {
			broke.X, broke.Y = append(broke.X, p.X...), append(broke.Y, p.Y...)
		}
	}
	if !slices.Equal(broke.X, []float64{400, 420, 430, 510}) || !slices.Equal(broke.Y, []float64{75, 37.5, 0, 0}) {
		t.Errorf("breaks at %v, %v", broke.X, broke.Y)
	}
	if !slices.Equal(cut.X, []float64{410, 500}) || !slices.Equal(cut.Y, []float64{75, 100}) ||
		!slices.Equal(cut.Names, []string{"2", "5"}) {
		t.Errorf("others at %v, %v: %v", cut.X, cut.Y, cut.Names)
	}
}
