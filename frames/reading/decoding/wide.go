package decoding

import (
	"bytes"
	"context"
	"encoding/binary"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/unicode"

	"breakbook/models/parallel"
)

// wideOrder tells UTF-16 by its mark, or else by a zero byte in every other place, as
// digits and Latin letters have it: among the first bytes or, in case one is lost among
// them, the very first.
func wideOrder(data []byte) (order unicode.Endianness, marked, wide bool) {
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xfe")):
		return unicode.LittleEndian, true, true
	case bytes.HasPrefix(data, []byte("\xfe\xff")):
		return unicode.BigEndian, true, true
	}
	for _, length := range []int{1 << 12, 1 << 5} {
		head := data[:min(len(data), length)&^1]
		var zeros [2]int
		for i, c := range head {
			if c == 0 {
				zeros[i%2]++
			}
		}
		pairs := len(head) / 2
		switch {
		case pairs == 0:
		case zeros[1]*2 >= pairs && zeros[0]*20 <= pairs:
			return unicode.LittleEndian, false, true
		case zeros[0]*2 >= pairs && zeros[1]*20 <= pairs:
			return unicode.BigEndian, false, true
		}
	}
	return order, false, false
}

// lostByte stands in a text for what could not be decoded; it is in no UTF-8.
const lostByte = 0xff

// wideReader goes through UTF-16.
type wideReader struct {
	data  []byte
	order binary.ByteOrder
	at    int
	out   []byte
	odd   Odd
}

// decodeWide reads UTF-16. Where a byte is lost, so that every letter after it would be
// made of halves of two, it finds back into step.
func decodeWide(ctx context.Context, data []byte, order unicode.Endianness) *Text {
	w := &wideReader{data: data, order: binary.LittleEndian, out: make([]byte, 0, len(data)/2+len(data)/16)}
	if order == unicode.BigEndian {
		w.order = binary.BigEndian
	}
	if len(data) >= 2 && w.unit(0) == 0xfeff {
		w.at = 2
	}
	for next := 0; w.at < len(data); {
		if w.at >= next {
			parallel.Look(ctx)
			next = w.at + heedBytes
		}
		w.letter()
	}
	return &Text{Bytes: w.out, Encoding: "UTF-16", Odd: w.odd}
}

func (w *wideReader) unit(at int) uint16 { return w.order.Uint16(w.data[at:]) }

// letter decodes the next letter.
func (w *wideReader) letter() {
	if w.outOfStep() {
		w.backIntoStep()
		return
	}
	u := w.unit(w.at)
	w.at += 2
	switch {
	case u < utf8.RuneSelf:
		w.out = append(w.out, byte(u))
	case !utf16.IsSurrogate(rune(u)):
		w.out = utf8.AppendRune(w.out, rune(u))
	default:
		if w.at+2 <= len(w.data) {
			if r := utf16.DecodeRune(rune(u), rune(w.unit(w.at))); r != utf8.RuneError {
				w.at += 2
				w.out = utf8.AppendRune(w.out, r)
				return
			}
		}
		w.lost()
	}
}

// lost marks a place where a letter is missing.
func (w *wideReader) lost() {
	if w.odd.Count++; w.odd.Count == 1 {
		w.odd.Line = bytes.Count(w.out, []byte{'\n'}) + 1
	}
	w.out = append(w.out, lostByte)
}

// latin tells a letter of the commonest kind.
func latin(u uint16) bool {
	return u >= ' ' && u < 0x7f || u >= 0xa0 && u <= 0xff || u == '\n' || u == '\r' || u == '\t'
}

// outOfStep tells whether the next units are the halves of Latin letters the wrong way
// round: four of them, or all that are left and half a unit.
func (w *wideReader) outOfStep() bool {
	for k := range 4 {
		at := w.at + 2*k
		if at+2 > len(w.data) {
			return at < len(w.data)
		}
		if u := w.unit(at); u&0xff != 0 || !latin(u>>8) {
			return false
		}
	}
	return true
}

// backIntoStep goes on half a unit earlier, where a letter starts there, or later. The
// byte left over is the half of a letter, which it shows where it can.
func (w *wideReader) backIntoStep() {
	half := w.data[w.at]
	if w.at >= 2 && w.at+1 <= len(w.data) && latin(w.unit(w.at-1)) {
		_, size := utf8.DecodeLastRune(w.out)
		w.out = w.out[:len(w.out)-size]
		half = w.data[w.at-2]
		w.at--
	} else {
		w.at++
	}
	if latin(uint16(half)) {
		w.out = utf8.AppendRune(w.out, rune(half))
	}
	w.lost()
	if w.at == len(w.data) {
		w.out = w.out[:len(w.out)-1] // nothing follows: no cell is hurt
	}
}
