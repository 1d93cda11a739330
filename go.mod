module breakbook

go 1.26.0

require (
	codeberg.org/go-pdf/fpdf v0.11.1
	github.com/KimMachineGun/automemlimit v1.0.2
	github.com/agnivade/levenshtein v1.2.2
	github.com/chromedp/cdproto v0.159.0
	github.com/chromedp/chromedp v0.23.0
	github.com/creack/pty v1.1.24
	github.com/go-gota/gota v0.12.0
	github.com/hinshun/vt10x v0.0.0-20220301184237-5011da428d02
	github.com/jedib0t/go-pretty/v6 v6.8.3
	github.com/maruel/natural v1.3.0
	github.com/mattn/go-runewidth v0.0.31
	github.com/natefinch/atomic v1.0.1
	github.com/peterh/liner v1.2.3
	github.com/prometheus/procfs v0.23.0
	github.com/rogpeppe/go-internal v1.16.0
	github.com/santhosh-tekuri/jsonschema/v6 v6.0.3
	github.com/schollz/progressbar/v3 v3.19.1
	github.com/spf13/pflag v1.1.0
	github.com/xuri/nfp v0.0.2-0.20250530014748-2ddeb826f9a9
	golang.org/x/image v0.30.0
	golang.org/x/net v0.62.0
	golang.org/x/sys v0.50.0
	golang.org/x/term v0.48.0
	golang.org/x/text v0.44.0
	gonum.org/v1/gonum v0.17.0
	gonum.org/v1/plot v0.17.0
	pgregory.net/rapid v1.3.0
)

require (
	codeberg.org/go-fonts/liberation v0.5.0 // indirect
	codeberg.org/go-latex/latex v0.2.0 // indirect
	git.sr.ht/~sbinet/gg v0.7.0 // indirect
	github.com/ajstarks/svgo v0.0.0-20211024235047-1546f124cd8b // indirect
	github.com/clipperhouse/uax29/v2 v2.7.0 // indirect
	github.com/go-json-experiment/json v0.0.0-20260213210345-44df1a37e875 // indirect
	github.com/golang/freetype v0.0.0-20170609003504-e2365dfdc4a0 // indirect
	github.com/mitchellh/colorstring v0.0.0-20190213212951-d06e56a500db // indirect
	github.com/pbnjay/memory v0.0.0-20210728143218-7b4eea64cf58 // indirect
	github.com/rivo/uniseg v0.4.7 // indirect
	golang.org/x/tools v0.52.0 // indirect
)
