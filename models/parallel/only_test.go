package parallel

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// ownWorkers matches what starts a goroutine, or waits for several.
var ownWorkers = regexp.MustCompile(`sync\.WaitGroup|\.Go\(|\bgo func|errgroup|^\s*go \w`)

// mayStart are the files outside this package that start a goroutine of their own: the loop
// that gives work up, the console that waits for a key, and a lock that may never come.
var mayStart = []string{"repl/attempt.go", "repl/repl.go", "repl/console/", "repl/book/fingerprint.go"}

func TestWorkIsSharedOutHereOnly(t *testing.T) {
	root := filepath.Join("..", "..")
	seen := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		name, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		if !strings.HasPrefix(name, "models/") && !strings.HasPrefix(name, "repl/") &&
			!strings.HasPrefix(name, "frames/") {
			return nil // the commands people measure with
		}
		seen++
		for _, may := range append([]string{"models/parallel/"}, mayStart...) {
			if strings.HasPrefix(name, may) {
				return nil
			}
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for i, line := range strings.Split(string(text), "\n") {
			if code, _, _ := strings.Cut(line, "//"); ownWorkers.MatchString(code) {
				t.Errorf("%s line %d starts workers of its own: %s", name, i+1, strings.TrimSpace(line))
			}
		}
		return nil
	})
	if err != nil || seen < 300 {
		t.Errorf("%d files seen: %v", seen, err)
	}
}
