// Package specimens has the commands of the family of repl/series that go by single specimens: a series read as a
// careful reader would, a value put right, specimens set aside and brought back. In come a call and the command; out
// come tables of specimens, and a series under which the session goes on. repl/series tells its remarks on rows when it
// opens a series or puts several together; it imports no package of the family in turn.
package specimens
