package page

import (
	"reflect"
	"testing"
)

func TestIfSaysNothingWhereItIsNotSo(t *testing.T) {
	got := Say("Make ", 3, If(true, " of ", Share(0.5)), If(false, " never"), ".")
	want := Sentence{Word("Make "), Num{Value: 3, Style: Count}, Word(" of "), Num{Value: 0.5, Style: Fraction},
		Word(".")}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestJoinedPutsWordsBetween(t *testing.T) {
	level := func(name string) Sentence { return Say(name, ": ", In(4, "N")) }
	for _, c := range []struct {
		names []string
		want  Sentence
	}{
		{nil, nil},
		{[]string{"none"}, Say("none", ": ", Num{Value: 4, Unit: "N"})},
		{[]string{"none", "pair"}, Say("none", ": ", In(4, "N"), "; ", "pair", ": ", In(4, "N"))},
	} {
		if got := Joined(c.names, "; ", level); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%v: got %v, want %v", c.names, got, c.want)
		}
	}
}

func TestAnEntryTakesNoEmptySentence(t *testing.T) {
	var e Entry
	e.Find(Say("one"), nil, If(false, "two"))
	e.Warn(nil)
	if !reflect.DeepEqual(e.Findings, []Sentence{Say("one")}) || e.Cautions != nil {
		t.Errorf("findings %v, cautions %v", e.Findings, e.Cautions)
	}
}
