package notation

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"breakbook/frames/units"
)

// PlainName is a column's name as the bench language types it: lower case, every
// run of characters other than letters and digits one `_`, none at the ends. The
// unit is to be taken off before; ² counts as 2. Empty where there is no letter or digit.
func PlainName(header string) string {
	var b strings.Builder
	gap := false
	for _, r := range norm.NFKC.String(header) {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) {
			gap = b.Len() > 0
			continue
		}
		if gap {
			b.WriteByte('_')
			gap = false
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return b.String()
}

// LongestUnit is more than the spelling of any unit.
const LongestUnit = 40

// SplitHeader takes the unit off a header: "Break load (kgf)", "break load [kgf]",
// "Break_Load_kgf", "Temp °C", "Load in kN", "density_kg_m3". A unit in brackets is
// believed; a bare tail only where the rest of the header bears it out, for many
// unit words mean something else there ("load min", "Board N", "test day").
func SplitHeader(header string) (label string, u units.Unit) {
	text := strings.Join(strings.Fields(Trim(header)), " ")
	if u, ok := units.Parse(text); ok {
		if believedAlone(text, u) {
			return text, u
		}
		return text, units.Unit{}
	}
	if label, u, ok := bracketed(text); ok {
		return label, u
	}
	for i, r := range text {
		if !strings.ContainsRune(" _,/:;", r) {
			continue
		}
		rest, tail := trimJoint(text[:i]), strings.TrimPrefix(strings.Trim(text[i:], " _,/:;"), "in ")
		if rest == "" || len(tail) > LongestUnit {
			continue
		}
		for _, spelling := range []string{tail, strings.Replace(tail, "_", "/", 1),
			strings.Replace(tail, "_", "·", 1)} {
			if u, ok := units.Parse(spelling); ok && believed(spelling, u, rest) {
				return rest, u
			}
		}
		if u, ok := lowered(tail, rest); ok {
			return rest, u
		}
	}
	return text, units.Unit{}
}

// lowered reads the one-letter units of a header in lower case: load_n, temp_c, temp_f.
func lowered(tail, rest string) (units.Unit, bool) {
	switch tail {
	case "n":
		if Says(rest, ForceWords) {
			return units.Parse("N")
		}
	case "c", "f":
		if Says(rest, []string{"temp", "temperature"}) {
			return units.Parse(strings.ToUpper(tail))
		}
	}
	return units.Unit{}, false
}

// bracketed finds a unit in round, square or curly brackets.
func bracketed(text string) (label string, u units.Unit, ok bool) {
	for _, pair := range []string{"()", "[]", "{}"} {
		open := strings.LastIndexByte(text, pair[0])
		if open < 0 {
			continue
		}
		length := strings.IndexByte(text[open:], pair[1])
		if length < 0 {
			continue
		}
		inside := strings.TrimSpace(text[open+1 : open+length])
		u, ok := units.Parse(inside)
		if !ok {
			u, ok = units.Parse(strings.TrimPrefix(inside, "in "))
		}
		label := trimJoint(strings.TrimSpace(text[:open]) + " " + strings.TrimSpace(text[open+length+1:]))
		if !ok || label == "" || inside == "min" && Says(label, ForceWords) {
			continue
		}
		return label, u, true
	}
	return "", units.Unit{}, false
}

// trimJoint takes off what joined a header to its unit: "Load in", "load /", "F,".
func trimJoint(s string) string {
	s = strings.Trim(s, " _,/:;")
	if rest, ok := strings.CutSuffix(s, " in"); ok {
		s = strings.Trim(rest, " _,/:;")
	}
	return s
}

// Words of a header that bear out a unit which could be read otherwise.
var (
	ForceWords  = []string{"load", "force", "peak", "strength", "max", "maximum"}
	warmthWords = []string{"temp", "temperature", "cure", "cured", "heat", "oven", "room", "air", "shed", "store",
		"glue"}
	lengthWords = []string{"length", "width", "thickness", "thick", "depth", "height", "distance", "span", "slip",
		"displacement", "diameter", "dia", "size", "gap", "travel", "deflection", "stroke", "offset", "spacing",
		"board", "rail", "stile"}
	massWords = []string{"mass", "weight", "wt", "glue"}
	workWords = []string{"energy", "work", "toughness"}
	timeWords = []string{"time", "times", "duration", "age", "aged", "cure", "cured", "curing", "clamp", "clamped",
		"clamping", "dry", "dried", "drying", "wait", "soak", "soaked", "pressing", "assembly", "until"}
	CountWords = []string{"specimen", "specimens", "sample", "board", "test", "run", "batch", "group", "series",
		"joint", "piece", "number", "pins", "id"}
)

// believed tells whether a bare tail is a unit, given the rest of the header.
func believed(tail string, u units.Unit, rest string) bool {
	switch tail {
	case "C", "F":
		return Says(rest, warmthWords)
	case "in", "m":
		return Says(rest, lengthWords) && !Says(rest, []string{"board"}) || Says(rest, []string{"thickness", "width",
			"length"})
	case "g":
		return Says(rest, massWords)
	case "J":
		return Says(rest, workWords)
	case "N":
		return !Says(rest, CountWords)
	case "second", "minute":
		return false
	case "day", "days":
		return Says(rest, timeWords) && !Says(rest, CountWords)
	}
	return u.Dimension() != "time" || Says(rest, timeWords)
}

// believedAlone tells whether a header that is nothing but a unit is one: "kgf" and
// "N/mm²" are, but "day", "N" and "in" may well be names.
func believedAlone(text string, u units.Unit) bool {
	return len(text) > 1 && u.Dimension() != "time" && text != "in"
}

// Says tells whether a header holds one of the words.
func Says(header string, words []string) bool {
	return slices.ContainsFunc(strings.Split(PlainName(header), "_"), func(w string) bool {
		return slices.Contains(words, w)
	})
}

// Namer gives every column a name of its own.
type Namer struct {
	taken map[string]bool
	times map[string]int
}

// NewNamer is a Namer that has given no name yet.
func NewNamer() *Namer { return &Namer{taken: map[string]bool{}, times: map[string]int{}} }

var ordinals = []string{"second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"}

// Name is the plain name of a label, made different from those before it
// (load_second, load_third, …, load_11); a column without one is column_4.
func (n *Namer) Name(label string, place int) (name string, repeated, blank bool) {
	base := PlainName(label)
	if base == "" {
		base, blank = "column_"+strconv.Itoa(place+1), true
	}
	name = base
	for n.taken[name] {
		repeated = true
		n.times[base]++
		if t := n.times[base]; t <= len(ordinals) {
			name = base + "_" + ordinals[t-1]
		} else {
			name = base + "_" + strconv.Itoa(t+1)
		}
	}
	n.taken[name] = true
	return name, repeated, blank
}
