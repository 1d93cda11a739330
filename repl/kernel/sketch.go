package kernel

import (
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// sketchBy shows every specimen of each level in text.
func sketchBy(k *call, cmd *phrase.SketchBy) (*outcome, error) {
	fig, err := k.strip(cmd.ByLevels, phrase.Picture{})
	return k.sketched(fig, err)
}

// sketchAgainst shows one number against another in text.
func sketchAgainst(k *call, cmd *phrase.SketchAgainst) (*outcome, error) {
	fig, err := k.pointsAgainst(&phrase.DrawAgainst{Clauses: cmd.Clauses, Y: cmd.Y, X: cmd.X})
	return k.sketched(fig, err)
}

// sketched books a figure for the screen. It goes to no file, so the entry's list of
// figures stays empty.
func (k *call) sketched(fig page.Figure, err error) (*outcome, error) {
	if err != nil {
		return nil, err
	}
	k.e.Sketch = &fig
	k.e.Findings = []page.Sentence{fig.Alt}
	return nil, nil
}
