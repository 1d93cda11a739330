package repl

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"breakbook/repl/book"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// bench at the prompt of a user of its own, in a folder with gates.csv, which is the
// current one from now on.
func promptBench(t *testing.T) *harness {
	t.Helper()
	home, folder := t.TempDir(), t.TempDir()
	for _, name := range []string{"HOME", "XDG_STATE_HOME", "LocalAppData"} {
		t.Setenv(name, home)
	}
	t.Chdir(folder)
	gates := "Break load (N),pins\n410,none\n395,none\n402,none\n520,pair\n498,pair\n533,pair\n"
	replaceFile(t, "gates.csv", gates)
	return nextStart(t)
}

// nextStart is the next session of the same user.
func nextStart(t *testing.T) *harness {
	t.Helper()
	b := newHarness(t)
	b.files.folder = ""
	b.screen.width = func() int { return 0 } // no remark is broken
	b.startKeeping()
	t.Cleanup(func() {
		if b.keeper.journal != nil {
			b.keeper.journal.Close()
		}
	})
	return b
}

// dies ends a session as a kill does: nothing more is done.
func (b *harness) dies(t *testing.T) {
	t.Helper()
	if err := b.keeper.journal.Close(); err != nil { // lets go of the lock; it has entries
		t.Fatal(err)
	}
	b.keeper.journal = nil
}

// says runs lines and gives what was said to people meanwhile.
func (b *harness) says(t *testing.T, lines string) string {
	t.Helper()
	b.out.Reset()
	b.err.Reset()
	b.typed(t, lines, false)
	return b.err.String()
}

func replaceFile(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// textOf is what a file holds; of a saved book without its last line, the seal.
func textOf(t testing.TB, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	book, _, _ := strings.Cut(string(text), "# written by breakbook, sha256 ")
	return book
}

// waiting is how many books are offered to the next session.
func (b *harness) waiting() int { return len(book.FindUnsaved(b.keeper.state)) }

// TestEntriesAreKeptBeforeTheyAreShown looks into the journal at the moment a result is shown.
func TestEntriesAreKeptBeforeTheyAreShown(t *testing.T) {
	b := promptBench(t)
	shown := 0
	b.screen.out = writerFunc(func(p []byte) (int, error) {
		shown++
		if got := b.keeper.unsaved(b.session); got != shown {
			t.Errorf("result %d is shown with %d entries", shown, got)
		}
		found, err := filepath.Glob(filepath.Join(b.keeper.state, "journals", "*"))
		if err != nil || len(found) != 1 {
			t.Fatal(found, err)
		}
		last := []string{"open gates.csv\n", "look\n", "show series\n"}[shown-1]
		if text := textOf(t, found[0]); !strings.HasSuffix(text, last) {
			t.Errorf("result %d is shown while the journal ends %q", shown, text)
		}
		return len(p), nil
	})
	b.typed(t, "open gates.csv\nlook\nshow series\n", true)
	if shown != 3 {
		t.Errorf("%d results shown:\n%s", shown, b.err.String())
	}
}

type writerFunc func([]byte) (int, error)

func (f writerFunc) Write(p []byte) (int, error) { return f(p) }

func TestResume(t *testing.T) {
	b := promptBench(t)
	b.says(t, "open gates.csv\nnonsense\naverage break_load by pins\nnote undone\nundo\nnote goes on,\nhere\nlook")
	want := b.inputs()
	b.dies(t)

	next := nextStart(t)
	offer := "The book of " + time.Now().Format("15:04") + " (4 entries, gates.csv) was not saved: type resume, " +
		"or forget journal to drop it.\n"
	if got := next.err.String(); got != offer {
		t.Errorf("offers %q, want %q", got, offer)
	}
	said := next.says(t, "resume")
	if !strings.HasSuffix(said, "(4 entries, gates.csv) is taken up.\n") || strings.Contains(said, "changed") {
		t.Errorf("says %q", said)
	}
	var back []string
	for i, e := range next.session.Entries() {
		back = append(back, e.Input)
		if e.Number != i+2 {
			t.Errorf("entry %d is number %d", i, e.Number)
		}
	}
	for i, w := range want {
		if _, input, _ := strings.Cut(w, " "); i >= len(back) || back[i] != input {
			t.Errorf("came back %q, want %q", back, want)
			break
		}
	}
	if n := next.waiting(); n != 0 {
		t.Errorf("%d books are still offered", n)
	}

	// What is added, and undone, is in the journal of the session that took the book up.
	next.says(t, "note one more\nnote and another\nundo")
	next.dies(t)
	third := nextStart(t)
	third.says(t, "resume")
	if got := len(third.session.Entries()); got != 5 {
		t.Errorf("%d entries the second time, want 5", got)
	}
	if said := third.says(t, "resume"); !strings.Contains(said, "no book is waiting to be resumed") {
		t.Errorf("resuming once more says %q", said)
	}
}

func TestResumeSaysWhatHasChanged(t *testing.T) {
	b := promptBench(t)
	b.says(t, "open gates.csv\nlook")
	b.dies(t)
	replaceFile(t, "gates.csv", "Break load (N),pins\n410,none\n395,none\n")
	next := nextStart(t)
	next.says(t, "resume")
	if said := next.out.String(); !strings.Contains(said, "gates.csv has changed since this book was saved") {
		t.Errorf("says %q", said)
	}
}

// TestResumeLeavesFilesAlone: what the book wrote is not written again, drawn again or drawn
// under another name; what is gone is made again.
func TestResumeLeavesFilesAlone(t *testing.T) {
	b := promptBench(t)
	b.says(t, "open gates.csv\ndraw break_load by pins\nwrite one.csv\nwrite two.csv\nreport gates.html\n"+
		"draw break_load by pins")
	if len(b.session.Entries()) != 6 {
		t.Fatal(b.err.String())
	}
	b.dies(t)
	replaceFile(t, "one.csv", "filled in\n")
	replaceFile(t, "figure-1.png", "drawn over\n")
	replaceFile(t, "gates.html", "edited\n")
	two := textOf(t, "two.csv")
	if err := os.Remove("figure-2.png"); err != nil {
		t.Fatal(err)
	}

	next := nextStart(t)
	next.says(t, "resume")
	if got := len(next.session.Entries()); got != 6 {
		t.Fatalf("%d entries: %s", got, next.err.String())
	}
	for path, want := range map[string]string{"one.csv": "filled in\n", "figure-1.png": "drawn over\n",
		"gates.html": "edited\n", "two.csv": two} {
		if got := textOf(t, path); got != want {
			t.Errorf("%s holds %q", path, got)
		}
	}
	if said := strings.Join(strings.Fields(next.out.String()), " "); strings.Count(said, "left as it is") != 1 ||
		!strings.Contains(said, "one.csv is not what this entry writes") {
		t.Errorf("says %q", said)
	}
	if _, err := os.Stat("figure-2.png"); err != nil {
		t.Errorf("what was gone was not drawn: %v", err)
	}
	next.says(t, "draw break_load by pins")
	if got := next.session.Entries()[6].Figures[0].Path; got != "figure-3.png" {
		t.Errorf("the next figure is %s", got)
	}
	if found, err := filepath.Glob("figure-*"); err != nil || len(found) != 3 {
		t.Errorf("figures %q, %v", found, err)
	}
}

// TestResumeIsAllOrNothing: an entry that fails brings nothing back, and the journal stays.
func TestResumeIsAllOrNothing(t *testing.T) {
	b := promptBench(t)
	b.says(t, "note first\nopen gates.csv\nlook")
	b.dies(t)
	if err := os.Rename("gates.csv", "moved.csv"); err != nil {
		t.Fatal(err)
	}
	next := nextStart(t)
	next.says(t, "note mine")
	said := next.says(t, "resume")
	if !strings.Contains(said, "is not taken up: it stops at line 5 of its journal") {
		t.Errorf("says %q", said)
	}
	if got := strings.Join(next.inputs(), "|"); got != "1 note mine" {
		t.Errorf("the book holds %q", got)
	}
	if next.session.Next() != 5 { // 2 was resume, 3 came back for a while, 4 failed
		t.Errorf("entry %d comes next", next.session.Next())
	}
	if next.waiting() != 1 {
		t.Error("the journal is gone")
	}
	if err := os.Rename("moved.csv", "gates.csv"); err != nil {
		t.Fatal(err)
	}
	next.says(t, "resume")
	if got := strings.Join(next.inputs(), "|"); got != "1 note mine|6 note first|7 open gates.csv|8 look" {
		t.Errorf("the book holds %q", got)
	}
	next.dies(t)
	third := nextStart(t)
	third.says(t, "resume")
	if got := len(third.session.Entries()); got != 4 || third.waiting() != 0 {
		t.Errorf("%d entries came back, %d books wait", got, third.waiting())
	}
}

// TestResumeKnowsItsOwnResults: a book that is taken up, or replayed, beside results of the session asks its own fits,
// under the names that they have here.
func TestResumeKnowsItsOwnResults(t *testing.T) {
	b := promptBench(t)
	b.says(t, "open gates.csv\nfit load on pins\nadjusted pins of fit1\nfit load on pins as mine\n"+
		"adjusted pins of mine")
	b.dies(t)
	replaceFile(t, "other.csv", "Break load (N),pins\n310,none\n295,none\n302,none\n320,pair\n298,pair\n333,pair\n")
	next := nextStart(t)
	next.says(t, "open other.csv\nfit load on pins\nresume")
	if got := strings.Join(next.inputs()[2:], "|"); got != "4 open gates.csv|5 fit load on pins|"+
		"6 adjusted pins of fit2|7 fit load on pins as mine|8 adjusted pins of mine" {
		t.Errorf("the book holds %q", got)
	}
	for _, e := range next.session.Entries()[2:] {
		if e.Series != "gates" {
			t.Errorf("%q is of %s", e.Input, e.Series)
		}
	}
	replaceFile(t, "more.brk", "open gates.csv as again\nfit load on pins\nreplay inner.brk\nfit ln(load) on pins\n"+
		"adjusted pins of fit3; compare pins of fit1\n")
	replaceFile(t, "inner.brk", "fit load on pins\nadjusted pins of fit1\n")
	next.says(t, "replay more.brk")
	if got := strings.Join(next.inputs()[7:], "|"); got != "10 open gates.csv as again|11 fit load on pins|"+
		"13 fit load on pins|14 adjusted pins of fit4|15 fit ln(load) on pins|16 adjusted pins of fit5|"+
		"17 compare pins of fit3" {
		t.Errorf("the book holds %q", got)
	}
}

// TestResumeStoppedWithCtrlC keeps the journal.
func TestResumeStoppedWithCtrlC(t *testing.T) {
	b := promptBench(t)
	b.says(t, "note first\nnote second")
	b.dies(t)
	next := nextStart(t)
	interrupts := make(chan os.Signal, 1)
	next.interrupts = interrupts
	run := next.run
	next.run = func(ctx context.Context, s *session.Session, c *phrase.Command) (*session.Session, page.Entry, error) {
		if c.Input == "note second" {
			interrupts <- os.Interrupt
			<-ctx.Done()
		}
		return run(ctx, s, c)
	}
	next.says(t, "resume")
	if len(next.session.Entries()) != 0 || next.waiting() != 1 {
		t.Errorf("%q came back, %d books wait", next.inputs(), next.waiting())
	}
}

// TestResumeElsewhere: a book is taken up in the folder it was kept in, with its seed and the
// folder its files went to.
func TestResumeElsewhere(t *testing.T) {
	b := promptBench(t)
	folder, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(folder, "results")
	again := newHarness(t)
	again.session = session.New(session.Options{Seed: 7})
	again.files.folder = "results"
	again.startKeeping()
	again.says(t, "open gates.csv\nwrite tidy.csv")
	again.dies(t)
	b.keeper.journal.Close()

	t.Chdir(t.TempDir())
	next := nextStart(t)
	if offer := next.err.String(); !strings.Contains(offer, "gates.csv, in "+folder+")") {
		t.Errorf("offers %q", offer)
	}
	next.says(t, "note mine")
	if said := strings.Join(strings.Fields(next.says(t, "resume")), " "); !strings.Contains(said,
		"already has entries of another folder") {
		t.Errorf("with entries of its own, says %q", said)
	}
	next.says(t, "undo\nresume\nwrite more.csv")
	if got := strings.Join(next.inputs(), "|"); got != "5 seed 7|6 open gates.csv|7 write tidy.csv|8 write more.csv" {
		t.Errorf("the book holds %q\n%s", got, next.err.String())
	}
	for _, name := range []string{"tidy.csv", "more.csv"} {
		if _, err := os.Stat(filepath.Join(out, name)); err != nil {
			t.Error(err)
		}
	}
	next.dies(t)

	t.Chdir(t.TempDir())
	third := nextStart(t)
	third.says(t, "resume")
	if got := len(third.session.Entries()); got != 4 {
		t.Errorf("%d entries came back from where it had moved to:\n%s", got, third.err.String())
	}
}

// TestResumeOfABookFromElsewhere: what a replayed book read beside itself is found again.
func TestResumeOfABookFromElsewhere(t *testing.T) {
	b := promptBench(t)
	there := t.TempDir()
	replaceFile(t, filepath.Join(there, "pegs.csv"), "Break load (N),pegs\n410,none\n395,none\n402,none\n520,pair\n"+
		"498,pair\n")
	replaceFile(t, filepath.Join(there, "old.brk"), "open pegs.csv\n")
	b.says(t, "open gates.csv\nreplay "+filepath.Join(there, "old.brk")+"\nlook")
	if len(b.session.Entries()) != 3 {
		t.Fatal(b.err.String())
	}
	b.dies(t)
	next := nextStart(t)
	if offer := next.err.String(); !strings.Contains(offer, "(3 entries, gates.csv, pegs.csv)") {
		t.Errorf("offers %q", offer)
	}
	next.says(t, "resume")
	if got := len(next.session.Entries()); got != 3 || next.session.Current() != "pegs" {
		t.Errorf("%d entries came back, on %s:\n%s", got, next.session.Current(), next.err.String())
	}
}

// TestAReplayedBookLeavesTheJournalsAlone: a book somebody sent neither takes up nor drops
// what was not saved, and does not lead out without it.
func TestAReplayedBookLeavesTheJournalsAlone(t *testing.T) {
	b := promptBench(t)
	b.says(t, "note mine")
	b.dies(t)
	for _, line := range []string{"resume", "forget journal", "quit without saving", "save book kept.brk"} {
		replaceFile(t, "sent.brk", "note theirs\n"+line+"\n")
		next := nextStart(t)
		next.says(t, "replay sent.brk\nnote more")
		if said := next.err.String(); !strings.Contains(said, "a book that is replayed cannot") {
			t.Errorf("%s says %q", line, said)
		}
		if next.waiting() != 1 || next.hasQuit || next.keeper.discard || next.keeper.saved != "" ||
			next.keeper.journal.Entries() != 2 {
			t.Errorf("%s: %d books wait, left %v, %d entries in the journal", line, next.waiting(), next.hasQuit,
				next.keeper.journal.Entries())
		}
		next.says(t, "undo\nundo")
		next.dies(t)
	}
}

func TestResumeOfAFolderThatIsGone(t *testing.T) {
	promptBench(t)
	folder := filepath.Join(t.TempDir(), "gone")
	if err := os.Mkdir(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	t.Chdir(folder)
	b := nextStart(t)
	b.says(t, "note kept")
	b.dies(t)
	t.Chdir(t.TempDir())
	if err := os.Remove(folder); err != nil {
		t.Skip("a folder in use cannot be removed here: ", err)
	}
	next := nextStart(t)
	if said := next.says(t, "resume"); !strings.Contains(said, folder+", is not there") {
		t.Errorf("says %q", said)
	}
	if next.waiting() != 1 {
		t.Error("the journal is gone")
	}
}

func TestSeveralBooksAreTakenUpOneByOne(t *testing.T) {
	b := promptBench(t)
	for i := range 3 {
		old := nextStart(t)
		old.says(t, fmt.Sprintf("note %d", i))
		old.dies(t)
		for _, l := range book.FindUnsaved(b.keeper.state) {
			when := l.Last.Add(-48 * time.Hour) // two days older than the one to come
			if err := os.Chtimes(l.Path, when, when); err != nil {
				t.Fatal(err)
			}
		}
	}
	next := nextStart(t)
	day := time.Now().Add(-48 * time.Hour).Format("2 January")
	if offer := next.err.String(); !strings.HasPrefix(offer, "The book of "+day) ||
		!strings.Contains(offer, "2 older books were not saved either.") {
		t.Errorf("offers %q", offer)
	}
	next.says(t, "resume")
	said := next.says(t, "forget journal")
	if n := next.waiting(); n != 1 {
		t.Errorf("%d books wait", n)
	}
	if out := next.out.String(); !strings.Contains(out, "is dropped.") ||
		!strings.Contains(out, "was not saved: type resume") {
		t.Errorf("forgetting says %q %q", out, said)
	}
	next.says(t, "resume")
	if got := strings.Join(next.inputs(), "|"); got != "2 note 2|5 note 0" {
		t.Errorf("the book holds %q", got)
	}
	if said := next.says(t, "forget journal"); !strings.Contains(said, "no book is waiting") {
		t.Errorf("forgetting nothing says %q", said)
	}
}

// TestASavedBookIsKeptUpToDate, with what comes after it and with what is undone.
func TestASavedBookIsKeptUpToDate(t *testing.T) {
	b := promptBench(t)
	b.says(t, "note one\nsave book kept.brk")
	if said := b.out.String(); !strings.Contains(said, "It is kept up to date from now on.") {
		t.Errorf("says %q", said)
	}
	for _, c := range []struct{ line, want string }{
		{"note two", "note one\nnote two\n"},
		{"note three", "note one\nnote two\nnote three\n"},
		{"undo", "note one\nnote two\n"},
		{"nonsense", "note one\nnote two\n"},
		{"help undo", "note one\nnote two\n"},
	} {
		b.says(t, c.line)
		if got := textOf(t, "kept.brk"); got != "# breakbook book 1\n"+c.want {
			t.Errorf("after %s it holds\n%s", c.line, got)
		}
	}
	b.says(t, "save book other.brk\nnote four")
	if strings.Contains(textOf(t, "kept.brk"), "four") || !strings.Contains(textOf(t, "other.brk"), "four") {
		t.Error("not the book saved last is kept up to date")
	}
	if b.keeper.journal.Entries() != 0 {
		t.Errorf("the journal has %d entries that are saved", b.keeper.journal.Entries())
	}
	b.err.Reset()
	b.stopKeeping(t.Context())
	if b.err.Len() > 0 || b.waiting() != 0 {
		t.Errorf("leaving says %q; %d books wait", b.err.String(), b.waiting())
	}
}

// TestABookThatCannotBeKeptUpToDate: that is said once, the journal has everything, and once
// the book can be written again it is.
func TestABookThatCannotBeKeptUpToDate(t *testing.T) {
	b := promptBench(t)
	if err := os.Mkdir("books", 0o700); err != nil {
		t.Fatal(err)
	}
	b.says(t, "note one\nsave book books/kept.brk")
	if err := os.Rename("books", "away"); err != nil {
		t.Fatal(err)
	}
	said := b.says(t, "note two")
	if !strings.HasPrefix(said, "Caution: books/kept.brk could not be kept up to date (") ||
		!strings.Contains(said, "kept in the journal") {
		t.Errorf("says %q", said)
	}
	if said := b.says(t, "note three"); said != "" {
		t.Errorf("says again %q", said)
	}
	if b.keeper.journal.Entries() != 3 || b.keeper.unsaved(b.session) != 2 {
		t.Errorf("%d entries in the journal, %d unsaved", b.keeper.journal.Entries(), b.keeper.unsaved(b.session))
	}
	if err := os.Rename("away", "books"); err != nil {
		t.Fatal(err)
	}
	if said := b.says(t, "note four"); said != "books/kept.brk is up to date again.\n" {
		t.Errorf("says %q", said)
	}
	if got := textOf(t, "books/kept.brk"); !strings.HasSuffix(got, "note one\nnote two\nnote three\nnote four\n") {
		t.Errorf("it holds %q", got)
	}
	if err := os.Rename("books", "away"); err != nil {
		t.Fatal(err)
	}
	b.says(t, "note five")
	b.err.Reset()
	b.stopKeeping(t.Context())
	if got := b.err.String(); got != "1 entry not saved: type resume next time\n" || b.waiting() != 1 {
		t.Errorf("leaving says %q; %d books wait", got, b.waiting())
	}
	b.keeper.journal = nil
}

// TestNeitherBookNorJournal: where the journal fails after the book did, that is said too, and when each is back.
func TestNeitherBookNorJournal(t *testing.T) {
	b := promptBench(t)
	if err := os.Mkdir("books", 0o700); err != nil {
		t.Fatal(err)
	}
	b.says(t, "note one\nsave book books/kept.brk")
	if err := os.Rename("books", "away"); err != nil {
		t.Fatal(err)
	}
	b.says(t, "note two")
	journal := b.keeper.journal
	b.keeper.journal = &book.Journal{} // as if its disk were full
	if said := b.says(t, "note three"); !strings.Contains(said, "The journal cannot be kept: ") {
		t.Errorf("says %q", said)
	}
	if said := b.says(t, "note four"); said != "" {
		t.Errorf("says again %q", said)
	}
	b.keeper.journal = journal
	if said := b.says(t, "note five"); said != "The journal is kept again, with every entry.\n" ||
		journal.Entries() != 5 {
		t.Errorf("says %q, with %d entries", said, journal.Entries())
	}
	if err := os.Rename("away", "books"); err != nil {
		t.Fatal(err)
	}
	if said := b.says(t, "note six"); said != "books/kept.brk is up to date again.\n" {
		t.Errorf("says %q", said)
	}
}

// TestABookThatSomebodyChanged: neither a person's edit nor another session's book is replaced
// by keeping one up to date; saving it again is.
func TestABookThatSomebodyChanged(t *testing.T) {
	b := promptBench(t)
	b.says(t, "note one\nsave book kept.brk")
	other := nextStart(t)
	other.says(t, "note of another session\nsave book kept.brk")
	theirs := textOf(t, "kept.brk")
	said := b.says(t, "note two")
	if !strings.HasPrefix(said, "Caution: kept.brk was changed since it was saved") {
		t.Errorf("says %q", said)
	}
	if got := textOf(t, "kept.brk"); got != theirs || b.keeper.journal.Entries() != 2 {
		t.Errorf("%d entries in the journal; the book holds\n%s", b.keeper.journal.Entries(), got)
	}
	b.says(t, "save book mine.brk\nnote three")
	if got := textOf(t, "mine.brk"); !strings.HasSuffix(got, "note one\nnote two\nnote three\n") ||
		b.keeper.journal.Entries() != 0 {
		t.Errorf("%d entries in the journal; the book holds\n%s", b.keeper.journal.Entries(), got)
	}
}

// TestAJournalThatCannotBeWritten: that is said once, and when leaving.
func TestAJournalThatCannotBeWritten(t *testing.T) {
	b := promptBench(t)
	b.says(t, "note one")
	b.keeper.journal.Close() // as if its disk were gone
	if said := b.says(t, "note two"); !strings.HasPrefix(said, "Caution: The journal cannot be kept: ") {
		t.Errorf("says %q", said)
	}
	if said := b.says(t, "note three"); said != "" {
		t.Errorf("says again %q", said)
	}
	b.err.Reset()
	b.stopKeeping(t.Context())
	if got := b.err.String(); got != "3 entries not saved, and the journal could not be kept\n" {
		t.Errorf("leaving says %q", got)
	}
	next := nextStart(t)
	next.says(t, "resume")
	if got := strings.Join(next.inputs(), "|"); got != "2 note one" {
		t.Errorf("what was kept before: %q", got)
	}
}

// TestSavingInAPipeSavesOnce: without a prompt nothing is kept up to date, which is said of what came after, and
// nothing is resumed.
func TestSavingInAPipeSavesOnce(t *testing.T) {
	b := newHarness(t)
	b.typed(t, "note one\nsave book kept.brk\nnote two\nresume\nforget journal", false)
	if got := textOf(t, filepath.Join(b.files.folder, "kept.brk")); strings.Contains(got, "two") ||
		strings.Contains(b.out.String(), "up to date") {
		t.Errorf("it holds %q, after %q", got, b.out.String())
	}
	said := b.err.String()
	if strings.Count(strings.Join(strings.Fields(said), " "), "is resumed at the prompt only") != 2 {
		t.Errorf("says %q", said)
	}
	if got := b.notInSaved(); !strings.HasSuffix(got, "kept.brk has what came before it was saved, and not the 1 "+
		"entry after: put save book last.") {
		t.Errorf("of what came after: %q", got)
	}
	b.typed(t, "save book other.brk", false)
	if got := b.notInSaved(); got != "" {
		t.Errorf("with the book saved last: %q", got)
	}
}

func TestMoment(t *testing.T) {
	now := time.Date(2026, 11, 28, 21, 4, 0, 0, time.Local)
	for _, c := range []struct {
		then time.Time
		want string
	}{
		{now.Add(-7 * time.Hour), "14:04"},
		{now.Add(-22 * time.Hour), "27 November, 23:04"},
		{now.AddDate(-1, 0, 0), "28 November 2025, 21:04"},
	} {
		if got := moment(c.then, now); got != c.want {
			t.Errorf("%v is %q, want %q", c.then, got, c.want)
		}
	}
}
