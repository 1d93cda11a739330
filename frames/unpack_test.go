package frames

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"runtime"
	"testing"
)

// gzipped packs so many bytes of zeros after a text.
func gzipped(t *testing.T, text string, zeros int64) []byte {
	t.Helper()
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	if _, err := io.WriteString(z, text); err != nil {
		t.Fatal(err)
	}
	if _, err := io.CopyN(z, endless{}, zeros); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// endless is a line feed without end.
type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = '\n'
	}
	return len(p), nil
}

func TestGzipThatGrowsWithoutBoundIsRefused(t *testing.T) {
	data := gzipped(t, "a,b\n1,2\n", 1<<30)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, _, err := Read("x.csv", data, Overrides{})
	runtime.ReadMemStats(&after)
	var e *Error
	if !errors.As(err, &e) || e.Code != "grows-too-far" || e.Hint == "" {
		t.Fatalf("%d bytes that unpack to a gigabyte: %v", len(data), err)
	}
	if used := after.TotalAlloc - before.TotalAlloc; used > 8*uint64(max(freeBytes, mostTimes*len(data))) {
		t.Errorf("it took %d bytes of memory to refuse", used)
	}
}

func TestGzipThatIsBrokenIsRefused(t *testing.T) {
	whole := gzipped(t, gates, 0)
	for name, data := range map[string][]byte{"cut short": whole[:len(whole)-5], "nothing but a start": whole[:3],
		"a byte turned": append(append(bytes.Clone(whole[:20]), whole[20]^0xff), whole[21:]...)} {
		var e *Error
		if _, _, err := Read("x.csv", data, Overrides{}); !errors.As(err, &e) || e.Code != "unreadable" || e.Hint == "" {
			t.Errorf("%s: %v; want unreadable with a hint", name, err)
		}
	}
	if f, r, err := Read("x.csv", append(bytes.Clone(whole), whole...), Overrides{Missing: []string{"specimen"}}); err != nil || !r.Packed || f.Len() < 2 {
		t.Errorf("two gzips in one file: %v", err)
	}
}
