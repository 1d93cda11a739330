package book

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestFingerprintsLast(t *testing.T) {
	state := filepath.Join(t.TempDir(), "state", "breakbook") // made when it is needed
	NewFingerprints(state).Remember([]Wrote{{Path: `/a "b"`, SHA256: "1", By: "x"}, {Path: "/b", SHA256: "2"}})
	NewFingerprints(state).Remember([]Wrote{{Path: `/a "b"`, SHA256: "3"}})
	if got := fmt.Sprint(NewFingerprints(state).Of(`/a "b"`)); got != `[{/a "b" 1 x} {/a "b" 3 }]` {
		t.Errorf("remembers %s", got)
	}
	if got := NewFingerprints(state).Of("/c"); len(got) != 0 {
		t.Errorf("remembers %v", got)
	}
}

// Whatever stands in the state folder, writing goes on, and this run is remembered.
func TestFingerprintsAreAHelpOnly(t *testing.T) {
	for name, spoil := range map[string]func(folder string) error{
		"no folder possible": func(folder string) error { return os.WriteFile(folder, nil, 0o600) },
		"a folder in its place": func(folder string) error {
			return os.MkdirAll(filepath.Join(folder, fingerprintFile), 0o700)
		},
		"rubbish": func(folder string) error {
			if err := os.MkdirAll(folder, 0o700); err != nil {
				return err
			}
			return os.WriteFile(filepath.Join(folder, fingerprintFile),
				[]byte("\x00\xff{\"path\":3}\n{\"path\":\"/a\",\"sha"), 0o600)
		},
	} {
		folder := filepath.Join(t.TempDir(), "state")
		if err := spoil(folder); err != nil {
			t.Fatal(err)
		}
		f := NewFingerprints(folder)
		f.Remember([]Wrote{{Path: "/a", SHA256: "1"}})
		if got := f.Of("/a"); len(got) == 0 || got[len(got)-1].SHA256 != "1" {
			t.Errorf("%s: this run remembers %v", name, got)
		}
		want := 1
		if name != "rubbish" {
			want = 0
		}
		if got := NewFingerprints(folder).Of("/a"); len(got) != want {
			t.Errorf("%s: the next run remembers %v", name, got)
		}
	}
}

// The file stays small: the oldest are dropped.
func TestFingerprintsAreBounded(t *testing.T) {
	state := t.TempDir()
	path := filepath.Join(state, fingerprintFile)
	var old strings.Builder
	for i := range 20000 {
		fmt.Fprintf(&old, "{\"path\":\"/folder/of/some/length/figure-%d.png\",\"sha256\":\"%064d\"}\n", i, i)
	}
	put(t, path, old.String())
	NewFingerprints(state).Remember([]Wrote{{Path: "/new", SHA256: "1"}})
	info, err := os.Stat(path)
	if err != nil || info.Size() > longFingerprints {
		t.Errorf("%d bytes, %v", info.Size(), err)
	}
	for name, want := range map[string]int{"/new": 1, "/folder/of/some/length/figure-19999.png": 1,
		"/folder/of/some/length/figure-0.png": 0} {
		if got := NewFingerprints(state).Of(name); len(got) != want {
			t.Errorf("%s: %v, want %d", name, got, want)
		}
	}
}
