// Package units knows the closed list of units that break tests come in, their
// dimensions, and how one is turned into another.
//
// The list, in the spelling used everywhere in breakbook (Known returns it):
//
//	force        N kN kgf lbf
//	length       mm cm m inch
//	area         mm2 cm2 m2
//	mass         g kg lb
//	density      kg/m3 g/cm3 lb/ft3
//	temperature  degC degF
//	time         s min h day
//	moment       N·mm N·m kN·m kgf·mm kgf·m
//	energy       J (a moment unit such as N·mm does as well)
//	stress       N/mm2 MPa kPa psi kgf/cm2
//	percent      percent
//
// Products and quotients of these ("N/mm", "kgf·mm2") are units too. Dimensions
// are those of gonum's unit package; factors between units are exact fractions.
package units

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/unit"
)

// Unit is one known unit, or a product of powers of known units. The zero Unit
// is "no unit" (a bare number). Two units are the same unit where they are ==.
type Unit struct {
	name string // canonical; everything else is looked up from it
}

// String is the canonical spelling ("kg/m3", "degC", "kgf·mm"); "" for no unit.
func (u Unit) String() string { return u.name }

// None reports whether u is no unit at all.
func (u Unit) None() bool { return u.name == "" }

// Dimension names what it measures: "force", "length", "area", "volume", "mass",
// "density", "temperature", "time", "moment", "energy", "stress", "stiffness",
// "percent", and "number" for no unit. A combination with no name of its own is
// called by its spelling ("N·m3/kg").
func (u Unit) Dimension() string {
	if u.None() {
		return "number"
	}
	fs := u.factors()
	if len(fs) == 1 && fs[0].power == 1 {
		return fs[0].atom.measures
	}
	if name, ok := dimensionNames[fs.gonum().Dimensions().String()]; ok {
		return name
	}
	return u.name
}

// SameDimension reports whether a value in one of the units can be converted to
// the other.
func SameDimension(a, b Unit) bool {
	return unit.DimensionsMatch(a.factors().gonum(), b.factors().gonum())
}

// factor is a power of one atom; factors a product of them.
type factor struct {
	atom  *atom
	power int
}

type factors []factor

// factors takes a unit apart. The name is canonical, so this cannot fail.
func (u Unit) factors() factors {
	if u.None() {
		return nil
	}
	fs, _ := parseProduct(u.name)
	return fs
}

// gonum is the product as gonum's unit package holds it, with the value 1.
func (fs factors) gonum() *unit.Unit {
	product := unit.New(1, unit.Dimensions{})
	for _, f := range fs {
		base := unit.New(1, f.atom.dims)
		for range max(f.power, -f.power) {
			if f.power > 0 {
				product.Mul(base)
			} else {
				product.Div(base)
			}
		}
	}
	return product
}

// unit writes the product in its canonical spelling: atoms in the order of the
// table, those with positive powers first, "/" before the rest.
func (fs factors) unit() Unit {
	powers := map[*atom]int{}
	for _, f := range fs {
		powers[f.atom] += f.power
	}
	order := slices.SortedFunc(maps.Keys(powers), func(a, b *atom) int { return cmp.Compare(a.rank, b.rank) })
	var above, below []string
	for _, a := range order {
		switch p := powers[a]; {
		case p > 0:
			above = append(above, raised(a.name, p))
		case p < 0:
			below = append(below, raised(a.name, -p))
		}
	}
	name := strings.Join(above, "·")
	switch {
	case len(below) == 0:
		return Unit{name}
	case name == "":
		name = "1"
	}
	under := strings.Join(below, "·")
	if len(below) > 1 {
		under = "(" + under + ")"
	}
	return Unit{name + "/" + under}
}

func raised(name string, power int) string {
	if power == 1 {
		return name
	}
	return name + strconv.Itoa(power)
}

// Mul is the unit of a product. A temperature in degC or degF has its zero in an
// arbitrary place and cannot be multiplied: an *Error.
func Mul(a, b Unit) (Unit, error) { return combine(a, b, 1, false) }

// Div is the unit of a quotient; as Mul for temperatures, except that one divided
// by no unit stays itself.
func Div(a, b Unit) (Unit, error) { return combine(a, b, -1, false) }

// MulSteps is the unit of a product of differences, which have no zero: as Mul, for temperatures too.
// The unit of a slope is per such a one, and nothing else is in it.
func MulSteps(a, b Unit) (Unit, error) { return combine(a, b, 1, true) }

func combine(a, b Unit, sign int, steps bool) (Unit, error) {
	if b.None() {
		return a, nil
	}
	if a.None() && sign > 0 {
		return b, nil
	}
	fs := a.factors()
	for _, f := range b.factors() {
		fs = append(fs, factor{f.atom, sign * f.power})
	}
	for _, f := range fs {
		if f.atom.zero != nil && !steps {
			return Unit{}, &Error{A: a, B: b, combined: true}
		}
	}
	if u := fs.unit(); !u.tooHigh() {
		return u, nil
	}
	return Unit{}, &Error{A: a, B: b, combined: true}
}

// largestPower keeps powers within what a test could ever mean.
const largestPower = 12

func (u Unit) tooHigh() bool {
	return slices.ContainsFunc(u.factors(), func(f factor) bool { return max(f.power, -f.power) > largestPower })
}

// Pow is the unit of a power. A power that leaves a broken exponent (the square
// root of N) or that raises a temperature is an *Error.
func Pow(a Unit, n float64) (Unit, error) { return power(a, n, false) }

// PowSteps is the unit of a power of a difference; as MulSteps.
func PowSteps(a Unit, n float64) (Unit, error) { return power(a, n, true) }

func power(a Unit, n float64, steps bool) (Unit, error) {
	if a.None() || n == 1 {
		return a, nil
	}
	fs := slices.Clone(a.factors())
	for i, f := range fs {
		p := float64(f.power) * n
		if f.atom.zero != nil && !steps || p != math.Trunc(p) || math.Abs(p) > largestPower {
			return Unit{}, &Error{A: a, combined: true}
		}
		fs[i].power = int(p)
	}
	return fs.unit(), nil
}

// Per is how the unit of a slope is written for a person: Per(N, kg/m3) is
// "N per kg/m3". Text, not a unit: a slope per degC has one too. A unit that is
// none is left out ("per kg/m3", "N"); two that are none give "".
func Per(a, b Unit) string {
	switch {
	case b.None():
		return a.name
	case a.None():
		return "per " + b.name
	}
	return a.name + " per " + b.name
}
