package figures

import (
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"

	"breakbook/repl/page"
)

// lyingNames is how the levels of a lying figure are named at its left.
type lyingNames struct {
	size   vg.Length
	blocks [][]string
	wide   vg.Length
	every  int // only every so manieth level is named
}

// Shares of a lying figure's width that names at the left and words at the right may take.
const (
	mostNames = 0.42
	mostWords = 0.22
	leastData = 0.2
)

// layLying places the parts of a figure whose levels lie at the left: the column of the levels over
// their names, the words of each level at the right, the numbers at the foot.
func (s *sheet) layLying() {
	whole := s.data.Max.X - s.data.Min.X
	zones := slices.DeleteFunc(only[page.Zone](s.figure.Layers), func(z page.Zone) bool { return z.Label == "" })
	s.layTop(s.figure.X.Label, s.label, ink)
	if len(zones) > 0 {
		s.data.Max.Y -= s.tick * leading
	}
	s.roomAtBottom(axisLabel(s.figure.Y.Label, s.figure.Y.Unit, s.y))
	bottom := s.data.Min.Y
	s.data.Min.Y += s.tickLen + s.tick*1.5
	if least := s.size.Y * leastData; s.data.Max.Y-s.data.Min.Y < least {
		// the words above have taken too much: they lie over the data's head
		s.data.Max.Y = s.data.Min.Y + least
	}
	row := (s.data.Max.Y - s.data.Min.Y) / vg.Length(len(s.figure.X.Levels))

	names := s.nameLevels(row, whole*mostNames)
	words, right := s.wordRows(names, row, whole*mostWords)
	s.data.Min.X += names.wide + s.gap
	s.data.Max.X -= max(right+s.gap, s.tick)
	s.y.setTicks(7)
	s.layXTicks(&s.y)
	s.layBottomLabel(axisLabel(s.figure.Y.Label, s.figure.Y.Unit, s.y), bottom, whole)
	for i := range s.figure.X.Levels {
		if i%names.every != 0 {
			continue
		}
		middle := s.onSheet(vg.Point{X: s.atX(float64(i))}).Y
		s.putRow(names.blocks[i], names.size, s.data.Min.X-s.gap, 1, middle)
		if words != nil {
			s.putRow(words[i], names.size, s.data.Max.X+s.gap, 0, middle)
		}
	}
	if row < names.size*leading {
		return // the names need the room; the note says what is shaded
	}
	for _, z := range zones {
		s.layZone(z)
	}
}

// nameLevels wraps the names into as many lines as a row holds, the count behind the name, at the
// largest size at which nothing of them is cut.
func (s *sheet) nameLevels(row, most vg.Length) lyingNames {
	least := vg.Points(leastSize)
	var n lyingNames
	for _, shrink := range []vg.Length{1, 0.9, 0.8, 0.7, 0.6} {
		n = lyingNames{size: max(least, min(s.tick*shrink, row/leading)), every: 1}
		for row*vg.Length(n.every) < n.size*leading {
			n.every++
		}
		lines := min(3, max(1, int(row/(n.size*leading))))
		whole := true
		for i, name := range s.figure.X.Levels {
			if c := s.count(i); c != "" {
				name += " (" + strings.ReplaceAll(c, " ", "\u00a0") + ")"
			}
			block, fits := s.wrap(name, n.size, most, lines)
			if whole = whole && fits; !fits {
				block = s.block(name, n.size, most, lines)
			}
			n.blocks = append(n.blocks, block)
			n.wide = max(n.wide, s.widest(block, n.size))
		}
		if whole {
			break
		}
	}
	return n
}

// wordRows wraps what stands beside each level at the right; nil where nothing does.
func (s *sheet) wordRows(n lyingNames, row, most vg.Length) (blocks [][]string, wide vg.Length) {
	any := false
	blocks = make([][]string, len(s.figure.X.Levels))
	lines := min(3, max(1, int(row/(n.size*leading))))
	for _, v := range only[page.Interval](s.figure.Layers) {
		if v.Words == "" {
			continue
		}
		at := int(v.X + 0.5)
		blocks[at] = s.block(v.Words, n.size, most, lines)
		wide = max(wide, s.widest(blocks[at], n.size))
		any = true
	}
	if !any {
		return nil, 0
	}
	return blocks, wide
}

// putRow sets lines centred on a height.
func (s *sheet) putRow(lines []string, size, x, across, middle vg.Length) {
	base := middle + size*leading*vg.Length(len(lines)-1)/2 - size*(ascent-descent)/2
	for _, line := range lines {
		s.put(line, size, ink, x, across, base)
		base -= size * leading
	}
}

// layZone writes the words of a shaded range over it, within the sheet.
func (s *sheet) layZone(z page.Zone) {
	middle := s.data.Min.X + s.atY((s.y.of(z.Low)+s.y.of(z.High))/2)
	words := s.clip(z.Label, s.tick, s.size.X-2*s.margin)
	half := s.width(words, s.tick) / 2
	middle = min(max(middle, s.margin+half), s.size.X-s.margin-half)
	s.put(words, s.tick, soft, middle, 0.5, s.data.Max.Y+s.tick*(descent+0.05))
}
