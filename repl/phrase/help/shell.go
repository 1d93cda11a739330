package help

import (
	"fmt"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/phrase"
)

// ShellCompletion is the completion script for bash, zsh or fish, made from the phrase
// table, Calls and Flags. Another shell is a *phrase.Error (unknown-word).
func ShellCompletion(shell string) (string, error) {
	switch strings.ToLower(shell) {
	case "bash":
		return bash(), nil
	case "zsh":
		return zsh(), nil
	case "fish":
		return fish(), nil
	}
	return "", &phrase.Error{Code: "unknown-word", Message: "there is no completion for a shell called " +
		inQuotes(shell), Hint: phrase.Meant(shell, shells, "there is one for")}
}

// helpWords are the words that help knows.
func helpWords() []string {
	words := phrase.Standard().FirstWords()
	for _, n := range notions {
		words = lists.With(words, n.Name)
	}
	return words
}

// given are the words a call may be followed by.
func given(c Call) []string {
	switch c.Give {
	case GiveHelpWord:
		return helpWords()
	case GiveShell:
		return shells
	}
	return nil
}

func bash() string {
	var b strings.Builder
	var words, flags, withArg []string
	for _, c := range Calls {
		if c.Word != "" {
			words = append(words, c.Word)
		}
	}
	for _, f := range Flags {
		flags = append(flags, "--"+f.Name)
		if f.Arg != "" {
			withArg = append(withArg, "--"+f.Name)
		}
	}
	fmt.Fprintf(&b, `_breakbook() {
    local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]} call="" i
    for ((i = 1; i < COMP_CWORD; i++)); do
        case ${COMP_WORDS[i]} in
            %s) i=$((i + 1)) ;;
            -*) ;;
            *) call=${COMP_WORDS[i]}; break ;;
        esac
    done
    COMPREPLY=()
    case $prev in
`, strings.Join(withArg, "|"))
	for _, f := range Flags {
		action := "compgen -f"
		switch {
		case f.Arg == "":
			continue
		case f.Folder:
			action = "compgen -d"
		case f.typed():
			fmt.Fprintf(&b, "        --%s) return ;;\n", f.Name)
			continue
		}
		fmt.Fprintf(&b, "        --%s) mapfile -t COMPREPLY < <(%s -- \"$cur\"); return ;;\n", f.Name, action)
	}
	fmt.Fprintf(&b, `    esac
    if [[ $cur == -* ]]; then
        mapfile -t COMPREPLY < <(compgen -W '%s' -- "$cur")
        return
    fi
    case $call in
        "") mapfile -t COMPREPLY < <(compgen -W '%s' -- "$cur") ;;
`, strings.Join(flags, " "), strings.Join(words, " "))
	for _, c := range Calls {
		switch {
		case c.Give == GiveFile:
			fmt.Fprintf(&b, "        %s) mapfile -t COMPREPLY < <(compgen -f -- \"$cur\") ;;\n", c.Word)
		case len(given(c)) > 0:
			fmt.Fprintf(&b, "        %s) mapfile -t COMPREPLY < <(compgen -W '%s' -- \"$cur\") ;;\n", c.Word,
				strings.Join(given(c), " "))
		}
	}
	b.WriteString("    esac\n}\ncomplete -o filenames -F _breakbook breakbook\n")
	return b.String()
}

func fish() string {
	var b strings.Builder
	b.WriteString("complete -c breakbook -f\n")
	for _, f := range Flags {
		fmt.Fprintf(&b, "complete -c breakbook -l %s -d %s", f.Name, fishQuoted(f.Help))
		switch {
		case f.Folder:
			b.WriteString(" -x -a '(__fish_complete_directories)'")
		case f.typed():
			b.WriteString(" -x")
		case f.Arg != "":
			b.WriteString(" -r -F")
		}
		b.WriteByte('\n')
	}
	for _, c := range Calls {
		if c.Word == "" {
			continue
		}
		fmt.Fprintf(&b, "complete -c breakbook -n __fish_use_subcommand -a %s -d %s\n", c.Word, fishQuoted(c.Help))
		from := "complete -c breakbook -n '__fish_seen_subcommand_from " + c.Word + "'"
		switch {
		case c.Give == GiveFile:
			b.WriteString(from + " -F\n")
		case len(given(c)) > 0:
			b.WriteString(from + " -a " + fishQuoted(strings.Join(given(c), " ")) + "\n")
		}
	}
	return b.String()
}

func fishQuoted(s string) string {
	return "'" + strings.NewReplacer(`\`, `\\`, `'`, `\'`).Replace(s) + "'"
}
