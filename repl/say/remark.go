package say

// forces are the units of force whose weights are sold by the unit of mass.
var forces = map[string]string{"kg": "kgf", "lb": "lbf"}

// ForceOf is the unit of force of what a unit of mass weighs, or "".
func ForceOf(mass string) string { return forces[mass] }

// AsForce is the line that makes a load of a mass.
func AsForce(column, unit string) string {
	if force := ForceOf(unit); force != "" {
		return "type unit " + column + " is " + force + "."
	}
	return "type convert " + column + " to kg, and then unit " + column + " is kgf."
}
