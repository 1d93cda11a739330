package bench

import (
	"strings"
	"testing"

	"breakbook/repl/modes"
	"breakbook/repl/page"
	"breakbook/repl/pictures"
	"breakbook/repl/render"
	"breakbook/repl/say"
	"breakbook/repl/series"
)

// A word is found however it is written, and every meaning reads as one sentence.
func TestMeaningOfAWord(t *testing.T) {
	for _, typed := range []string{"cannot tell", "  Cannot   TELL ", "p", "F", "aicc"} {
		if _, ok := meaning(typed); !ok {
			t.Errorf("%q is not explained", typed)
		}
	}
	if s, ok := meaning("tell"); ok {
		t.Errorf("part of a word is explained: %v", s)
	}
	seen := map[string]bool{}
	for _, w := range say.Words() {
		if seen[strings.ToLower(w.Word)] || w.Means == "" || strings.HasSuffix(w.Means, ".") {
			t.Errorf("%q is there twice, without a meaning, or with its own full stop: %q", w.Word, w.Means)
		}
		seen[strings.ToLower(w.Word)] = true
	}
}

// What is told aloud has its articles, its capitals, and its numbers of specimens named.
func TestSentencesReadWell(t *testing.T) {
	for _, c := range []struct {
		sentence page.Sentence
		want     string
	}{
		{series.Treated("thickness", "category"), "thickness is now treated as a category."},
		{series.Treated("thickness", "number"), "thickness is now treated as a number."},
		{series.Treated("board", "text"), "board is now treated as text."},
		{modes.Scatters("weibull", "lognormal", 276.12, 273.77),
			"The lognormal distribution would suit these breaks better than the Weibull one (AICc lower by 2.35); " +
				"to take it, put lognormal at the end of the line."},
		{modes.Scatters("lognormal", "weibull", 276.12, 273.77),
			"The Weibull distribution would suit these breaks better than the lognormal one (AICc lower by 2.35); " +
				"to take it, put weibull at the end of the line."},
		{pictures.StripAlt("load", "N", "pins", []say.LevelMean{{Level: "none", N: 4, Mean: 400}}),
			"Every specimen's load by pins, with the mean of each level and its interval: none mean 400 N (n = 4)."},
		{pictures.StripNote(0.9, true), "Each mark one specimen; black: the mean and its 90 % interval"},
		{pictures.CurvesNote(1, 0), "Each line one specimen"},
		{pictures.CurvesNote(151, 9), "Readings of 151 specimens; where loads drop is not marked"},
	} {
		if got := render.Sentence(c.sentence, render.Options{}); got != c.want {
			t.Errorf("told is %q, want %q", got, c.want)
		}
	}
}
