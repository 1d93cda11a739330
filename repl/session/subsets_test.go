package session

import (
	"slices"
	"testing"

	"breakbook/models/design"
)

// Of three factors together come the three alone, then the three pairs, then all: each a part of what comes after.
func TestSubsetsComeBySize(t *testing.T) {
	all := subsets([]design.Factor{{Variable: 4}, {Variable: 2}, {Variable: 7}})
	var got [][]int
	for _, s := range all {
		var of []int
		for _, f := range s {
			of = append(of, f.Variable)
		}
		got = append(got, of)
	}
	want := [][]int{{4}, {2}, {7}, {4, 2}, {4, 7}, {2, 7}, {4, 2, 7}}
	if !slices.EqualFunc(got, want, slices.Equal[[]int]) {
		t.Errorf("%v, want %v", got, want)
	}
}
