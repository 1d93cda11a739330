package units

import "testing"

func TestParse(t *testing.T) {
	for _, c := range []struct{ written, want string }{
		{"N", "N"}, {"kN", "kN"}, {"KN", "kN"}, {"kgf", "kgf"}, {"KGF", "kgf"}, {"kp", "kgf"}, {"lbf", "lbf"},
		{"newtons", "N"},
		{"mm", "mm"}, {"MM", "mm"}, {" mm ", "mm"}, {"in", "inch"}, {`"`, "inch"}, {"inch", "inch"}, {"inches", "inch"},
		{"cm", "cm"}, {"m", "m"},
		{"mm²", "mm2"}, {"mm^2", "mm2"}, {"cm2", "cm2"}, {"sq mm", "mm2"}, {"in²", "inch2"},
		{"kg", "kg"}, {"Kg", "kg"}, {"g", "g"}, {"lb", "lb"}, {"lbs", "lb"}, {"LBS", "lb"},
		{"kg/m³", "kg/m3"}, {"kg/m3", "kg/m3"}, {"kg / m^3", "kg/m3"}, {"KG/M3", "kg/m3"}, {"kg m-3", "kg/m3"},
		{"kg·m⁻³", "kg/m3"},
		{"g/cm³", "g/cm3"}, {"g/cc", "g/cm3"}, {"lb/ft3", "lb/ft3"}, {"lbs/ft³", "lb/ft3"},
		{"°C", "degC"}, {"degC", "degC"}, {"deg C", "degC"}, {"C", "degC"}, {"° F", "degF"}, {"°F", "degF"},
		{"degf", "degF"}, {"s", "s"}, {"sec", "s"}, {"min", "min"}, {"h", "h"}, {"hrs", "h"}, {"days", "day"},
		{"N·m", "N·m"}, {"Nm", "N·m"}, {"N m", "N·m"}, {"N*mm", "N·mm"}, {"kNm", "kN·m"}, {"kgf.mm", "kgf·mm"},
		{"mm·kgf", "kgf·mm"}, {"kgf-m", "kgf·m"},
		{"J", "J"}, {"joules", "J"},
		{"N/mm²", "N/mm2"}, {"N/mm2", "N/mm2"}, {"MPa", "MPa"}, {"mpa", "MPa"}, {"kPa", "kPa"}, {"psi", "psi"},
		{"PSI", "psi"}, {"kgf/cm2", "kgf/cm2"}, {"kp/cm²", "kgf/cm2"}, {"lbf/in²", "psi"},
		{"%", "percent"}, {"percent", "percent"}, {"per cent", "percent"},
		{"N/mm", "N/mm"}, {"N/(kg·m)", "N/(kg·m)"}, {"1/mm2", "1/mm2"}, {"N·m3/kg", "N·m3/kg"},
		{"N per kg/m3", "N·m3/kg"},
	} {
		u, ok := Parse(c.written)
		if !ok || u.String() != c.want {
			t.Errorf("Parse(%q) = %q, %t; want %q", c.written, u, ok, c.want)
		}
	}
	for _, s := range []string{"", " ", "x", "ft", "feet", "n", "M", "nm", "/", "N/", "/N", "N//mm", "N/(", "mm0",
		"N··m", "degC/mm", "N per degC", "N per N", "N per", "per N", "degC2", "pins", "1", "1/", "kg/m3/",
		"N5000000000000000000000", "m100", "mm/mm", "\xff", "N N N N N N N N N N N N N N N N N N N N N N N N N N"} {
		if u, ok := Parse(s); ok {
			t.Errorf("Parse(%q) = %q; want nothing", s, u)
		}
	}
}

func TestWordRefusesInchesThatReadAsSomethingElse(t *testing.T) {
	for _, s := range []string{"in", "In", " in ", `"`, "″", "''"} {
		if u, ok := Word(s); ok {
			t.Errorf("Word(%q) = %q; want nothing", s, u)
		}
	}
	for s, want := range map[string]string{"inch": "inch", "mm": "mm", "kg/m3": "kg/m3", "%": "percent", "min": "min"} {
		if u, ok := Word(s); !ok || u.String() != want {
			t.Errorf("Word(%q) = %q, %t; want %q", s, u, ok, want)
		}
	}
}

func TestKnownIsCanonicalAndNamed(t *testing.T) {
	dimensions := map[string][]string{}
	for _, s := range Known() {
		u, ok := Word(s)
		if !ok || u.String() != s {
			t.Errorf("Word(%q) = %q, %t; want itself", s, u, ok)
		}
		d := u.Dimension()
		dimensions[d] = append(dimensions[d], s)
	}
	for d, n := range map[string]int{"force": 4, "length": 4, "area": 3, "mass": 3, "density": 3, "temperature": 2,
		"time": 4, "moment": 5, "energy": 1, "stress": 5, "percent": 1} {
		if len(dimensions[d]) != n {
			t.Errorf("%s: %v; want %d units", d, dimensions[d], n)
		}
	}
	if d := (Unit{}).Dimension(); d != "number" {
		t.Errorf("no unit measures %q; want number", d)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range append(Known(), "N/(kg·m)", "kg·m⁻³", "1/mm2", "N per kg/m3", "\xff·°", "N-9", "(((") {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		u, ok := Parse(s)
		if !ok {
			if !u.None() {
				t.Fatalf("Parse(%q) = %q though it failed", s, u)
			}
			return
		}
		if again, ok := Parse(u.String()); len(u.String()) <= longest && (!ok || again != u) {
			t.Fatalf("Parse(%q) = %q, which reads as %q, %t", s, u, again, ok)
		}
		if x, err := Convert(2.5, u, u); err != nil || x != 2.5 {
			t.Fatalf("2.5 %s in its own unit is %v, %v", u, x, err)
		}
		if !SameDimension(u, u) || u.Dimension() == "number" {
			t.Fatalf("%q measures %q", u, u.Dimension())
		}
	})
}
