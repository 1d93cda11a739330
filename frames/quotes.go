package frames

import "bytes"

// mendQuotes makes the quotes of a file such that encoding/csv, which goes by
// RFC 4180 to the letter, reads it: blanks around a quoted cell go, and a cell with
// an inch mark (34", Width (")) is quoted. Other stray quotes, and a quote that is
// never closed, are an *Error with code "broken-quote" and the line, counted from
// base + 1. A file without a quote comes back as it is.
func mendQuotes(text []byte, separator byte, base int) ([]byte, error) {
	if bytes.IndexByte(text, '"') < 0 {
		return text, nil
	}
	m := mender{text: text, separator: separator, line: base + 1}
	for m.at < len(text) {
		start := m.at
		for m.at < len(text) && text[m.at] == ' ' {
			m.at++
		}
		var err error
		if m.at < len(text) && text[m.at] == '"' {
			err = m.quoted()
		} else {
			m.at = start
			err = m.bare()
		}
		if err != nil {
			return nil, err
		}
		if m.at < len(text) {
			if text[m.at] == '\n' {
				m.line++
			}
			m.out = append(m.out, text[m.at])
			m.at++
		}
	}
	return m.out, nil
}

type mender struct {
	text, out []byte
	separator byte
	at, line  int
}

// ends tells whether a cell ends at place i.
func (m *mender) ends(i int) bool {
	return i >= len(m.text) || m.text[i] == m.separator || m.text[i] == '\n' ||
		m.text[i] == '\r' && (i+1 >= len(m.text) || m.text[i+1] == '\n')
}

// quoted copies a quoted cell and leaves out blanks after it.
func (m *mender) quoted() error {
	opened, start := m.line, m.at
	i := m.at + 1
	for {
		n := bytes.IndexByte(m.text[i:], '"')
		if n < 0 {
			return &Error{Code: "broken-quote", Line: opened, Hint: quoteHint, Detail: "the quote opened here is never closed"}
		}
		m.line += bytes.Count(m.text[i:i+n], []byte{'\n'})
		i += n + 1
		if i < len(m.text) && m.text[i] == '"' {
			i++
			continue
		}
		break
	}
	m.out = append(m.out, m.text[start:i]...)
	for i < len(m.text) && m.text[i] == ' ' {
		i++
	}
	if !m.ends(i) {
		return &Error{Code: "broken-quote", Line: m.line, Hint: quoteHint, Detail: "there is text after a closing quote"}
	}
	if i < len(m.text) && m.text[i] == '\r' {
		i++
	}
	m.at = i
	return nil
}

// bare copies a cell that does not start with a quote.
func (m *mender) bare() error {
	start := m.at
	odd := false
	for ; !m.ends(m.at); m.at++ {
		if m.text[m.at] != '"' {
			continue
		}
		odd = true
		if before := m.text[m.at-1]; (before < '0' || before > '9') && before != '(' && before != '[' || m.at == start {
			return &Error{Code: "broken-quote", Line: m.line, Hint: quoteHint, Detail: "a quote stands inside a cell that does not start with one"}
		}
	}
	cell := m.text[start:m.at]
	if odd {
		m.out = append(m.out, '"')
		cell = append(bytes.ReplaceAll(cell, []byte{'"'}, []byte(`""`)), '"')
	}
	m.out = append(m.out, cell...)
	if m.at < len(m.text) && m.text[m.at] == '\r' {
		m.at++
	}
	return nil
}
