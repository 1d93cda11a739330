package reading

import (
	"context"
	"errors"
	"path/filepath"
	"reflect"

	"breakbook/frames"
	"breakbook/frames/files"
	"breakbook/models/parallel"
)

// readWithLook reads a file as the look beside it says, where one lies there and fits;
// else as Read does, with a remark on the look that was not used.
func readWithLook(ctx context.Context, path string, data []byte, o Overrides) (*frames.Frame, *frames.Reading, error) {
	beside := frames.LookPath(path)
	if beside == "" {
		return Read(ctx, path, data, o)
	}
	text, err := files.Read(ctx, beside, 1<<20+16*int64(len(data)))
	parallel.Look(ctx)
	var no *files.Error
	if errors.As(err, &no) && no.Cause == files.Missing {
		return Read(ctx, path, data, o)
	}
	if sheet := frames.ParseSheet(text); sheet != nil {
		return readSheet(ctx, sheet, path, text, data, o)
	}
	code := "look-overridden"
	if reflect.ValueOf(o).IsZero() {
		var f *frames.Frame
		if code = "look-broken"; err == nil {
			f, code = frames.Reopen(ctx, text, data)
		}
		if f != nil {
			used := frames.SourceOf(ctx, beside, text)
			f = f.ReadFrom(frames.SourceOf(ctx, path, data)).Using(used)
			f.Reading().Look = filepath.Base(beside)
			return f, f.Reading(), nil
		}
	}
	f, r, err := Read(ctx, path, data, o)
	if err == nil {
		r.Remarks = append([]frames.Remark{{Code: code, Word: filepath.Base(beside), Line: r.HeaderLine}}, r.Remarks...)
	}
	return f, r, err
}
