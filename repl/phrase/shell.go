package phrase

import (
	"fmt"
	"slices"
	"strings"
)

// ShellCompletion is the completion script for bash, zsh or fish, made from Table,
// Calls and Flags. Another shell is an *Error (unknown-word).
func ShellCompletion(shell string) (string, error) { return Standard().ShellCompletion(shell) }

// ShellCompletion is the completion script for bash, zsh or fish.
func (l *Language) ShellCompletion(shell string) (string, error) {
	switch strings.ToLower(shell) {
	case "bash":
		return l.bash(), nil
	case "zsh":
		return l.zsh(), nil
	case "fish":
		return l.fish(), nil
	}
	return "", &Error{Code: "unknown-word", Message: "there is no completion for a shell called " + inQuotes(shell),
		Hint: Meant(shell, shells, "there is one for")}
}

// helpWords are the words that help knows.
func (l *Language) helpWords() []string {
	words := l.firstWords()
	for _, n := range notions {
		if !slices.Contains(words, n.Name) {
			words = append(words, n.Name)
		}
	}
	return words
}

// given are the words a call may be followed by.
func (l *Language) given(c Call) []string {
	switch c.Give {
	case GiveHelpWord:
		return l.helpWords()
	case GiveShell:
		return shells
	}
	return nil
}

func (l *Language) bash() string {
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
		case len(l.given(c)) > 0:
			fmt.Fprintf(&b, "        %s) mapfile -t COMPREPLY < <(compgen -W '%s' -- \"$cur\") ;;\n", c.Word, strings.Join(l.given(c), " "))
		}
	}
	b.WriteString("    esac\n}\ncomplete -o filenames -F _breakbook breakbook\n")
	return b.String()
}

func (l *Language) fish() string {
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
		case len(l.given(c)) > 0:
			b.WriteString(from + " -a " + fishQuoted(strings.Join(l.given(c), " ")) + "\n")
		}
	}
	return b.String()
}

func fishQuoted(s string) string {
	return "'" + strings.NewReplacer(`\`, `\\`, `'`, `\'`).Replace(s) + "'"
}
