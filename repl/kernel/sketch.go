package kernel

import "breakbook/repl/page"

// sketchBy shows every specimen of each level in text.
func sketchBy(k *call) (*Session, error) {
	fig, err := k.strip()
	return k.sketched(fig, err)
}

// sketchAgainst shows one number against another in text.
func sketchAgainst(k *call) (*Session, error) {
	fig, err := k.pointsAgainst()
	return k.sketched(fig, err)
}

// sketched books a figure for the screen. It goes to no file, so the entry's list of
// figures stays empty.
func (k *call) sketched(fig page.Figure, err error) (*Session, error) {
	if err != nil {
		return nil, err
	}
	k.e.Sketch = &fig
	k.e.Findings = []page.Sentence{fig.Alt}
	return nil, nil
}
