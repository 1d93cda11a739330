package repair

import (
	"strconv"
	"strings"

	"breakbook/frames/meant"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/phrase/scan"
)

// mostSpecimens is how many specimens a series may have for one of them to be looked up.
const mostSpecimens = 20_000

// unknown is the first specimen that a command names and the series has not; ok is false where
// it has all, or too many to look.
func (s *search) unknown(c *phrase.Command) (typed phrase.Text, names []string, ok bool) {
	var asked []phrase.Text
	if which, has := phrase.Part[phrase.Which](c); has {
		asked = which.Specimens
	} else if one, has := phrase.Part[phrase.SpecimenRef](c); has && one.Row == 0 {
		asked = []phrase.Text{{Text: one.Text, At: one.At}}
	}
	if len(asked) == 0 {
		return typed, nil, false
	}
	there := map[string]bool{}
	s.known.EachSpecimen(s.known.Current(), func(name string) bool {
		there[strings.ToLower(name)] = true
		names = append(names, name)
		return len(names) <= mostSpecimens
	})
	if len(names) > mostSpecimens {
		return typed, nil, false
	}
	for _, t := range asked {
		row, err := strconv.Atoi(t.Text)
		if !there[strings.ToLower(t.Text)] && (err != nil || row < 1 || row > len(names)) {
			return t, names, true
		}
	}
	return typed, nil, false
}

// specimen puts the nearest names in the place of one that no specimen has.
func (s *search) specimen(st state, typed phrase.Text, names []string) {
	for _, c := range meant.Near(typed.Text, names, 3) {
		in := []rune(st.line)
		end := typed.At - 1 + len([]rune(typed.Text))
		if end <= len(in) && strings.EqualFold(string(in[typed.At-1:end]), typed.Text) {
			s.edit(st, typed.At-1, end, phrase.Spelled(c.Name), slip(c))
		}
	}
}

// mostRows is how many rows of a range are named one by one.
const mostRows = 20

// rows names the rows of a range one by one.
func (s *search) rows(st state, f parser.Fault, in []rune, token, before string) {
	end, last := f.To, strings.TrimLeft(token, "-–")
	if last == "" || last == token { // the word alone: to 5
		next := scan.Tokens(in[f.To:])[0]
		end, last = f.To+next.End, next.Text
	}
	first, err := strconv.Atoi(before)
	to, none := strconv.Atoi(last)
	if err != nil || none != nil || to <= first || to-first >= mostRows {
		return
	}
	list := ""
	for row := first + 1; row <= to; row++ {
		list += ", " + strconv.Itoa(row)
	}
	s.edit(st, f.From, end, list[len(", "):], 0)
}
