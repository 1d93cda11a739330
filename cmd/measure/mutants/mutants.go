// Package mutants asks whether the tests would notice a slip. In come the places to change and a
// seed; the source is changed one place at a time, the tests that might notice are run on the
// change, and out comes a page with the changes that none of them noticed.
package mutants

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"
)

// sourcePackage is what `go list` says of one package.
type sourcePackage struct {
	ImportPath                         string
	Dir                                string
	Imports, TestImports, XTestImports []string
	Deps                               []string
	TestGoFiles, XTestGoFiles          []string
}

func (p sourcePackage) tested() bool { return len(p.TestGoFiles)+len(p.XTestGoFiles) > 0 }

// Measure changes one place of the source at a time and counts what the tests
// notice. Half of the places are drawn from the seed over every package under models, half
// over every package under repl that imports one of those; of each half every package has
// its share in proportion to its places, and at least one.
func Measure(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("mutants", pflag.ContinueOnError)
	places := flags.Int("places", 60, "how many places are changed")
	seed := flags.Uint64("seed", 1, "the start of every random draw")
	only := flags.String("only", "", "only places in files whose path holds this")
	skip := flags.Int("skip", 0, "leave out so many of the places at first")
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
	if *list {
		for _, queue := range drawn {
			fmt.Fprintln(out, queue[0])
		}
		return nil
	}
	b := mutantBench{root: root, packages: packages}
	if b.folder, err = os.MkdirTemp("", "breakbook-mutants"); err != nil {
		return err
	}
	defer os.RemoveAll(b.folder)
	var survivors []string
	tried, noticed := 0, 0
	for _, queue := range drawn[min(*skip, len(drawn)):] {
		began := time.Now()
		m, by, err := b.first(ctx, queue)
		if err != nil {
			return err
		}
		if m == nil {
			continue
		}
		tried++
		if by != "" {
			noticed++
		} else {
			survivors = append(survivors, m.String())
		}
		if *verbose {
			fmt.Fprintf(out, "%3d %4.0f s  %-22s %s\n", tried, time.Since(began).Seconds(), orElse(by, "NOT NOTICED"), m)
		}
	}
	fmt.Fprintf(out, "%d places changed one at a time, seed %d: the tests notice %d.\n", tried, *seed, noticed)
	for _, s := range survivors {
		fmt.Fprintln(out, " not noticed: "+s)
	}
	return nil
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
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
// place, should the change not compile or make the same machine code.
func drawMutants(root string, packages []sourcePackage, only string, places int, seed uint64) ([][]mutant, error) {
	draw := rand.New(rand.NewPCG(seed, 0))
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
			draw.Shuffle(len(sites[i]), func(a, b int) { sites[i][a], sites[i][b] = sites[i][b], sites[i][a] })
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

// mutantBench tries mutants.
type mutantBench struct {
	root, folder string
	packages     []sourcePackage
}

// first tries the first mutant of a queue that compiles to something else, and names the
// package whose tests notice it, or "". Nil where none does.
func (b mutantBench) first(ctx context.Context, queue []mutant) (*mutant, string, error) {
	for i := range queue {
		by, err := b.try(ctx, queue[i])
		if errors.Is(err, errNotGo) || errors.Is(err, errSame) {
			continue
		}
		return &queue[i], by, err
	}
	return nil, "", nil
}

var (
	errNotGo = errors.New("does not compile")
	errSame  = errors.New("makes the same machine code") // so that no test could notice (Papadakis et al. 2015, ICSE)
)

// try changes one place in an overlay over the source and runs the tests that could notice:
// those of its own package, of the loop, of what depends on it, and the sessions at last.
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
	own := filepath.Dir(m.file)
	var code [2]string // as it is, and changed
	for i, text := range [][]byte{source, m.apply(source)} {
		if err := errors.Join(os.WriteFile(changed, text, 0o600), os.WriteFile(overlay, overlaid, 0o600)); err != nil {
			return "", err
		}
		if code[i], err = b.run(ctx, "build", "-overlay", overlay, "-gcflags=-S", "./"+own); err != nil {
			return "", errors.Join(errNotGo, ctx.Err())
		}
	}
	if code[0] == code[1] {
		return "", errSame
	}
	for _, p := range b.noticing("breakbook/" + filepath.ToSlash(own)) {
		said, err := b.run(ctx, "test", "-overlay", overlay, "-vet=off", "-count=1", "-failfast", "-timeout=300s", p)
		if ctx.Err() != nil {
			return "", ctx.Err()
		}
		if err == nil {
			continue
		}
		if strings.Contains(said, "[build failed]") || strings.Contains(said, "[setup failed]") {
			return "", fmt.Errorf("%s: %s", m, said)
		}
		return strings.TrimPrefix(p, "breakbook/"), nil
	}
	return "", nil
}

func (b mutantBench) run(ctx context.Context, args ...string) (string, error) {
	c := exec.CommandContext(ctx, "go", args...)
	c.Dir = b.root
	c.WaitDelay = 10 * time.Second
	said, err := c.CombinedOutput()
	return string(said), err
}

// noticing lists the packages whose tests could notice a change of one, the likeliest first.
// This command's own are left out: they measure.
func (b mutantBench) noticing(changed string) []string {
	rank := func(path string) int {
		switch {
		case path == changed && strings.HasPrefix(path, modelPackages):
			return 0
		case path == "breakbook/repl":
			return 1 // whole sessions in one process, which takes less than the tests of most families
		case path == changed:
			return 2
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
		if p.tested() && (p.ImportPath == changed || slices.Contains(needs, changed)) &&
			!strings.HasPrefix(p.ImportPath, "breakbook/cmd/measure") {
			out = append(out, p.ImportPath)
		}
	}
	slices.SortStableFunc(out, func(a, b string) int { return rank(a) - rank(b) })
	return out
}
