// Package stages has the boundaries of a series that is looked at before it is complete, and the chances of
// coming to them: the error spent by stages (Lan and DeMets 1983, Biometrika 70, 659-663; Jennison and
// Turnbull 2000, Group Sequential Methods), by integrating from one stage to the next (Armitage, McPherson
// and Rowe 1969, J. R. Statist. Soc. A 132, 235-244).
package stages
