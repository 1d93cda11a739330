package session

import (
	"strings"

	"breakbook/repl/phrase"
)

// Mode is the way of breaking as what the analysis explains; it has no numbers, and zeros
// stand for them.
func (s *Sample) Mode(column string) *Response {
	c, _ := s.Frame.Column(column)
	return &Response{Column: c, Values: make([]float64, s.Frame.Len())}
}

// ModeName is the mode's level, or its levels joined by "or".
func ModeName(m phrase.Is) string {
	var names []string
	for _, v := range m.Values {
		names = append(names, v.Text)
	}
	return strings.Join(names, " or ")
}
