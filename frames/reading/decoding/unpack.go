package decoding

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"

	"breakbook/frames"
	"breakbook/frames/files"
	"breakbook/models/parallel"
)

// Every windowBytes that a gzip unpacks to must come from at least a mostTimes-th of
// them: test series shrink to a tenth or so, while a file made to fill the memory grows
// a thousandfold.
const (
	windowBytes = 16 << 20
	mostTimes   = 100
)

// Unpack undoes a gzip, told by its first bytes; other bytes come back as they are. It
// stops as soon as the gzip grows too far or past files.MostTable.
func Unpack(ctx context.Context, data []byte) (plain []byte, packed bool, err error) {
	if !bytes.HasPrefix(data, []byte{0x1f, 0x8b, 8}) {
		return data, false, nil
	}
	broken := func(err error) error {
		detail := "its gzip is broken"
		if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
			detail = "its gzip ends too early"
		}
		return &frames.Error{Code: "unreadable", Detail: detail, Hint: "fetch or copy the file again", Err: err}
	}
	in := bytes.NewReader(data)
	z, err := gzip.NewReader(in)
	if err != nil {
		return nil, false, broken(err)
	}
	var parts [][]byte
	total, left := 0, in.Len()
	for window := 0; ; {
		parallel.Look(ctx)
		part := make([]byte, 1<<20)
		n, err := fill(z, part)
		parts = append(parts, part[:n])
		total += n
		window += n
		switch {
		case int64(total) > files.MostTable():
			return nil, false, &frames.Error{Code: "too-large", Hint: files.MoreMemory(2 * files.MostMemory()),
				Detail: "its gzip unpacks to more than the " + files.Size(files.MostTable()) + " that are read"}
		case errors.Is(err, io.EOF):
			return bytes.Join(parts, nil), true, nil
		case err != nil:
			return nil, false, broken(err)
		case window >= windowBytes && (left-in.Len())*mostTimes < window:
			return nil, false, &frames.Error{Code: "grows-too-far",
				Detail: fmt.Sprintf("its gzip unpacks to more than %d times its size", mostTimes),
				Hint:   "unpack it yourself and open what comes out"}
		case window >= windowBytes:
			window, left = 0, in.Len()
		}
	}
}

// fill reads until a part is full; io.EOF where the end comes before.
func fill(r io.Reader, part []byte) (n int, err error) {
	for n < len(part) && err == nil {
		var more int
		more, err = r.Read(part[n:])
		n += more
	}
	return n, err
}
