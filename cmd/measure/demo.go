package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"path/filepath"

	"breakbook/cmd/measure/gates"

	"github.com/natefinch/atomic"
	"github.com/spf13/pflag"
)

// demo writes the files of the demo: the committed ones are its output as it stands.
func demo(_ context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("demo", pflag.ContinueOnError)
	seed := flags.Uint64("seed", gates.DemoSeed, "which invented series")
	to := flags.String("to", filepath.Join("testdata", "demo"), "the folder to write to")
	if err := flags.Parse(args); err != nil {
		return err
	}
	for _, f := range gates.Make(gates.Known(), *seed).Files() {
		path := filepath.Join(*to, f.Name)
		if err := atomic.WriteFile(path, bytes.NewReader(f.Content)); err != nil {
			return err
		}
		fmt.Fprintf(out, "%s, %d bytes\n", path, len(f.Content))
	}
	return nil
}
