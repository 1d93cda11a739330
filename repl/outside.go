package repl

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"breakbook/repl/page"
)

// fence is what a replayed book may write: files inside one folder, wherever links
// lead. None (nil) lets everything through.
type fence struct {
	folder string // "" is the current one
	hint   string // what to do about a file outside
}

// fence is the one that holds for the command at hand.
func (l *loop) fence(input string) *fence {
	if len(l.replaying) == 0 || l.outside {
		return nil
	}
	f := &fence{folder: l.files.folder, hint: "if it is meant, type it yourself: " + input}
	if l.fromShell {
		f.hint = "breakbook replay --outside " + shellWord(l.replaying[0].path)
	}
	return f
}

// allows refuses a path that leads out of the folder, by itself, by a link on its way,
// or because the file is a link.
func (f *fence) allows(path string) error {
	if f == nil {
		return nil
	}
	folder, err := follow(filepath.Join(f.folder, "."))
	if err != nil {
		return page.Refuse(page.CodeOutsideFolder, 0, "cannot find the folder that the book may "+
			"write in: "+cause(err), "")
	}
	target, err := follow(path)
	if err != nil {
		return page.Refuse(page.CodeOutsideFolder, 0, fmt.Sprintf("cannot see where %s leads (%s), and a replayed "+
			"book writes only in its folder, %s", path, cause(err), folder), f.hint)
	}
	if rel, err := filepath.Rel(folder, target); err == nil && filepath.IsLocal(rel) {
		return nil
	}
	is := " is"
	if plain, err := filepath.Abs(path); err == nil && plain != target {
		is = " leads to " + target + ","
	}
	return page.Refuse(page.CodeOutsideFolder, 0, fmt.Sprintf("%s%s outside the folder %s; a replayed book writes "+
		"only inside it", path, is, folder), f.hint)
}

// mostLinks is how many links may stand in one path.
const mostLinks = 255

// follow is where a path leads once every link in it is followed, absolute and without
// `..`. What is not there yet counts as what it would be. Windows takes `..` away
// before it follows links, other systems after.
func follow(path string) (string, error) {
	if runtime.GOOS == "windows" {
		var err error
		if path, err = filepath.Abs(path); err != nil {
			return "", err
		}
	} else if !filepath.IsAbs(path) {
		here, err := os.Getwd()
		if err != nil {
			return "", err
		}
		path = here + string(filepath.Separator) + path
	}
	at, rest := rootOf(path)
	for links := 0; len(rest) > 0; {
		part := rest[0]
		rest = rest[1:]
		if part == "" || part == "." {
			continue
		}
		if part == ".." {
			at = filepath.Dir(at)
			continue
		}
		next := filepath.Join(at, part)
		info, err := os.Lstat(next)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			at = next
			continue
		case err != nil:
			return "", err
		case info.Mode()&(fs.ModeSymlink|fs.ModeIrregular) == 0:
			at = next
			continue
		}
		to, err := os.Readlink(next)
		if err != nil {
			return "", err
		}
		if links++; links > mostLinks {
			return "", errors.New("too many links")
		}
		if filepath.IsAbs(to) {
			var parts []string
			at, parts = rootOf(to)
			rest = append(parts, rest...)
			continue
		}
		rest = append(parts(to), rest...)
	}
	return at, nil
}

// rootOf parts an absolute path into its root and its names.
func rootOf(path string) (root string, names []string) {
	volume := filepath.VolumeName(path)
	return volume + string(filepath.Separator), parts(path[len(volume):])
}

func parts(path string) []string {
	return strings.FieldsFunc(path, func(r rune) bool { return r < 0x80 && os.IsPathSeparator(uint8(r)) })
}

// shellWord is a path as a shell takes it for one word.
func shellWord(path string) string {
	if path != "" && !strings.ContainsFunc(path, func(r rune) bool {
		return r < 0x80 && !strings.ContainsRune("_-./", r) && !('0' <= r && r <= '9' || 'a' <= r && r <= 'z' ||
			'A' <= r && r <= 'Z')
	}) {
		return path
	}
	return "'" + strings.ReplaceAll(path, "'", `'\''`) + "'"
}
