package parser

import "breakbook/repl/phrase"

// nowCalled is the column that had the name typed before it was renamed, or "".
func (p *parser) nowCalled(typed string) string {
	if k, ok := p.known.(phrase.Past); ok {
		return k.NowCalled(p.series, typed)
	}
	return ""
}

// madeBy is the line that makes a forgotten result again, or "".
func (p *parser) madeBy(result string) string {
	if k, ok := p.known.(phrase.Past); ok {
		return k.MadeBy(result)
	}
	return ""
}
