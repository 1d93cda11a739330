package drove

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"breakbook/models/verdict"
	"breakbook/repl/page"
)

func kind(t *testing.T, name string) *Kind {
	t.Helper()
	all := Kinds()
	i := slices.IndexFunc(all, func(k *Kind) bool { return k.Name == name })
	if i < 0 {
		t.Fatalf("no truth is named %s", name)
	}
	return all[i]
}

// An answer is right, wrong or none by what the factor truly does.
func TestCompareWithTruth(t *testing.T) {
	k := &Kind{worth: 40}
	for _, c := range []struct {
		about  string
		answer verdict.Answer
		size   float64
		want   [3]int // right, wrong, untold
		found  int
	}{
		{"differs where nothing does", verdict.Differs, 0, [3]int{0, 1, 0}, 0},
		{"by less than worth, of nothing", verdict.DiffersLessThanWorth, 0, [3]int{0, 1, 0}, 0},
		{"none where nothing does", verdict.NoDifferenceWorth, 0, [3]int{1, 0, 0}, 0},
		{"differs where it is worth having", verdict.Differs, 40, [3]int{1, 0, 0}, 1},
		{"by less than worth, of more", verdict.DiffersLessThanWorth, 41, [3]int{0, 1, 0}, 1},
		{"none where it is worth having", verdict.NoDifferenceWorth, 40, [3]int{0, 1, 0}, 0},
		{"none where there is a little", verdict.NoDifferenceWorth, 20, [3]int{1, 0, 0}, 0},
		{"by less than worth, of a little", verdict.DiffersLessThanWorth, 20, [3]int{1, 0, 0}, 0},
		{"cannot tell", verdict.CannotTell, 80, [3]int{0, 0, 1}, 0},
	} {
		got := k.compareWithTruth([]finding{{answer: c.answer, share: 0.5}}, []float64{c.size}, 0)
		if [3]int{got[0].N, got[1].N, got[2].N} != c.want || got[3].N != c.found || got[5].N != 1-c.want[1] {
			t.Errorf("%s: %+v", c.about, got)
		}
	}
}

// The strongest factor is told first where it is told to differ and no other that is has a larger share.
func TestLargestShare(t *testing.T) {
	all := []finding{{verdict.CannotTell, 0.5, 0.1}, {verdict.Differs, 0.2, 0}, {verdict.DiffersLessThanWorth, 0.3, 0},
		{verdict.NoDifferenceWorth, 0.9, 1}}
	if got := largestShare(all); got != 2 {
		t.Errorf("factor %d is first", got)
	}
	if got := largestShare(all[:1]); got != -1 {
		t.Errorf("factor %d is first of none", got)
	}
}

// The answers stand in the table by the names of the factors; where a column changed with another, either
// name stands for it.
func TestRead(t *testing.T) {
	k := kind(t, "confounded")
	table := page.Table{ID: "factors", Columns: []page.Column{{ID: "factor"}, {ID: "answer"}, {ID: "share"}, {ID: "p"}},
		Rows: [][]page.Cell{
			{page.T("cure_temp, place"), page.T(verdict.Differs.Key()), page.N(0.4), page.N(0.001)},
			{page.T("pins"), page.T(verdict.NoDifferenceWorth.Key()), page.N(0.1), page.N(0.2)}}}
	got, err := k.read(page.Entry{Tables: []page.Table{table}})
	if err != nil {
		t.Fatal(err)
	}
	if p := got[k.at("place")]; p.answer != verdict.Differs || p.share != 0.4 || p.p != 0.001 {
		t.Errorf("place: %+v", p)
	}
	if d := got[k.at("density")]; d.answer != verdict.CannotTell || !math.IsNaN(d.share) {
		t.Errorf("density, which is not in the table: %+v", d)
	}
	table.Rows[1][1] = page.T("perhaps")
	if _, err := k.read(page.Entry{Tables: []page.Table{table}}); err == nil {
		t.Error("an answer that is none is not missed")
	}
	if _, err := k.read(page.Entry{}); err == nil {
		t.Error("a missing table is not missed")
	}
}

// What each factor truly does is what the truth was made with, and the strongest is the one meant.
func TestTruth(t *testing.T) {
	for _, c := range []struct {
		name, first string
		sizes       map[string]float64
	}{
		{"none", "", map[string]float64{"pins": 0, "density": 0, "glue": 0}},
		{"one factor", "pins", map[string]float64{"pins": 50, "place": 0}},
		{"combined", "pins", map[string]float64{"pins": 110, "place": 90, "glue": 0}},
		{"confounded", "place", map[string]float64{"pins": 40, "place": 55}},
		{"boards", "species", map[string]float64{"pins": 45, "species": 70}},
		{"the demo's", "pins", map[string]float64{"pins": 111, "species": 0, "thickness": 0}},
	} {
		k := kind(t, c.name)
		sizes, first, err := k.taken(k.invent(3)).truth(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		name := ""
		if first >= 0 {
			name = k.factors[first].name
		}
		if name != c.first {
			t.Errorf("%s: %s is the strongest, want %s", c.name, name, c.first)
		}
		for factor, want := range c.sizes {
			if got := sizes[k.at(factor)]; math.Abs(got-want) > 0.5 {
				t.Errorf("%s: %s does %.1f, want %.1f", c.name, factor, got, want)
			}
		}
	}
	k := kind(t, "a bend")
	a := k.taken(k.invent(3))
	sizes, _, err := a.truth(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	// The ends of the range do nearly the same, and the middle more.
	if ends := a.ends[0]; len(ends) != 3 || sizes[0] < 40 {
		t.Errorf("the bend is told at %v, and does %.1f", ends, sizes[0])
	}
}

// Series have as many specimens of each level as they should, one level a board where they should, cells
// that stayed empty, and joints that never came to the bench.
func TestInvent(t *testing.T) {
	k := kind(t, "unbalanced")
	s := k.invent(1)
	pairs, epoxy := 0.0, 0.0
	for _, one := range s.specimens {
		pairs, epoxy = pairs+one.is("pins", "pair"), epoxy+one.is("glue", "epoxy")
	}
	if len(s.specimens) != 50 || pairs != 10 || epoxy != 5 || strings.Count(s.CSV, "\n") != 51 {
		t.Errorf("%d specimens, %g pairs, %g of epoxy", len(s.specimens), pairs, epoxy)
	}
	k = kind(t, "boards")
	s = k.invent(1)
	species := map[int]float64{}
	for i, b := range s.board {
		if is, ok := species[b]; ok && is != s.specimens[i].num("species") {
			t.Errorf("board %d has two species", b)
		}
		species[b] = s.specimens[i].num("species")
	}
	if len(species) != 16 {
		t.Errorf("%d boards", len(species))
	}
	k = kind(t, "uneven, spoiled")
	lost, empty := 0, 0
	for seed := range uint64(20) {
		s := k.invent(seed)
		lost += k.n - len(s.specimens)
		empty += strings.Count(s.CSV, ",,")
	}
	if lost == 0 || empty == 0 {
		t.Errorf("%d specimens are lost, %d cells empty", lost, empty)
	}
	if a, b := k.invent(5), k.invent(5); a.CSV != b.CSV {
		t.Error("a seed gives two series")
	}
}

// The expected load of the weaker of two places is the mean of many joints, within four standard errors.
func TestExpectedOfModes(t *testing.T) {
	k := kind(t, "mixed modes")
	r := rand.New(rand.NewPCG(3, 4))
	for place := range 2 {
		s := specimen{k, make([]float64, len(k.factors))}
		s.x[k.at("density")], s.x[k.at("place")] = 620, float64(place)
		const many = 40_000
		sum, squares := 0.0, 0.0
		for range many {
			y, _ := breaksInModes(s, r)
			sum, squares = sum+y, squares+y*y
		}
		mean := sum / many
		se := math.Sqrt((squares/many - mean*mean) / many)
		if want := expectedOfModes(s); math.Abs(mean-want) > 4*se {
			t.Errorf("place %d: mean %.2f (%.2f), expected %.2f", place, mean, se, want)
		}
	}
}
