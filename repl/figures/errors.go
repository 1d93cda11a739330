package figures

import "errors"

// What can be wrong with a figure; ask with errors.Is.
var (
	ErrFormat    = errors.New("a figure's file ends in .png, .svg or .pdf")
	ErrSize      = errors.New("the figure's size is out of reach")
	ErrEmpty     = errors.New("the figure has nothing to draw")
	ErrNotFinite = errors.New("the figure holds a number that is missing or endless")
	ErrShape     = errors.New("the figure's parts do not fit together")
	ErrDrawing   = errors.New("the figure cannot be drawn")
)
