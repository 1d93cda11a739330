package help

// Call is one way to start the program from a shell.
type Call struct {
	Word string // after the program's name; empty: none
	Args string // as a person would write it
	Help string
	Give CallGive
}

// CallGive says what comes after a call's word, for shell completion.
type CallGive uint8

const (
	GiveNothing CallGive = iota
	GiveFile
	GiveHelpWord
	GiveShell
)

// Flag is one flag of the program.
type Flag struct {
	Name, Arg, Help string // Arg is empty for a flag that is only set
	Folder          bool   // Arg is a folder
}

// typed reports whether Arg is no file or folder, but a number or a size.
func (f Flag) typed() bool { return f.Arg == "N" || f.Arg == "SIZE" }

// Calls lists the calls from the shell, for the man page, the shell completions and
// the program's own usage text.
var Calls = []Call{
	{"", "", "the prompt; where standard input is no terminal, commands are read from it", GiveNothing},
	{"demo", "", "the shipped example from start to report, into a folder it names", GiveNothing},
	{"learn", "", "a guided quarter of an hour: from an untidy sheet to the next series", GiveNothing},
	{"replay", "FILE.brk …", "runs a saved book from start to end; stops at the first error", GiveFile},
	{"type", "'COMMANDS'", "runs commands given in place; stops at the first error", GiveNothing},
	{"help", "[WORD]", "what can be typed", GiveHelpWord},
	{"man", "", "this page", GiveNothing},
	{"schema", "", "the JSON Schema of what --json writes", GiveNothing},
	{"completion", "bash|zsh|fish", "completion for a shell", GiveShell},
}

// Flags lists the flags of the program.
var Flags = []Flag{
	{Name: "json", Help: "one JSON object per entry, a line each, on standard output"},
	{Name: "out", Arg: "DIR", Help: "where files with no folder go", Folder: true},
	{Name: "check", Arg: "OLD.jsonl", Help: "after a replay, says what differs from an earlier run"},
	{Name: "outside", Help: "lets a replayed book write outside the folder it is replayed in"},
	{Name: "seed", Arg: "N", Help: "the start of every random draw"},
	{Name: "memory", Arg: "SIZE",
		Help: "how much memory may be used, such as 2GB; a quarter of the machine's if left out"},
	{Name: "quiet", Help: "answers only: no progress, no greeting, no echo of commands"},
	{Name: "no-color", Help: "no colour on a terminal"},
	{Name: "version", Help: "prints the version"},
	{Name: "help", Help: "prints how to call the program"},
}

// shells are those there is completion for.
var shells = []string{"bash", "zsh", "fish"}
