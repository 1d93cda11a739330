package figures

import (
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"
)

// levelNames is a way to write the level names under the axis.
type levelNames struct {
	size   vg.Length
	blocks [][]string // the lines of each level, its count last
	counts bool       // the last line of each block is a count
	drop   vg.Length  // how much lower every second block stands; 0: all in one row
	turned bool
	every  int // only every so manieth level is named
	height vg.Length
}

// fitLevels finds the most legible way to write the level names without overlap: lying and wrapped, a little smaller,
// in two rows, turned; at last not every level is named. bottom is how low the words may reach.
func (s *sheet) fitLevels(bottom vg.Length) levelNames {
	k := len(s.figure.X.Levels)
	step := (s.data.Max.X - s.data.Min.X) / vg.Length(k)
	room := (s.data.Max.Y - bottom) * 0.45
	least := vg.Points(leastSize)
	for rows := range 2 { // in one row, else in two
		for _, shrink := range []vg.Length{1, 0.9, 0.8} {
			size := max(s.tick*shrink, least)
			n, ok := s.level(size, vg.Length(rows+1)*step-size*0.5, 3, rows)
			if ok && n.height <= room && (rows == 0 || s.endsInside(n, step)) {
				return n
			}
		}
	}
	return s.turnedNames(step, room)
}

// turnedNames writes the names upwards, in as many lines as the step between
// levels holds, no longer than room; the count goes behind the name.
func (s *sheet) turnedNames(step, room vg.Length) levelNames {
	size := max(vg.Points(leastSize), min(s.tick, step/leading))
	n := levelNames{size: size, turned: true, every: 1}
	for step*vg.Length(n.every) < size*leading {
		n.every++
	}
	lines := min(3, max(1, int((step-size*0.4)/(size*leading))))
	for i, name := range s.figure.X.Levels {
		tail := ""
		if c := s.count(i); c != "" {
			tail = " (" + strings.ReplaceAll(c, " ", "") + ")"
		}
		block, fits := s.wrap(name+tail, size, room, lines)
		if !fits {
			block = append(s.block(name, size, room, lines), "")
			last := max(0, len(block)-2)
			block = block[:last+1]
			block[last] = s.clip(s.clip(block[last], size, max(room-s.width(tail, size), size))+tail, size, room)
		}
		n.blocks = append(n.blocks, block)
		n.height = max(n.height, s.widest(block, size))
	}
	return n
}

// level writes each name in up to n lines no wider than most, with its count below, in one row or (rows 1) in two.
func (s *sheet) level(size, most vg.Length, n, rows int) (levelNames, bool) {
	names := levelNames{size: size, every: 1}
	lines := 0
	for i, name := range s.figure.X.Levels {
		block, fits := s.wrap(name, size, most, n)
		if !fits {
			return names, false
		}
		if c := s.count(i); c != "" {
			if s.width(c, size) > most {
				return names, false
			}
			block = append(block, c)
			names.counts = true
		}
		names.blocks = append(names.blocks, block)
		lines = max(lines, len(block))
	}
	line := size * leading
	names.height = line * vg.Length(lines)
	if rows == 1 {
		names.drop = names.height
		names.height *= 2
	}
	return names, true
}

// endsInside tells whether no name of two rows runs off the sheet or into the next but one.
func (s *sheet) endsInside(n levelNames, step vg.Length) bool {
	for i, b := range n.blocks {
		half := s.widest(b, n.size) / 2
		at := s.data.Min.X + step*(vg.Length(i)+0.5)
		if at-half < s.margin/2 || at+half > s.data.Max.X+s.margin/2 {
			return false
		}
	}
	return true
}

// count is what stands under a level's name, if anything.
func (s *sheet) count(i int) string {
	if len(s.figure.X.Counts) == 0 {
		return ""
	}
	return "n = " + strconv.Itoa(s.figure.X.Counts[i])
}

// layLevels sets the names below the axis.
func (s *sheet) layLevels(n levelNames) {
	top := s.data.Min.Y - s.tickLen - s.gap*0.7
	for i, block := range n.blocks {
		x := s.atX(float64(i))
		if n.turned {
			if i%n.every == 0 {
				s.putTurned(block, n.size, x, top)
			}
			continue
		}
		y := top
		if n.drop > 0 && i%2 == 1 {
			y -= n.drop
			s.guides = append(s.guides, [2]vg.Point{{X: x, Y: s.data.Min.Y}, {X: x, Y: y}})
		}
		for j, line := range block {
			colour := ink
			if n.counts && j == len(block)-1 {
				colour = soft
			}
			s.put(line, n.size, colour, x, 0.5, y-n.size*ascent)
			y -= n.size * leading
		}
	}
}

// putTurned sets lines that read upwards and end at top, centred across x.
func (s *sheet) putTurned(lines []string, size, x, top vg.Length) {
	base := x + size*(ascent-descent)/2 - size*leading*vg.Length(len(lines)-1)/2
	for _, line := range lines {
		if line != "" {
			s.texts = append(s.texts, text{words: line, size: size, colour: ink, turned: true,
				at: vg.Point{X: base, Y: top - s.width(line, size)}})
		}
		base += size * leading
	}
}
