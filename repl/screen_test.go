package repl

import "testing"

// The first of the three that says anything decides (POSIX.1-2017, XBD 8.2).
func TestLocaleInUTF8(t *testing.T) {
	for _, c := range []struct {
		all, ctype, lang string
		want             bool
	}{
		{"", "", "", true}, {"", "", "de_DE.UTF-8", true}, {"", "", "en_GB.utf8", true}, {"", "", "C", false},
		{"", "", "de_DE.ISO-8859-1", false}, {"C", "", "de_DE.UTF-8", false}, {"", "C.UTF-8", "C", true},
		{"POSIX", "C.UTF-8", "C.UTF-8", false},
	} {
		env := map[string]string{"LC_ALL": c.all, "LC_CTYPE": c.ctype, "LANG": c.lang}
		if got := inUTF8(func(name string) string { return env[name] }); got != c.want {
			t.Errorf("%v: %v, want %v", env, got, c.want)
		}
	}
}
