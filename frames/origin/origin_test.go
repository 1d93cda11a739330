package origin

import (
	"reflect"
	"testing"
)

func TestAnAdjustmentFollowsItsColumns(t *testing.T) {
	a := &Adjustment{Of: "load", To: []Reference{{Column: "density", Value: 640, Unit: "kg/m3"}, {Column: "moisture",
		Value: 12}}}
	exact := &Adjustment{Of: "load", To: []Reference{{Column: "density", Value: 640, Unit: "kg/m3", Exact: true},
		{Column: "moisture", Value: 12, Exact: true}}}
	for _, c := range []struct {
		name      string
		got, want *Adjustment
	}{
		{"its own column renamed", a.Renamed("load", "peak"), &Adjustment{Of: "peak", To: a.To}},
		{"a reference renamed", a.Renamed("moisture", "mc"), &Adjustment{Of: "load",
			To: []Reference{a.To[0], {Column: "mc", Value: 12}}}},
		{"another renamed", a.Renamed("pins", "pegs"), a},
		{"a unit put right", a.Relabelled("density", "kg/m3", "lb/ft3"), &Adjustment{Of: "load",
			To: []Reference{{Column: "density", Value: 640, Unit: "lb/ft3"}, a.To[1]}}},
		{"converted before its unit was put right", a.Relabelled("density", "g/cm3", "lb/ft3"), a},
		{"pooled with its like", a.And(&Adjustment{Of: "load", To: append([]Reference(nil), a.To...)}), a},
		{"pooled with one brought elsewhere", a.And(&Adjustment{Of: "load", To: a.To[:1]}), exact},
		{"pooled with one that was measured so", a.And(nil), exact},
		{"one that was measured so, pooled with it", (*Adjustment)(nil).And(a), exact},
		{"brought further", a.Further("load_adjusted", []Reference{{Column: "moisture", Value: 10}, {Column: "age",
			Value: 1}}),
			&Adjustment{Of: "load", To: []Reference{a.To[0], {Column: "moisture", Value: 10},
				{Column: "age", Value: 1}}}},
		{"brought there first", (*Adjustment)(nil).Further("load", a.To), a},
		{"none", (*Adjustment)(nil).And(nil), nil},
		{"none renamed", (*Adjustment)(nil).Renamed("load", "peak"), nil},
	} {
		if !reflect.DeepEqual(c.got, c.want) {
			t.Errorf("%s: %+v, want %+v", c.name, c.got, c.want)
		}
	}
	if a.To[0].Column != "density" || a.To[0].Unit != "kg/m3" || a.To[0].Exact {
		t.Errorf("the adjustment itself was changed: %+v", a)
	}
}
