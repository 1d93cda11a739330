package modes

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"breakbook/models/design"
	"breakbook/repl/page"
	"breakbook/repl/session"
)

// tooFewBreaks names the levels that were left out because hardly any specimen broke so.
func tooFewBreaks(mode string, levels []string, breaks []int) page.Sentence {
	s := page.Say("Left out, for fewer than 3 specimens in which " + mode + ": ")
	for i, l := range levels {
		s = page.Say(s, page.If(i > 0, "; "), l+" (", breaks[i], ")")
	}
	return append(s, page.Word("."))
}

// leaveOut takes out the levels, of the categories among the columns, at which fewer than 3
// specimens broke so, until every level left has 3; then says where too few are left at all.
func (u *oneMode) leaveOut(k *session.Call, columns []string) error {
	s := u.sample
	var names []string
	var breaks []int
	for again := true; again; {
		ended, err := session.Where(k.Context, s.Frame, u.mode)
		if err != nil {
			return err
		}
		u.ended, again = ended, false
		for _, name := range columns {
			v, err := s.Variable(k.Context, name)
			if err != nil {
				return err
			}
			if !v.IsCategory() {
				continue
			}
			drop, counts := thinLevels(v, ended)
			if len(drop) == 0 {
				continue
			}
			keep := make([]bool, len(ended))
			for i, code := range v.Codes {
				keep[i] = !slices.Contains(drop, code)
			}
			for _, l := range drop {
				names, breaks = append(names, name+" "+v.Levels[l]), append(breaks, counts[l])
			}
			if !slices.Contains(keep, true) {
				return u.tooFew(names, breaks)
			}
			s.Only(k.Context, keep)
			again = true
			break
		}
	}
	counts := s.Counts
	k.Entry.Specimens = &counts
	if n := count(u.ended); n < fewestBreaks {
		return u.tooFew(nil, []int{n})
	}
	for _, name := range columns {
		if only, is := onlyLevel(k.Context, s, name); is && len(names) > 0 {
			return page.Refuse(page.CodeTooFewBreaks, u.mode.At, "of "+name+" only "+only+" has 3 specimens in which "+
				u.was()+", so there is nothing to set it against", "leave "+name+
				" out of the terms, or break more specimens")
		}
	}
	if len(names) > 0 {
		u.leftOut = append(u.leftOut, tooFewBreaks(u.was(), names, breaks))
	}
	return nil
}

// onlyLevel is the one level that a category has among the specimens; is tells that there is
// just one.
func onlyLevel(ctx context.Context, s *session.Sample, name string) (level string, is bool) {
	v, err := s.Variable(ctx, name)
	if err != nil || !v.IsCategory() || slices.Min(v.Codes) != slices.Max(v.Codes) {
		return "", false
	}
	return v.Levels[v.Codes[0]], true
}

// thinLevels are the levels some specimen has at which fewer than 3 broke so.
func thinLevels(v design.Variable, ended []bool) (drop, counts []int) {
	counts, present := make([]int, len(v.Levels)), make([]bool, len(v.Levels))
	for i, code := range v.Codes {
		present[code] = true
		if ended[i] {
			counts[code]++
		}
	}
	for l := range v.Levels {
		if present[l] && counts[l] < fewestBreaks {
			drop = append(drop, l)
		}
	}
	return drop, counts
}

func count(mask []bool) int {
	n := 0
	for _, is := range mask {
		if is {
			n++
		}
	}
	return n
}

// tooFew is the problem of hardly any break of the mode.
func (u *oneMode) tooFew(levels []string, breaks []int) error {
	p := &page.Problem{Code: page.CodeTooFewBreaks, At: u.mode.At}
	if len(levels) == 0 {
		p.Message = fmt.Sprintf("in only %d of these specimens %s: at least 3 are needed to tell what that way of "+
			"breaking would carry", breaks[0], u.was())
		p.Hint = "break more, widen the condition after for, or join ways of breaking with among"
		return p
	}
	p.Message = "at no level of the terms are there 3 specimens in which " + u.was() +
		" (" + strings.Join(levels, "; ") + ")"
	p.Hint = "leave terms out, or break more specimens"
	return p
}
