package units

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longest is more than any unit a person writes; past it a text is no unit.
const longest = 48

// Parse reads a unit as files and people write it: kgf, kp, kg/m³, kg/m3, N/mm²,
// °C, degC, in, ", inch, %, percent, lbs, N mm. It reports false for anything
// else, the empty text included.
func Parse(s string) (Unit, bool) {
	if len(s) > 4*longest {
		return Unit{}, false
	}
	s = strings.Join(strings.Fields(s), " ")
	if s == "" || len(s) > longest || !utf8.ValidString(s) {
		return Unit{}, false
	}
	s = powers.Replace(s)
	if u, ok := whole(s); ok {
		return u, true
	}
	if above, below, ok := strings.Cut(s, " per "); ok {
		return parsePer(above, below)
	}
	fs, ok := parseProduct(s)
	if !ok && len(s) > 1 && s == strings.ToUpper(s) {
		fs, ok = parseProduct(strings.ToLower(s)) // KG/M3
	}
	if !ok {
		return Unit{}, false
	}
	u := fs.unit()
	for _, f := range fs {
		if f.atom.zero != nil && (len(fs) > 1 || f.power != 1) {
			return Unit{}, false
		}
	}
	if u.None() || u.name == foot || u.tooHigh() {
		return Unit{}, false
	}
	return u, true
}

// parsePer reads what Per writes: what stands after "per" is one unit, so that
// "N per kg/m3" is N·m3/kg.
func parsePer(above, below string) (Unit, bool) {
	a, okA := Parse(above)
	b, okB := Parse(below)
	if !okA || !okB {
		return Unit{}, false
	}
	u, err := Div(a, b)
	return u, err == nil && !u.None()
}

// Word reads a unit as the bench language allows it: as Parse, but `in` is never
// a unit there, nor is a quotation mark.
func Word(s string) (Unit, bool) {
	switch s = strings.TrimSpace(s); {
	case strings.EqualFold(s, "in"), strings.ContainsAny(s, `"'″”`):
		return Unit{}, false
	}
	return Parse(s)
}

func whole(s string) (Unit, bool) {
	if name, ok := wholes[s]; ok {
		return Unit{name}, true
	}
	if utf8.RuneCountInString(s) < 3 {
		return Unit{}, false
	}
	lower := strings.ToLower(s)
	name, ok := wholes[lower]
	return Unit{name}, ok
}

// powers writes ³ and ^3 and **3 as 3, ⁻³ as -3.
var powers = strings.NewReplacer("²", "2", "³", "3", "¹", "1", "⁴", "4", "⁻", "-", "−", "-", "**", "", "^", "")

// parseProduct reads atoms with powers, joined by · (or * × . - and blanks) and /.
func parseProduct(s string) (factors, bool) {
	p := product{rest: s}
	sign := 1
	for {
		if sign < 0 && p.take("(") {
			for {
				if !p.factor(sign) {
					return nil, false
				}
				if p.take(")") {
					break
				}
				if !p.times() {
					return nil, false
				}
			}
		} else if !(len(p.found) == 0 && sign > 0 && strings.HasPrefix(p.rest, "1/") && p.take("1")) &&
			!p.factor(sign) {
			return nil, false
		}
		switch {
		case p.rest == "":
			return p.found, len(p.found) > 0
		case slices.ContainsFunc([]string{" / ", "/ ", " /", "/"}, p.take):
			sign = -1
		case p.times():
			sign = 1
		default:
			return nil, false
		}
	}
}

type product struct {
	rest  string
	found factors
}

func (p *product) take(s string) bool {
	rest, ok := strings.CutPrefix(p.rest, s)
	if ok {
		p.rest = rest
	}
	return ok
}

func (p *product) times() bool {
	return slices.ContainsFunc([]string{" · ", "·", "⋅", "×", "*", ".", " ", "-"}, p.take)
}

// factor reads one atom and its power.
func (p *product) factor(sign int) bool {
	end := strings.IndexFunc(p.rest, func(r rune) bool {
		return !(unicode.IsLetter(r) || r == '°' || r == '%' || r == '℃' || r == '℉')
	})
	if end < 0 {
		end = len(p.rest)
	}
	a, ok := atomCalled(p.rest[:end])
	if !ok {
		return false
	}
	p.rest = p.rest[end:]
	digits := 0
	for digits < len(p.rest) && (p.rest[digits] >= '0' && p.rest[digits] <= '9' ||
		digits == 0 && p.rest[0] == '-' && len(p.rest) > 1 && p.rest[1] >= '0' && p.rest[1] <= '9') {
		digits++
	}
	power := 1
	if digits > 0 {
		n, err := strconv.Atoi(p.rest[:digits])
		if err != nil || n == 0 {
			return false
		}
		power, p.rest = n, p.rest[digits:]
	}
	p.found = append(p.found, factor{a, sign * power})
	return true
}

// atomCalled finds an atom by one of its spellings: as written, or for spellings
// of two letters and more without case. "nm" is not taken for anything.
func atomCalled(s string) (*atom, bool) {
	if a, ok := spelledAs[s]; ok {
		return a, true
	}
	if utf8.RuneCountInString(s) < 2 {
		return nil, false
	}
	lower := strings.ToLower(s)
	if a, ok := spelledAs[lower]; ok {
		return a, true
	}
	for _, a := range atoms {
		if utf8.RuneCountInString(a.name) > 1 && strings.ToLower(a.name) == lower {
			return a, true
		}
	}
	return nil, false
}
