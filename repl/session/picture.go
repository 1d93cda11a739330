package session

import (
	"cmp"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"breakbook/frames"
	"breakbook/frames/files"
	"breakbook/frames/functions"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// Picture starts a figure with the command's own wishes: file, size, title.
func (k *Call) Picture(title string, wished phrase.Picture) (page.Figure, error) {
	fig := page.Figure{Title: begun(title)}
	if err := k.Replacing(); err != nil {
		return fig, err
	}
	if to := k.Command.Clauses().To; to != nil {
		switch strings.ToLower(filepath.Ext(to.Path)) {
		case ".png", ".svg", ".pdf":
			fig.Path = files.Home(to.Path)
		default:
			return fig, k.UnknownFormat(*to, "a figure is drawn as .png, .svg or .pdf", ".png")
		}
	}
	if wished.Titled != nil {
		fig.Title = wished.Titled.Text
	}
	if wished.Size != nil {
		w, h := wished.Size.Width, wished.Size.Height
		if w.Value < 60 || w.Value > 500 || h.Value < 40 || h.Value > 500 {
			return fig, page.Refuse(page.CodeOutOfRange, w.At,
				"a figure can be 60 to 500 mm wide and 40 to 500 mm high", "size 160 by 100 mm")
		}
		fig.WidthMM, fig.HeightMM = float64(w.Value), float64(h.Value)
	}
	return fig, nil
}

// begun is a title with its first letter large, unless it begins with a symbol such as f_m,k.
func begun(title string) string {
	if runes := []rune(title); len(runes) > 1 && unicode.IsLetter(runes[1]) {
		return say.Capital(title)
	}
	return title
}

// Drawn books the figure; the loop draws it.
func (k *Call) Drawn(fig page.Figure) (*Outcome, error) {
	k.Entry.Figures = []page.Figure{fig}
	k.Entry.Findings = []page.Sentence{fig.Alt}
	return nil, nil
}

// AxisOf labels an axis with the column's own header and unit.
func AxisOf(c frames.Column) page.Axis {
	return page.Axis{Label: cmp.Or(c.Label, c.Name), Unit: c.Unit.String()}
}

func (r *Response) Axis() page.Axis {
	return page.Axis{Label: r.AxisLabel(), Unit: r.Unit()}
}

func (r *Response) AxisLabel() string {
	a, function := AxisOf(r.Medians()), r.Function
	if r.ColumnLogged() {
		function = functions.Ln
	}
	if function == "" {
		return a.Label
	}
	if a.Unit != "" {
		return function + " of " + a.Label + " in " + a.Unit
	}
	return function + " of " + a.Label
}

// Expected is the response in the middle of an axis label.
func (r *Response) Expected() string {
	if r.Plain() {
		return InSentence(r.Column)
	}
	return r.AxisLabel()
}

// LookOf is the place of a level in its column: the same in every figure of the book.
func LookOf(c frames.Column, level string) int {
	return max(0, slices.Index(c.Levels, level))
}

func AllRows(n int) []int {
	return lists.Indices(n)
}
