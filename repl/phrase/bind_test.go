package phrase

import (
	"strings"
	"testing"
)

// A struct and its phrase hold each other to account: what one has, the other needs.
func TestTheTableFitsItsStructs(t *testing.T) {
	if err := Standard().fitting(); err != nil {
		t.Error(err)
	}
}

func TestStructsThatDoNotFitAreFound(t *testing.T) {
	type one struct {
		Y Response `phrase:"y"`
	}
	type more struct {
		Y     Response   `phrase:"y"`
		A     *ColumnRef `phrase:"a"`
		Plain bool       `phrase:"plain"`
	}
	type twice struct {
		Y Response  `phrase:"y"`
		Z ColumnRef `phrase:"y"`
	}
	type untagged struct {
		Y Response `phrase:"y"`
		Z int
	}
	type withClauses struct {
		Clauses
		Y Response `phrase:"y"`
	}
	plain := []Option{{"plain", "plain"}}
	for _, c := range []struct {
		do     any
		phrase string
		rest   []Option
		clause []Clause
		lacks  string // "": it fits
	}{
		{one{}, "try {y:response}", nil, nil, ""},
		{more{}, "try {y:response} [by {a:category}]", plain, nil, ""},
		{withClauses{}, "try {y:response}", nil, []Clause{For}, ""},
		{nil, "try {y:response}", nil, nil, "needs the struct"},
		{&one{}, "try {y:response}", nil, nil, "needs the struct"},
		{one{}, "try {y:number}", nil, nil, "phrase.ColumnRef is needed"},
		{one{}, "try {y:response} by {a:category}", nil, nil, `no field for "a"`},
		{more{}, "try {y:response} by {a:category}", plain, nil, "phrase.ColumnRef is needed"},
		{more{}, "try {y:response} [by {a:category}]", nil, nil, `no phrase fills the field "plain"`},
		{one{}, "try {y:response}", plain, nil, `no field for "plain"`},
		{one{}, "try {y:response}", nil, []Clause{For}, `no field for "for"`},
		{withClauses{}, "try {y:response}", nil, nil, "no phrase fills the field"},
		{twice{}, "try {y:response}", nil, nil, "two fields"},
		{untagged{}, "try {y:response}", nil, nil, "no field of a slot"},
		{one{}, "try {y:response}", []Option{{"pair", "pair {a:count} by {b:count}"}}, nil, "no struct for the slots"},
	} {
		l, err := Compile([]Entry{{Name: "try", Do: c.do, Phrase: c.phrase, Options: c.rest, Clauses: c.clause}})
		if err == nil {
			err = l.fitting()
		}
		switch {
		case err == nil && c.lacks != "":
			t.Errorf("%T is taken to fit %s", c.do, c.phrase)
		case err != nil && (c.lacks == "" || !strings.Contains(err.Error(), c.lacks)):
			t.Errorf("%T for %s: %v, want %q", c.do, c.phrase, err, c.lacks)
		}
	}
}
