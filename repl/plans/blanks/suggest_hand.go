package blanks

import (
	"fmt"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/files"
	"breakbook/frames/units"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// mostBlanksNamed is how many blanks a sentence names.
const mostBlanksNamed = 6

// handFinding tells which of the blanks on hand to take, and what that would do for a fit's estimates.
func handFinding(of int, chosen []string, kinds []page.Sentence, blocks []string, file, fit string,
	narrower float64) page.Sentence {
	n, same := len(chosen), ""
	if len(blocks) > 0 {
		same = " with " + strings.Join(blocks, " and ") + " spread as evenly"
	}
	s := page.Say("Of the ", of, say.Plural(of, " blank", " blanks")+" in "+file+" that can be used, take ")
	if n > mostBlanksNamed {
		s = page.Say(s, "the ", n, " of the table")
		chosen = nil
	}
	for i, name := range chosen {
		s = page.Say(s, between(i, n), name, page.If(len(kinds[i]) > 0, " with ", kinds[i]))
	}
	return page.Say(s, ": together with what is measured already, the intervals of the estimates of "+fit+
		" come out ", page.Share(narrower), " narrower on the whole, and to exchange "+
		say.Plural(n, "it", "one of them")+" for another blank or another kind of joint"+same+" would not do better.")
}

// handBoards tells whether the blanks taken are spread over boards and the like.
func handBoards(blocks []string, levels bool, uneven int) page.Sentence {
	names, over, and := strings.Join(blocks, " and "), "", ""
	if levels {
		over, and = ", and those it gives are spread over the levels", " and levels"
	}
	if uneven == 0 {
		return page.Say("No value of " + names + " gives more blanks than it has to" + over + ".")
	}
	return page.Say("The blanks could not be spread evenly over "+names+and+": ", uneven,
		" more in one place than need be.")
}

// handAveraged tells what is made of columns that come with the blank and that the file does not have.
func handAveraged(missing []string, file string) page.Sentence {
	return page.If(len(missing) > 0, strings.Join(missing, " and ")+say.Plural(len(missing), " comes", " come")+
		" with the blank, but "+file+" does not have "+say.Plural(len(missing), "it", "them")+
		": the calculation averages over the values that the blanks had so far.")
}

// onHand are the blanks of a file that a fit can be asked about.
type onHand struct {
	*blanks
	fixed variables // come with the blank, as the file has them
	free  variables // chosen for each blank
	rest  variables // come with the blank, but are not in the file
	at    []linear.Point
	far   []string // blanks that lie beyond what the fit saw
}

// suggestFrom names the blanks on hand that would narrow a fit's estimates most.
func suggestFrom(k *session.Call, cmd *phrase.Suggest, f *fitted.Fit, settable, found variables) (*session.Outcome,
	error) {
	h, err := readHand(k, cmd, f, settable, found)
	if err != nil {
		return nil, err
	}
	name, n := cmd.Fit.Text, cmd.N.Value
	kinds, ok := kinds(f, h.free)
	if !ok || len(kinds)*len(h.at) > mostLooked {
		return nil, page.Refuse(page.CodeOutOfRange, cmd.Fit.At,
			fmt.Sprintf("the blanks and the terms of %s make more than %d joints to choose from", name, mostLooked), "")
	}
	var points []linear.Point
	var blank []int
	for i, own := range h.at {
		for _, kind := range kinds {
			points, blank = append(points, own.With(kind)), append(blank, i)
		}
	}
	few := page.Refuse(page.CodeTooFewBlanks, cmd.N.At, fmt.Sprintf("%s has %d %s that can be used",
		cmd.File.Path, len(h.at), say.Plural(len(h.at), "blank", "blanks")), "")
	if len(h.at) < n {
		return nil, few
	}
	var kept []int
	s, figures, err := narrowest(k, cmd, f, points, h.rest,
		func(measured [][]float64, candidates [][][]float64, at []int) (plan.Suggestion, error) {
			kept = at
			return plan.SuggestFrom(k.Context, measured, candidates, h.candidates(f, points, blank, at), n,
				k.Session.Settings().Seed)
		})
	if plan.Because(err, "too-few-blanks") {
		return nil, few
	}
	if err != nil {
		return nil, err
	}
	chosen := make([]int, n)
	for i, c := range s.Chosen {
		chosen[i] = kept[c]
	}
	slices.Sort(chosen) // in the order of the file
	finding := h.tell(k, cmd, f, points, blank, chosen, s.Uneven, figures.Narrower)
	k.Entry.Values = page.ValuesOf(figures, nil)
	k.Entry.Reads = []string{files.Home(cmd.File.Path)}
	return session.Untested(f.Sample, f.Y, f.Known(), suggestedMains(f, append(slices.Clone(h.fixed), h.free...),
		points, counted(chosen, len(points)), finding)), nil
}

// tell fills in the entry and gives its first finding.
func (h *onHand) tell(k *session.Call, cmd *phrase.Suggest, f *fitted.Fit, points []linear.Point, blank, chosen []int,
	uneven int, narrower float64) page.Sentence {
	all := append(slices.Clone(h.fixed), h.free...)
	slices.Sort(all)
	columns := kindColumns(f, all)
	var rows []handRow
	var names []string
	var kinds []page.Sentence
	for _, c := range chosen {
		row := blank[c]
		r := handRow{Specimen: h.frame.SpecimenName(row), Blocks: h.blocksOf(row),
			Kind: page.Many{Columns: columns, Cells: kindCells(f, all, points[c])}}
		rows, names = append(rows, r), append(names, r.Specimen)
		kinds = append(kinds, inARow(kindParts(f, h.free, points[c])))
	}
	k.Entry.Tables = []page.Table{page.Filled(page.Table{ID: "chosen", Title: page.Say("Which blanks to take")}, rows,
		nil)}
	finding := handFinding(len(h.at), names, kinds, h.blocks, cmd.File.Path, cmd.Fit.Text, narrower)
	k.Entry.Findings = []page.Sentence{finding}
	if len(h.blocks) > 0 {
		k.Entry.Find(handBoards(h.blocks, len(h.free) > 0, uneven))
	}
	k.Entry.Find(handAveraged(namesOf(f, h.rest), cmd.File.Path))
	if len(f.Method.Blocks) > 0 {
		block := f.Method.Blocks[0].Name()
		k.Entry.Find(page.Say("The calculation takes each blank as if it came from a new " + block +
			" of its own; several of one " + block + " tell a little more or less than it says."))
	}
	weighed(k, f)
	if asked := askedOfBlanks(k, f, h.free); len(asked) > 0 {
		k.Entry.Warn(page.Say(cmd.File.Path + " does not have " + strings.Join(asked, " and ") +
			", so a value is chosen for each blank, but almost every joint measured had its own. If it comes with " +
			"the blank, add it to the file, or type: mark " + asked[0] + " as given"))
	}
	k.Entry.Warn(page.If(len(h.leftOut) > 0, "Left out because a value that the fit needs is missing: "+
		say.ShortList(h.leftOut)+"."), blanksAside(h.aside), page.If(len(h.far) > 0, "Not looked at, because "+
		cmd.Fit.Text+" saw no joint of their kind, or none with values as low or as high: "+
		say.ShortList(h.far)+"."))
	return finding
}

// handRow is a blank to take, its blocks, and what it is and becomes.
type handRow struct {
	Specimen string    `id:"specimen"`
	Blocks   page.Many `id:"{blocks}"`
	Kind     page.Many `id:"{columns}"`
}

// candidates are the blanks, boards and levels of the points kept; only a category is spread over boards.
func (h *onHand) candidates(f *fitted.Fit, points []linear.Point, blank, kept []int) plan.OnHand {
	on := plan.OnHand{Board: make([][]int, len(h.codes))}
	spread := lists.Where(h.free, func(v int) bool { return f.Model().Variables[v].IsCategory() })
	on.Level = make([][]int, len(spread))
	for _, c := range kept {
		on.Blank = append(on.Blank, blank[c])
		for b, codes := range h.codes {
			on.Board[b] = append(on.Board[b], codes[blank[c]])
		}
		for i, v := range spread {
			on.Level[i] = append(on.Level[i], slices.Index(f.Matrix.Present[v], points[c].Levels[v]))
		}
	}
	return on
}

// readHand opens the file and finds which variables of the fit come with its blanks.
func readHand(k *session.Call, cmd *phrase.Suggest, f *fitted.Fit, settable, found variables) (*onHand, error) {
	file := *cmd.File
	frame, err := session.ReadTable(k, file, cmd, func(c *phrase.Suggest) **phrase.Text { return &c.Sheet })
	if err != nil {
		return nil, err
	}
	h := &onHand{}
	lacks := make([]bool, frame.Len())
	for v, x := range f.Model().Variables {
		missing, err := frame.MissingIn(x.Name)
		switch {
		case err == nil && slices.Contains(missing, false):
			h.fixed = append(h.fixed, v)
			if frame, err = inFitsUnit(k, frame, x.Name, x.Unit, x.IsCategory(), file); err != nil {
				return nil, err
			}
			for row, gone := range missing {
				lacks[row] = lacks[row] || gone
			}
		case slices.Contains(settable, v):
			h.free = append(h.free, v)
		case slices.Contains(found, v):
			h.rest = append(h.rest, v)
		}
	}
	if len(h.fixed)+len(h.free) == 0 {
		return nil, page.Refuse(page.CodeNothingToSet, file.At, file.Path+
			" has no column of the terms of "+cmd.Fit.Text+", so nothing tells its blanks apart", "")
	}
	h.blanks = &blanks{whole: frame}
	h.take(k, lacks, func(row int) bool {
		p, seen := h.pointOf(f, frame, row)
		if seen {
			h.at = append(h.at, p)
		} else {
			h.far = append(h.far, frame.SpecimenName(row))
		}
		return seen
	})
	return h, nil
}

// inFitsUnit brings a column of the file to the kind and unit that the fit has.
func inFitsUnit(k *session.Call, frame *frames.Frame, name, unit string, category bool,
	file phrase.File) (*frames.Frame, error) {
	c, _ := frame.Column(name)
	if !category && c.Kind != frames.Number {
		return nil, page.Refuse(page.CodeWrongKind, file.At, name+" in "+file.Path+
			" is not a number, as it is in the fit", "")
	}
	if category || c.Unit.String() == unit {
		return frame, nil
	}
	u, _ := units.Parse(unit)
	frame, err := frame.Convert(k.Context, name, u)
	return frame, session.WithPlace(err, file.At)
}

// pointOf is what comes with a blank, and whether the fit saw its like: its levels, and numbers within those
// measured.
func (h *onHand) pointOf(f *fitted.Fit, frame *frames.Frame, row int) (linear.Point, bool) {
	p := linear.Point{Numbers: map[int]float64{}, Levels: map[int]int{}}
	for _, v := range h.fixed {
		x := f.Model().Variables[v]
		if x.IsCategory() {
			text, _ := frame.Cell(x.Name, row)
			l := slices.Index(x.Levels, text)
			if !slices.Contains(f.Matrix.Present[v], l) {
				return p, false
			}
			p.Levels[v] = l
			continue
		}
		values, err := frame.Numbers(x.Name)
		if err != nil || !(values[row] >= slices.Min(x.Numbers) && values[row] <= slices.Max(x.Numbers)) {
			return p, false
		}
		p.Numbers[v] = values[row]
	}
	return p, true
}
