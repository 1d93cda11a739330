package figures

import (
	"fmt"

	"gonum.org/v1/plot/vg"

	"breakbook/repl/page"
)

// keyBox is the key outside the data: entries in columns to the right or in rows above.
type keyBox struct {
	entries []keyEntry
	beside  bool
	title   []string
	left    vg.Length
}

// keyEntry is one sample with its words.
type keyEntry struct {
	key    page.Key
	lines  []string
	sample vg.Point // middle of the sample
}

// sampleWidth is how wide a key's sample is.
func (s *sheet) sampleWidth() vg.Length { return s.tick * 1.9 }

// layKey decides where the key goes and takes its room from the data: beside them
// if it is narrow and short enough, else above.
func (s *sheet) layKey() {
	f := s.figure
	if len(f.Keys) == 0 {
		return
	}
	most := (s.size.X - 2*s.margin) * 0.27
	words := most - s.sampleWidth() - s.gap
	var wide, high vg.Length
	title := s.block(f.KeyTitle, s.tick, most, 2)
	entries := make([]keyEntry, len(f.Keys))
	fits := true
	for i, k := range f.Keys {
		lines, ok := s.wrap(k.Label, s.tick, words, 3)
		fits = fits && ok
		entries[i] = keyEntry{key: k, lines: lines}
		wide = max(wide, s.widest(lines, s.tick)+s.sampleWidth()+s.gap)
		high += s.tick*leading*vg.Length(len(lines)) + s.gap*0.5
	}
	wide = max(wide, s.widest(title, s.tick))
	high += s.tick * leading * vg.Length(len(title))
	if fits && high <= (s.data.Max.Y-s.data.Min.Y)*0.8 && s.size.X >= 90*vg.Millimeter {
		s.key = keyBox{entries: entries, beside: true, title: title}
		s.data.Max.X -= wide + 2*s.gap
		s.key.left = s.size.X - s.margin - wide
		return
	}
	s.keyAbove()
}

// placeKey sets a key beside the data, level with their top.
func (s *sheet) placeKey() {
	if !s.key.beside || s.atLineEnds() {
		return
	}
	y := s.putDown(s.key.title, s.tick, ink, s.key.left, s.data.Max.Y)
	if len(s.key.title) > 0 {
		y -= s.gap * 0.5
	}
	for i := range s.key.entries {
		e := &s.key.entries[i]
		e.sample = vg.Point{X: s.key.left + s.sampleWidth()/2, Y: y - s.tick*(ascent+descent)/2}
		y = s.putDown(e.lines, s.tick, ink, s.key.left+s.sampleWidth()+s.gap, y) - s.gap*0.5
	}
}

// keyAbove sets the key in rows under the title, as many as fit in a third of the height; what is left out is counted.
func (s *sheet) keyAbove() {
	f := s.figure
	right := s.data.Max.X
	line := s.tick*leading + s.gap*0.3
	floor := s.data.Max.Y - (s.data.Max.Y-s.data.Min.Y)/3
	x, y := s.margin, s.data.Max.Y
	if title := s.clip(f.KeyTitle, s.tick, (right-s.margin)/2); title != "" {
		s.put(title, s.tick, ink, x, 0, y-s.tick*ascent)
		x += s.width(title, s.tick) + 2.5*s.gap
	}
	more := func(n int) string { return fmt.Sprintf("… and %d more", n) }
	// rowEnd is where a row ends: the last has to leave room for the count.
	rowEnd := func(last bool) vg.Length {
		if !last {
			return right
		}
		return right - s.width(more(len(f.Keys)), s.tick) - 2.5*s.gap
	}
	samples := s.sampleWidth() + s.gap
	for i, k := range f.Keys {
		last := y-2*line < floor
		label := s.clip(k.Label, s.tick, rowEnd(last)-s.margin-samples)
		if x+samples+s.width(label, s.tick) > rowEnd(last) && x > s.margin {
			if last {
				s.put(more(len(f.Keys)-i), s.tick, soft, x, 0, y-s.tick*ascent)
				break
			}
			x, y = s.margin, y-line
			label = s.clip(label, s.tick, rowEnd(y-2*line < floor)-s.margin-samples)
		}
		wide := samples + s.width(label, s.tick)
		s.key.entries = append(s.key.entries, keyEntry{key: k, lines: []string{label},
			sample: vg.Point{X: x + s.sampleWidth()/2, Y: y - s.tick*(ascent+descent)/2}})
		s.put(label, s.tick, ink, x+s.sampleWidth()+s.gap, 0, y-s.tick*ascent)
		x += wide + 2.5*s.gap
	}
	s.data.Max.Y = y - line - s.gap*0.6
}
