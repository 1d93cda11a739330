// Package say has the sentences that several families of commands say: a difference with
// its interval and answer, lists, and cautions that are shared. In come numbers and verdicts;
// out come sentences with typed slots. What one command alone says stands beside its handler.
package say
