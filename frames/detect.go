package frames

import (
	"bytes"
	"encoding/csv"
	"strings"
)

// separators in the order in which one is preferred over the next where both fit.
var separators = []struct {
	mark byte
	name string
}{{'\t', "tab"}, {';', "semicolon"}, {'|', "bar"}, {',', "comma"}}

// detectSeparator finds the mark that cuts the first lines into as many cells as
// the header has, in the largest share of them. A file that none cuts has one
// column and is called comma-separated.
func detectSeparator(text []byte) byte {
	best, score := byte(','), 0.0
	for _, s := range separators {
		records := sample(text, s.mark)
		if len(records) == 0 || len(records[0]) < 2 {
			continue
		}
		fitting := 1
		for _, r := range records[1:] {
			if len(r) == len(records[0]) {
				fitting++
			}
		}
		if share := float64(fitting) / float64(len(records)); share > score {
			best, score = s.mark, share
		}
	}
	return best
}

// sample reads the first records of a file, quotes taken as they come.
func sample(text []byte, separator byte) [][]string {
	const bytesSeen, recordsSeen = 1 << 16, 200
	if len(text) > bytesSeen {
		text = text[:bytesSeen]
		if end := bytes.LastIndexByte(text, '\n'); end > 0 {
			text = text[:end]
		}
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes = rune(separator), -1, true
	var records [][]string
	for len(records) < recordsSeen {
		record, err := r.Read()
		if err != nil {
			break
		}
		records = append(records, record)
	}
	return records
}

// detectDecimal finds the decimal mark from the first records: a comma where numbers
// with one stand there and none with a point does. In a file separated by commas a
// comma counts only where it cannot part thousands (12,5).
func detectDecimal(text []byte, separator byte) byte {
	var seen marks
	for i, record := range sample(text, separator) {
		if i == 0 {
			continue
		}
		for _, cell := range record {
			seen.look(trim(cell), separator)
		}
	}
	return seen.decimal()
}

// marks counts the numbers written with each decimal mark.
type marks struct{ point, comma int }

func (m *marks) look(cell string, separator byte) {
	if n := marked(cell, '.'); n > 0 && !thousands(cell[:n], '.') {
		m.point++
	}
	if n := marked(cell, ','); n > 0 && (separator != ',' || !thousands(cell[:n], ',')) {
		m.comma++
	}
}

func (m *marks) decimal() byte {
	if m.comma > 0 && m.point == 0 {
		return ','
	}
	return '.'
}

// marked is the length of the number a cell starts with where it holds the decimal
// mark and what follows can be a unit; 0 for others, such as a date.
func marked(cell string, mark byte) int {
	if strings.IndexByte(cell, mark) < 0 {
		return 0
	}
	_, n, _ := scanNumber(cell, mark)
	if strings.IndexByte(cell[:n], mark) < 0 || n < len(cell) && strings.IndexByte(".,:-/", cell[n]) >= 0 {
		return 0
	}
	return n
}

// thousands tells whether the mark in a number may part thousands: 1,234.
func thousands(s string, mark byte) bool {
	i := strings.IndexByte(s, mark)
	return len(s)-i-1 == 3 && i > 0 && i <= 4
}
