package parser

import (
	"errors"
	"testing"

	"breakbook/repl/phrase"
)

// A note whose text holds a ; is split there; where the rest makes no command the hint says
// how the whole is typed, and what it gives is one command.
func TestTextSplitAtASemicolonIsToBeQuoted(t *testing.T) {
	k := newBench()
	for line, want := range map[string]string{
		`note glue was cold; density is high`: `a text with ; in it is put in quotation marks: note "glue was cold; ` +
			`density is high"`,
		`Heading the 1/2" pins; larch`: `a text with ; in it is put in quotation marks: Heading "the 1/2"" ` +
			`pins; larch"`,
		`note hi; fti load on pins`: `a text with ; in it is put in quotation marks: note "hi; fti load ` +
			`on pins"`,
		`note one; undo things`: `the command is complete before it; or, if this is still the text ` +
			`before it: note "one; undo things"`,
		`note "hi"; fti load on pins`:   "type help to see what can be typed",
		`look; density is high`:         "type help to see what can be typed",
		`note x; look; density is high`: "type help to see what can be typed",
	} {
		pieces, _, err := phrase.Split(line)
		if err != nil {
			t.Fatal(err)
		}
		_, err = Parse(pieces[len(pieces)-1], k)
		var e *phrase.Error
		if !errors.As(err, &e) || e.Hint != want {
			t.Errorf("%s\n  got  %v\n  want %s", line, e, want)
		}
	}
	pieces, _, err := phrase.Split(`note "glue was cold; density is high"`)
	if err != nil || len(pieces) != 1 {
		t.Fatalf("%+v, %v", pieces, err)
	}
	if c, err := Parse(pieces[0], k); err != nil || part[phrase.Text](t, c).Text != "glue was cold; density is high" {
		t.Errorf("the quoted note: %v, %v", c, err)
	}
}
