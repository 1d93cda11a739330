package phrase

// Error is what is wrong with a line: a stable code for scripts, one plain
// sentence, the place, and what might have been meant.
//
// Codes: unknown-command, outdated-word (the message names the one that took its place), unknown-column, unknown-level,
// unknown-unit, unknown-result, unknown-series, unknown-word (in a help request or a shell's
// name), no-series, no-result, wrong-kind, wrong-unit, repeated, unexpected,
// unclosed-quote, and expected-… with word, command, column, level, term,
// condition, number, percent, unit, result, series, name, file, text or choice.
type Error struct {
	Code    string
	Message string
	At      int    // 1-based character of Command.Input; of the line for an error of Split; 0: no place
	Hint    string // empty: none
}

func (e *Error) Error() string { return e.Message }
