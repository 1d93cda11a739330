package figures

import (
	"bytes"
	"context"
	"sort"

	"breakbook/models/lists"
)

// stopped is what drawing panics with, up to Bytes, once its context is done: the loops it
// leaves are also gonum's, which know of no context.
type stopped struct{}

// heed looks at the figure's context; to be called once a mark, a word or a stroke.
func (t *typesetter) heed() {
	if t.ctx.Err() != nil {
		panic(stopped{})
	}
}

// stoppableBuffer is a writer into memory that looks at the figure's context at every write: what
// encodes a picture into it ends there.
type stoppableBuffer struct {
	t *typesetter
	bytes.Buffer
}

func (h *stoppableBuffer) Write(part []byte) (int, error) {
	h.t.heed()
	return h.Buffer.Write(part)
}

// breath is how many comparisons a sort makes between looks at the context.
const breath = 1 << 14

// ordered is the order of n things by less, equal ones as they were.
func ordered(ctx context.Context, n int, less func(a, b int) bool) []int {
	order := lists.Indices(n)
	untilLook := breath
	sort.SliceStable(order, func(a, b int) bool {
		if untilLook--; untilLook == 0 {
			if untilLook = breath; ctx.Err() != nil {
				panic(stopped{})
			}
		}
		return less(order[a], order[b])
	})
	return order
}
