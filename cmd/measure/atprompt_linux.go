package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"github.com/creack/pty"
	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/prometheus/procfs"
	"github.com/spf13/pflag"
)

// typedCommands are stopped at a prompt by Ctrl-C.
var typedCommands = []string{
	"open gates.csv as more", "average load by pins", "compare load by pins ranked",
	"draw load against density to cloud.png",
	"fit load on density, pins resistant", "count failure by board", "odds failure on density, pins",
}

// typing is a program at a prompt in a terminal, and what it has shown.
type typing struct {
	program *exec.Cmd
	keys    *os.File
	mu      sync.Mutex
	shown   strings.Builder
}

// measurePrompt types long commands to the program itself, presses Ctrl-C and looks half a second
// later at what its process does and holds.
func measurePrompt(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("prompt", pflag.ContinueOnError)
	rows := flags.Int("rows", 1_000_000, "how many rows the series has")
	in := flags.String("in", "", "a folder to keep the series in, read again by later calls")
	memory := flags.String("memory", "", "the program's --memory")
	after := flags.Duration("after", 1500*time.Millisecond, "how long after a command Ctrl-C is pressed")
	if err := flags.Parse(args); err != nil {
		return err
	}
	path, err := boardsIn(*in, *rows)
	if err != nil {
		return err
	}
	folder := filepath.Dir(path)
	if *in == "" {
		defer os.RemoveAll(folder)
	}
	t, err := startTyping(ctx, folder, *memory)
	if err != nil {
		return err
	}
	defer t.end()
	if err := t.line("open gates.csv", "specimens in 5 columns", 10*time.Minute); err != nil {
		return err
	}
	time.Sleep(time.Second)
	_, held := t.doing()
	fmt.Fprintf(out, "%d rows at a prompt; %s held once they are open\n", *rows, megabytes(held))
	w := plainTable("", "prompt back after s", "share of a core from 0.5 s on", "held after 0.5 s", "held after 2 s")
	for _, command := range typedCommands {
		row, err := t.stopped(command, *after)
		if err != nil {
			return err
		}
		fmt.Fprintln(os.Stderr, row...)
		w.AppendRow(row)
	}
	fmt.Fprintln(out, w.Render())
	return ctx.Err()
}

// startTyping builds the program and starts it in a terminal, at home in the folder.
func startTyping(ctx context.Context, folder, memory string) (*typing, error) {
	path := filepath.Join(folder, "breakbook")
	build := exec.CommandContext(ctx, "go", "build", "-o", path, "breakbook/cmd/breakbook")
	build.Stderr = os.Stderr
	if err := build.Run(); err != nil {
		return nil, err
	}
	t := &typing{program: exec.CommandContext(ctx, path)}
	if memory != "" {
		t.program.Args = append(t.program.Args, "--memory", memory)
	}
	t.program.Dir = folder
	t.program.Env = append(os.Environ(), "HOME="+folder, "XDG_STATE_HOME="+folder, "TERM=xterm")
	var err error
	if t.keys, err = pty.StartWithSize(t.program, &pty.Winsize{Rows: 40, Cols: 120}); err != nil {
		return nil, err
	}
	go func() {
		part := make([]byte, 1<<16)
		for {
			n, err := t.keys.Read(part)
			t.mu.Lock()
			t.shown.Write(part[:n])
			t.mu.Unlock()
			if err != nil {
				return
			}
		}
	}()
	return t, t.wait(0, "1 | ", time.Minute)
}

func (t *typing) end() {
	_ = t.program.Process.Kill()
	_ = t.program.Wait()
	_ = t.keys.Close()
}

// length is how much was shown so far.
func (t *typing) length() int {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.shown.Len()
}

// wait waits until text is shown, from a place on.
func (t *typing) wait(from int, text string, most time.Duration) error {
	for end := time.Now().Add(most); time.Now().Before(end); time.Sleep(time.Millisecond) {
		t.mu.Lock()
		shown := t.shown.String()[from:]
		t.mu.Unlock()
		if strings.Contains(shown, text) {
			return nil
		}
	}
	return fmt.Errorf("%q never came; what came was %q", text, t.shown.String()[from:])
}

// line types a command and waits for text.
func (t *typing) line(command, text string, most time.Duration) error {
	from := t.length()
	if _, err := t.keys.WriteString(command + "\r"); err != nil {
		return err
	}
	return t.wait(from, text, most)
}

// stopped is a command's row: typed, stopped, and looked at.
func (t *typing) stopped(command string, after time.Duration) (table.Row, error) {
	from := t.length()
	if _, err := t.keys.WriteString(command + "\r"); err != nil {
		return nil, err
	}
	time.Sleep(after)
	pressed := time.Now()
	if _, err := t.keys.WriteString("\x03"); err != nil {
		return nil, err
	}
	if err := t.wait(from, "stopped", 5*time.Second); err != nil {
		return table.Row{command, "over before it was stopped", "", "", ""}, nil
	}
	back := time.Since(pressed)
	time.Sleep(time.Until(pressed.Add(500 * time.Millisecond)))
	busy, held := t.doing()
	time.Sleep(1500 * time.Millisecond)
	later, then := t.doing()
	return table.Row{command, fmt.Sprintf("%.3f", back.Seconds()), fmt.Sprintf("%.2f", (later-busy)/1.5),
		megabytes(held), megabytes(then)}, nil
}

// doing is how many seconds the program's process has had a core so far, and the memory that it holds.
func (t *typing) doing() (busy float64, held int64) {
	process, err := procfs.NewProc(t.program.Process.Pid)
	if err != nil {
		return 0, 0
	}
	stat, err := process.Stat()
	if err != nil {
		return 0, 0
	}
	return stat.CPUTime(), int64(stat.ResidentMemory())
}
