package cells

import "bytes"

// odd is a cell with a quote in it: it starts at a place, its first quote stands at
// another, and the text known ends at a third. It gives the cell and where it ends
// (to, where it does not end before), and counts the line ends inside it.
func (c *Cutter) odd(at, quote, to int, line *int) (cell []byte, end int, err error) {
	text := c.text[:to]
	if c.inQuotes = len(bytes.TrimLeft(text[at:quote], " ")) == 0; c.inQuotes {
		return c.between(quote, text, line)
	}
	return c.inches(at, quote, text, *line)
}

// between is a cell in quotes. Blanks after them, and the CR of a line end, belong to
// the cell's end.
func (c *Cutter) between(quote int, text []byte, line *int) (cell []byte, end int, err error) {
	broken := 0 // line ends met
	i := quote + 1
	doubled := false
	for {
		n := bytes.IndexByte(text[i:], '"')
		if n < 0 {
			return c.open(quote, text, *line)
		}
		broken += bytes.Count(text[i:i+n], []byte{'\n'})
		if i += n + 1; i < len(text) && text[i] == '"' {
			doubled = true
			i++
			continue
		}
		end = i + blanks(text[i:])
		if c.ends(end, text) {
			break
		}
		if len(text) < len(c.text) && end == len(text) {
			return nil, len(text), nil // what follows the quote is not known yet
		}
		if !c.Lax {
			return nil, 0, &Error{Fault: AfterQuote, Line: *line + broken}
		}
	}
	cell = text[quote+1 : i-1]
	if doubled {
		cell = bytes.ReplaceAll(cell, []byte(`""`), []byte(`"`))
	}
	if broken > 0 {
		cell = bytes.ReplaceAll(cell, []byte("\r\n"), []byte("\n"))
	}
	*line += broken
	if end < len(text) && text[end] == '\r' {
		end++
	}
	return cell, end, nil
}

// open is a quoted cell that does not end in the text known.
func (c *Cutter) open(quote int, text []byte, line int) (cell []byte, end int, err error) {
	switch {
	case len(text) < len(c.text):
		return nil, len(text), nil
	case c.Lax:
		return text[quote+1:], len(text), nil
	}
	return nil, 0, &Error{Fault: NeverClosed, Line: line}
}

func blanks(text []byte) int { return len(text) - len(bytes.TrimLeft(text, " ")) }

// ends tells whether a cell ends at a place.
func (c *Cutter) ends(i int, text []byte) bool {
	if i >= len(text) {
		return len(text) == len(c.text)
	}
	return text[i] == c.separator || text[i] == '\n' || text[i] == '\r' && (i+1 >= len(text) || text[i+1] == '\n')
}

// inches is a cell that does not start with a quote but holds one: an inch mark stands
// after a number or an opening bracket.
func (c *Cutter) inches(at, quote int, text []byte, line int) (cell []byte, end int, err error) {
	end = quote
	for ; end < len(text) && text[end] != c.separator && text[end] != '\n'; end++ {
		if text[end] != '"' || c.Lax {
			continue
		}
		if before := text[end-1]; (before < '0' || before > '9') && before != '(' && before != '[' {
			return nil, 0, &Error{Fault: InsideCell, Line: line}
		}
	}
	cell = text[at:end]
	if end == len(text) || text[end] == '\n' {
		cell = bytes.TrimSuffix(cell, carriageReturn)
	}
	return cell, end, nil
}
