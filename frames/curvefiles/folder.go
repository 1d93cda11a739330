package curvefiles

import (
	"cmp"
	"context"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/files"
	"breakbook/frames/reading"
	"breakbook/models/parallel"
)

// SkippedFile is something in a folder of readings that was not read, and why.
type SkippedFile struct{ Path, Why string }

// Why files of a folder are skipped.
const (
	skippedFolder  = "a folder in the folder"
	skippedLink    = "a link"
	skippedDevice  = "a device or a pipe"
	skippedHidden  = "a hidden file"
	skippedKind    = "not .csv, .txt or .gz"
	skippedEmpty   = "nothing in it"
	skippedHeader  = "a header and no readings under it"
	skippedUnnamed = "no specimen is called "
)

// Listed replaces the folders among paths by their files that can hold readings, in natural
// order: plain files that end in .csv, .txt or .gz and are not empty. from has, for each path, whether a
// folder gave it. What else is in a folder is in skipped. Errors are *Error, or ctx's own.
func Listed(ctx context.Context, paths []string) (all []string, from []bool, skipped []SkippedFile, err error) {
	for _, path := range paths {
		if !files.IsFolder(path) {
			all, from = append(all, path), append(from, false)
			continue
		}
		found, err := files.InFolder(ctx, path)
		if err != nil {
			return nil, nil, nil, reading.Unopened(path, err)
		}
		before := len(all)
		for _, f := range found {
			if why := unfit(f); why != "" {
				skipped = append(skipped, SkippedFile{f.Path, why})
				continue
			}
			all, from = append(all, f.Path), append(from, true)
		}
		if len(all) == before {
			return nil, nil, nil, &frames.Error{Code: "no-files", File: path, Word: path,
				Detail: "there is no file of readings in " + path +
					": none that ends in .csv, .txt or .gz and has something in it"}
		}
	}
	return all, from, skipped, nil
}

// unfit is why something in a folder is no file of readings; "" where it may be one.
func unfit(f files.Found) string {
	switch {
	case f.Mode&fs.ModeSymlink != 0:
		return skippedLink
	case f.Mode.IsDir():
		return skippedFolder
	case !f.Mode.IsRegular():
		return skippedDevice
	case strings.HasPrefix(f.Name, "."):
		return skippedHidden
	case !slices.Contains([]string{".csv", ".txt", ".gz"}, strings.ToLower(filepath.Ext(f.Name))):
		return skippedKind
	case f.Size == 0:
		return skippedEmpty
	}
	return ""
}

// naming says which specimen a file of a folder belongs to, by its name.
type naming struct {
	specimens      map[string]bool // how they are called, in small letters
	prefix, suffix string          // what the names of files have around those
}

// longestName is as much of a file's name as is looked through for a specimen's.
const longestName = 80

// namingOf finds what the names of files have before and after those of specimens, such as "test_": what
// most of them have, where it lets more of them be told than their bare names do, and no less than two.
func namingOf(ctx context.Context, paths, specimens []string) *naming {
	n := &naming{specimens: make(map[string]bool, len(specimens))}
	for i, s := range specimens {
		parallel.LookAt(ctx, i)
		if s != "" {
			n.specimens[strings.ToLower(s)] = true
		}
	}
	bare := 0
	type around struct{ prefix, suffix string }
	votes := map[around]int{}
	for i, path := range paths {
		parallel.LookAt(ctx, i)
		name := specimenOf(path)
		if n.specimens[strings.ToLower(name)] {
			bare++
		}
		if len(name) > longestName {
			continue
		}
		lower := strings.ToLower(name)
		for from := range lower {
			for to := from + 1; to <= len(lower); to++ {
				if to-from < len(lower) && n.specimens[lower[from:to]] {
					votes[around{lower[:from], lower[to:]}]++
				}
			}
		}
	}
	best := around{}
	for a, count := range votes {
		if cmp.Or(count-votes[best], len(a.prefix)+len(a.suffix)-len(best.prefix)-len(best.suffix),
			strings.Compare(best.prefix, a.prefix), strings.Compare(best.suffix, a.suffix)) > 0 {
			best = a
		}
	}
	if votes[best] > max(bare, 1) {
		n.prefix, n.suffix = best.prefix, best.suffix
	}
	return n
}

// of is the specimen a file is called after; ok is false where the series has none so called, and the
// name is then the file's own.
func (n *naming) of(path string) (name string, ok bool) {
	own := specimenOf(path)
	if n.specimens[strings.ToLower(own)] {
		return own, true
	}
	lower := strings.ToLower(own)
	if n.prefix+n.suffix != "" && len(lower) == len(own) && len(own) > len(n.prefix)+len(n.suffix) &&
		strings.HasPrefix(lower, n.prefix) && strings.HasSuffix(lower, n.suffix) {
		own = own[len(n.prefix) : len(own)-len(n.suffix)]
		return own, n.specimens[strings.ToLower(own)]
	}
	return own, false
}
