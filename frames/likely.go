package frames

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"breakbook/frames/notation"
)

// rolesInWords are the words by which the headers of several languages say what a column
// is for, without accents: English, German, Dutch, the Scandinavian languages, Finnish,
// French, Italian, Spanish, Portuguese, Romanian, Polish, Czech and Slovak, Slovene and
// Croatian, Hungarian, Turkish. Common practice, no source.
var rolesInWords = map[Role]roleWords{
	Load: {
		words: []string{"load", "force", "peak", "bruchlast", "kraft", "kracht", "voima", "kuorma",
			"charge", "effort", "carico", "forza", "carga", "fuerza", "forca", "forta", "sarcina",
			"sila", "obciazenie", "zatizeni", "zatazenie", "obremenitev", "opterecenje", "ero", "terheles", "yuk",
			"kuvvet"},
		// each of them says something else beside other words
		whole: []string{"last", "f", "fmax", "f_max", "pmax", "p_max", "max"},
		ends: []string{"bruchlast", "traglast", "hochstlast", "hoechstlast", "maximallast", "grenzlast", "breuklast",
			"brottlast",
			"brottslast", "bruddlast", "brudlast", "maxlast", "kraft", "kracht", "belastung", "belasting", "belastning",
			"kuorma", "voima"},
	},
	Failure: {
		words: []string{"failure", "failed", "broke", "break", "breakage", "fracture", "bruch", "bruchart", "bruchbild",
			"versagen",
			"versagensart", "breuk",
			"breukwijze", "brott", "brottyp", "brottstyp", "brudd", "brud", "murtotapa", "rupture", "rottura", "rotura",
			"ruptura",
			"rupere", "zniszczenie", "zniszczenia", "poruseni", "porusenie", "lom", "tores", "kirilma"},
		whole: []string{"mode"},
		ends:  []string{"bruchart", "bruchbild", "versagensart", "brottyp"},
	},
	Specimen: {
		words: []string{"specimen", "sample", "joint", "probe", "prufkorper", "pruefkoerper", "probekorper",
			"probekoerper", "probennummer",
			"proefstuk", "prov", "provkropp", "prove", "koekappale", "eprouvette", "echantillon", "provino", "campione",
			"probeta",
			"muestra", "amostra", "proba", "epruveta", "probka", "vzorek", "vzorka", "vzorec", "uzorak", "minta",
			"numune"},
		whole: []string{"id", "nr", "no", "number", "nummer", "numero", "name"},
		ends:  []string{"korper", "koerper", "probe"},
	},
}

// roleWords are words of a header: such as stand anywhere in it, such as are all of it, and
// such as one of its words ends in.
type roleWords struct{ words, whole, ends []string }

// says tells whether a header has one of the words.
func (w roleWords) says(label string) bool {
	name := withoutAccents(notation.PlainName(label))
	return slices.Contains(w.whole, name) || slices.ContainsFunc(strings.Split(name, "_"), func(part string) bool {
		return slices.Contains(w.words, part) || slices.ContainsFunc(w.ends,
			func(end string) bool { return strings.HasSuffix(part, end) })
	})
}

// withoutAccents writes letters without what stands over or through them.
func withoutAccents(s string) string {
	s = strings.NewReplacer("ł", "l", "ø", "o", "ß", "ss", "ı", "i", "đ", "d").Replace(s)
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(s))
}

// Likely is the column that most likely has a role that none is marked with: for the load
// the only column of a force, else one whose header says so, else the last of numbers; for
// the failure one whose header says so, else the last with levels; for the specimen one
// whose header says so, else the first of text. sure is whether unit or header say it. It
// is "" where a column has the role or none suits.
func (f *Frame) Likely(r Role) (column string, sure bool) {
	words, known := rolesInWords[r]
	if _, marked := f.RoleColumn(r); marked || !known {
		return "", false
	}
	var suited []Column
	var forces []string
	for _, h := range f.held {
		if h.Role != NoRole || !couldBe(r, h.Column) {
			continue
		}
		suited = append(suited, h.Column)
		if r == Load && h.Unit.Dimension() == "force" {
			forces = append(forces, h.Name)
		}
	}
	if r == Load && len(forces) == 1 {
		return forces[0], true
	}
	for _, c := range suited {
		if words.says(c.Label) && (len(forces) == 0 || c.Unit.Dimension() == "force") {
			return c.Name, true
		}
	}
	if r == Specimen {
		suited = slices.DeleteFunc(suited, func(c Column) bool { return c.Kind != Text })
		slices.Reverse(suited)
	}
	switch {
	case len(suited) == 0:
		return "", false
	case len(forces) > 0:
		return forces[0], true
	}
	return suited[len(suited)-1].Name, false
}

// atWords lead from what was measured to when: moisture at failure is none.
var atWords = []string{"at", "by", "beim", "bei", "bij", "vid", "ved", "pri", "przy", "a", "au", "al", "alla", "na"}

// SaysFailure reports whether the name of a column of numbers says how much of each specimen failed in some way: wood
// failure in percent, Holzbruch.
func (c Column) SaysFailure() bool {
	parts := strings.Split(withoutAccents(notation.PlainName(c.Name)), "_")
	return c.Kind == Number && (c.Unit.None() || c.Unit.String() == "percent") &&
		!slices.ContainsFunc(parts, func(part string) bool { return slices.Contains(atWords, part) }) &&
		slices.ContainsFunc(parts, func(part string) bool {
			return slices.ContainsFunc(rolesInWords[Failure].words, func(w string) bool {
				return part == w || len(w) >= 4 && strings.HasSuffix(part, w)
			})
		})
}

// couldBe tells whether a column holds what a role is about.
func couldBe(r Role, c Column) bool {
	switch r {
	case Load:
		d := c.Unit.Dimension()
		return c.Kind == Number && (d == "number" || d == "force" || d == "mass" || d == "moment" || d == "stress")
	case Failure:
		return c.Kind == Category && c.Unit.None()
	}
	return true
}
