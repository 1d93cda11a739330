package phrase

import (
	"errors"
	"reflect"
	"testing"
)

func TestSplit(t *testing.T) {
	for _, c := range []struct {
		line string
		want []Piece
		more bool
	}{
		{"", nil, false},
		{"  # only words", nil, false},
		{"look; rows 5  # two", []Piece{{"look", 1, ""}, {"rows 5", 7, "look"}}, false},
		{`note "a; b"; ö ; look`, []Piece{{`note "a; b"`, 1, ""}, {"ö", 14, `note "a; b"`}, {"look", 18, "ö"}}, false},
		{"note 1/2\" thick; look", []Piece{{`note 1/2" thick`, 1, ""}, {"look", 18, `note 1/2" thick`}}, false},
		{"fit load on pins,  # first", []Piece{{"fit load on pins,", 1, ""}}, true},
		{"fit load on pins, # first\ndensity", []Piece{{"fit load on pins, \ndensity", 1, ""}}, false},
		{`note "a,"`, []Piece{{`note "a,"`, 1, ""}}, false},
		{"look, ; ", []Piece{{"look,", 1, ""}}, false},
		{"# c\nlook", []Piece{{"look", 5, ""}}, false},
		{"open file#1.csv", []Piece{{"open file#1.csv", 1, ""}}, false},
	} {
		got, more, err := Split(c.line)
		if err != nil || more != c.more || !reflect.DeepEqual(got, c.want) {
			t.Errorf("%q: %+v %v %v", c.line, got, more, err)
		}
	}
	_, _, err := Split(`look; note "ö`)
	var e *Error
	if !errors.As(err, &e) || e.Code != "unclosed-quote" || e.At != 12 {
		t.Errorf("an open quotation mark gives %+v", err)
	}
}
