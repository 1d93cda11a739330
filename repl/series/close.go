package series

import (
	"strings"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// CloseSeries puts a series away. Results made on it go with it: nothing could be asked of them any more.
func CloseSeries(k *session.Call, cmd *phrase.Close) (*session.Outcome, error) {
	name := cmd.Series.Text
	n, gone := k.Session.Without(name)
	now := "Still working on " + n.Current() + "."
	switch n.Current() {
	case "":
		now = "No series is open now."
	case k.Session.Current():
	default:
		now = "Now working on " + n.Current() + "."
	}
	k.Entry.Findings = []page.Sentence{page.Say(name+" is closed", page.If(len(gone) > 0,
		", and with it what was made on it: "+strings.Join(gone, ", ")), ". "+now)}
	return session.Becomes(n), nil
}

// Forget drops a result; what made it is remembered, for what was made of it.
func Forget(k *session.Call, cmd *phrase.Forget) (*session.Outcome, error) {
	name := cmd.Result.Text
	k.Entry.Findings = []page.Sentence{page.Say(name + " is forgotten; its name is free again.")}
	return session.Becomes(k.Session.Forgetting(name)), nil
}
