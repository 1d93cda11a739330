package notation

import "testing"

func TestHeaderMadePlain(t *testing.T) {
	for _, c := range []struct{ header, name, label, unit string }{
		{"Break load (kgf)", "break_load", "Break load", "kgf"},
		{"break load [kgf]", "break_load", "break load", "kgf"},
		{"Break_Load_kgf", "break_load", "Break_Load", "kgf"},
		{"  Break  load,\nkgf ", "break_load", "Break load", "kgf"},
		{"Temp °C", "temp", "Temp", "degC"},
		{"Temp (C)", "temp", "Temp", "degC"},
		{"cure_temp_c", "cure_temp", "cure_temp", "degC"},
		{"block_c", "block_c", "block_c", ""},
		{"cure_temp_C", "cure_temp", "cure_temp", "degC"},
		{"Load in kN", "load", "Load", "kN"},
		{"F / N", "f", "F", "N"},
		{"break_load_n", "break_load", "break_load", "N"},
		{"density_kg_m3", "density", "density", "kg/m3"},
		{"Density kg/m³", "density", "Density", "kg/m3"},
		{"Density at 12 % (kg/m3)", "density_at_12", "Density at 12 %", "kg/m3"},
		{"Moment N m", "moment", "Moment", "N·m"},
		{"Moisture %", "moisture", "Moisture", "percent"},
		{"wood_failure_percent", "wood_failure", "wood_failure", "percent"},
		{"Thickness (\")", "thickness", "Thickness", "inch"},
		{"Thickness in", "thickness", "Thickness", "inch"},
		{"Load (N) at break", "load_at_break", "Load at break", "N"},
		{"Load (max)", "load_max", "Load (max)", ""},
		{"Load min", "load_min", "Load min", ""},
		{"Load (min)", "load_min", "Load (min)", ""},
		{"Cure time min", "cure_time", "Cure time", "min"},
		{"time_s", "time", "time", "s"},
		{"Board N", "board_n", "Board N", ""},
		{"Group C", "group_c", "Group C", ""},
		{"Failed in", "failed_in", "Failed in", ""},
		{"Test day", "test_day", "Test day", ""},
		{"day", "day", "day", ""},
		{"N", "n", "N", ""},
		{"kgf", "kgf", "kgf", "kgf"},
		{"N/mm²", "n_mm2", "N/mm²", "N/mm2"},
		{"load_second", "load_second", "load_second", ""},
		{"Größe (mm)", "größe", "Größe", "mm"},
		{"Gro\u0308ße", "größe", "Gro\u0308ße", ""},
		{"--", "", "--", ""},
	} {
		label, unit := SplitHeader(c.header)
		if name := PlainName(label); name != c.name || label != c.label || unit.String() != c.unit {
			t.Errorf("%q: name %q label %q unit %q; want %q %q %q", c.header, name, label, unit, c.name, c.label,
				c.unit)
		}
	}
}

func TestNamesAreTheirOwn(t *testing.T) {
	n := NewNamer()
	var got []string
	for i, label := range []string{"load", "Load", "load second", "LOAD", "", "column 5", ""} {
		name, _, _ := n.Name(label, i)
		got = append(got, name)
	}
	want := []string{"load", "load_second", "load_second_second", "load_third", "column_5", "column_5_second",
		"column_7"}
	for i := range want {
		if got[i] != want[i] {
			t.Fatalf("got %q, want %q", got, want)
		}
	}
}
