package book

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/natefinch/atomic"

	"breakbook/frames/files"
	"breakbook/repl/page"
)

// A journal keeps the entries of one session that are in no saved book. It has the form
// of a saved book, with remarks that only resuming reads:
//
//	# breakbook book 1
//	# folder "/home/ines/series"
//	# out "/home/ines/results"
//	# seed 7
//	# file "gates.csv" 60 rows sha256 9f86d081…
//	open gates.csv
//	# drew "figure-1.png"
//	draw load by pins
//	# lines 2
//	fit load on density,
//	  pins
//
// The paths of its commands are seen from the folder, and what has no folder was written
// to out. A file is noted before the entry that first rests on it, figures before the entry
// that drew them, and of how many lines an entry is, where it is of several. Entries are appended and
// synced one at a time, and an entry that is undone is cut off again, so that only the end of the file
// can be torn. The session holds a lock on it while it lives.
const (
	folderRemark = "# folder "
	outRemark    = "# out "
	seedRemark   = "# seed "
	drewRemark   = "# drew "
	linesRemark  = "# lines " // before an entry of several lines
)

// Surroundings is what the commands of a journal depend on besides each other.
type Surroundings struct {
	Folder string // the folder the session works in
	Out    string // where files with no folder go; "" is Folder
	Seed   uint64 // that random draws start from, where the call gave one
}

// Journal is the journal of the session at work. Methods are for one goroutine.
type Journal struct {
	path    string
	file    *os.File
	folder  string // that its paths are seen from
	end     int64  // where the next entry goes
	head    int64  // where the first one went
	torn    bool   // something half written stands behind the end
	kept    []keptEntry
	sources []Source
}

// keptEntry is an entry of the journal and where it ends.
type keptEntry struct {
	number  int
	end     int64
	sources int // how many files were noted by then
}

// The steps in which a journal, and the saved book that replaces it, change on the disk;
// tests break off in the middle of one.
var (
	appendTo    = (*os.File).WriteAt
	cutTo       = (*os.File).Truncate
	syncFile    = (*os.File).Sync
	replaceFile = atomic.ReplaceFile
	placeNew    = moveNew
)

func journalFolder(state string) string { return filepath.Join(state, "journals") }

// StartJournal makes and locks the journal of a session that begins now. Errors are those
// of the file system.
func StartJournal(state string, s Surroundings, now time.Time) (*Journal, error) {
	folder := journalFolder(state)
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, err
	}
	for try := 0; ; try++ {
		name := fmt.Sprintf("%s-%d", now.Format("2006-01-02T15-04-05"), os.Getpid())
		if try > 0 {
			name += "-" + strconv.Itoa(try)
		}
		path := filepath.Join(folder, name+".brk")
		f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
		if errors.Is(err, os.ErrExist) && try < 100 {
			continue
		}
		if err != nil {
			return nil, err
		}
		locked, err := files.TryLock(f)
		if err == nil && !locked || err == nil && !stillAt(path, f) { // another start took it for a left one
			f.Close()
			continue
		}
		j := &Journal{path: path, file: f}
		if err == nil {
			err = j.begin(s)
		}
		if err != nil {
			f.Close()
			os.Remove(path)
			return nil, err
		}
		return j, nil
	}
}

func stillAt(path string, f *os.File) bool {
	open, err := f.Stat()
	if err != nil {
		return false
	}
	there, err := os.Stat(path)
	return err == nil && os.SameFile(open, there)
}

// begin writes what comes before the entries.
func (j *Journal) begin(s Surroundings) error {
	j.folder = s.Folder
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s%d\n%s%s\n", header, version, folderRemark, strconv.Quote(s.Folder))
	if s.Out != "" {
		fmt.Fprintf(&b, "%s%s\n", outRemark, strconv.Quote(s.Out))
	}
	if s.Seed != 0 {
		fmt.Fprintf(&b, "%s%d\n", seedRemark, s.Seed)
	}
	if err := j.put(b.Bytes()); err != nil {
		return err
	}
	j.head = j.end
	syncFolder(filepath.Dir(j.path)) // as much as the system lets us
	return nil
}

// put appends and syncs. What a failure leaves half written is cut off, at the latest
// before the next.
func (j *Journal) put(text []byte) error {
	if j.torn {
		if err := cutTo(j.file, j.end); err != nil {
			return err
		}
	}
	j.torn = true
	_, err := appendTo(j.file, text, j.end)
	if err == nil {
		err = syncFile(j.file)
	}
	if err != nil {
		j.torn = cutTo(j.file, j.end) != nil
		return err
	}
	j.torn = false
	j.end += int64(len(text))
	return nil
}

// Keep brings the journal to these entries and the files they rest on: what was undone is
// cut off, what is new is appended, in one piece. When it returns nil, all is on the disk.
// After an error the journal holds what was kept before, and the next call tries again.
func (j *Journal) Keep(entries []page.Entry, sources []Source) error {
	same := 0
	for same < len(j.kept) && same < len(entries) && j.kept[same].number == entries[same].Number {
		same++
	}
	if err := j.cut(same); err != nil {
		return err
	}
	if same == len(entries) {
		return nil
	}
	var b bytes.Buffer
	noted := slices.Clone(j.sources)
	for _, s := range sources {
		if !slices.Contains(noted, s) {
			noted = append(noted, s)
			b.WriteString(fileLine(j.folder, s))
		}
	}
	var kept []keptEntry
	for _, e := range entries[same:] {
		b.Write(journalled(j.folder, e))
		kept = append(kept, keptEntry{number: e.Number, end: j.end + int64(b.Len()), sources: len(noted)})
	}
	if err := j.put(b.Bytes()); err != nil {
		return err
	}
	j.kept, j.sources = append(j.kept, kept...), noted
	return nil
}

// cut leaves the first n entries in the journal.
func (j *Journal) cut(n int) error {
	if n == len(j.kept) {
		return nil
	}
	end, noted := j.head, 0
	if n > 0 {
		end, noted = j.kept[n-1].end, j.kept[n-1].sources
	}
	if err := cutTo(j.file, end); err != nil {
		return err
	}
	j.end, j.kept, j.sources = end, j.kept[:n], j.sources[:noted]
	return syncFile(j.file)
}

// Move says that the session works in other surroundings from now on; only a journal that
// holds no entry can be moved. After an error it is of no more use.
func (j *Journal) Move(s Surroundings) error {
	if len(j.kept) > 0 {
		return errors.New("it has entries of another folder")
	}
	if err := cutTo(j.file, 0); err != nil {
		return err
	}
	j.end = 0
	return j.begin(s)
}

// Entries is how many entries the journal holds.
func (j *Journal) Entries() int { return len(j.kept) }

// Close ends the journal's use: it is removed where it holds nothing, and otherwise left
// for a later session to take up.
func (j *Journal) Close() error {
	if len(j.kept) == 0 {
		return remove(j.path, j.file)
	}
	return j.file.Close()
}

// remove empties a journal before it lets go of it: if the process ends in between, there
// is nothing left to offer.
func remove(path string, f *os.File) error {
	err := cutTo(f, 0)
	return errors.Join(err, f.Close(), os.Remove(path))
}

func fileLine(folder string, s Source) string {
	return fmt.Sprintf("%s%s %d rows sha256 %s\n", file, strconv.Quote(sourceFrom(folder, s.File)), s.Rows, s.SHA256)
}

// journalled is one entry as a journal of the folder has it. What could not be read back is
// put right: a journal must not become unreadable by what was typed once.
func journalled(folder string, e page.Entry) []byte {
	if !replayable(e) {
		return nil
	}
	e.Files = slices.DeleteFunc(slices.Clone(e.Files), func(f page.File) bool { return f.Written })
	var b bytes.Buffer
	for _, f := range e.Figures {
		fmt.Fprintf(&b, "%s%s\n", drewRemark, strconv.Quote(f.Path))
	}
	text := strings.ReplaceAll(strings.ToValidUTF8(commandFrom(folder, e), "\uFFFD"), "\x00", "\uFFFD")
	text = strings.TrimRight(text, " \t\r\n,") // a comma at its end would go on with the next entry
	if more := strings.Count(text, "\n"); more > 0 {
		fmt.Fprintf(&b, "%s%d\n", linesRemark, more+1)
	}
	b.WriteString(text + "\n")
	return b.Bytes()
}
