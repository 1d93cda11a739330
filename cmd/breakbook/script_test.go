package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"breakbook/repl"
)

var update = flag.Bool("update", false, "write what the golden sessions give now into them")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"breakbook": func() { os.Exit(repl.Main(os.Args[1:])) },
	})
}

// TestGolden runs the golden sessions: each script of testdata/golden in a folder of
// its own, with an empty home and $DATA naming the testdata folder. The condition [root]
// holds for who may read any file. Under -short, where the race detector looks on, every sixth runs.
func TestGolden(t *testing.T) {
	data, err := filepath.Abs("../../testdata")
	if err != nil {
		t.Fatal(err)
	}
	scripts, err := filepath.Glob(filepath.Join(data, "golden", "*.txtar"))
	if err != nil || len(scripts) == 0 {
		t.Fatal("no golden sessions: ", err)
	}
	if testing.Short() {
		var some []string
		for six := range slices.Chunk(scripts, 6) {
			some = append(some, six[0])
		}
		scripts = some
	}
	t.Cleanup(func() { // the scripts are over
		left, err := unseen()
		if all := flag.Lookup("test.run").Value.String() == "" && !testing.Short() && !t.Failed(); all &&
			(err != nil || len(left) > 0) {
			t.Errorf("no golden session shows %s (%v)", strings.Join(left, "; "), err)
		}
	})
	testscript.Run(t, testscript.Params{
		Files:               scripts,
		UpdateScripts:       *update,
		RequireUniqueNames:  true,
		RequireExplicitExec: false,
		Setup: func(env *testscript.Env) error {
			home := filepath.Join(env.WorkDir, ".home")
			env.Setenv("HOME", home)
			env.Setenv("USERPROFILE", home)
			env.Setenv("DATA", data)
			keeps(t, env, filepath.Join(data, "golden", "kept"))
			return os.MkdirAll(home, 0o777)
		},
		Condition: func(name string) (bool, error) {
			if name != "root" {
				return false, fmt.Errorf("there is no condition %s", name)
			}
			return os.Geteuid() == 0, nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"status":  status,
			"entries": entries,
			"holds":   holds,
			"near":    near,
			"says":    says,
		},
	})
}

// status runs a command and checks its exit status: status 2 breakbook repaly. What
// breakbook writes with --json is held against its schema.
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N COMMAND …")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		failed, ok := err.(interface{ ExitCode() int })
		if !ok {
			ts.Fatalf("%v", err)
		}
		got = failed.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit status %d, want %d", got, want)
	}
	if args[1] == "breakbook" {
		note(ts, args[1:], ts.ReadFile("stdout"))
	}
	if args[1] == "breakbook" && slices.Contains(args, "--json") {
		ts.Check(valid(ts.ReadFile("stdout")))
	}
}
