package bench

import (
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// againFinding says what was carried out once more, and how many specimens took part then and now.
func againFinding(name, line string, then, now *page.Specimens) page.Sentence {
	s := page.Say("This is " + name + " again (" + line + ")")
	if then == nil || now == nil {
		return append(s, page.Word("."))
	}
	if *then == *now {
		return append(s, page.Say(": ", now.Used, " specimens, as many as then.")...)
	}
	return append(s, page.Say(": ", now.Used, " specimens take part now, ", then.Used, " did then (set aside: ",
		now.SetAside, " now, ", then.SetAside, " then).")...)
}

// again carries out the command that gave a result once more, on the specimens that are not
// set aside now and under the settings of now. It gives a new result of the same kind; one
// that rests on a fit fits it anew for itself and leaves the fit as it was.
func again(k *session.Call, cmd *phrase.Again) (*session.Outcome, error) {
	asked, n := k.Command, cmd.Result
	r, err := k.Session.Named(n)
	if err != nil {
		return nil, err
	}
	c := r.Command.Copy()
	if !drawsPast(c) { // which has its own
		c.Clauses().From = &phrase.Name{Text: r.Series, At: n.At}
	}
	if of, ok := phrase.Facet[phrase.OnFit](c); ok {
		redraw(k, of.Earlier())
	}
	k.Command, k.Asked = c, asked
	defer func() { k.Command, k.Asked = asked, nil }()
	k.Entry.Kind = r.Kind
	next, err := perform(k, handlerOf(k, c))
	if err != nil {
		p := *k.Problem(err)
		if p.Code != "name-taken" { // its place is in another line than the one typed
			p.At = n.At
		}
		if p.Code == "unknown-result" {
			p.Message = r.Name + " cannot be made again: " + p.Message
		}
		return nil, &p
	}
	k.Entry.Find(againFinding(r.Name, c.Input, r.Specimens, k.Entry.Specimens))
	return session.Becomes(next), nil // its cautions are there already
}

// drawsPast reports whether a command draws past series in.
func drawsPast(c *phrase.Command) bool {
	past, ok := c.Do.(interface{ DrawsPast() bool })
	return ok && past.DrawsPast()
}

// redraw puts the series that a fit drew together once more below one another, as they are now, for what rests on it.
func redraw(k *session.Call, fit phrase.Name) {
	r, ok := k.Session.Result(fit.Text)
	if !ok || r.Command == nil || !drawsPast(r.Command) {
		return
	}
	again := &session.Call{Context: k.Context, Session: k.Session, Command: r.Command, Entry: &page.Entry{Kind: r.Kind},
		Handlers: k.Handlers, Back: []bool{}}
	if _, err := carry(again); err == nil { // else what rests on it says so itself
		k.Session = again.Session
	}
}

// named is the command whose `as` names the result: the one typed, also where it has
// another carried out again.
func named(k *session.Call) *phrase.Command {
	if k.Asked != nil {
		return k.Asked
	}
	return k.Command
}
