package figures

import (
	"math"
	"strconv"

	"breakbook/models/lists"

	"gonum.org/v1/plot/vg"
)

// mostHolding is how much of the room for the data the rows of numbers still holding may take, and how much
// of the figure's width their names.
const (
	mostHolding     = 0.35
	mostHoldingName = 0.12
)

// holdingHeight is what the rows of numbers take under the axis, with the line over them.
func (s *sheet) holdingHeight() vg.Length {
	if s.held == 0 {
		return 0
	}
	return vg.Length(s.held+1)*s.tick*leading + s.gap*0.5
}

// holdingNames is how wide the names of the rows are.
func (s *sheet) holdingNames() (wide vg.Length) {
	for _, h := range s.figure.Holding[:s.held] {
		wide = max(wide, s.width(s.holdingName(h.Label), s.tick))
	}
	return wide
}

func (s *sheet) holdingName(label string) string {
	return s.clip(label, s.tick, s.size.X*mostHoldingName)
}

// roomForHolding keeps the foot free for the rows: for all or, where there is no room, none.
func (s *sheet) roomForHolding() {
	s.held = len(s.figure.Holding)
	if high := s.holdingHeight(); high > (s.data.Max.Y-s.data.Min.Y)*mostHolding {
		s.held = 0
	}
	s.data.Min.Y += s.holdingHeight()
}

// layHolding writes under each tick of the x axis how many of each row still hold there; the rows end at bottom.
func (s *sheet) layHolding(bottom vg.Length) {
	rows := s.figure.Holding[:s.held]
	if len(rows) == 0 {
		return
	}
	y := bottom - s.tick*ascent
	s.put("still holding", s.tick, soft, s.margin, 0, y)
	for _, h := range rows {
		y -= s.tick * leading
		s.put(s.holdingName(h.Label), s.tick, ink, s.data.Min.X-s.gap, 1, y)
		edge := vg.Length(math.Inf(-1))
		for _, t := range s.x.ticks {
			n := lists.Count(h.Ends, func(end float64) bool { return s.x.of(end) >= t.at })
			words := strconv.Itoa(n)
			at, half := s.atX(t.at), s.width(words, s.tick)/2
			if at-half < edge || at+half > s.size.X {
				continue
			}
			s.put(words, s.tick, soft, at, 0.5, y)
			edge = at + half + s.gap*0.5
		}
	}
}
