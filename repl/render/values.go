package render

import (
	"cmp"
	"slices"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/page"
)

// alsoAtMost is how many single figures still make one readable line.
const alsoAtMost = 3

// values writes the single figures of a result: a few as one "Also" line, more as
// a list of names and figures in two columns where the screen is wide enough.
func values(vs []page.Value, o Options) string {
	if len(vs) == 0 {
		return ""
	}
	if slices.ContainsFunc(vs, func(v page.Value) bool { return v.Group != "" }) {
		return grouped(vs, o)
	}
	if len(vs) <= alsoAtMost {
		parts := lists.Mapped(vs, func(v page.Value) string { return named(v, o) })
		return paragraph(indent+"Also: ", indent+indent, strings.Join(parts, "; ")+".", o.width())
	}
	return valueList(vs, o)
}

// grouped has a line for each group of figures, without the figures that do not exist.
func grouped(vs []page.Value, o Options) string {
	var b strings.Builder
	for i := 0; i < len(vs); {
		group := vs[i].Group
		var parts []string
		for ; i < len(vs) && vs[i].Group == group; i++ {
			if vs[i].Cell.Kind == page.Number && group != "" {
				v := vs[i]
				v.Label = cmp.Or(v.Short, v.Label)
				parts = append(parts, named(v, o))
			}
		}
		if len(parts) > 0 {
			b.WriteString(paragraph(indent+clean(group)+": ", indent+indent, strings.Join(parts, "; ")+".", o.width()))
		}
	}
	return b.String()
}

// named is a figure behind its name: "explained 61 %", "p = 0.031".
func named(v page.Value, o Options) string {
	label, text := valueTexts(v, o)
	if v.Style == page.P && v.Cell.Kind == page.Number {
		return probability(label, v.Cell.Num, o)
	}
	return label + " " + text
}

func valueList(vs []page.Value, o Options) string {
	labels, texts := make([]string, len(vs)), make([]string, len(vs))
	for i, v := range vs {
		labels[i], texts[i] = valueTexts(v, o)
	}
	const apart = "    "
	half := (len(vs) + 1) / 2
	l1, t1 := widest(labels[:half]), widest(texts[:half])
	l2, t2 := widest(labels[half:]), widest(texts[half:])
	if screenWidth(indent)+l1+2+t1+len(apart)+l2+2+t2 > o.width() {
		half = len(vs)
		l1, t1 = widest(labels), widest(texts)
	}
	var b strings.Builder
	for i := range half {
		line := indent + padTo(labels[i], l1) + "  " + texts[i]
		if k := i + half; k < len(vs) {
			line = indent + padTo(labels[i], l1) + "  " + padTo(texts[i], t1) + apart + padTo(labels[k], l2) + "  " +
				texts[k]
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return b.String()
}

func widest(texts []string) int {
	w := 0
	for _, s := range texts {
		w = max(w, screenWidth(s))
	}
	return w
}

func padTo(s string, width int) string {
	return s + strings.Repeat(" ", max(0, width-screenWidth(s)))
}
