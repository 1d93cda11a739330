package session

import (
	"testing"

	"breakbook/frames"
	"breakbook/frames/units"
)

// A name that numbers or dates specimens says so; one that counts parts, or times a step of the making, is a
// factor's.
func TestNamesOrder(t *testing.T) {
	for name, want := range map[string]bool{
		"order": true, "specimen_no": true, "test_number": true, "run": true, "date": true, "glue_date": true,
		"time": true, "test_time": true, "time_of_test": true, "joint_id": true,
		"open_time": false, "press_time": false, "cure_time": false, "number_of_pins": false, "no_of_screws": false,
		"pins": false, "density": false, "timber": false,
	} {
		if got := namesOrder(name); got != want {
			t.Errorf("%s: %v, want %v", name, got, want)
		}
	}
}

// What a column is called, is for and is measured in says that it came out of the test; one marked as given did not.
func TestOutOfTest(t *testing.T) {
	for _, c := range []struct {
		name, unit string
		role       frames.Role
		want       string
	}{
		{"load", "kgf", frames.Load, "it came out of the test"},
		{"failure", "", frames.Failure, "it came out of the test"},
		{"moment", "kgf·mm", frames.Result, "it came out of the test"},
		{"peak", "N", frames.NoRole, "a force usually comes out of the test"},
		{"work", "J", frames.NoRole, "an energy usually comes out of the test"},
		{"spring", "N/mm", frames.NoRole, "a stiffness usually comes out of the test"},
		{"stiffness", "", frames.NoRole, "a figure of a load-slip curve comes out of the test"},
		{"slip_at_max", "mm", frames.NoRole, "a figure of a load-slip curve comes out of the test"},
		{"energy_to_max", "", frames.NoRole, "a figure of a load-slip curve comes out of the test"},
		{"stiffness", "N/mm", frames.Given, ""},
		{"slip", "mm", frames.NoRole, ""},
		{"density", "kg/m3", frames.NoRole, ""},
	} {
		u, _ := units.Parse(c.unit)
		if got := OutOfTest(frames.Column{Name: c.name, Unit: u, Role: c.role}); got != c.want {
			t.Errorf("%s in %q as %q: %q, want %q", c.name, c.unit, c.role, got, c.want)
		}
	}
}
