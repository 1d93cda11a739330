// Package session holds the book in the making as a value, and what several families of
// commands need of it. In comes a Call: a Session, a typed command and the entry to fill
// in; what comes out is what the families build on: the specimens of an analysis with
// their response and levels (Sample, Response, Group), the terms of a model (Formula), the
// size worth having (Worth), and the Outcome that a handler promises. A Session never
// changes; its methods give the next one. What a kept fit can be asked is package fitted's.
package session
