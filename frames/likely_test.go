package frames_test

import (
	"breakbook/frames/units"
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

// How much of a joint failed in some way comes out of the test; what it was like at failure does not.
func TestNumbersThatSayHowSpecimensFailed(t *testing.T) {
	percent, _ := units.Parse("percent")
	millimetre, _ := units.Parse("mm")
	for _, c := range []struct {
		name string
		unit units.Unit
		want bool
	}{
		{"wood_failure", percent, true}, {"glue_failure", units.Unit{}, true}, {"holzbruch", percent, true},
		{"percent_wood_failure", percent, true}, {"rupture_bois", percent, true}, {"rottura_legno", percent, true},
		{"houtbreuk", percent, true}, {"træbrud", percent, true}, {"träbrott", percent, true},
		{"zniszczenie_drewna", percent, true}, {"lom_dreva", percent, true},
		{"moisture", percent, false}, {"moisture_at_failure", percent, false}, {"feuchte_beim_bruch", percent, false},
		{"failure_length", millimetre, false}, {"density", units.Unit{}, false},
	} {
		if got := (frames.Column{Name: c.name, Kind: frames.Number, Unit: c.unit}).SaysFailure(); got != c.want {
			t.Errorf("%s in %s: %v", c.name, c.unit, got)
		}
	}
}
