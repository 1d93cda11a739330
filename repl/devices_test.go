//go:build unix

package repl

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// Nothing waits for a pipe or reads a device to its end.
func TestDevicesAreRefusedAtOnce(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := syscall.Mkfifo("pipe", 0o600); err != nil {
		t.Skip("no pipes here: ", err)
	}
	for name, to := range map[string]string{"zero.csv": "/dev/zero", "pipe.csv": "pipe", "zero.brk": "/dev/zero",
		"zero.html": "/dev/zero", "zero.png": "/dev/zero"} {
		if err := os.Symlink(to, name); err != nil {
			t.Fatal(err)
		}
	}
	const sum = " 3 rows sha256 9f86d081884c7d659f86d081884c7d659f86d081884c7d659f86d081884c7d65\n"
	for name, text := range map[string]string{
		"gates.csv": "load (N),pins\n410,none\n395,none\n520,pair\n498,pair\n",
		"rests.brk": "# file \"/dev/zero\"" + sum + "# file \"pipe\"" + sum + "note a\n",
	} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct{ line, says string }{
		{"replay pipe", "pipe is a device or a pipe, not a file"},
		{"replay zero.brk", "zero.brk is a device or a pipe, not a file"},
		{"replay .", ". is a folder, not a file"},
		{"open gates.csv; write zero.csv", "plain file"},
		{"open gates.csv; write pipe.csv", "plain file"},
		{"open gates.csv; save book zero.brk", "plain file"},
		{"open gates.csv; report zero.html", "plain file"},
		{"open gates.csv; draw load by pins to zero.png", "plain file"},
	} {
		b := newHarness(t)
		b.files.folder = ""
		if b.typed(t, c.line, true) || !strings.Contains(strings.Join(strings.Fields(b.err.String()), " "), c.says) {
			t.Errorf("%s: said %q, want %q", c.line, b.err.String(), c.says)
		}
	}
	b := newHarness(t)
	if !b.typed(t, "replay rests.brk", true) {
		t.Error(b.err.String())
	}
	for _, says := range []string{"/dev/zero is a device or a pipe, not a file",
		"pipe is a device or a pipe, not a file"} {
		if got := strings.Join(strings.Fields(b.out.String()), " "); !strings.Contains(got, says) {
			t.Errorf("said %q, want %q", got, says)
		}
	}
	for _, path := range []string{"pipe", "/dev/zero"} {
		_, err := readEarlier(t.Context(), path)
		if err == nil || !strings.Contains(err.Error(), path+" is a device or a pipe, not a file") {
			t.Errorf("an earlier run in %s: %v", path, err)
		}
	}
}

func TestFollow(t *testing.T) {
	top, err := filepath.EvalSymlinks(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(top)
	if err := os.MkdirAll("a/b", 0o700); err != nil {
		t.Fatal(err)
	}
	for name, to := range map[string]string{"a/up": "..", "a/b/abs": top + "/a", "to": "a/b/new.csv",
		"chain": "a/up/to", "round": "round", "above": filepath.Dir(top)} {
		if err := os.Symlink(to, name); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct{ path, want string }{
		{"x.csv", top + "/x.csv"},
		{"./a//b/../x.csv", top + "/a/x.csv"},
		{"a/up/x.csv", top + "/x.csv"},
		{"a/b/abs/../x.csv", top + "/x.csv"}, // the link first, then one up
		{"to", top + "/a/b/new.csv"},
		{"chain", top + "/a/b/new.csv"},
		{"a/up/../x.csv", filepath.Dir(top) + "/x.csv"},
		{"above/x.csv", filepath.Dir(top) + "/x.csv"},
		{"none/../../x.csv", filepath.Dir(top) + "/x.csv"},
		{"/../../x.csv", "/x.csv"},
	} {
		if got, err := follow(c.path); err != nil || got != c.want {
			t.Errorf("%s leads to %s, %v; want %s", c.path, got, err, c.want)
		}
	}
	if got, err := follow("round"); err == nil {
		t.Errorf("a link to itself leads to %s", got)
	}
	for _, c := range []struct {
		folder, path string
		lets         bool
	}{
		{"", "x.csv", true}, {"", "a/b/x.csv", true}, {"", "../x.csv", false}, {"", "a/up/to", true},
		{"a", "a/up/to", true},
		{"a/b", "a/x.csv", false}, {"a", "ab.csv", false}, {"", top + "/x.csv", true}, {"", top + "x.csv", false},
		{"", "round", false},
		{"a/b/abs", "a/x.csv", true}, {"to be made", "to be made/x.csv", true}, {"to be made", "x.csv", false},
	} {
		if err := (&fence{folder: c.folder}).allows(c.path); (err == nil) != c.lets {
			t.Errorf("%s in the folder %q: %v, want it let through: %v", c.path, c.folder, err, c.lets)
		}
	}
}
