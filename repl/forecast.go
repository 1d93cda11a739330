package repl

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/curvefiles"
	disk "breakbook/frames/files"
	"breakbook/repl/book"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// forecast is what a book will read and write, as far as its lines say so.
type forecast struct {
	loop    *loop
	reads   []readName // each once
	writes  []string   // where they will stand, each once
	beside  int        // drawn so far, those of the session included, as files that no page shows
	answers bool       // something was asked, there or here, whose answer has a picture
	unnamed int        // of those, how many have no name
	all     []string   // the folders that get every picture of a result; "" is the book's own
	books   []string   // the books looked through
}

// mostBooks is how many books within books are looked through.
const mostBooks = 100

// forecast says what a book will read, how many files it will write, and how many of
// them are there already. Nothing of the book is run for it.
func (l *loop) forecast(ctx context.Context, b *savedBook) page.Sentence {
	f := &forecast{loop: l}
	for _, e := range l.session.Entries() {
		for _, fig := range e.Figures {
			f.draws(fig.Path)
		}
		f.answers = f.answers || pictured(e.Kind)
	}
	f.book(ctx, b)
	return f.sentence(b.path)
}

func (f *forecast) book(ctx context.Context, b *savedBook) {
	if slices.Contains(f.books, b.key) || len(f.books) == mostBooks || ctx.Err() != nil {
		return
	}
	f.books = append(f.books, b.key)
	for _, p := range linesOfCommands(b.lines) {
		entry, named := phrase.Outline(p)
		if entry == nil {
			continue
		}
		if _, refused := outOfPlace[entry.Kind]; refused {
			return // the replay stops there
		}
		f.command(ctx, entry, named, b.folder())
		if entry.Kind == "replay" && len(named) > 0 {
			if inner, err := loadBook(ctx, book.Beside(b.folder(), named[0].Path), nil); err == nil {
				f.book(ctx, inner)
			}
		}
	}
}

// command notes the files of one command of a book in the folder. Those that a book
// within the book reads are named as seen from here.
func (f *forecast) command(ctx context.Context, entry *phrase.Entry, named []phrase.FileUse, folder string) {
	to := false
	f.answers = f.answers || pictured(entry.Kind)
	for _, file := range named {
		path := disk.Home(file.Path)
		switch {
		case !file.Written:
			name := file.Path
			if len(f.books) > 1 {
				name = book.Beside(folder, file.Path)
			}
			known := slices.ContainsFunc(f.reads, func(r readName) bool { return r.name == name })
			if !known && !slices.Contains(f.writes, f.loop.files.place(path)) {
				f.reads = append(f.reads, readName{name, filesOfFolder(ctx, book.Beside(folder, file.Path))})
			}
		case entry.Name == drawAll:
			to = true
			f.all = append(f.all, file.Path)
		default:
			to = true
			f.write(path)
			if entry.Kind == "draw" {
				f.draws(path)
			}
		}
	}
	switch {
	case entry.Kind != "draw" || to:
	case entry.Name == drawAll:
		f.all = append(f.all, "")
	default:
		f.unnamed++
		f.write(fmt.Sprintf("figure-%d.png", f.loop.files.drawn+f.unnamed))
	}
}

// draws counts a picture that a report in Markdown has to draw again, since no page shows its file.
func (f *forecast) draws(path string) {
	if strings.EqualFold(filepath.Ext(path), ".pdf") {
		f.beside++
	}
}

// pictured reports whether a kind of entry answers with differences that a report draws for itself.
func pictured(kind string) bool {
	return slices.Contains([]string{"drove", "fit", "compare", "odds", "count", "agree"}, kind)
}

// drawAll is the command that draws as many pictures as there are of a result.
const drawAll = "draw all"

// write notes a file and those that come beside it: the look of a CSV, the figures that
// a report in Markdown draws for itself.
func (f *forecast) write(path string) {
	all := []string{path}
	if look := frames.LookPath(path); look != "" {
		all = append(all, look)
	}
	if ext := strings.ToLower(filepath.Ext(path)); ext == ".md" || ext == ".markdown" {
		n := f.beside
		if f.answers {
			n++
		}
		for i := range n {
			all = append(all, fmt.Sprintf("%s-figure-%d.svg", strings.TrimSuffix(path, filepath.Ext(path)), i+1))
		}
	}
	for _, one := range all {
		if one = f.loop.files.place(one); !slices.Contains(f.writes, one) {
			f.writes = append(f.writes, one)
		}
	}
}

// sentence is "gates.brk reads gates.csv and writes 5 files, 2 of which exist."
func (f *forecast) sentence(name string) page.Sentence {
	s := page.Say(name, " reads ", f.read(), " and writes ")
	n, there := len(f.writes), 0
	for _, path := range f.writes {
		if _, err := os.Lstat(path); err == nil {
			there++
		}
	}
	switch {
	case n == 0 && len(f.all) > 0:
		return page.Say(s, f.pictures(), ".")
	case n == 0:
		return page.Say(s, "no file.")
	case n == 1 && there == 1:
		s = page.Say(s, "1 file, which exists")
	case n == 1:
		s = page.Say(s, "1 file, which does not exist yet")
	case there == 0:
		s = page.Say(s, n, " files, none of which exists yet")
	case there == n:
		s = page.Say(s, n, " files, all of which exist")
	case there == 1:
		s = page.Say(s, n, " files, 1 of which exists")
	default:
		s = page.Say(s, n, " files, ", there, " of which exist")
	}
	if len(f.all) > 0 {
		s = page.Say(s, "; and ", f.pictures())
	}
	return page.Say(s, ".")
}

// readName is a file that is read, as typed, or a folder with how many files of it are.
type readName struct {
	name   string
	folder int // 0: a file
}

// said is the name of a file, or "the 12 files of logs".
func (r readName) said() page.Sentence {
	switch r.folder {
	case 0:
		return page.Say(r.name)
	case 1:
		return page.Say("the file of " + r.name)
	}
	return page.Say("the ", r.folder, " files of "+r.name)
}

// filesOfFolder is how many files of readings a folder has; 0 for what is no folder.
func filesOfFolder(ctx context.Context, path string) int {
	if !disk.IsFolder(path) {
		return 0
	}
	all, _, _, _ := curvefiles.Listed(ctx, []string{path}) // what is wrong with it, the command that reads it says
	return len(all)
}

// read names the files that are read, and counts them where they are many.
func (f *forecast) read() page.Sentence {
	if len(f.reads) == 0 {
		return page.Say("no file")
	}
	var s page.Sentence
	for i, r := range f.reads {
		switch {
		case i == namedFiles-1 && len(f.reads) > namedFiles:
			others := 0
			for _, other := range f.reads[i:] {
				others += max(other.folder, 1)
			}
			return append(s, page.Say(" and ", others, " other files")...)
		case i > 0 && i == len(f.reads)-1:
			s = page.Say(s, " and ")
		case i > 0:
			s = page.Say(s, ", ")
		}
		s = page.Say(s, r.said())
	}
	return s
}

// namedFiles is how many files are named before the others are counted.
const namedFiles = 4

// pictures says where every picture of a result goes: how many there are is known once
// the result is.
func (f *forecast) pictures() string {
	var folders []string
	for _, folder := range f.all {
		if folder != "" && !slices.Contains(folders, folder) {
			folders = append(folders, folder)
		}
	}
	if len(folders) == 0 {
		return "every picture of a result"
	}
	return "every picture of a result into " + session.And(folders)
}
