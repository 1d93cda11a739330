package help

import (
	"fmt"
	"strings"
)

// zsh is the completion script for zsh: a file `_breakbook` of its function path, or read
// at the start of a session.
func zsh() string {
	var b strings.Builder
	b.WriteString("#compdef breakbook\n_breakbook() {\n    local curcontext=\"$curcontext\" state line\n    local -a " +
		"calls\n    calls=(\n")
	for _, c := range Calls {
		if c.Word != "" {
			fmt.Fprintf(&b, "        %s\n", zshQuoted(c.Word+":"+strings.ReplaceAll(c.Help, ":", `\:`)))
		}
	}
	b.WriteString("    )\n    _arguments -C \\\n")
	for _, f := range Flags {
		help := "[" + strings.NewReplacer(`[`, `\[`, `]`, `\]`).Replace(f.Help) + "]"
		switch {
		case f.Folder:
			help = "=" + help + ":folder:_files -/"
		case f.typed():
			help = "=" + help + ":number: "
		case f.Arg != "":
			help = "=" + help + ":file:_files"
		}
		fmt.Fprintf(&b, "        %s \\\n", zshQuoted("--"+f.Name+help))
	}
	b.WriteString("        '1: :->call' \\\n        '*: :->given'\n    case $state in\n        call) _describe -t " +
		"commands call calls ;;\n        given)\n            case $line[1] in\n")
	for _, c := range Calls {
		switch {
		case c.Give == GiveFile:
			fmt.Fprintf(&b, "                %s) _files ;;\n", c.Word)
		case len(given(c)) > 0:
			fmt.Fprintf(&b, "                %s) compadd -- %s ;;\n", c.Word, strings.Join(given(c), " "))
		}
	}
	b.WriteString("            esac ;;\n    esac\n}\nif [[ $funcstack[1] == _breakbook ]]; then\n    _breakbook " +
		"\"$@\"\nelse\n    compdef _breakbook breakbook\nfi\n")
	return b.String()
}

func zshQuoted(s string) string { return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'" }
