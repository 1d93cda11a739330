package reading

import (
	"slices"

	"breakbook/frames"
	"breakbook/frames/notation"
)

// sideBySide finds blocks of columns that stand side by side under the same headers in the
// same order, nothing between them: headers holds the plain name of each column, "" for one
// without. It gives where each block begins and how wide they are; nothing where a
// name is met in one of the blocks alone and elsewhere again. One column over and
// again is a block only where it stands three times and another column beside it.
func sideBySide(headers []string) (starts []int, columns int) {
	places := map[string][]int{}
	for i, h := range headers {
		places[h] = append(places[h], i)
	}
	first := slices.IndexFunc(headers, func(h string) bool { return h != "" && len(places[h]) > 1 })
	if first < 0 {
		return nil, 0
	}
	starts = places[headers[first]]
	columns = starts[1] - starts[0]
	if starts[0]+columns*len(starts) > len(headers) || columns == 1 &&
		(len(starts) < 3 || len(headers) == len(starts)) {
		return nil, 0
	}
	for k, start := range starts {
		if start != first+k*columns {
			return nil, 0
		}
		for j := range columns {
			h := headers[start+j]
			if h == "" || h != headers[first+j] || len(places[h]) != len(starts) {
				return nil, 0
			}
		}
	}
	for i, h := range headers { // a name that stands twice elsewhere belongs to no block
		if (i < first || i >= first+columns*len(starts)) && h != "" && len(places[h]) > 1 {
			return nil, 0
		}
	}
	return starts, columns
}

// blocks finds the blocks among the columns, and takes back what was said of their headers
// one by one.
func (t *table) blocks(remarks []frames.Remark) ([][]string, []frames.Remark) {
	columns := t.rows.columns
	headers := make([]string, len(columns))
	for i, c := range columns {
		if notation.Trim(c.Header) != "" {
			headers[i] = notation.PlainName(c.Label)
		}
	}
	starts, wide := sideBySide(headers)
	var blocks [][]string
	within := map[string]bool{}
	for _, start := range starts {
		var names []string
		for _, c := range columns[start : start+wide] {
			names, within[c.Name] = append(names, c.Name), true
		}
		blocks = append(blocks, names)
	}
	return blocks, slices.DeleteFunc(remarks, func(r frames.Remark) bool {
		return r.Code == "duplicate-header" && within[r.Column]
	})
}
