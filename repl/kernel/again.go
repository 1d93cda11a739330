package kernel

import (
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// again carries out the command that gave a result once more, on the specimens that are not
// set aside now and under the settings of now. It gives a new result of the same kind; one
// that rests on a fit fits it anew for itself and leaves the fit as it was.
func again(k *call, cmd *phrase.Again) (*outcome, error) {
	asked, n := k.c, cmd.Result
	r, ok := k.s.result(n.Text)
	if !ok || r.command == nil {
		return nil, &page.Problem{Code: "unknown-result", Message: "there is no result named " + n.Text, At: n.At, Hint: "show results"}
	}
	c := r.command.Copy()
	c.Clauses().From = &phrase.Name{Text: r.series, At: n.At}
	k.c, k.asked = c, asked
	defer func() { k.c, k.asked = asked, nil }()
	k.e.Kind = r.kind
	next, err := k.perform(k.handlerOf(c))
	if err != nil {
		p := *k.problem(err)
		if p.Code != "name-taken" { // its place is in another line than the one typed
			p.At = n.At
		}
		if p.Code == "unknown-result" {
			p.Message = r.name + " cannot be made again: " + p.Message
		}
		return nil, &p
	}
	k.e.Findings = append(k.e.Findings, say.Again(r.name, c.Input, r.specimens, k.e.Specimens))
	return becomes(next), nil // its cautions are there already
}

// named is the command whose `as` names the result: the one typed, also where it has
// another carried out again.
func (k *call) named() *phrase.Command {
	if k.asked != nil {
		return k.asked
	}
	return k.c
}

// anew fits the command of an earlier fit again, on the specimens of its series that take
// part now.
func (k *call) anew(r result) (*fitted, error) {
	c := r.fit.command.Copy()
	c.Clauses().From = &phrase.Name{Text: r.series}
	f, err := (&call{ctx: k.ctx, s: k.s, c: c, e: &page.Entry{}}).fitAsked()
	if err != nil {
		return nil, err
	}
	f.command = r.fit.command
	return f, nil
}
