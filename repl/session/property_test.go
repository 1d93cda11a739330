package session

import "testing"

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
