package book

import "slices"

// match says that a command of one run is a command of the other.
type match struct{ before, after int }

// mostAtOnce is how many commands of two runs are held against each other at once, so
// that the table stays within some 16 MiB.
const mostAtOnce = 2000

// matched pairs the commands that two runs have in common, in order. As many as can be
// are paired where the runs differ in a stretch that fits the table; longer stretches
// are parted first at commands that stand once in each, and where there are none, into
// parts of equal length.
func matched(before, after []string) []match {
	var out []match
	pairUp(before, after, 0, 0, &out)
	return out
}

// pairUp appends the pairs of two stretches that start at i and k.
func pairUp(before, after []string, i, k int, out *[]match) {
	for len(before) > 0 && len(after) > 0 && before[0] == after[0] {
		*out = append(*out, match{i, k})
		before, after, i, k = before[1:], after[1:], i+1, k+1
	}
	tail := 0
	for tail < min(len(before), len(after)) && before[len(before)-1-tail] == after[len(after)-1-tail] {
		tail++
	}
	before, after = before[:len(before)-tail], after[:len(after)-tail]
	switch {
	case len(before) == 0 || len(after) == 0:
	case len(before)*len(after) <= mostAtOnce*mostAtOnce:
		byTable(before, after, i, k, out)
	default:
		atI, atK := 0, 0
		for _, m := range append(anchors(before, after), match{len(before), len(after)}) {
			if m.before == len(before) && atI == 0 { // no anchor: there would be no end to it
				inParts(before, after, i, k, out)
				break
			}
			pairUp(before[atI:m.before], after[atK:m.after], i+atI, k+atK, out)
			if m.before < len(before) {
				*out = append(*out, match{i + m.before, k + m.after})
			}
			atI, atK = m.before+1, m.after+1
		}
	}
	for t := range tail {
		*out = append(*out, match{i + len(before) + t, k + len(after) + t})
	}
}

// byTable pairs as many as can be: the longest common run.
func byTable(before, after []string, i, k int, out *[]match) {
	width := len(after) + 1
	longest := make([]int32, (len(before)+1)*width) // of before[a:] and after[b:], at a*width+b
	for a := len(before) - 1; a >= 0; a-- {
		for b := len(after) - 1; b >= 0; b-- {
			at := a*width + b
			if before[a] == after[b] {
				longest[at] = 1 + longest[at+width+1]
				continue
			}
			longest[at] = max(longest[at+width], longest[at+1])
		}
	}
	for a, b := 0, 0; a < len(before) && b < len(after); {
		at := a*width + b
		switch {
		case before[a] == after[b]:
			*out = append(*out, match{i + a, k + b})
			a, b = a+1, b+1
		case longest[at+width] >= longest[at+1]:
			a++
		default:
			b++
		}
	}
}

// anchors are the commands that stand once in either, the most of them that are in the
// same order in both.
func anchors(before, after []string) []match {
	once := func(list []string) map[string]int {
		at := map[string]int{}
		for i, s := range list {
			if _, seen := at[s]; seen {
				i = -1
			}
			at[s] = i
		}
		return at
	}
	there := once(after)
	var all []match
	for s, i := range once(before) {
		if k, ok := there[s]; ok && i >= 0 && k >= 0 {
			all = append(all, match{i, k})
		}
	}
	slices.SortFunc(all, func(a, b match) int { return a.before - b.before })
	return rising(all)
}

// rising is the longest part of a list whose places in after rise.
func rising(all []match) []match {
	var ends []int                 // of the best part of each length: where its last stands
	prior := make([]int, len(all)) // in the best part that ends here: the one before, or -1
	for n, m := range all {
		at, _ := slices.BinarySearchFunc(ends, m, func(e int, m match) int { return all[e].after - m.after })
		prior[n] = -1
		if at > 0 {
			prior[n] = ends[at-1]
		}
		if at == len(ends) {
			ends = append(ends, n)
		} else {
			ends[at] = n
		}
	}
	out := make([]match, len(ends))
	for n, at := len(ends)-1, -1; n >= 0; n-- {
		if at < 0 {
			at = ends[n]
		}
		out[n], at = all[at], prior[at]
	}
	return out
}

// inParts parts both runs into as many stretches, short enough for the table.
func inParts(before, after []string, i, k int, out *[]match) {
	parts := max(len(before), len(after))/mostAtOnce + 1
	for p := range parts {
		a, b := p*len(before)/parts, p*len(after)/parts
		pairUp(before[a:(p+1)*len(before)/parts], after[b:(p+1)*len(after)/parts], i+a, k+b, out)
	}
}
