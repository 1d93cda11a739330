package phrase

import "strings"

// WorkedOutAgain are the lines that have a column worked out of what was read, which is kept under another name: with
// the role it had, and what was read no factor beside it.
func WorkedOutAgain(column, read string, as Expression, role string) string {
	own, ref := ColumnRef{Column: column}, ColumnRef{Column: read}
	lines := []string{Line(&Rename{Column: own, Name: Text{Text: read}}),
		Line(&WorkOut{Name: Text{Text: column}, Expression: as})}
	if role != "" {
		lines = append(lines, Line(&Mark{Column: own, Role: Choice{Word: role}}))
	}
	if role != "load" { // of two loads one is none
		lines = append(lines, Line(&Treat{Column: ref, Kind: Choice{Word: "text"}}))
	}
	return strings.Join(lines, "; ")
}

// SignTurned are the lines that have a column with its sign turned.
func SignTurned(column, read, role string) string {
	return WorkedOutAgain(column, read, Negative{Inner: ColumnValue{Column: ColumnRef{Column: read}}}, role)
}
