package repl

import (
	"context"
	"fmt"
	"os"
	"strings"
	"time"

	"breakbook/repl/book"
	"breakbook/repl/page"
)

// canResume looks before a book that was not saved is taken up whether that can be, and
// gives what is to be said about it beforehand.
func (l *loop) canResume(ctx context.Context, unsaved *book.Unsaved) ([]page.Sentence, error) {
	elsewhere := !here(unsaved.Folder)
	if info, err := os.Stat(unsaved.Folder); elsewhere && (err != nil || !info.IsDir()) {
		return nil, page.Refuse(page.CodeCannotRead, 0, "the folder of that book, "+unsaved.Folder+", is not there",
			"bring the folder back, or read the commands in "+unsaved.Path)
	}
	if (elsewhere || unsaved.Out != l.files.whole()) && len(l.session.Entries()) > 0 {
		return nil, page.Refuse(page.CodeAnotherFolder, 0,
			"that book works in "+strings.TrimSuffix(unsaved.Folder+" and "+unsaved.Out, " and ")+
				", and this one already has entries of another folder",
			"type resume before anything else at the next start")
	}
	var said []page.Sentence
	if elsewhere {
		said = append(said, page.Say("Work goes on in "+unsaved.Folder+", the folder of that book."))
	}
	changed, err := book.Changed(ctx, unsaved.Sources, unsaved.Folder)
	return append(said, changed...), err
}

// resume runs the entries of a book that was not saved as entries of this one. Files they
// wrote are left as they are. Either all of it comes back or nothing, and then the journal
// stays.
func (l *loop) resume(ctx context.Context, unsaved *book.Unsaved) bool {
	name := bookOf(unsaved, time.Now())
	before, where := l.session, l.files
	moves := !here(unsaved.Folder) || where.whole() != unsaved.Out
	from, err := os.Getwd()
	if err == nil && moves {
		l.files.folder = unsaved.Out
		err = os.Chdir(unsaved.Folder)
	}
	if err != nil {
		unsaved.Release()
		l.remark("Caution: " + err.Error())
		return false
	}
	if at, worked := l.carryOn(ctx, unsaved); !worked {
		if at > 0 {
			at--
		}
		for before.Next() < l.session.Next() { // the numbers are used
			before, _ = before.Failed("", nil)
		}
		l.session, l.files = before, where
		unsaved.Release()
		first := "put right what is missing"
		if open := before.SeriesNames(); len(open) > 0 {
			first += " (or close what has its name here: close " + open[len(open)-1] + ")"
		}
		l.remark(fmt.Sprintf("%s is not taken up: it stops at line %d of its journal, %s. The journal stays as it is: "+
			"%s and type resume, or take its first entries with replay.",
			upper(name), unsaved.Entries[at].No, unsaved.Path, first))
		if err := os.Chdir(from); err != nil {
			l.remark("Caution: " + err.Error())
		}
		return false
	}
	l.files = l.files.afterEarlier()
	if moves {
		l.remark(l.keeper.moved(unsaved.Surroundings))
	}
	l.remark(l.keeper.keep(l.session))
	if l.keeper.journal == nil || l.keeper.lost { // it is nowhere but in the old journal
		unsaved.Release()
	} else if err := unsaved.Remove(); err != nil {
		l.remark("Caution: the journal of that book could not be removed: " + err.Error())
	}
	l.remark(upper(name) + " is taken up.")
	return true
}

// carryOn runs the entries of a journal until one fails; at counts those it began.
func (l *loop) carryOn(ctx context.Context, unsaved *book.Unsaved) (at int, worked bool) {
	l.files.resuming, l.names = true, newBookNames()
	defer func() { l.files.resuming, l.files.drew, l.names = false, nil, nil }()
	var nobody plainLines // who would keep a history of what was typed before
	worked = true
	if unsaved.Seed != l.session.Settings().Seed {
		worked = l.commands(ctx, nobody, fmt.Sprintf("seed %d", unsaved.Seed), true, true)
	}
	for at < len(unsaved.Entries) && worked && !l.hasQuit && ctx.Err() == nil {
		e := unsaved.Entries[at]
		l.files.drew = e.Drew
		at++
		worked = l.commands(ctx, nobody, e.Text, true, true)
	}
	return at, worked && ctx.Err() == nil && at == len(unsaved.Entries)
}
