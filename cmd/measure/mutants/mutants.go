// Package mutants asks whether the tests would notice a slip. In come the places to change and a
// seed; the source is changed one place at a time, the tests that might notice are run on the
// change, and out comes a page with the changes that none of them noticed.
package mutants

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/spf13/pflag"

	"breakbook/models/parallel"
)

// sourcePackage is what `go list` says of one package.
type sourcePackage struct {
	ImportPath                         string
	Dir                                string
	Imports, TestImports, XTestImports []string
	Deps                               []string
	TestGoFiles, XTestGoFiles          []string
}

// Measure changes one place of the source at a time and counts what the tests
// notice. Half of the places are drawn by the seed over every package under models, half
// over every package under repl that imports one of those; of each half every package has
// its share in proportion to its places, and at least one.
//
// The flags: --places, how many are changed; --seed, where the draw begins; --only, places in
// files whose path holds this, drawn as without it (with a large --places a package is gone
// through); --skip, how many of the places to leave out at first; --jobs, how many changes
// are tried side by side; --timeout, how long the tests of one package may take, after which
// the change counts as noticed; --list, to list the places only; --verbose, to show each
// place as it is tried, with the package and the test that noticed it.
func Measure(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("mutants", pflag.ContinueOnError)
	places := flags.Int("places", 60, "how many places are changed")
	seed := flags.Uint64("seed", 1, "the start of every random draw")
	only := flags.String("only", "", "only places in files whose path holds this")
	skip := flags.Int("skip", 0, "leave out so many of the places at first")
	jobs := flags.Int("jobs", 2, "how many changes are tried side by side")
	timeout := flags.Duration("timeout", 10*time.Minute, "how long the tests of one package may take")
	list := flags.Bool("list", false, "only list the places")
	verbose := flags.Bool("verbose", false, "show every place as it is tried")
	if err := flags.Parse(args); err != nil {
		return err
	}
	root, packages, err := sourceTree(ctx)
	if err != nil {
		return err
	}
	drawn, err := drawMutants(root, packages, *only, *places, *seed)
	if err != nil {
		return err
	}
	drawn = drawn[min(*skip, len(drawn)):]
	if *list {
		for _, queue := range drawn {
			fmt.Fprintln(out, queue[0])
		}
		return nil
	}
	tried := make([]trial, len(drawn))
	var saying sync.Mutex
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(*jobs)) // a change is tried by other processes: a core waits for each
	err = parallel.Workers(ctx, len(drawn), 1, func() func(context.Context, int, int) error {
		return func(ctx context.Context, i, _ int) error {
			began := time.Now()
			b := mutantBench{root: root, packages: packages, timeout: *timeout}
			var err error
			if b.folder, err = os.MkdirTemp("", "breakbook-mutants"); err != nil {
				return err
			}
			defer os.RemoveAll(b.folder)
			if tried[i], err = b.first(ctx, drawn[i]); err != nil || tried[i].mutant == nil || !*verbose {
				return err
			}
			saying.Lock()
			defer saying.Unlock()
			fmt.Fprintf(out, "%3d %4.0f s  %-40s %s\n", i+1, time.Since(began).Seconds(),
				cmp.Or(tried[i].by, "NOT NOTICED"), tried[i].mutant)
			return nil
		}
	})
	if err != nil {
		return err
	}
	tried = slices.DeleteFunc(tried, func(t trial) bool { return t.mutant == nil })
	survivors := slices.DeleteFunc(slices.Clone(tried), func(t trial) bool { return t.by != "" })
	fmt.Fprintf(out, "%d places changed one at a time, seed %d: the tests notice %d.\n",
		len(tried), *seed, len(tried)-len(survivors))
	for _, s := range survivors {
		fmt.Fprintln(out, " not noticed: "+s.mutant.String())
	}
	return nil
}

// sourceTree is the root of the module and its packages.
func sourceTree(ctx context.Context) (string, []sourcePackage, error) {
	gomod, err := exec.CommandContext(ctx, "go", "env", "GOMOD").Output()
	if err != nil {
		return "", nil, fmt.Errorf("go env: %w", err)
	}
	root := filepath.Dir(strings.TrimSpace(string(gomod)))
	c := exec.CommandContext(ctx, "go", "list",
		"-json=ImportPath,Dir,Imports,TestImports,XTestImports,Deps,TestGoFiles,XTestGoFiles", "./...")
	c.Dir = root
	text, err := c.Output()
	if err != nil {
		return "", nil, fmt.Errorf("go list: %w", err)
	}
	var all []sourcePackage
	for d := json.NewDecoder(bytes.NewReader(text)); ; {
		var p sourcePackage
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return root, all, nil
		} else if err != nil {
			return "", nil, err
		}
		all = append(all, p)
	}
}

const (
	modelPackages = "breakbook/models/"
	replPackages  = "breakbook/repl/"
)

// speaks reports whether places of a package are changed: it works a figure out, or makes
// sentences and tables of such figures.
func (p sourcePackage) speaks() bool {
	return strings.HasPrefix(p.ImportPath, modelPackages) || strings.HasPrefix(p.ImportPath, replPackages) &&
		slices.ContainsFunc(p.Imports, func(i string) bool { return strings.HasPrefix(i, modelPackages) })
}

// drawMutants draws the places. Each comes with others of the same package to take its
// place, should the change not compile or make the same machine code. What is drawn of a package
// are its first places in an order that the seed gives each by itself, so that a change elsewhere in
// the source leaves the draw as it was.
func drawMutants(root string, packages []sourcePackage, only string, places int, seed uint64) ([][]mutant, error) {
	var out [][]mutant
	for _, half := range []string{replPackages, modelPackages} {
		var sites [][]mutant
		var counts []int
		for _, p := range packages {
			if !p.speaks() || !strings.HasPrefix(p.ImportPath, half) {
				continue
			}
			folder, err := filepath.Rel(root, p.Dir)
			if err != nil {
				return nil, err
			}
			found, err := mutantsOf(root, folder)
			if err != nil {
				return nil, err
			}
			sites, counts = append(sites, found), append(counts, len(found))
		}
		for i, n := range portions(counts, (places+1)/2) {
			slices.SortStableFunc(sites[i], func(a, b mutant) int {
				return bytes.Compare(a.drawn(seed), b.drawn(seed))
			})
			for j := range n {
				var queue []mutant
				for k := j; k < len(sites[i]); k += n {
					queue = append(queue, sites[i][k])
				}
				if strings.Contains(queue[0].file, only) {
					out = append(out, queue)
				}
			}
		}
	}
	return out, nil
}

// portions shares places out over packages with so many sites each: one each as far as they
// go, and the rest where most sites stand behind a place, none with more places than sites.
func portions(sites []int, places int) []int {
	out := make([]int, len(sites))
	for range places {
		best := -1
		for i, s := range sites {
			if out[i] < s && (best < 0 || out[i] == 0 && out[best] > 0 ||
				(out[i] == 0) == (out[best] == 0) && s*(out[best]+1) > sites[best]*(out[i]+1)) {
				best = i
			}
		}
		if best < 0 {
			break
		}
		out[best]++
	}
	return out
}

// trial is a change that was made, and the package and test that noticed it ("": none did).
type trial struct {
	mutant *mutant
	by     string
}

// mutantBench tries mutants, in a folder of its own.
type mutantBench struct {
	root, folder string
	packages     []sourcePackage
	timeout      time.Duration
}

// first tries the first mutant of a queue that compiles to something else; without a mutant
// where none does.
func (b mutantBench) first(ctx context.Context, queue []mutant) (trial, error) {
	for i := range queue {
		by, err := b.try(ctx, queue[i])
		if errors.Is(err, errNotGo) || errors.Is(err, errSame) {
			continue
		}
		return trial{&queue[i], by}, err
	}
	return trial{}, nil
}

var (
	errNotGo = errors.New("does not compile")
	errSame  = errors.New("makes the same machine code") // so that no test could notice (Papadakis et al. 2015, ICSE)
)

// blind matches the tests that are left out when another package was changed than their own.
// A test is left out only if it takes seconds and asks nothing of a figure or a sentence: it
// kills or stops the program, drives a terminal or a browser, or measures time or memory, so
// that no change of what is worked out could fail it but one that every session shows.
const blind = `^Test(KilledAtRandomMoments|NoCommandsLosePeoplesFiles|ErrorsReachTheScreenWithoutOrders|` +
	`NothingOfABookReachesTheScreenAsAnOrder|ClosedWindows|TwoAtOnceKeepOneHistory|TerminalIsGivenBackHoweverItEnds|` +
	`CtrlCStopsACommandAndKeepsTheSession|InterruptEndsARunWithoutAPrompt|AnErrorOnALongLineCostsWhatTheLineDoes|` +
	`LongCommandsStop|ReportInABrowser|SpecimensAreKeptFromThePage|PrintedPagesEndBetweenEntries)$`

// try changes one place in an overlay over the source and runs the tests that could notice.
// The overlay is in the environment, since tests build the program themselves.
func (b mutantBench) try(ctx context.Context, m mutant) (string, error) {
	path := filepath.Join(b.root, filepath.FromSlash(m.file))
	source, err := os.ReadFile(path)
	if err != nil {
		return "", err
	}
	changed := filepath.Join(b.folder, "changed.go")
	overlay := filepath.Join(b.folder, "overlay.json")
	overlaid, err := json.Marshal(map[string]map[string]string{"Replace": {path: changed}})
	if err != nil {
		return "", err
	}
	if err := errors.Join(os.WriteFile(changed, m.apply(source), 0o600),
		os.WriteFile(overlay, overlaid, 0o600)); err != nil {
		return "", err
	}
	own := filepath.ToSlash(filepath.Dir(m.file))
	unchanged, err := b.run(ctx, "", "build", "-gcflags=-S", "./"+own) // compiled once: go keeps it
	if err != nil {
		return "", fmt.Errorf("%s: %s", own, unchanged)
	}
	code, err := b.run(ctx, overlay, "build", "-gcflags=-S", "./"+own)
	if err != nil {
		return "", errors.Join(errNotGo, ctx.Err())
	}
	if code == unchanged {
		return "", errSame
	}
	for i, p := range b.noticing("breakbook/" + own) {
		skip := blind
		if i == 0 && p == "breakbook/"+own {
			skip = ""
		}
		cores := max(1, runtime.NumCPU()/runtime.GOMAXPROCS(0))
		said, err := b.run(ctx, overlay, "test", "-vet=off", "-count=1", "-failfast", "-timeout", b.timeout.String(),
			"-skip", skip, "-p", strconv.Itoa(cores), p)
		if ctx.Err() != nil {
			return "", ctx.Err()
		}
		if err == nil {
			continue
		}
		if strings.Contains(said, "[build failed]") || strings.Contains(said, "[setup failed]") {
			return "", fmt.Errorf("%s: %s", m, said)
		}
		return strings.TrimPrefix(p, "breakbook/") + " " + noticer.FindString(said), nil
	}
	return "", nil
}

// noticer finds the test that failed, panicked or took too long in what `go test` says.
var noticer = regexp.MustCompile(`Test[A-Z]\w*`)

// run calls go with an overlay over the source ("": none).
func (b mutantBench) run(ctx context.Context, overlay string, args ...string) (string, error) {
	c := exec.CommandContext(ctx, "go", args...)
	c.Dir = b.root
	if overlay != "" {
		c.Env = append(os.Environ(), "GOFLAGS="+os.Getenv("GOFLAGS")+" -overlay="+overlay)
	}
	c.WaitDelay = 10 * time.Second
	said, err := c.CombinedOutput()
	return string(said), err
}

// noticing lists the packages whose tests could notice a change of one, the likeliest first.
// This command's own are left out: they measure.
func (b mutantBench) noticing(changed string) []string {
	rank := func(path string) int {
		switch {
		case path == changed:
			return 0
		case path == "breakbook/cmd/breakbook":
			return 1 // golden sessions, and fits beside those of other libraries
		case path == "breakbook/repl/bench":
			return 2 // every command, in sessions of one process
		case strings.HasPrefix(path, modelPackages):
			return 3
		case strings.HasPrefix(path, replPackages):
			return 4
		}
		return 5
	}
	deps := map[string][]string{}
	for _, p := range b.packages {
		deps[p.ImportPath] = p.Deps
	}
	var out []string
	for _, p := range b.packages {
		needs := slices.Concat(p.Deps, p.TestImports, p.XTestImports)
		for _, i := range slices.Concat(p.TestImports, p.XTestImports) {
			needs = append(needs, deps[i]...)
		}
		if len(p.TestGoFiles)+len(p.XTestGoFiles) > 0 && (p.ImportPath == changed || slices.Contains(needs, changed)) &&
			!strings.HasPrefix(p.ImportPath, "breakbook/cmd/measure") {
			out = append(out, p.ImportPath)
		}
	}
	slices.SortStableFunc(out, func(a, b string) int { return rank(a) - rank(b) })
	return out
}
