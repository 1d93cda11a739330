package series

import (
	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// sheetFigures are how far a test sheet has come.
type sheetFigures struct {
	*comeFigures
}

// comeFigures are there where the file is a test sheet.
type comeFigures struct {
	Broken  int `id:"broken"`
	Of      int `id:"planned"`
	Spoiled int `id:"spoiled"`
	ToCome  int `id:"to_come"`
}

// stillToCome tells how many specimens of a test sheet are broken, how many spoiled and how many are still to
// come, with the figures; nil where the series is no test sheet, or is filled in.
func stillToCome(f *frames.Frame) (page.Sentence, sheetFigures) {
	waits, spoiled := session.ToCome(f)
	if waits == nil {
		return nil, sheetFigures{}
	}
	toCome := lists.Count(waits, func(w bool) bool { return w })
	n := &comeFigures{Broken: f.Len() - toCome - spoiled, Of: f.Len(), Spoiled: spoiled, ToCome: toCome}
	if toCome+spoiled == 0 {
		return nil, sheetFigures{n}
	}
	return page.Say(n.Broken, " of ", n.Of, " broken", page.If(spoiled > 0, ", ", spoiled,
		say.Plural(spoiled, " spoiled (its line is empty)", " spoiled (their lines are empty)")),
		page.If(toCome > 0, "; ", toCome, say.Plural(toCome, " is", " are")+" still to come"), "."), sheetFigures{n}
}
