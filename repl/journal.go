package repl

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"breakbook/models/lists"
	"breakbook/repl/book"
	"breakbook/repl/page"
	"breakbook/repl/render"
	"breakbook/repl/session"
)

// keeper keeps the book of a session at the prompt on the disk, entry by entry: in the
// book it was saved as, and where there is none, or it cannot be written, in a journal
// that the next session can resume.
type keeper struct {
	state   string        // the state folder; "" where the system names none
	journal *book.Journal // nil: none can be kept
	seed    uint64        // that the session started with

	save func(path string, s *session.Session) error // writes the book whole

	saved   string // the book that is kept up to date, a whole path; "" before the first save
	name    string // as it was typed
	written []int  // the numbers of the entries in it
	sum     string // its SHA-256 when it was written last; "" where it could not be read back
	trouble bool   // something could not be kept, and that was said
	lost    bool   // the journal lacks the latest entries
	discard bool   // the person leaves without saving
}

// newKeeper starts the journal of a session. caution says why there is none.
func newKeeper(s book.Surroundings) (k *keeper, caution string) {
	k = &keeper{seed: s.Seed}
	state, err := book.StateFolder()
	if err == nil {
		k.state = state
		k.journal, err = book.StartJournal(state, s, time.Now())
	}
	if err != nil {
		return k, fmt.Sprintf("no journal of what is not saved can be kept: %s. Save the book now and then: "+
			"save book FILE.brk", err)
	}
	return k, ""
}

// keep brings what is on the disk to the session's entries, and returns what there is to
// say about it; mostly nothing.
func (k *keeper) keep(s *session.Session) string {
	entries := s.Entries()
	if k.saved == "" {
		return k.toJournal(entries, s, "")
	}
	if slices.Equal(k.written, numbersOf(entries)) {
		return ""
	}
	if k.changed() {
		return k.toJournal(entries, s, k.name+" was changed since it was saved, and is not kept up to date. ")
	}
	if err := k.save(k.saved, s); err != nil {
		return k.toJournal(entries, s, fmt.Sprintf("%s could not be kept up to date (%s). ", k.name, err))
	}
	k.wrote(entries)
	said := ""
	if k.trouble {
		said = k.name + " is up to date again."
	}
	k.trouble, k.lost = false, false
	return said + k.emptyJournal()
}

// wrote notes what the saved book holds now.
func (k *keeper) wrote(entries []page.Entry) {
	k.written, k.sum = numbersOf(entries), ""
	if now, err := book.Fingerprint(context.Background(), k.saved); err == nil {
		k.sum = now.SHA256
	}
}

// changed tells whether a person, or another session, changed the saved book since it was
// written here.
func (k *keeper) changed() bool {
	now, err := book.Fingerprint(context.Background(), k.saved)
	return err == nil && now.SHA256 != k.sum
}

// toJournal keeps the entries in the journal; why says what made that necessary.
func (k *keeper) toJournal(entries []page.Entry, s *session.Session, why string) string {
	if k.journal == nil {
		if why != "" && !k.trouble {
			k.trouble = true
			return "Caution: " + why + "Save the book elsewhere: save book FILE.brk"
		}
		return ""
	}
	err := k.journal.Keep(entries, sourcesOf(s))
	wasLost, known := k.lost, k.trouble
	switch k.lost, k.trouble = err != nil, err != nil || why != ""; {
	case k.lost && wasLost:
		return ""
	case k.lost:
		return fmt.Sprintf("Caution: %sThe journal cannot be kept: %s. Save the book: save book FILE.brk", why, err)
	case wasLost:
		return "The journal is kept again, with every entry."
	case known || !k.trouble:
		return ""
	}
	return "Caution: " + why + "What is not in it is kept in the journal, for resume."
}

// emptyJournal takes out of the journal what the saved book holds.
func (k *keeper) emptyJournal() string {
	if k.journal == nil {
		return ""
	}
	if err := k.journal.Keep(nil, nil); err != nil {
		return fmt.Sprintf("Caution: the journal still has what is saved: %s", err)
	}
	return ""
}

// moved tells the journal that the session works elsewhere now. The seed stays its own.
func (k *keeper) moved(s book.Surroundings) string {
	if k.journal == nil {
		return ""
	}
	s.Seed = k.seed
	err := k.journal.Move(s)
	if err == nil {
		return ""
	}
	k.journal.Close()
	k.journal = nil
	return fmt.Sprintf("Caution: the journal cannot be kept: %s. Save the book: save book FILE.brk", err)
}

// savedAs notes that the session was saved, to be kept up to date from now on.
func (k *keeper) savedAs(path string, s *session.Session) {
	whole, err := filepath.Abs(path)
	if err != nil {
		whole = path
	}
	k.saved, k.name = whole, path
	k.wrote(s.Entries())
	k.trouble, k.lost = false, false
	k.emptyJournal() // if it stays full, the next start offers what is saved already: no loss
}

// unsaved counts the entries that are in no saved book; an entry that was undone since
// counts as one.
func (k *keeper) unsaved(s *session.Session) int {
	now := numbersOf(s.Entries())
	if k.saved == "" {
		return len(now)
	}
	n := lists.Count(now, func(number int) bool { return !slices.Contains(k.written, number) })
	if n == 0 && len(now) < len(k.written) {
		return 1
	}
	return n
}

// leave ends the keeping and returns the line to leave with; mostly none.
func (k *keeper) leave(s *session.Session) string {
	if k.journal == nil {
		return ""
	}
	unsaved := k.unsaved(s)
	if k.discard || unsaved == 0 {
		k.emptyJournal()
	}
	err := k.journal.Close()
	switch {
	case k.discard || unsaved == 0:
		return ""
	case err != nil || k.lost:
		return entriesOf(unsaved) + " not saved, and the journal could not be kept"
	}
	return entriesOf(unsaved) + " not saved: type resume next time"
}

// offer says which books were not saved, or nothing.
func (k *keeper) offer(now time.Time) string {
	unsaved := book.FindUnsaved(k.state)
	if k.state == "" || len(unsaved) == 0 {
		return ""
	}
	said := fmt.Sprintf("%s was not saved: type resume, or forget journal to drop it.", upper(bookOf(unsaved[0], now)))
	switch more := len(unsaved) - 1; {
	case more == 1:
		said += " One older book was not saved either."
	case more > 1:
		said += fmt.Sprintf(" %d older books were not saved either.", more)
	}
	return said
}

// latest is the latest book that was not saved.
func (k *keeper) latest() (*book.Unsaved, error) {
	if k != nil && k.state != "" {
		for _, l := range book.FindUnsaved(k.state) {
			taken, err := book.TakeUp(l.Path)
			if err == nil && len(taken.Entries) > 0 {
				return taken, nil
			}
			if err == nil {
				taken.Release()
			}
		}
	}
	p := page.Refuse(page.CodeNothingToResume, 0, "no book is waiting to be resumed: every other one was saved or "+
		"dropped", "")
	if k == nil {
		p.Message = "a book that was not saved is resumed at the prompt only"
		p.Hint = "start breakbook without commands, and type resume"
	}
	return nil, p
}

// forget drops the latest book that was not saved and says so.
func (k *keeper) forget() ([]page.Sentence, error) {
	unsaved, err := k.latest()
	if err != nil {
		return nil, err
	}
	if err := unsaved.Remove(); err != nil {
		return nil, page.Refuse(page.CodeCannotWrite, 0, "the journal could not be removed: "+err.Error(), "")
	}
	now := time.Now()
	said := []page.Sentence{page.Say(upper(bookOf(unsaved, now)) + " is dropped.")}
	if more := k.offer(now); more != "" {
		said = append(said, page.Say(more))
	}
	return said, nil
}

// bookOf names a book that was not saved: "the book of 14:02 (37 entries, gates.csv)".
func bookOf(unsaved *book.Unsaved, now time.Time) string {
	about := []string{entriesOf(len(unsaved.Entries))}
	var names []string
	for _, s := range unsaved.Sources {
		if name := filepath.Base(s.File); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if most := 3; len(names) > most {
		names = append(names[:most-1], fmt.Sprintf("%d more files", len(names)-most+1))
	}
	about = append(about, names...)
	if !here(unsaved.Folder) {
		about = append(about, "in "+unsaved.Folder)
	}
	return fmt.Sprintf("the book of %s (%s)", moment(unsaved.Last.Local(), now), strings.Join(about, ", "))
}

// moment is a time as one says it: with the day where that is not today, and the year
// where that is not this one.
func moment(t, now time.Time) string {
	switch {
	case t.Year() != now.Year():
		return t.Format("2 January 2006, 15:04")
	case t.YearDay() != now.YearDay():
		return t.Format("2 January, 15:04")
	}
	return t.Format("15:04")
}

// here tells whether a folder is the one the session works in.
func here(folder string) bool {
	a, err := os.Stat(folder)
	if err != nil {
		return false
	}
	b, err := os.Stat(".")
	return err == nil && os.SameFile(a, b)
}

func entriesOf(n int) string {
	if n == 1 {
		return "1 entry"
	}
	return fmt.Sprintf("%d entries", n)
}

func numbersOf(entries []page.Entry) []int {
	return lists.Mapped(entries, func(e page.Entry) int { return e.Number })
}

// upper is a sentence with its first letter made large.
func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// remark writes for people a line that is no result, if there is any.
func (l *loop) remark(line string) {
	if line == "" {
		return
	}
	line = render.Sentence(page.Say(line), render.Options{})
	if width := l.screen.width(); width > 0 {
		line = strings.TrimSuffix(render.Wrapped(line, width), "\n")
	}
	l.screen.complain(line + "\n")
}

// startKeeping starts to keep the book of a session at the prompt, and says which books of
// earlier ones were not saved.
func (l *loop) startKeeping() {
	s := book.Surroundings{Out: l.files.whole(), Seed: l.session.Settings().Seed}
	var caution string
	if s.Folder, _ = os.Getwd(); s.Folder == "" { // it was removed: paths mean nothing there
		caution = "no journal of what is not saved can be kept: the folder is gone"
		l.keeper = &keeper{}
	} else {
		l.keeper, caution = newKeeper(s)
	}
	if caution != "" {
		l.remark("Caution: " + caution)
	}
	l.keeper.save = func(path string, s *session.Session) error {
		return l.files.saveBook(context.Background(), path, s) // whatever stopped the command, the book is kept
	}
	l.remark(l.keeper.offer(time.Now()))
}

// stopKeeping ends that and says what was not saved.
func (l *loop) stopKeeping(ctx context.Context) {
	line := l.keeper.leave(l.session)
	if line != "" && ctx.Err() != nil {
		l.screen.complain("\n") // the prompt is still there
	}
	l.remark(line)
}

// keep keeps what a command came to, before that is shown. A book that is taken up is kept
// when all of it is there.
func (l *loop) keep(o outcome) {
	if l.keeper == nil {
		if o.saved != "" {
			l.savedOnce, l.inSaved = o.saved, numbersOf(l.session.Entries())
		}
		return
	}
	l.keeper.discard = l.keeper.discard || o.discard
	switch {
	case l.files.resuming:
	case o.saved != "":
		l.keeper.savedAs(o.saved, l.session)
	default:
		l.remark(l.keeper.keep(l.session))
	}
}

// savesTo notes where a book is saved, to be kept up to date there. Only a person at the
// prompt has that done, not a book that is replayed there.
func (l *loop) savesTo(path string, e *page.Entry, o *outcome) {
	if len(l.replaying) > 0 || l.files.resuming {
		return
	}
	o.saved = path
	if l.keeper != nil {
		e.Find(page.Say("It is kept up to date from now on."))
	}
}

// notInSaved says how many entries came after the book was saved where there is no prompt: it was written once.
func (l *loop) notInSaved() string {
	after := lists.Count(numbersOf(l.session.Entries()), func(n int) bool { return !slices.Contains(l.inSaved, n) })
	if l.savedOnce == "" || after == 0 {
		return ""
	}
	return fmt.Sprintf("Caution: %s has what came before it was saved, and not the %s after: put save book last.",
		l.savedOnce, entriesOf(after))
}

// takeUp finds the book that resume is to run.
func (l *loop) takeUp(ctx context.Context, e *page.Entry, o *outcome) error {
	unsaved, err := l.keeper.latest()
	if err != nil {
		return err
	}
	said, err := l.canResume(ctx, unsaved)
	if err != nil {
		unsaved.Release()
		return err
	}
	e.Warn(said...)
	o.resume = unsaved
	return nil
}
