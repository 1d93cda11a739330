package repl

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	disk "breakbook/frames/files"
	"breakbook/frames/meant"
	"breakbook/models/lists"
	"breakbook/repl/phrase/help"
)

// call is one call of the program from the shell: the word, what follows it, the flags.
type call struct {
	word string // "" is the prompt, or commands on standard input
	rest []string

	json    bool
	quiet   bool
	noColor bool
	version bool
	help    bool
	out     string
	check   string
	outside bool
	seed    uint64
	memory  string
}

// callError says that the call itself was wrong (exit status 2).
type callError struct{ message, hint string }

func (e *callError) Error() string { return e.message }

// flagsOf is the flags of help.Flags, filled into c when they are parsed.
func flagsOf(c *call) *pflag.FlagSet {
	f := pflag.NewFlagSet("breakbook", pflag.ContinueOnError)
	f.SetOutput(io.Discard)
	f.BoolVar(&c.json, "json", false, "")
	f.StringVar(&c.out, "out", "", "")
	f.StringVar(&c.check, "check", "", "")
	f.BoolVar(&c.outside, "outside", false, "")
	f.Uint64Var(&c.seed, "seed", 0, "")
	f.StringVar(&c.memory, "memory", "", "")
	f.BoolVar(&c.quiet, "quiet", false, "")
	f.BoolVar(&c.noColor, "no-color", false, "")
	f.BoolVar(&c.version, "version", false, "")
	f.BoolVar(&c.help, "help", false, "")
	return f
}

// parseCall reads the words of a call; flags may stand before or after the word.
// The error is a *callError.
func parseCall(args []string) (*call, error) {
	c := &call{}
	flags := flagsOf(c)
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, pflag.ErrHelp) {
			c.help = true
			return c, nil
		}
		return nil, &callError{message: err.Error(), hint: flagHint(flags, err)}
	}
	if c.help || c.version {
		return c, nil
	}
	if flags.NArg() > 0 {
		c.word, c.rest = flags.Arg(0), flags.Args()[1:]
	}
	if flags.Changed("check") && (c.word != "replay" || c.check == "") {
		return nil, &callError{message: "--check goes with replay and names the file to check against"}
	}
	if c.outside && c.word != "replay" {
		return nil, &callError{message: "--outside goes with replay", hint: "breakbook replay --outside FILE.brk"}
	}
	if flags.Changed("out") && c.out == "" {
		return nil, &callError{message: "--out needs a folder"}
	}
	if flags.Changed("memory") {
		if _, err := disk.ParseSize(c.memory); err != nil {
			return nil, &callError{message: "--memory: " + err.Error(), hint: "breakbook --memory 2GB"}
		}
	}
	return c, c.checkWord()
}

// checkWord holds the word and what follows it against help.Calls.
func (c *call) checkWord() error {
	at := slices.IndexFunc(help.Calls, func(k help.Call) bool { return k.Word == c.word })
	if at < 0 {
		return &callError{message: fmt.Sprintf("%q is no word breakbook knows", c.word), hint: wordHint(c.word)}
	}
	args := help.Calls[at].Args
	choice := strings.Contains(args, "|")
	switch {
	case args == "" && len(c.rest) > 0, choice && len(c.rest) > 1:
		return &callError{message: fmt.Sprintf("%s does not take %q", c.word, c.rest[len(c.rest)-1])}
	case args != "" && args[0] != '[' && strings.TrimSpace(strings.Join(c.rest, "")) == "":
		return &callError{message: c.word + " needs " + args}
	case choice && !slices.Contains(strings.Split(args, "|"), c.rest[0]):
		return &callError{message: fmt.Sprintf("%s takes %s, not %q", c.word, args, c.rest[0])}
	}
	return nil
}

// wordHint suggests what may have been meant by an unknown word.
func wordHint(word string) string {
	switch strings.ToLower(filepath.Ext(word)) {
	case ".brk":
		return "breakbook replay " + word
	case ".csv", ".gz":
		return fmt.Sprintf("breakbook type 'open %s'", word)
	}
	return meant.Hint(word, lists.Mapped(help.Calls, func(k help.Call) string { return k.Word }))
}

func flagHint(flags *pflag.FlagSet, err error) string {
	var unknown *pflag.NotExistError
	if !errors.As(err, &unknown) {
		return ""
	}
	var names []string
	flags.VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	if near := meant.By(unknown.GetSpecifiedName(), names); near != "" {
		return "did you mean --" + near + "?"
	}
	return ""
}

// usage is the text of --help, made from help.Calls and help.Flags.
func usage() string {
	var b strings.Builder
	b.WriteString("breakbook: which factor drove the breaking load of your test joints?\n\n")
	for _, k := range help.Calls {
		fmt.Fprintf(&b, "  %-35s %s\n", strings.TrimSpace("breakbook "+k.Word+" "+k.Args), k.Help)
	}
	b.WriteString("\nFlags, before or after the word:\n")
	for _, f := range help.Flags {
		fmt.Fprintf(&b, "  %-35s %s\n", strings.TrimSpace("--"+f.Name+" "+f.Arg), f.Help)
	}
	b.WriteString("\nExit status: 0 every entry worked, 1 one failed, 2 the call was wrong, 130 interrupted.\n")
	b.WriteString("To begin: breakbook demo\n")
	return b.String()
}
