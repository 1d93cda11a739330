package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/pflag"

	shipped "breakbook/testdata/demo"
)

// measureMemory types one command many times into one book and prints how much memory
// the program held at most, and how long an entry took at the start and at the end.
func measureMemory(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("memory", pflag.ContinueOnError)
	counts := flags.IntSlice("entries", []int{500, 2000, 4000, 10000}, "how many entries")
	commands := flags.StringArray("command", []string{"average load by pins", "fit load on pins, density"},
		"what is typed")
	if err := flags.Parse(args); err != nil {
		return err
	}
	return timed(ctx, out, func(folder, program string) error {
		series, err := shipped.Files.ReadFile("gates.csv")
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(folder, "gates.csv"), series, 0o666); err != nil {
			return err
		}
		w := plainTable("typed into one book", "entries", "peak memory", "ms an entry: the first tenth",
			"the last tenth")
		for _, command := range *commands {
			for _, n := range *counts {
				long, err := longBook(ctx, folder, program, command, n)
				if err != nil {
					return err
				}
				row := []any{command, n, fmt.Sprintf("%.0f MB", float64(long.peak)/1e6),
					fmt.Sprintf("%.2f", long.first), fmt.Sprintf("%.2f", long.last)}
				w.AppendRow(row)
				fmt.Fprintln(os.Stderr, row...) // the whole takes minutes
			}
		}
		fmt.Fprintln(out, w.Render())
		return nil
	})
}

// grown is what a long book came to.
type grown struct {
	peak        int64
	first, last float64 // milliseconds an entry took, in the first tenth and in the last
}

// longBook runs the program on a pipe with n times the same command.
func longBook(ctx context.Context, folder, program, command string, n int) (grown, error) {
	c := exec.CommandContext(ctx, program, "--json", "--quiet")
	c.Dir = folder
	c.Stdin = strings.NewReader("open gates.csv\n" + strings.Repeat(command+"\n", n))
	said, err := c.StdoutPipe()
	if err != nil {
		return grown{}, err
	}
	if err := c.Start(); err != nil {
		return grown{}, err
	}
	came := make([]time.Time, 0, n+1)
	lines := bufio.NewReader(said)
	for {
		line, err := lines.ReadString('\n')
		if err != nil {
			break
		}
		if strings.Contains(line, `"ok":true`) {
			came = append(came, time.Now())
		}
	}
	if err := c.Wait(); err != nil {
		return grown{}, err
	}
	if len(came) != n+1 {
		return grown{}, fmt.Errorf("%d of %d entries worked", len(came), n+1)
	}
	tenth := max(n/10, 1)
	each := func(from, to int) float64 {
		return float64(came[to].Sub(came[from])) / float64(time.Millisecond) / float64(to-from)
	}
	return grown{peakMemory(c.ProcessState), each(0, tenth), each(n-tenth, n)}, nil
}
