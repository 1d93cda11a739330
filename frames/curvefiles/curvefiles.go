// Package curvefiles reads files of load–slip readings. In come their paths, or folders of them, what
// their columns are and how the specimens are called; out come the curves, each with its specimen's name,
// and what of a folder was left and why, or an error with the file. Each file is opened by package reading.
package curvefiles

import (
	"context"
	"errors"
	"path/filepath"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/files"
	"breakbook/frames/notation"
	"breakbook/frames/reading"
	"breakbook/frames/units"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// Columns says what the columns of the files are; empty names are found by name
// and unit.
type Columns struct {
	Key        string // the column that names the specimen; a file without it is one specimen's, called after the file
	Load, Slip string
	Sheet      string // of each file, which is a workbook then; empty: the likeliest of a workbook

	Specimens func() []string // how the specimens of the series are called; asked where there is a folder, or one file
}

// Words of a header that bear out a slip.
var slipWords = []string{"slip", "displacement", "travel", "deflection", "crosshead", "stroke", "extension",
	"movement", "position", "opening"}

// Folders are what was read of folders, and what was not.
type Folders struct {
	Files          int    // files of folders that were read
	Prefix, Suffix string // what their names have around the specimen's, in small letters
	Skipped        []SkippedFile
	Looked         []frames.Source // files that were opened and skipped
}

// Read reads load–slip readings: files with a row a reading and a column that
// names the specimen, or a file a specimen. Of a folder all its files are read, but not those that
// belong to none of the specimens; folders is nil where there is none. Loads are turned into the unit load where
// they can be, slips and the rest into the first file's. Beside the errors of reading.Open,
// with the file: "which-column" (not clear which is the load or the slip),
// "curve-twice" (a specimen in two files), "wrong-dimension".
func Read(ctx context.Context, paths []string, columns Columns, load units.Unit) (
	_ *frames.Curves, _ *Folders, err error) {
	defer parallel.Catch(&err)
	paths, from, skipped, err := Listed(ctx, paths)
	if err != nil {
		return nil, nil, err
	}
	a := &adding{Curves: &frames.Curves{}, columns: columns, named: map[string]int{}}
	a.alone = len(paths) == 1 && !slices.Contains(from, true)
	var folders *Folders
	if slices.Contains(from, true) {
		a.naming = namingOf(ctx, paths, columns.Specimens())
		folders = &Folders{Prefix: a.naming.prefix, Suffix: a.naming.suffix, Skipped: skipped}
	}
	for i, path := range paths {
		parallel.Look(ctx)
		why, err := a.file(ctx, path, from[i])
		switch {
		case err != nil:
			return nil, nil, err
		case why != "":
			folders.Skipped = append(folders.Skipped, SkippedFile{path, why})
			looked, err := lookedAt(ctx, path)
			if err != nil {
				return nil, nil, err
			}
			folders.Looked = append(folders.Looked, looked)
		case from[i]:
			folders.Files++
		}
	}
	if a.Len() == 0 && folders != nil {
		e := &frames.Error{Code: "no-partners", File: paths[0], Column: columns.Key,
			Detail: "no file is called after a specimen, or has a column " + columns.Key}
		if n := len(folders.Skipped); n > 0 {
			last := folders.Skipped[n-1]
			e.Detail += ": of " + last.Path + ", " + last.Why
		}
		return nil, nil, e
	}
	c := a.Curves
	if units.SameDimension(c.LoadUnit, load) {
		c, err = c.OfLoads(load)
	}
	return c, folders, err
}

// lookedAt is a file that was opened and left, with its fingerprint.
func lookedAt(ctx context.Context, path string) (frames.Source, error) {
	data, err := files.Read(ctx, path, files.MostTable())
	if err != nil {
		return frames.Source{}, reading.Unopened(path, err)
	}
	return frames.SourceOf(ctx, path, data), nil
}

// adding is the curves so far.
type adding struct {
	*frames.Curves
	columns Columns
	alone   bool           // it is one file that was named itself
	naming  *naming        // of the files of folders; nil where there is no folder
	named   map[string]int // the specimens that have a curve, with its place
}

// file adds the curves of one file. One of a folder that has nothing in it or belongs to no specimen is
// left, and why is told.
func (c *adding) file(ctx context.Context, path string, ofFolder bool) (why string, err error) {
	own, called := specimenOf(path), true
	if ofFolder {
		own, called = c.naming.of(path)
	}
	f, understood, err := reading.Open(ctx, path, reading.Overrides{Sheet: c.columns.Sheet})
	var e *frames.Error
	if ofFolder && errors.As(err, &e) {
		switch {
		case e.Code == "empty-file":
			return skippedEmpty, nil
		case e.Code == "header-only":
			return skippedHeader, nil
		case !called:
			return skippedUnnamed + own, nil
		}
	}
	if err != nil {
		return "", err
	}
	_, has := f.Column(c.columns.Key)
	if !called && !has {
		return skippedUnnamed + own, nil
	}
	if c.alone && !has && c.columns.Specimens != nil && !slices.Contains(c.columns.Specimens(), own) {
		named := lists.Mapped(f.Columns(), func(column frames.Column) string { return column.Name })
		return "", &frames.Error{Code: "no-partners", File: path, Column: c.columns.Key, Word: own, Detail: path +
			" has no column " + c.columns.Key + ", and is not called after a specimen; its columns are " +
			strings.Join(named, ", ") + ". Of the two columns that name the specimens " +
			"one has to be called as the other"}
	}
	first := len(c.Sources) == 0
	c.Sources = append(c.Sources, f.Source())
	for _, r := range understood.Remarks {
		c.Remarks = append(c.Remarks, frames.FileRemark{File: path, Remark: r})
	}
	load, slip, err := loadAndSlip(f, c.columns)
	if err != nil {
		return "", err
	}
	if first {
		c.LoadUnit, c.SlipUnit = load.Unit, slip.Unit
	}
	loads, loadDigits, err := readings(ctx, f, load, c.LoadUnit)
	if err != nil {
		return "", err
	}
	slips, slipDigits, err := readings(ctx, f, slip, c.SlipUnit)
	if err != nil {
		return "", err
	}
	names, of, err := specimens(ctx, f, own, c.columns.Key)
	if err != nil {
		return "", err
	}
	for _, name := range names {
		if i, has := c.named[name]; has {
			return "", &frames.Error{Code: "curve-twice", File: path, Word: name,
				Detail: name + " has readings in " + c.Files[i] + " and in " + path}
		}
	}
	c.LoadDigits, c.SlipDigits = max(c.LoadDigits, loadDigits), max(c.SlipDigits, slipDigits)
	for i, name := range names {
		c.named[name] = c.Len() + i
	}
	c.Add(path, names, of, slips, loads)
	return "", nil
}

// specimens tells which specimen each row of a file belongs to, -1 for none: by the key column, or in a file
// without it the one that it is called after.
func specimens(ctx context.Context, f *frames.Frame, own, key string) (names []string, of []int, err error) {
	column, ok := f.Column(key)
	if !ok {
		return []string{own}, make([]int, f.Len()), nil
	}
	if column.Kind == frames.Category {
		of, err = f.Codes(ctx, key)
		return column.Levels, of, err
	}
	of = make([]int, f.Len())
	seen := map[string]int{}
	for row := range of {
		cell, there := f.Cell(key, row)
		if of[row] = -1; !there {
			continue
		}
		i, ok := seen[cell]
		if !ok {
			i = len(names)
			seen[cell] = i
			names = append(names, cell)
		}
		of[row] = i
	}
	return names, of, nil
}

// specimenOf is a file's name without its folder and endings: logs/G45.csv.gz is G45.
func specimenOf(path string) string {
	name := strings.TrimSuffix(filepath.Base(path), ".gz")
	return strings.TrimSuffix(name, filepath.Ext(name))
}

// readings are a column's numbers in the unit asked for. A column of numbers with
// stray words is read as numbers; the words are readings that are missing. digits is how many significant
// ones they were written with.
func readings(ctx context.Context, f *frames.Frame, c frames.Column,
	u units.Unit) (values []float64, digits int, err error) {
	if c.Kind != frames.Number {
		next, _, err := f.SetKind(ctx, c.Name, frames.Number)
		if err != nil {
			return nil, 0, err
		}
		f = next
		c, _ = f.Column(c.Name)
	}
	values, err = f.Numbers(c.Name)
	if err != nil {
		return nil, 0, err
	}
	digits = notation.DigitsOf(ctx, values)
	if c.Unit == u {
		return values, digits, nil
	}
	change, err := units.To(c.Unit, u)
	if err != nil {
		return nil, 0, &frames.Error{Code: "wrong-dimension", File: f.Source().Path, Column: c.Name,
			Detail: c.Name + ": " + err.Error(), Err: err}
	}
	for i, x := range values {
		values[i] = change.Apply(x)
	}
	return values, digits, nil
}

// loadAndSlip finds the two columns of readings.
func loadAndSlip(f *frames.Frame, columns Columns) (load, slip frames.Column, err error) {
	others := lists.Where(f.Columns(), func(c frames.Column) bool { return c.Name != columns.Key })
	load, err = columnFor(f, columns.Load, "load", others, []func(frames.Column) bool{
		func(c frames.Column) bool { return c.Role == frames.Load },
		func(c frames.Column) bool { return c.Unit.Dimension() == "force" },
		func(c frames.Column) bool {
			return notation.Says(c.Name, notation.ForceWords) && !notation.Says(c.Name, slipWords)
		},
	})
	if err != nil {
		return load, slip, err
	}
	others = slices.DeleteFunc(others, func(c frames.Column) bool { return c.Name == load.Name })
	slip, err = columnFor(f, columns.Slip, "slip", others, []func(frames.Column) bool{
		func(c frames.Column) bool { return c.Unit.Dimension() == "length" && notation.Says(c.Name, slipWords) },
		func(c frames.Column) bool { return c.Unit.Dimension() == "length" },
		func(c frames.Column) bool { return notation.Says(c.Name, slipWords) },
	})
	return load, slip, err
}

// columnFor is the column asked for, else the only one that the first of the signs to
// fit any column fits.
func columnFor(f *frames.Frame, name, what string, from []frames.Column,
	signs []func(frames.Column) bool) (frames.Column, error) {
	if name != "" {
		for _, c := range from {
			if c.Name == name || c.Name == notation.PlainName(name) || strings.EqualFold(c.Header, name) {
				return c, nil
			}
		}
		_, err := f.MissingIn(name)
		if err == nil {
			err = &frames.Error{Code: "which-column", File: f.Source().Path, Column: name,
				Detail: name + " cannot be the " + what + " as well"}
		}
		return frames.Column{}, err
	}
	for _, sign := range signs {
		if found := lists.Where(from, sign); len(found) == 1 {
			return found[0], nil
		}
	}
	all := lists.Mapped(f.Columns(), func(c frames.Column) string { return c.Name })
	return frames.Column{}, &frames.Error{Code: "which-column", File: f.Source().Path,
		Detail: "it is not clear which column is the " + what + "; there are " + strings.Join(all, ", "),
		Hint:   "add taking COLUMN as load, COLUMN as slip"}
}
