package files

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/maruel/natural"
)

// MostInFolder is how many things at most may stand in a folder whose files are read.
const MostInFolder = 10_000

// Found is one thing in a folder.
type Found struct {
	Name string // without the folder
	Path string // with the folder as it was given
	Size int64  // of a plain file, in bytes
	Mode fs.FileMode
}

// IsFolder reports whether a path leads to a folder.
func IsFolder(path string) bool {
	info, err := os.Stat(Home(path))
	return err == nil && info.IsDir()
}

// InFolder lists what stands in a folder, in natural order: g2 before g10. Nothing is opened, and links
// are not followed. Errors are *Error, also for more than MostInFolder things, or the context's.
func InFolder(ctx context.Context, path string) ([]Found, error) {
	dir, err := os.Open(Home(path))
	if err != nil {
		return nil, asError(path, err)
	}
	defer dir.Close()
	var out []Found
	for {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		list, err := dir.ReadDir(1000)
		for _, e := range list {
			found := Found{Name: e.Name(), Path: filepath.Join(path, e.Name()), Mode: e.Type()}
			if e.Type().IsRegular() {
				info, err := e.Info()
				if err != nil {
					continue // gone since it was listed
				}
				found.Size, found.Mode = info.Size(), info.Mode()
			}
			out = append(out, found)
		}
		switch {
		case len(out) > MostInFolder:
			return nil, &Error{Path: path, Cause: TooLong,
				Reason: fmt.Sprintf("holds more than the %d files that are read of a folder", MostInFolder)}
		case errors.Is(err, io.EOF):
			slices.SortFunc(out, func(a, b Found) int {
				switch {
				case natural.Less(a.Name, b.Name):
					return -1
				case natural.Less(b.Name, a.Name):
					return 1
				}
				return strings.Compare(a.Name, b.Name)
			})
			return out, nil
		case err != nil:
			return nil, asError(path, err)
		}
	}
}
