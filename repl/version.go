package repl

import (
	"runtime"
	"runtime/debug"
	"strings"
)

// version says which breakbook this is, from what the build wrote into the program.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "breakbook, built without a version, " + runtime.Version()
	}
	words := []string{"breakbook", strings.Trim(info.Main.Version, "()")}
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision" && !strings.Contains(info.Main.Version, s.Value[:min(12, len(s.Value))]):
			words = append(words, "revision "+s.Value[:min(12, len(s.Value))])
		case s.Key == "vcs.time" && s.Value != "":
			words = append(words, "of "+s.Value)
		}
	}
	return strings.Join(append(words, info.GoVersion), " ")
}
