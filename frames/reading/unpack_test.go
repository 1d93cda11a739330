package reading

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"

	"breakbook/frames"
	"breakbook/frames/files"
)

// gzipped packs a text.
func gzipped(t *testing.T, text string) []byte {
	t.Helper()
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	if _, err := io.WriteString(z, text); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// A gigabyte, a gzip of a mebibyte after another, is refused after a few tens of
// megabytes, also where it starts as an honest file does.
func TestGzipThatGrowsWithoutBoundIsRefused(t *testing.T) {
	noise := make([]byte, 1<<20)
	random := rand.New(rand.NewPCG(1, 2))
	for i := range noise {
		noise[i] = byte('0' + random.IntN(10))
	}
	bomb := bytes.Repeat(gzipped(t, strings.Repeat("\n", 1<<20)), 1<<10)
	for name, start := range map[string]string{"from the start": "a,b\n1,2\n", "later": "a\n" + string(noise)} {
		data := append(gzipped(t, start), bomb...)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, _, err := Read(t.Context(), "x.csv", data, Overrides{})
		runtime.ReadMemStats(&after)
		var e *frames.Error
		if !errors.As(err, &e) || e.Code != "grows-too-far" || e.Hint == "" {
			t.Fatalf("%s: %d bytes that unpack to a gigabyte: %v", name, len(data), err)
		}
		if used := after.TotalAlloc - before.TotalAlloc; used > 64<<20 {
			t.Errorf("%s: it took %d bytes of memory to refuse", name, used)
		}
	}
}

// What a gzip unpacks to may be no longer than a plain file.
func TestGzipLongerThanAFileMayBeIsRefused(t *testing.T) {
	t.Cleanup(func() { files.SetMostMemory(0) })
	files.SetMostMemory(files.LeastMemory)
	random := rand.New(rand.NewPCG(1, 2))
	var b strings.Builder
	b.WriteString("a\n")
	for b.Len() < 1<<20 {
		fmt.Fprintln(&b, random.IntN(1000))
	}
	data := bytes.Repeat(gzipped(t, b.String()), 33)
	var e *frames.Error
	_, _, err := Read(t.Context(), "x.csv", data, Overrides{})
	if want := "x.csv: its gzip unpacks to more than the 32 MiB that are read"; !errors.As(err, &e) ||
		e.Code != "too-large" || e.Error() != want {
		t.Errorf("%v; want %s", err, want)
	}
}

func TestGzipThatIsBrokenIsRefused(t *testing.T) {
	whole := gzipped(t, gates)
	for name, data := range map[string][]byte{"cut short": whole[:len(whole)-5], "nothing but a start": whole[:3],
		"a byte turned": append(append(bytes.Clone(whole[:20]), whole[20]^0xff), whole[21:]...)} {
		var e *frames.Error
		if _, _, err := Read(t.Context(), "x.csv", data, Overrides{}); !errors.As(err, &e) || e.Code != "unreadable" ||
			e.Hint == "" {
			t.Errorf("%s: %v; want unreadable with a hint", name, err)
		}
	}
	if f, r, err := Read(t.Context(), "x.csv", append(bytes.Clone(whole), whole...),
		Overrides{Missing: []string{"specimen"}}); err != nil || !r.Packed || f.Len() < 2 {
		t.Errorf("two gzips in one file: %v", err)
	}
}
