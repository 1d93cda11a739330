package frames

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
)

// A gzip may unpack to at most freeBytes, or to mostTimes its own size where that is
// more: test series shrink to a tenth or so, while a file made to fill the memory
// grows a thousandfold.
const (
	freeBytes = 16 << 20
	mostTimes = 100
)

// unpack undoes a gzip, told by its first bytes; other bytes come back as they are.
func unpack(data []byte) (plain []byte, packed bool, err error) {
	if !bytes.HasPrefix(data, []byte{0x1f, 0x8b, 8}) {
		return data, false, nil
	}
	broken := func(err error) error {
		detail := "its gzip is broken"
		if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
			detail = "its gzip ends too early"
		}
		return &Error{Code: "unreadable", Detail: detail, Hint: "fetch or copy the file again", Err: err}
	}
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		return nil, false, broken(err)
	}
	limit := max(freeBytes, mostTimes*len(data))
	var out bytes.Buffer
	n, err := io.Copy(&out, io.LimitReader(z, int64(limit)+1))
	switch {
	case err != nil:
		return nil, false, broken(err)
	case n > int64(limit):
		return nil, false, &Error{Code: "grows-too-far", Detail: fmt.Sprintf("its gzip unpacks to more than %d times its size", mostTimes),
			Hint: "unpack it yourself and open what comes out"}
	}
	return out.Bytes(), true, nil
}
