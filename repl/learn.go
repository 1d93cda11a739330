package repl

import (
	"context"
	"strings"

	"breakbook/repl/render"
	"breakbook/testdata/demo"
	"breakbook/testdata/lesson"
)

// step is one part of the lesson: what is read, and then the line to type; "" at the end.
type step struct{ text, line string }

// steps cuts the lesson into its steps.
func steps(text string) []step {
	var out []step
	for {
		before, rest, found := strings.Cut(text, "```text\n")
		one := step{text: strings.TrimSpace(before)}
		if !found {
			return append(out, one)
		}
		line, after, _ := strings.Cut(rest, "```")
		one.line = strings.TrimSpace(line)
		out, text = append(out, one), after
	}
}

// walk is a lesson on its way: the steps that are still to come, the present one first.
type walk struct{ ahead []step }

// learn puts the lesson's series where its lines look for it and shows the first step.
func (l *loop) learn(ctx context.Context) bool {
	if err := l.unpack(ctx, lesson.Files, lesson.Folder); err != nil {
		l.fail("learn", problemOf(err))
		return false
	}
	l.lesson = &walk{steps(lesson.Text)}
	l.showStep()
	return true
}

// learned goes on to the next step of the lesson where the line that worked is the one it waits for.
func (l *loop) learned(line string) {
	if l.lesson == nil || len(l.lesson.ahead) == 0 || !sameLine(line, l.lesson.ahead[0].line) {
		return
	}
	l.lesson.ahead = l.lesson.ahead[1:]
	l.showStep()
}

func sameLine(a, b string) bool {
	return strings.EqualFold(strings.Join(strings.Fields(a), " "), strings.Join(strings.Fields(b), " "))
}

// showStep tells the present step of the lesson.
func (l *loop) showStep() {
	s := l.lesson.ahead[0]
	l.screen.greet("\n" + plainText(s.text, l.screen.width()) + "\n")
	if s.line == "" {
		l.lesson = nil
		return
	}
	l.screen.greet("Type:  " + s.line + "\n\n")
}

// plainText is the lesson's text for a screen: paragraphs broken to its width, without marks.
func plainText(text string, width int) string {
	var b strings.Builder
	for i, paragraph := range strings.Split(text, "\n\n") {
		if i > 0 {
			b.WriteString("\n")
		}
		heading := strings.HasPrefix(paragraph, "#")
		words := strings.Join(strings.Fields(strings.NewReplacer("`", "", "*", "").Replace(strings.TrimLeft(paragraph,
			"# "))), " ")
		if heading {
			words = strings.ToUpper(words)
		}
		b.WriteString(render.Wrapped(words, width))
	}
	return b.String()
}

// learnThrough goes through the whole lesson, typing its lines itself.
func (l *loop) learnThrough(ctx context.Context) int {
	if !l.learn(ctx) {
		return oneFailed
	}
	for _, s := range steps(lesson.Text) {
		if s.line != "" && !l.feed(ctx, linesOf(strings.NewReader(s.line+"\n")), true, true) {
			return oneFailed
		}
	}
	return allWorked
}

// demoBook puts the demo into its folder, and is its book.
func (l *loop) demoBook(ctx context.Context) (*savedBook, error) {
	if err := l.unpack(ctx, demo.Files, demoFolder); err != nil {
		return nil, err
	}
	return loadBook(ctx, demoFolder+"/"+demo.Book, l.replaying)
}
