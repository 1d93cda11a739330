package render

import (
	"math"
	"slices"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/page"
)

// Sizes of a sketch, in characters.
const (
	leastSketch  = 40 // a narrower screen gets lines that run over
	sketchRows   = 16 // of points against a number
	mostStack    = 5  // marks above each other in a level
	mostTicks    = 6
	oneSpecimen  = "•"
	manySpecimen = "#"
	meanMark     = "◆"
)

// sketch draws a figure in text: a strip a level where the x axis has levels, else points
// in a field. Every specimen is in it, by a mark of its own or counted in one.
func sketch(f page.Figure, o Options) string {
	if o.Plain {
		f = inPlainLetters(f)
	}
	var b strings.Builder
	if f.Title != "" {
		b.WriteString(paragraph(indent, indent, clean(f.Title), o.width()) + "\n")
	}
	width := max(o.width(), leastSketch) - len(indent)
	draw := field
	if len(f.X.Levels) > 0 {
		draw = strips
	}
	lines, legend := draw(f, width, o)
	if o.Plain {
		for i := range lines {
			lines[i] = plainMarks.Replace(lines[i])
		}
		legend = plainMarks.Replace(legend)
	}
	for _, line := range lines {
		b.WriteString(strings.TrimRight(indent+line, " ") + "\n")
	}
	b.WriteString("\n" + o.paint(faint, paragraph(indent, indent, legend, o.width())))
	return b.String()
}

// sketchForPage is a sketch for a report: as wide as a screen mostly is, without colour.
func sketchForPage(f page.Figure, o Options) string {
	return soft(sketch(f, Options{Digits: o.Digits}))
}

// strips lays the levels out below each other over one axis of numbers.
func strips(f page.Figure, width int, o Options) (lines []string, legend string) {
	values := make([][]float64, len(f.X.Levels))
	means := make([][]page.Interval, len(f.X.Levels))
	low, high := math.Inf(1), math.Inf(-1)
	for _, l := range f.Layers {
		switch l := l.(type) {
		case page.Points:
			for i, x := range l.X {
				values[int(math.Round(x))] = append(values[int(math.Round(x))], l.Y[i])
				low, high = min(low, l.Y[i]), max(high, l.Y[i])
			}
		case page.Interval:
			means[int(math.Round(l.X))] = append(means[int(math.Round(l.X))], l)
			low, high = min(low, l.Low), max(high, l.High)
		}
	}
	names, wide := make([]string, len(values)), 0
	for i, name := range f.X.Levels {
		names[i] = clipped(clean(name), width/3)
		wide = max(wide, screenWidth(names[i]), screenWidth(countText(len(values[i]))))
	}
	a := newAxis(low, high, width-wide-2, mostTicks, o)
	counts, each := make([][]int, len(values)), 1
	for i, v := range values {
		counts[i] = make([]int, a.cells)
		for _, x := range v {
			counts[i][a.cell(x)]++
		}
		each = max(each, (slices.Max(counts[i])+mostStack-1)/mostStack)
	}
	some := false
	for i := range values {
		stack := stacked(counts[i], each)
		for j, row := range stack {
			label := ""
			if j == len(stack)-1 {
				label = names[i]
			}
			lines = append(lines, padTo(label, wide)+"  "+row)
		}
		row := make([]string, a.cells)
		for _, m := range means[i] {
			ranged(row, a, m)
			some = true
		}
		lines = append(lines, padTo(countText(len(values[i])), wide)+"  "+cells(row))
		if i < len(values)-1 {
			lines = append(lines, "")
		}
	}
	for _, line := range bottomAxis(a, f.Y) {
		lines = append(lines, strings.Repeat(" ", wide+2)+line)
	}
	legend = oneSpecimen + " one specimen"
	if each > 1 {
		legend = oneSpecimen + " up to " + fixed(float64(each), 0) + " specimens"
	}
	if some {
		legend += "; ├─" + meanMark + "─┤ mean and its interval"
	}
	return lines, legend
}

func countText(n int) string { return "n = " + fixed(float64(n), 0) }

// clipped cuts text at a width, with a sign that something is missing.
func clipped(s string, width int) string { return columns.Truncate(s, width, "…") }

// stacked piles up a mark for each so many specimens of a cell, the top row first.
func stacked(counts []int, each int) []string {
	high := max(1, (slices.Max(counts)+each-1)/each)
	out := make([]string, high)
	for j := range out {
		row := make([]string, len(counts))
		for c, n := range counts {
			if (n+each-1)/each >= high-j {
				row[c] = oneSpecimen
			}
		}
		out[j] = cells(row)
	}
	return out
}

// ranged writes a mean with its interval into a row.
func ranged(row []string, a axis, m page.Interval) {
	from, to := a.cell(m.Low), a.cell(m.High)
	for c := from; c <= to; c++ {
		row[c] = "─"
	}
	row[from], row[to] = "├", "┤"
	row[a.cell(m.Mean)] = meanMark
}

// cells is a row as text, blanks where a cell holds nothing.
func cells(row []string) string {
	var b strings.Builder
	for _, c := range row {
		if c == "" {
			c = " "
		}
		b.WriteString(c)
	}
	return strings.TrimRight(b.String(), " ")
}

// bottomAxis is a lying axis: its line, the numbers under it, and what it measures.
func bottomAxis(a axis, of page.Axis) []string {
	line := strings.Split(strings.Repeat("─", a.cells), "")
	numbers, end := "", -1
	for _, t := range a.ticks {
		line[t.cell] = "┬"
		from := max(t.cell-screenWidth(t.text)/2, 0)
		from = min(from, max(a.cells-screenWidth(t.text), 0))
		if from <= end+1 && end >= 0 {
			continue // no room for this one
		}
		numbers = padTo(numbers, from) + t.text
		end = from + screenWidth(t.text)
	}
	label := clipped(axisText(of), a.cells)
	return []string{strings.Join(line, ""), numbers, strings.Repeat(" ", (a.cells-screenWidth(label))/2) + label}
}

// axisText is what an axis measures, with its unit.
func axisText(a page.Axis) string { return headText(head{label: clean(a.Label), unit: Unit(a.Unit)}) }

// field lays points out in a field with two axes of numbers; levels are told apart by letters.
func field(f page.Figure, width int, o Options) (lines []string, legend string) {
	var xs, ys []float64
	var looks []int
	for _, l := range f.Layers {
		if p, ok := l.(page.Points); ok {
			xs, ys, looks = append(xs, p.X...), append(ys, p.Y...), append(looks, p.Looks...)
		}
	}
	y := newAxis(slices.Min(ys), slices.Max(ys), sketchRows, sketchRows/3, o)
	wide := 0
	for _, t := range y.ticks {
		wide = max(wide, screenWidth(t.text))
	}
	x := newAxis(slices.Min(xs), slices.Max(xs), width-wide-2, mostTicks, o)
	letter := lettersOf(f.Keys)
	places := lists.Made(sketchRows, func(r int) []tally { return make([]tally, x.cells) })
	for i := range xs {
		mark := ""
		if len(letter) > 0 {
			mark = letter[looks[i]]
		}
		places[y.cell(ys[i])][x.cell(xs[i])].add(mark)
	}
	lines = append(lines, clipped(axisText(f.Y), width))
	for r := sketchRows - 1; r >= 0; r-- {
		number, edge := "", "│"
		for _, t := range y.ticks {
			if t.cell == r {
				number, edge = t.text, "┤"
			}
		}
		row := lists.Made(x.cells, func(c int) string { return places[r][c].text() })
		lines = append(lines, strings.Repeat(" ", wide-screenWidth(number))+number+" "+edge+cells(row))
	}
	ruler := bottomAxis(x, f.X)
	lines = append(lines, strings.Repeat(" ", wide+1)+"└"+ruler[0])
	for _, line := range ruler[1:] {
		lines = append(lines, strings.Repeat(" ", wide+2)+line)
	}
	return lines, fieldLegend(f.Keys, letter, places)
}
