package plan

import (
	"slices"

	"breakbook/models/lists"
)

// OnHand is what candidates are made of, where each is one blank that there is with one of the levels
// it can be given.
type OnHand struct {
	Blank []int   // of each candidate
	Board [][]int // by column of blocks, that of each candidate
	Level [][]int // by factor to be chosen, that of each candidate
}

// hand keeps which blanks are taken, and how the boards of those taken are spread.
type hand struct {
	OnHand
	taken []bool      // by blank
	most  []int       // blanks of one board, by column of blocks, with as many of each as can be
	count [][]int     // taken, by column of blocks and board
	cells [][][][]int // likewise, by factor, board and level
}

// newHand has no blank taken; n are going to be.
func newHand(on OnHand, n int) *hand {
	h := &hand{OnHand: on, taken: make([]bool, slices.Max(on.Blank)+1)}
	for _, board := range on.Board {
		boards := slices.Max(board) + 1
		seen, there := make([]bool, len(h.taken)), make([]int, boards)
		for c, blank := range on.Blank {
			if !seen[blank] {
				seen[blank] = true
				there[board[c]]++
			}
		}
		h.most = append(h.most, evenly(there, n))
		h.count = append(h.count, make([]int, boards))
		var cells [][][]int
		for _, level := range on.Level {
			each := lists.Made(boards, func(b int) []int { return make([]int, slices.Max(level)+1) })
			cells = append(cells, each)
		}
		h.cells = append(h.cells, cells)
	}
	return h
}

// evenly is the smallest number that, taken of each board as far as it goes, makes n.
func evenly(there []int, n int) int {
	for most := 1; ; most++ {
		sum := 0
		for _, t := range there {
			sum += min(t, most)
		}
		if sum >= n || most >= n {
			return most
		}
	}
}

func (h *hand) take(candidate, sign int) {
	h.taken[h.Blank[candidate]] = sign > 0
	for b, board := range h.Board {
		h.count[b][board[candidate]] += sign
		for f, level := range h.Level {
			h.cells[b][f][board[candidate]][level[candidate]] += sign
		}
	}
}

// adds is by how many blanks the boards would be spread less evenly with a candidate: blanks of its
// board beyond what each gives, and those of its board at one level of a factor beyond another.
func (h *hand) adds(candidate int) int {
	n := 0
	for b, board := range h.Board {
		at := board[candidate]
		if h.count[b][at] >= h.most[b] {
			n++
		}
		for f, level := range h.Level {
			levels := h.cells[b][f][at]
			before := unevenBy(levels)
			levels[level[candidate]]++
			n += unevenBy(levels) - before
			levels[level[candidate]]--
		}
	}
	return n
}

func unevenBy(count []int) int { return max(0, slices.Max(count)-slices.Min(count)-1) }

// uneven is by how many blanks the boards of those taken are spread less evenly than can be wished for.
func (h *hand) uneven() int {
	n := 0
	for b, count := range h.count {
		for at, c := range count {
			n += max(0, c-h.most[b])
			for f := range h.Level {
				n += unevenBy(h.cells[b][f][at])
			}
		}
	}
	return n
}
