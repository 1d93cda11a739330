package frames

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"slices"

	"breakbook/models/parallel"
)

// Source is where a frame came from.
type Source struct {
	Path   string // as given
	SHA256 string // of the file's bytes, in hexadecimal
	Bytes  int64
	Sheet  string // of a workbook: the sheet that was read; "" for another file
}

// SourceOf is the source of a file's bytes. It looks at ctx.
func SourceOf(ctx context.Context, path string, data []byte) Source {
	sum := sha256.New()
	for part := range slices.Chunk(data, 4<<20) {
		parallel.Look(ctx)
		sum.Write(part)
	}
	return Source{Path: path, SHA256: hex.EncodeToString(sum.Sum(nil)), Bytes: int64(len(data))}
}

// ReadFrom is the frame with the file noted that it was read from.
func (f *Frame) ReadFrom(s Source) *Frame {
	next := *f
	next.source = s
	return &next
}
