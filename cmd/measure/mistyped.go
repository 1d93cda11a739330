package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"breakbook/repl"
	shipped "breakbook/testdata/demo"
)

// slipped is a line as somebody mistypes it, and the one wanted; "-": none is to be offered.
type slipped struct{ group, typed, wanted string }

// slips is the list of mistyped lines, with the lines that are typed before them.
type slips struct {
	before []string
	lines  []slipped
}

// readSlips reads the list: headings and what is typed before begin with #.
func readSlips(text string) slips {
	var out slips
	group := ""
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		typed, wanted, isSlip := "", "", false
		if at := strings.LastIndex(line, " => "); at >= 0 {
			typed, wanted, isSlip = line[:at], line[at+len(" => "):], true
		}
		switch {
		case strings.HasPrefix(line, "#   "):
			out.before = append(out.before, line[len("#   "):])
		case strings.HasPrefix(line, "# "):
			group, _, _ = strings.Cut(line[len("# "):], ",")
		case isSlip:
			out.lines = append(out.lines, slipped{group, typed, wanted})
		}
	}
	return out
}

// offerings counts what was offered for the lines of a group.
type offerings struct {
	group                         string
	lines, wanted, none, own, far int // far: a line of another command
}

// measureMistyped types every line of the list on the demo's gates and counts where what is offered is the
// line wanted. What is offered and does not work is an error.
func measureMistyped(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("mistyped", pflag.ContinueOnError)
	list := flags.String("list", filepath.Join("testdata", "mistyped.txt"), "the list of lines")
	tell := flags.Bool("tell", false, "tell the lines that are not answered with the one wanted")
	if err := flags.Parse(args); err != nil {
		return err
	}
	text, err := os.ReadFile(*list)
	if err != nil {
		return err
	}
	said := io.Discard
	if *tell {
		said = out
	}
	groups, err := tryMistyped(ctx, readSlips(string(text)), said)
	if err != nil {
		return err
	}
	_, err = io.WriteString(out, mistypedTable(groups))
	return err
}

// tryMistyped types the lines in a folder that is gone afterwards.
func tryMistyped(ctx context.Context, list slips, said io.Writer) (groups []offerings, err error) {
	folder, leave, err := inDemo()
	if err != nil {
		return nil, err
	}
	defer leave()
	var shown, problems bytes.Buffer
	live := repl.NewLive(folder, &shown, &problems)
	for _, line := range append([]string{"open gates.csv"}, list.before...) {
		if !live.Line(ctx, line) {
			return nil, fmt.Errorf("%s: %s", line, problems.String())
		}
	}
	for _, l := range list.lines {
		if len(groups) == 0 || groups[len(groups)-1].group != l.group {
			groups = append(groups, offerings{group: l.group})
		}
		if err := groups[len(groups)-1].count(ctx, live, l, said); err != nil {
			return nil, fmt.Errorf("%s: %w: %s", l.typed, err, problems.String())
		}
		shown.Reset()
		problems.Reset()
	}
	return groups, nil
}

// inDemo goes into a copy of the demo's folder; leave goes back and removes it.
func inDemo() (folder string, leave func(), err error) {
	home, err := os.Getwd()
	if err != nil {
		return "", nil, err
	}
	if folder, err = os.MkdirTemp("", "measure"); err != nil {
		return "", nil, err
	}
	leave = func() { _ = errors.Join(os.Chdir(home), os.RemoveAll(folder)) }
	if err = errors.Join(os.CopyFS(folder, shipped.Files), os.Chdir(folder)); err != nil {
		leave()
	}
	return folder, leave, err
}

// count types one line and books what is offered for it.
func (o *offerings) count(ctx context.Context, live *repl.Live, l slipped, said io.Writer) error {
	offered, worked := live.Slip(ctx, l.typed)
	if worked {
		return fmt.Errorf("it works as it is")
	}
	want, kind, _, right := live.Reads(l.wanted)
	if l.wanted == "-" {
		want, right = "", true
	}
	if !right {
		return fmt.Errorf("%s, which is wanted, is no command", l.wanted)
	}
	is, of, files, reads := "", "", []string(nil), true
	if offered != "" {
		is, of, files, reads = live.Reads(offered)
	}
	if !reads || offered != "" && !runs(ctx, live, offered, files) {
		return fmt.Errorf("%s is offered and does not work", offered)
	}
	o.lines++
	switch {
	case is == want:
		o.wanted++
		return nil
	case offered == "":
		o.none++
	case of == kind:
		o.own++
	default:
		o.far++
	}
	_, err := fmt.Fprintf(said, "%s\n  wanted  %s\n  offered %s\n", l.typed, l.wanted, offered)
	return err
}

// runs reports whether a line that is offered works, or reads a file that is not the demo's.
func runs(ctx context.Context, live *repl.Live, line string, files []string) bool {
	for _, f := range files {
		if _, err := fs.Stat(shipped.Files, f); err != nil {
			return true
		}
	}
	if strings.HasPrefix(line, "bring back ") { // what is set aside
		line = "set aside " + strings.TrimPrefix(line, "bring back ") + ` because "knot"; ` + line
	}
	_, worked := live.Slip(ctx, line)
	return worked
}

// mistypedTable has a row a group and one for all.
func mistypedTable(groups []offerings) string {
	var b strings.Builder
	b.WriteString("What is offered for mistyped lines (testdata/mistyped.txt), by `go run ./cmd/measure mistyped`.\n\n")
	fmt.Fprintf(&b, "%-44s  %5s  %6s  %4s  %4s  %5s\n", "", "lines", "wanted", "none", "same", "other")
	all := offerings{group: "all"}
	for _, o := range groups {
		all.lines += o.lines
		all.wanted += o.wanted
		all.none += o.none
		all.own += o.own
		all.far += o.far
	}
	for _, o := range append(groups, all) {
		fmt.Fprintf(&b, "%-44s  %5d  %6d  %4d  %4d  %5d\n", o.group, o.lines, o.wanted, o.none, o.own, o.far)
	}
	fmt.Fprintf(&b, "\nwanted: the line wanted, %.1f %% of all. same: another line of the same command; other: of "+
		"another.\n", 100*float64(all.wanted)/float64(all.lines))
	return b.String()
}
