package bench

import (
	"errors"
	"os"
	"strings"
	"testing"

	"breakbook/repl/page"
)

// A size worth having that the load cannot have is refused where it is said, and the hint
// works; without a unit it is asked for.
func TestWorthFitsTheLoad(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "fit load on pins")
	for _, c := range []struct{ line, code, message, hint string }{
		{"worth 200 mm", "wrong-dimension", "mm is a unit of length", "worth 200 kgf"},
		{"worth 200 kg", "wrong-dimension", "kg is a unit of mass", "worth 200 kgf"},
		{"worth 200 pounds", "wrong-dimension", "lb is a unit of mass", "worth 200 lbf"},
		{"worth 10", "unit-needed", "10 %, or 10 kgf?", "worth 10% or worth 10 kgf"},
		{"compare load by pins worth 10", "unit-needed", "10 %, or 10 kgf?", "worth 10% or worth 10 kgf"},
		{"compare load by pins worth 20 kg", "wrong-dimension", "kg is a unit of mass", "worth 20 kgf"},
		{"compare pins of fit1 worth 20 mm", "wrong-dimension", "mm is a unit of length", "worth 20 kgf"},
	} {
		before := b.s.Settings()
		_, err := b.try(c.line)
		var p *page.Problem
		if !errors.As(err, &p) || string(p.Code) != c.code || !strings.Contains(p.Message, c.message) ||
			p.Hint != c.hint {
			t.Errorf("%s: %+v", c.line, p)
			continue
		}
		if want := strings.Index(c.line, "worth ") + len("worth ") + 1; p.At != want {
			t.Errorf("%s: at %d, want %d", c.line, p.At, want)
		}
		if b.s.Settings() != before {
			t.Errorf("%s: the settings changed", c.line)
		}
		head := c.line[:strings.Index(c.line, "worth ")]
		for hint := range strings.SplitSeq(p.Hint, " or ") {
			b.run(head + hint)
		}
	}
	b.run("worth 2 kN", "worth 12 N", "worth 5%", "odds failure is glue on pins worth 60")
}

// Without a series a plain number is asked for too; where the load has no unit it is one.
func TestWorthOfALoadWithoutAUnit(t *testing.T) {
	b := newBench(t)
	if _, err := b.try("worth 10"); err == nil || err.Error() != "10 %, or 10 N?" {
		t.Errorf("worth 10 without a series: %v", err)
	}
	if err := os.WriteFile("plain.csv", []byte("load,pins\n410,none\n395,none\n520,pair\n498,pair\n"),
		0o600); err != nil {
		t.Fatal(err)
	}
	b.run("open plain.csv", "worth 10", "compare load by pins")
}

// A load said to be in a unit of mass is cautioned of, with the force to say instead.
func TestALoadInAUnitOfMass(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv")
	for line, want := range map[string]string{"unit load is pounds": "type unit break_load is lbf.",
		"unit load is lb": "type unit break_load is lbf.",
		"unit load is kg": "type unit break_load is kgf."} {
		if said := words(b.run(line).Cautions); !strings.Contains(said, "a mass and no load") ||
			!strings.Contains(said, want) {
			t.Errorf("%s: %q", line, said)
		}
	}
	if said := words(b.run("unit load is lbf").Cautions); strings.Contains(said, "mass") {
		t.Errorf("unit load is lbf: %q", said)
	}
}
