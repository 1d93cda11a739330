package phrase

import "testing"

func TestCompileNamesWhatIsWrong(t *testing.T) {
	for _, phrase := range []string{"", "{y:response}", "a [b", "a b]", "a {y}", "a {y:nonsense}", "a {y:number"} {
		if _, err := Compile([]Entry{{Name: "odd", Do: SketchAgainst{}, Phrase: phrase}}); err == nil {
			t.Errorf("%q is taken for a phrase", phrase)
		}
	}
}
