// Package session holds the book in the making as a value, and what several families of
// commands need of it. In comes a Call: a Session, a typed command and the entry to fill
// in; what comes out is what the families build on: the specimens of an analysis with
// their response and levels (Sample, Response, Group), a fit that can be asked again (Fit),
// levels compared (Family), and the Outcome that a handler promises. A
// Session never changes; its methods give the next one.
package session
