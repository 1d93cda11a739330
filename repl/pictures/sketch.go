package pictures

import (
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// SketchBy shows every specimen of each level in text.
func SketchBy(k *session.Call, cmd *phrase.SketchBy) (*session.Outcome, error) {
	fig, err := strip(k, &phrase.DrawBy{Clauses: cmd.Clauses, ByLevels: cmd.ByLevels})
	return sketched(k, fig, err)
}

// SketchAgainst shows one number against another in text.
func SketchAgainst(k *session.Call, cmd *phrase.SketchAgainst) (*session.Outcome, error) {
	fig, err := pointsAgainst(k, &phrase.DrawAgainst{Clauses: cmd.Clauses, Y: cmd.Y, X: cmd.X, A: cmd.A})
	return sketched(k, fig, err)
}

// sketched books a figure for the screen. It goes to no file, so the entry's list of figures stays empty.
func sketched(k *session.Call, fig page.Figure, err error) (*session.Outcome, error) {
	if err != nil {
		return nil, err
	}
	k.Entry.Sketch = &fig
	k.Entry.Findings = []page.Sentence{fig.Alt}
	return nil, nil
}
