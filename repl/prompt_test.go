//go:build linux

package repl

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"

	"breakbook/repl/console"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// TestMain is the program itself, with commands that misbehave, when a test below
// starts it on a terminal of its own.
func TestMain(m *testing.M) {
	if os.Getenv("BREAKBOOK_AT_THE_PROMPT") != "" {
		os.Exit(start(os.Args[1:],
			func(ctx context.Context, s *session.Session, c *phrase.Command) (*session.Session, page.Entry, error) {
				if c.Input == "seed 41" || c.Input == "note obedient" {
					fmt.Fprintln(os.Stderr, "at work")
				}
				return slowCommands(ctx, s, c)
			}))
	}
	os.Exit(m.Run())
}

// terminal is the program at work on a terminal, with the person's end of it.
type terminal struct {
	t       testing.TB
	keys    *os.File
	process *exec.Cmd
	exit    chan error
	over    chan struct{} // closed when all that it showed was read

	mu   sync.Mutex
	seen bytes.Buffer
	from int // what came before was expected already
}

var escapes = regexp.MustCompile(`\x1b\[[0-9;?]*[A-Za-z]`)

// atTerminal starts the program in folder on a terminal of a size.
func atTerminal(t testing.TB, folder string, rows, columns uint16, environment ...string) *terminal {
	t.Helper()
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	x := &terminal{t: t, process: exec.Command(program), exit: make(chan error, 1), over: make(chan struct{})}
	x.process.Dir = folder
	x.process.Env = append([]string{"BREAKBOOK_AT_THE_PROMPT=1", "TERM=xterm", "PATH=" + os.Getenv("PATH"),
		"HOME=" + folder, "XDG_CONFIG_HOME=" + filepath.Join(folder, "config")}, environment...)
	keys, err := pty.StartWithSize(x.process, &pty.Winsize{Rows: rows, Cols: columns})
	if err == nil {
		x.keys, err = closable(keys)
	}
	if err != nil {
		t.Fatal(err)
	}
	go func() {
		defer close(x.over)
		buf := make([]byte, 4096)
		for {
			n, err := x.keys.Read(buf)
			x.mu.Lock()
			x.seen.Write(buf[:n])
			x.mu.Unlock()
			if err != nil {
				return
			}
		}
	}()
	go func() { x.exit <- x.process.Wait() }()
	t.Cleanup(func() { x.process.Process.Kill(); x.keys.Close() })
	return x
}

// closable is a terminal that can be closed while somebody waits to read from it.
func closable(f *os.File) (*os.File, error) {
	defer f.Close()
	fd, err := unix.Dup(int(f.Fd()))
	if err != nil {
		return nil, err
	}
	unix.CloseOnExec(fd)
	if err := unix.SetNonblock(fd, true); err != nil { // before it is a file, which then waits by polling
		return nil, err
	}
	return os.NewFile(uintptr(fd), f.Name()), nil
}

// press types keys.
func (x *terminal) press(keys string) {
	x.t.Helper()
	if _, err := x.keys.WriteString(keys); err != nil {
		x.t.Fatal(err)
	}
}

// hangs is how long nothing may come of a program before it counts as hung.
const hangs = time.Minute

// shows waits until text has come, after what was expected before, and gives all
// that came up to its end.
func (x *terminal) shows(text string) string {
	x.t.Helper()
	for end := time.Now().Add(hangs); time.Now().Before(end); time.Sleep(2 * time.Millisecond) {
		all := x.all()
		if at := strings.Index(all[x.from:], text); at >= 0 {
			came := all[x.from : x.from+at+len(text)]
			x.from += at + len(text)
			return came
		}
	}
	x.t.Fatalf("never showed %q; showed:\n%s", text, x.all()[x.from:])
	return ""
}

// all is everything shown so far, without the terminal's escapes.
func (x *terminal) all() string {
	x.mu.Lock()
	defer x.mu.Unlock()
	return strings.ReplaceAll(escapes.ReplaceAllString(x.seen.String(), ""), "\r", "")
}

// leaves waits for the program's end and checks the exit status.
func (x *terminal) leaves(status int) {
	x.t.Helper()
	select {
	case err := <-x.exit:
		got := 0
		var failed *exec.ExitError
		if errors.As(err, &failed) {
			got = failed.ExitCode()
		}
		if got != status {
			x.t.Errorf("exit status %d (%v), want %d", got, err, status)
		}
	case <-time.After(hangs):
		x.t.Fatal("does not leave")
	}
}

const fewGates = "Break load (N),pins,Größe (mm)\n" +
	"410,none,34\n395,none,44\n402,none,34\n520,pair,34\n498,pair,44\n533,pair,34\n"

func gatesFolder(t testing.TB) string {
	t.Helper()
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "gates.csv"), []byte(fewGates), 0o600); err != nil {
		t.Fatal(err)
	}
	return folder
}

func TestPrompt(t *testing.T) {
	folder := gatesFolder(t)
	x := atTerminal(t, folder, 24, 80)
	if greeting := x.shows("breakbook 1 | "); !strings.HasPrefix(greeting, console.Greeting) {
		t.Errorf("the first run says %q", greeting)
	}

	x.press("open ga\t")
	x.shows("open gates.csv")
	x.press("\r")
	x.shows("gates 2 | ")

	x.press("average break\tby pi\t\r")
	x.shows("average break_load by pins")
	x.shows("none")
	x.shows("gates 3 | ")

	x.press("average brake_load by pins\r")
	x.shows("Entry 3: ")
	x.shows("\n  average brake_load by pins\n          ^\n")
	x.shows("Try: average break_load by pins")
	x.shows("gates 4 | ")

	x.press("levels of pins are pair,\r")
	x.shows("… | ")
	x.press("none\r")
	x.shows("gates 5 | ")

	x.press("levels of pins are none,\r")
	x.shows("… | ")
	x.press("\r")
	x.shows("gates 5 | ")

	x.press("this is dropped\x03")
	x.shows("gates 5 | ")

	x.press("note one\rnote two\r") // pasted
	x.shows("gates 7 | ")

	x.press("note crash\r")
	x.shows("did not foresee")
	x.shows("gates 8 | ")

	x.press("quit\r")
	x.leaves(0)
}

// A line that is no command is answered with the line that was meant: Tab on the empty line brings
// it, the arrow up brings what was typed.
func TestTabBringsTheLineOffered(t *testing.T) {
	x := atTerminal(t, gatesFolder(t), 60, 80)
	x.shows("breakbook 1 | ")
	x.press("open gates.csv\r")
	x.shows("gates 2 | ")

	x.press("averge brake_load on pins\r")
	x.shows("Try: average break_load by pins")
	x.shows("gates 3 | ")
	x.press("\x1b[A")
	x.shows("averge brake_load on pins")
	x.press("\x15\t") // nothing is left of it, and Tab
	x.shows("gates 3 | average break_load by pins")
	x.press("\r")
	x.shows("pair")
	x.shows("gates 4 | ")

	x.press("\tlook\r") // what worked offers nothing: Tab lists what there is to type
	x.shows("gates 5 | ")
	x.press("quit\r")
	x.leaves(0)
}

// A word that is whole is followed by a blank, and a line that goes on with another is completed as
// one.
func TestCompletionGoesOn(t *testing.T) {
	x := atTerminal(t, gatesFolder(t), 24, 80)
	x.shows("breakbook 1 | ")
	x.press("op\tga\t\r")
	x.shows("open gates.csv")
	x.shows("gates 2 | ")
	x.press("levels of pins are pair,\r")
	x.shows("… | ")
	x.press("no\t\r")
	x.shows("none")
	x.shows("gates 3 | ")
	x.press("avera\tbre\tby pi\t\r")
	x.shows("average break_load by pins")
	x.shows("gates 4 | ")
	x.press("quit\r")
	x.leaves(0)
}

func TestPromptCompletesInTheMiddleOfALine(t *testing.T) {
	x := atTerminal(t, gatesFolder(t), 24, 80)
	x.shows("breakbook 1 | ")
	x.press("open gates.csv\r")
	x.shows("gates 2 | ")
	// The cursor goes back over three letters; what stands behind it stays as it is.
	x.press("look größe, pi, break_load\x1b[D" + strings.Repeat("\x1b[D", len(", break_load")-1) + "\t")
	x.shows("look größe, pins, break_load")
	x.press("\r")
	x.shows("gates 3 | ")
	x.press("\x04")
	x.leaves(0)
}

// stopped presses Ctrl-C while a command is at work and tells how long the prompt
// for the next entry took to come.
func (x *terminal) stopped(command string, next int) time.Duration {
	x.t.Helper()
	x.press(command + "\r")
	x.shows("at work")
	pressed := time.Now()
	x.press("\x03")
	x.shows(fmt.Sprintf("gates %d | ", next))
	return time.Since(pressed)
}

func TestCtrlCStopsACommandAndKeepsTheSession(t *testing.T) {
	// What does not look whether it is to stop is waited for, but a note need not wait.
	for command, after := range map[string]string{"seed 41": "note still here",
		"note obedient": "average break_load by pins"} {
		x := atTerminal(t, gatesFolder(t), 24, 80)
		x.shows("breakbook 1 | ")
		x.press("open gates.csv\r")
		x.shows("gates 2 | ")
		x.stopped(command, 3)
		x.press(after + "\r") // the series is still open
		x.shows("gates 4 | ")
		x.press("quit\r")
		x.leaves(0)
	}
}

// The longest the prompt took to come back after Ctrl-C, which is to be under 100 ms.
func BenchmarkCtrlC(b *testing.B) {
	for _, command := range []string{"note obedient"} { // the other is waited for
		b.Run(command, func(b *testing.B) {
			x := atTerminal(b, gatesFolder(b), 24, 80)
			x.shows("breakbook 1 | ")
			x.press("open gates.csv\r")
			x.shows("gates 2 | ")
			var longest time.Duration
			for entry := 3; b.Loop(); entry++ {
				longest = max(longest, x.stopped(command, entry))
			}
			b.ReportMetric(float64(longest.Milliseconds()), "ms-longest")
		})
	}
}

func TestHistoryComesBackInTheNextRun(t *testing.T) {
	folder := gatesFolder(t)
	first := atTerminal(t, folder, 24, 80)
	first.shows("breakbook 1 | ")
	first.press("note remember me\r")
	first.shows("breakbook 2 | ")
	first.press("\x04")
	first.leaves(0)

	second := atTerminal(t, folder, 24, 80)
	if before := second.shows("breakbook 1 | "); strings.Contains(before, console.Greeting) {
		t.Errorf("the second run greets again: %q", before)
	}
	second.press("\x1b[A")
	second.shows("note remember me")
	second.press("\r")
	second.shows("breakbook 2 | ")
	second.press("quit\r")
	second.leaves(0)
}

func TestTerminalThatCannotEditIsReadPlainly(t *testing.T) {
	for name, x := range map[string]*terminal{
		"no size": atTerminal(t, gatesFolder(t), 0, 0),
		"dumb":    atTerminal(t, gatesFolder(t), 24, 80, "TERM=dumb"),
	} {
		t.Run(name, func(t *testing.T) {
			x.t = t
			x.shows("breakbook 1 | ")
			x.press("note half a li\x03")
			x.shows("breakbook 1 | ")
			x.press("note whole\n")
			x.shows("breakbook 2 | ")
			x.press("seed 41\n")
			x.shows("at work")
			x.press("\x03")
			x.shows("stopped")
			x.shows("breakbook 3 | ")
			x.press("\x04")
			x.leaves(0)
		})
	}
}

func TestTerminalIsGivenBackHoweverItEnds(t *testing.T) {
	for _, c := range []struct {
		name   string
		end    func(*terminal)
		status int
	}{
		{"quit", func(x *terminal) { x.press("quit\r") }, 0},
		{"told to end", func(x *terminal) { x.process.Process.Signal(syscall.SIGTERM) }, 128 + int(syscall.SIGTERM)},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := gatesFolder(t)
			x := atTerminal(t, folder, 24, 80)
			x.shows("breakbook 1 | ")
			if echoes(t, x.keys) {
				t.Error("the line editor has not taken the terminal")
			}
			x.press("note kept\r")
			x.shows("breakbook 2 | ")
			c.end(x)
			x.leaves(c.status)
			if !echoes(t, x.keys) {
				t.Error("what is typed afterwards would not be seen")
			}
			kept, err := os.ReadFile(filepath.Join(folder, "config", "breakbook", "history"))
			if err != nil || !strings.HasPrefix(string(kept), "note kept\n") {
				t.Errorf("history %q, %v", kept, err)
			}
		})
	}
}

func TestInterruptEndsARunWithoutAPrompt(t *testing.T) {
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name  string
		args  []string
		in    string
		works bool // a command is at work, and says so
	}{
		{"in the middle of a command", []string{"type", "note before; seed 41; note after"}, "", true},
		{"in the middle of a pipe's", nil, "note before\nseed 41\n", true},
		{"while waiting for a pipe", nil, "note before\n", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			run := exec.Command(program, append([]string{"--json"}, c.args...)...)
			run.Env = append(os.Environ(), "BREAKBOOK_AT_THE_PROMPT=1")
			pipe, err := run.StdinPipe()
			if err != nil {
				t.Fatal(err)
			}
			out, err := run.StdoutPipe()
			if err != nil {
				t.Fatal(err)
			}
			said, err := run.StderrPipe()
			if err != nil {
				t.Fatal(err)
			}
			if err := run.Start(); err != nil {
				t.Fatal(err)
			}
			pipe.Write([]byte(c.in))
			first := make([]byte, 4096)
			if n, err := out.Read(first); err != nil || !strings.Contains(string(first[:n]), "note before") {
				t.Fatalf("%q, %v", first[:n], err)
			}
			if c.works {
				if _, err := io.ReadFull(said, make([]byte, len("at work"))); err != nil {
					t.Fatal(err)
				}
			}
			run.Process.Signal(os.Interrupt)
			rest, _ := io.ReadAll(out)
			io.Copy(io.Discard, said)
			run.Wait()
			if got := run.ProcessState.ExitCode(); got != 130 {
				t.Errorf("exit status %d, want 130", got)
			}
			if strings.Contains(string(rest), "note after") {
				t.Errorf("went on: %s", rest)
			}
		})
	}
}

// echoes tells whether the terminal shows what is typed.
func echoes(t *testing.T, f *os.File) bool {
	t.Helper()
	mode, err := unix.IoctlGetTermios(int(f.Fd()), unix.TCGETS)
	if err != nil {
		t.Fatal(fmt.Errorf("terminal mode: %w", err))
	}
	return mode.Lflag&unix.ECHO != 0
}
