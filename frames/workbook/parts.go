package workbook

import (
	"archive/zip"
	"bufio"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"

	"breakbook/frames"
	"breakbook/frames/files"
)

// A part of more than windowBytes must come from at least a mostTimes-th of them: the XML
// of a sheet shrinks to a tenth or so, while a part made to fill the memory grows a
// thousandfold.
const (
	windowBytes = 16 << 20
	mostTimes   = 100
)

// mostDeep is how deep the elements of a part may stand in each other; those of a sheet
// stand some six deep.
const mostDeep = 64

// unpacking reads a part until the context ends, the book's bound is reached or the part
// grows too far.
type unpacking struct {
	ctx  context.Context
	book *Book
	part *zip.File
	in   io.Reader
	out  int64
}

func (u *unpacking) Read(p []byte) (int, error) {
	if err := u.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := u.in.Read(p)
	u.out += int64(n)
	u.book.left -= int64(n)
	switch {
	case u.book.left < 0:
		return n, u.book.tooLarge("its parts unpack to more than the " + files.Size(u.book.most) + " that are read")
	case u.out > windowBytes && u.out/mostTimes > int64(u.part.CompressedSize64):
		return n, &frames.Error{Code: "grows-too-far",
			Detail: fmt.Sprintf("its part %s unpacks to more than %d times its size", u.part.Name, mostTimes),
			Hint:   "export the sheet as CSV and open that"}
	}
	return n, err
}

func (b *Book) tooLarge(detail string) error {
	return &frames.Error{Code: "too-large", Detail: detail,
		Hint: "export the sheet as CSV and open that, or start breakbook with more memory: breakbook --memory " +
			files.FlagSize(4*b.most)}
}

// open starts to unpack a part. What close gives is to be called at the end.
func (b *Book) open(ctx context.Context, name string) (in *bufio.Reader, close func(), err error) {
	f := b.parts[partName(name)]
	if f == nil {
		return nil, nil, damaged(name, nil)
	}
	if f.Flags&1 != 0 {
		return nil, nil, locked()
	}
	r, err := f.Open()
	if err != nil {
		return nil, nil, damaged(name, err)
	}
	shut := func() { _ = r.Close() } // nothing was written
	return bufio.NewReaderSize(&unpacking{ctx: ctx, book: b, part: f, in: r}, 64<<10), shut, nil
}

// whole is a small part, cut off where it is longer than so many bytes.
func (b *Book) whole(ctx context.Context, name string, most int64) ([]byte, error) {
	in, shut, err := b.open(ctx, name)
	if err != nil {
		return nil, err
	}
	defer shut()
	text, err := io.ReadAll(io.LimitReader(in, most))
	if err != nil {
		return nil, broken(name, err)
	}
	return text, nil
}

// broken is a part that ended or went wrong while it was read: the error of the bounds or of
// the context as it is, any other as damage.
func broken(name string, err error) error {
	var known *frames.Error
	if errors.As(err, &known) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return damaged(name, err)
}

// tokens hands on the markup of a part, as long as its elements do not stand too deep in each other.
type tokens struct {
	in   *xml.Decoder
	name string
	deep int
}

// Token is the next one; io.EOF behind the last, where as many elements were closed as opened. Prefixes of name spaces
// stay apart from names.
func (m *tokens) Token() (xml.Token, error) {
	t, err := m.in.RawToken()
	switch {
	case err == io.EOF && m.deep == 0:
		return nil, io.EOF
	case err == io.EOF:
		return nil, damaged(m.name, io.ErrUnexpectedEOF)
	case err != nil:
		return nil, broken(m.name, err)
	}
	switch t.(type) {
	case xml.StartElement:
		m.deep++
	case xml.EndElement:
		m.deep--
	}
	if m.deep < 0 || m.deep > mostDeep {
		return nil, damaged(m.name, nil)
	}
	return t, nil
}

// markupOf goes through the elements of a part.
func markupOf(in io.Reader, name string) *xml.Decoder {
	return xml.NewTokenDecoder(&tokens{in: xml.NewDecoder(in), name: name})
}

// elements goes through a part and hands on the start of each element.
func (b *Book) elements(ctx context.Context, name string, each func(xml.StartElement)) error {
	in, shut, err := b.open(ctx, name)
	if err != nil {
		return err
	}
	defer shut()
	m := markupOf(in, name)
	for {
		t, err := m.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return broken(name, err)
		}
		if e, ok := t.(xml.StartElement); ok {
			each(e)
		}
	}
}
