package help

import (
	"slices"
	"strings"

	"breakbook/repl/phrase"
)

// Topic is what one may be about to do, with the commands for it, by their names in the table.
type Topic struct {
	Name, About string
	Commands    []string
}

// Topics are the pages of the help, each short enough for a screen; every command stands in one.
var Topics = []Topic{
	{"start", "the first five minutes", []string{"learn", "open", "look", "drove", "compare", "draw by", "plan",
		"report"}},
	{"bring in", "test results, readings of a gauge", []string{"open", "read curves", "calibrate", "switch", "close",
		"write", "show series", "demo"}},
	{"put together", "several series, or blocks of a sheet", []string{"pool", "put beside", "put below"}},
	{"put right", "values, specimens and spellings", []string{"check series", "correct", "set aside", "bring back",
		"show aside"}},
	{"units and kinds", "what columns hold", []string{"merge", "levels", "mark", "unit", "convert", "treat", "rename"}},
	{"new columns", "worked out, or banded", []string{"work out", "adjust", "band into", "band at"}},
	{"look around", "at columns, specimens and groups", []string{"look", "rows", "average", "count",
		"check", "check of", "sketch by", "sketch against"}},
	{"what drove it", "which factor did it, and by how much",
		[]string{"drove", "drove mode", "fit", "predict", "adjusted", "rivals", "separate"}},
	{"parts", "what each factor accounts for", []string{"anova of", "anova", "share out of", "share out",
		"share out mode"}},
	{"compare levels", "with each other, with a figure, for sameness", []string{"compare", "compare of", "compare with",
		"same"}},
	{"limits and series", "what nearly all joints carry; what past series add", []string{"characteristic",
		"characteristic of", "agree", "agree effect", "agree measure"}},
	{"how it failed", "glue line, wood or pins", []string{"drove mode", "count", "modes", "odds", "odds all", "until"}},
	{"plan ahead", "the next series", []string{"plan", "plan mode", "plan limit", "sheet", "judge"}},
	{"which blanks", "which joints to make, and which blank gets what", []string{"suggest", "allot"}},
	{"pictures", "drawn to files", []string{"draw by", "draw against", "draw gaps", "draw adjusted", "draw effects",
		"draw residuals", "draw modes"}},
	{"more pictures", "of shares, curves, strengths, chances", []string{"draw shares", "draw curves", "draw until",
		"draw chance", "draw all"}},
	{"keep", "the book and the report", []string{"save", "report", "replay", "again all", "again", "undo", "note",
		"conclude"}},
	{"what was found", "results, shown whole; the rest of the book", []string{"show results", "show result",
		"show caution", "forget", "heading", "resume", "forget journal"}},
	{"settings", "what matters, how sure, how many digits", []string{"worth", "confidence", "chalk point", "seed",
		"digits", "help", "quit"}},
}

// OnTopic is the commands of a topic; ok is false for a word that is none.
func OnTopic(word string, k phrase.Known) (t Topic, list []Entry, ok bool) {
	word = strings.Join(strings.Fields(strings.ToLower(word)), " ")
	at := slices.IndexFunc(Topics, func(t Topic) bool { return t.Name == word })
	if at < 0 {
		return t, nil, false
	}
	all, err := Lookup("", k)
	if err != nil {
		return t, nil, false
	}
	t = Topics[at]
	for _, name := range t.Commands {
		if i := slices.IndexFunc(all, func(e Entry) bool { return e.Name == name && e.Group != Notions }); i >= 0 {
			list = append(list, all[i])
		}
	}
	return t, list, true
}
