package parser

import (
	"slices"
	"strings"

	"breakbook/repl/phrase"
)

// nowCalled is the column that had the name typed before it was renamed, or "".
func (p *parser) nowCalled(typed string) string {
	if k, ok := p.known.(phrase.Past); ok {
		return k.NowCalled(p.series, typed)
	}
	return ""
}

// markRole is the line that marks the column which most likely has the role that was typed
// in place of a column, where none has it; sure says whether that is more than a guess.
func (p *parser) markRole(typed string) (line string, sure bool) {
	k, ok := p.known.(phrase.Likely)
	role := strings.ToLower(typed)
	if !ok || !slices.Contains(phrase.RoleWords(), role) {
		return "", false
	}
	column, sure := k.LikelyColumn(p.series, role)
	if column == "" {
		return "", false
	}
	return phrase.Try(phrase.Line(&phrase.Mark{Column: phrase.ColumnRef{Column: column},
		Role: phrase.Choice{Word: role}})), sure
}

// madeBy is the line that makes a forgotten result again, or "".
func (p *parser) madeBy(result string) string {
	if k, ok := p.known.(phrase.Past); ok {
		return k.MadeBy(result)
	}
	return ""
}
