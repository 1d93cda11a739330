package render

import (
	"slices"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/page"
)

// tally is what of the specimens falls into one place of a field.
type tally struct {
	n     int
	mark  string // the letter of their level
	mixed bool   // they are of several levels
}

func (t *tally) add(mark string) {
	t.mixed = t.mixed || t.n > 0 && t.mark != mark
	t.n, t.mark = t.n+1, mark
}

// text is what stands for them: one specimen by the letter of its level, several of one level by its capital,
// any others by how many they are.
func (t tally) text() string {
	switch {
	case t.n == 0:
		return ""
	case t.mark != "" && !t.mixed && t.n == 1:
		return t.mark
	case t.mark != "" && !t.mixed:
		return strings.ToUpper(t.mark)
	case t.n == 1:
		return oneSpecimen
	case t.n < 10:
		return fixed(float64(t.n), 0)
	}
	return manySpecimen
}

// lettersOf are the letters that stand for the levels of a key, by their looks: none where there are no levels,
// or more than letters.
func lettersOf(keys []page.Key) map[int]string {
	const alphabet = "abcdefghijklmnopqrstuvwxyz"
	if len(keys) > len(alphabet) {
		return nil
	}
	out := make(map[int]string, len(keys))
	for i, k := range keys {
		out[k.Look] = alphabet[i : i+1]
	}
	return out
}

// fieldLegend says what the marks of a field are, as far as it has them.
func fieldLegend(keys []page.Key, letter map[int]string, places [][]tally) string {
	most, capital, stray := 0, false, false
	for _, p := range slices.Concat(places...) {
		if p.mark != "" && !p.mixed {
			capital = capital || p.n > 1
			continue
		}
		most = max(most, p.n)
		stray = stray || p.n == 1
	}
	counted := most > 1
	legend := oneSpecimen + " one specimen"
	if len(letter) > 0 {
		names := lists.Mapped(keys, func(k page.Key) string { return letter[k.Look] + " " + clean(k.Label) })
		if stray {
			names = append(names, oneSpecimen+" another level")
		}
		legend = "one specimen: " + strings.Join(names, ", ")
	}
	if capital {
		legend += "; a capital: several of that level in one place"
	}
	switch {
	case counted && len(letter) > 0:
		legend += "; a digit: so many of several levels in one place"
	case counted:
		legend += "; a digit: so many in one place"
	}
	if most > 9 {
		legend += "; " + manySpecimen + " ten or more, at most " + fixed(float64(most), 0)
	}
	return legend
}
