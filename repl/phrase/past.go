package phrase

// Past is what a session may know beyond Known: what was there under a name before.
type Past interface {
	// NowCalled is the present name of a column of the series that had this one, or "".
	NowCalled(series, name string) string
	// MadeBy is the line that makes a forgotten result again under its name, or "".
	MadeBy(result string) string
}

// nowCalled is the column that had the name typed before it was renamed, or "".
func (p *parser) nowCalled(typed string) string {
	if k, ok := p.known.(Past); ok {
		return k.NowCalled(p.series, typed)
	}
	return ""
}

// madeBy is the line that makes a forgotten result again, or "".
func (p *parser) madeBy(result string) string {
	if k, ok := p.known.(Past); ok {
		return k.MadeBy(result)
	}
	return ""
}
