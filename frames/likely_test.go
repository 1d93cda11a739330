package frames_test

import (
	"testing"

	"breakbook/frames"
)

func TestLikelyColumns(t *testing.T) {
	for _, c := range []struct {
		csv    string
		role   frames.Role
		column string
		sure   bool
	}{
		{"Probe,Breite (mm),Bruchlast,Bruchart\n1,40,2410,Leim\n2,41,2510,Leim\n", frames.Load, "bruchlast", true},
		{"Probe,Breite (mm),Bruchlast,Bruchart\n1,40,2410,Leim\n2,41,2510,Leim\n", frames.Failure, "bruchart", true},
		{"Probe,Breite (mm),Bruchlast,Bruchart\n1,40,2410,Leim\n2,41,2510,Leim\n", frames.Specimen, "probe", true},
		{"a,b (kN),width\n1,2,3\n2,3,4\n", frames.Load, "b", true}, // the only force
		{"a,glue pressure (N),siła (N),width\n1,2,3,4\n2,3,4,5\n",
			frames.Load, "siła", true}, // of two, the one that says so
		// of two that say nothing, the first
		{"a,first (N),other (N)\n1,2,3\n2,3,4\n", frames.Load, "first", true},
		{"nr,charge de rupture,b\n1,2,3\n2,3,4\n", frames.Load, "charge_de_rupture", true},
		{"nr,carico,b\n1,2,3\n2,3,4\n", frames.Load, "carico", true},
		{"nr,Höchstlast,b\n1,2,3\n2,3,4\n", frames.Load, "höchstlast", true},
		{"nr,breukkracht,b\n1,2,3\n2,3,4\n", frames.Load, "breukkracht", true},
		{"nr,Last,b\n1,2,3\n2,3,4\n", frames.Load, "last", true},
		{"nr,last checked,b\n1,2,3\n2,3,4\n", frames.Load, "b", false}, // English
		{"nr,x,b\n1,2,3\n2,3,4\n", frames.Load, "b", false},            // the last of numbers
		{"nr,x,b (mm)\n1,2,3\n2,3,4\n", frames.Load, "x", false},       // which is no length
		{"nr,load\n1,2\n2,3\n", frames.Load, "", false},                // marked already
		{"wood,glue\noak,hide\noak,hide\n", frames.Load, "", false},
		{"wood,glue\noak,hide\noak,hide\n", frames.Failure, "glue", false},
		{"wood,name\noak,A1\noak,A2\n", frames.Specimen, "", false}, // marked already
		{"wood,piece of\noak,A1\noak,A2\n", frames.Specimen, "piece_of", false},
		{"wood,x\noak,1\noak,2\n", frames.Block, "", false},
	} {
		if column, sure := read(t, c.csv).Likely(c.role); column != c.column || sure != c.sure {
			t.Errorf("%q, %s: %q (sure %t), want %q (%t)", c.csv, c.role, column, sure, c.column, c.sure)
		}
	}
}
