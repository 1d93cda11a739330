package frames

import (
	"slices"
	"testing"
)

func TestColumnsMadeOfOneAnother(t *testing.T) {
	f := &Frame{at: map[string]int{}}
	for i, name := range []string{"temp", "width", "height", "warm", "band", "bands", "area", "aspect", "twice"} {
		f.at[name], f.held = i, append(f.held, held{Column: Column{Name: name}})
	}
	var err error
	for _, made := range []struct {
		name string
		of   []string
	}{{"warm", []string{"temp"}}, {"band", []string{"warm"}}, {"bands", []string{"temp"}},
		{"area", []string{"width", "height"}}, {"aspect", []string{"width", "height", "width"}},
		{"twice", []string{"area"}}} {
		if f, err = f.DerivedFrom(made.name, made.of); err != nil {
			t.Fatal(err)
		}
	}
	if c, _ := f.Column("band"); !slices.Equal(c.From, []string{"warm", "temp"}) {
		t.Errorf("band is from %v", c.From)
	}
	if c, _ := f.Column("aspect"); !slices.Equal(c.From, []string{"width", "height"}) {
		t.Errorf("aspect is from %v", c.From)
	}
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"temp", "warm", true}, {"temp", "band", true}, {"band", "bands", true}, {"warm", "bands", true},
		{"temp", "temp", false}, {"temp", "width", false},
		{"width", "area", false}, // a height may have done it
		{"area", "aspect", false}, {"width", "twice", false}, {"area", "twice", true},
	} {
		for _, pair := range [][2]string{{c.a, c.b}, {c.b, c.a}} {
			if got := f.Akin(pair[0], pair[1]); got != c.want {
				t.Errorf("%s and %s: %v, want %v", pair[0], pair[1], got, c.want)
			}
		}
	}
	f, err = f.Rename("temp", "cure", "cure")
	if c, _ := f.Column("band"); err != nil || !slices.Equal(c.From, []string{"warm", "cure"}) ||
		!f.Akin("cure", "bands") {
		t.Errorf("after renaming: %v, band is from %v", err, c.From)
	}
}
