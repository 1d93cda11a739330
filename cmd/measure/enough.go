package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync/atomic"

	"breakbook/cmd/measure/enough"
	"breakbook/cmd/measure/typed"
	"breakbook/repl/page"
	"breakbook/repl/session"

	"github.com/spf13/pflag"
)

// measureEnough counts how often as many specimens as are told to settle a difference do.
func measureEnough(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("enough", pflag.ContinueOnError)
	series := flags.Int("series", 2000, "how many series a cell")
	seed := flags.Uint64("seed", 1, "the start of the random series")
	only := flags.String("only", "", "questions that begin so only")
	if err := flags.Parse(args); err != nil {
		return err
	}
	folder, err := os.MkdirTemp("", "measure")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(folder) }()
	fmt.Fprintf(out, "go run ./cmd/measure enough --series %d --seed %d\n\n", *series, *seed)
	return enough.Measure(ctx, out, asker(folder), *series, *seed, *only)
}

// asker opens each series in a book of its own, from a file in the folder.
func asker(folder string) func(ctx context.Context, csv, lines string) (page.Entry, error) {
	var files atomic.Int64
	return func(ctx context.Context, csv, lines string) (page.Entry, error) {
		path := filepath.Join(folder, fmt.Sprintf("asked%d.csv", files.Add(1)))
		if err := os.WriteFile(path, []byte(csv), 0o600); err != nil {
			return page.Entry{}, err
		}
		defer func() { _ = os.Remove(path) }()
		b := typed.Book{Session: session.New(session.Options{})}
		return b.Run(ctx, fmt.Sprintf("open %q as s; %s", path, lines))
	}
}
