package blanks

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/plan"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// kind is a kind of joint to make, and how many of it.
type kind struct {
	N  int
	Of []page.Sentence // "pins pair", "overlap 20 mm"
}

// mostKindsNamed is how many kinds of joint a sentence names.
const mostKindsNamed = 4

// suggestedFinding tells what to make next and what it would do for a fit's estimates.
func suggestedFinding(n int, kinds []kind, fit string, narrower float64) page.Sentence {
	return page.Say(nextJoints(n, kinds), ": together with what is measured already, the intervals of the "+
		"estimates of "+fit+" come out ",
		page.Share(narrower), " narrower on the whole, and to exchange "+
			say.Plural(n, "it", "one of them")+" for a joint of another kind would not do better.")
}

// nextJoints names the joints to make, or the table of them.
func nextJoints(n int, kinds []kind) page.Sentence {
	if len(kinds) > mostKindsNamed {
		return page.Say("Next, make the ", n, " joints of the table")
	}
	s := page.Say("Next, make ")
	for i, k := range kinds {
		s = page.Say(s, between(i, len(kinds)), k.N, say.Plural(k.N, " joint", " joints")+" with ", inARow(k.Of))
	}
	return s
}

// between is what stands before the i-th of n things, which may have commas of their own.
func between(i, n int) page.Sentence {
	return page.Say(page.If(i > 0 && i < n-1, "; "), page.If(i > 0 && i == n-1, " and "))
}

// inARow are the values of a joint.
func inARow(parts []page.Sentence) page.Sentence {
	return page.Joined(parts, ", ", func(part page.Sentence) page.Sentence { return part })
}

// isOver reports whether a column says of what board, day or series a joint is: the next ones are of others.
func isOver(c frames.Column) bool { return session.IsBlock(c) || c.Name == frames.SeriesColumn }

// foundAveraged tells what is made of columns that come with the blank, and of days and boards that are over.
func foundAveraged(f *fitted.Fit, found variables) []page.Sentence {
	var given, over []string
	for _, name := range namesOf(f, found) {
		if c, ok := f.Sample.Frame.Column(name); ok && isOver(c) && c.Role != frames.Given {
			over = append(over, name)
		} else {
			given = append(given, name)
		}
	}
	return []page.Sentence{
		page.If(len(given) > 0, strings.Join(given, " and ")+say.Plural(len(given), " comes with the blank and is",
			" come with the blank and are")+" not chosen: the calculation averages over the values that the blanks "+
			"had so far, so take the blanks as they come."),
		page.If(len(over) > 0, strings.Join(over, " and ")+say.Plural(len(over), " is", " are")+
			" not chosen: the calculation averages over the values there were."),
	}
}

// The most joints that are suggested, the most kinds of joint they are chosen from, and the
// most pairs of a kind and a blank that are looked at.
const mostSuggested, mostKinds, mostLooked = 200, 5000, 100_000

// Suggest names the joints that would narrow a fit's estimates most.
func Suggest(k *session.Call, cmd *phrase.Suggest) (*session.Outcome, error) {
	n := cmd.N
	if n.Value < 1 || n.Value > mostSuggested {
		return nil, page.Refuse(page.CodeOutOfRange, n.At, fmt.Sprintf("1 to %d joints can be suggested",
			mostSuggested), "")
	}
	f, err := fitted.Named(k, cmd.Fit)
	if err != nil {
		return nil, err
	}
	name := cmd.Fit.Text
	settable, found := settable(k, f)
	if cmd.File != nil {
		return suggestFrom(k, cmd, f, settable, found)
	}
	if len(settable) == 0 {
		return nil, page.Refuse(page.CodeNothingToSet, cmd.Fit.At, "every term of "+name+
			" comes with the blank, so there is nothing to choose", "")
	}
	points, ok := kinds(f, settable)
	if !ok {
		return nil, page.Refuse(page.CodeOutOfRange, cmd.Fit.At,
			fmt.Sprintf("the terms of %s make more than %d kinds of joint", name, mostKinds), "")
	}
	var kept []linear.Point
	s, figures, err := narrowest(k, cmd, f, points, found,
		func(measured [][]float64, candidates [][][]float64, at []int) (plan.Suggestion, error) {
			for _, i := range at {
				kept = append(kept, points[i])
			}
			return plan.Suggest(k.Context, measured, candidates, n.Value, k.Session.Settings().Seed)
		})
	if err != nil {
		return nil, err
	}
	count := counted(s.Chosen, len(kept))
	k.Entry.Tables = []page.Table{suggested(f, settable, kept, count)}
	finding := suggestedFinding(n.Value, toMake(f, settable, kept, count), name, figures.Narrower)
	k.Entry.Findings = []page.Sentence{finding}
	assumed(k, f, found)
	if asked := askedOfBlanks(k, f, settable); len(asked) > 0 {
		k.Entry.Warn(askedFor(asked, cmd))
	}
	k.Entry.Values = page.ValuesOf(figures, nil)
	return session.Untested(f.Sample, f.Y, f.Known(), suggestedMains(f, settable, kept, count, finding)), nil
}

// narrowest lets joints be chosen by the information there is and what each of some points would bring, of which at
// are the places. A fit that its specimens leave open is refused.
func narrowest(k *session.Call, cmd *phrase.Suggest, f *fitted.Fit, points []linear.Point, found variables,
	choose func(measured [][]float64, candidates [][][]float64, at []int) (plan.Suggestion, error)) (s plan.Suggestion,
	figures suggestFigures, err error) {
	measured, ok := MeasuredInformation(k.Context, f)
	if err = error(&plan.Error{Code: "singular"}); ok {
		var candidates [][][]float64
		var at []int
		if at, candidates, err = broughtBy(f, k.Context, points, found); err == nil {
			s, err = choose(measured, candidates, at)
		}
	}
	if plan.Because(err, "singular") {
		err = page.Refuse(page.CodeNotSettled, cmd.Fit.At, "the specimens of "+cmd.Fit.Text+
			" do not settle its terms, so nothing tells what would narrow them", "")
	}
	narrower := 1 - math.Exp(-s.Gain/(2*float64(len(measured))))
	return s, suggestFigures{narrowing: &narrowing{narrower}, Gain: s.Gain}, err
}

// counted is how often each of n points was chosen.
func counted(chosen []int, n int) []int {
	count := make([]int, n)
	for _, c := range chosen {
		count[c]++
	}
	return count
}

// assumed tells what new joints are taken to be like in what is not chosen.
func assumed(k *session.Call, f *fitted.Fit, found variables) {
	k.Entry.Find(foundAveraged(f, found)...)
	if len(f.Method.Blocks) > 0 {
		block := f.Method.Blocks[0].Name()
		k.Entry.Find(page.Say("Each new joint is taken to come from a new " + block +
			" of its own, and so to vary by what one " + block + " differs from the next as well."))
	}
	weighed(k, f)
}

// weighed tells which weight new joints are taken to have.
func weighed(k *session.Call, f *fitted.Fit) {
	if w := f.Method.Weight.Column; w != "" {
		c, _ := f.Sample.Frame.Column(w)
		k.Entry.Find(page.Say("Each new joint is taken to have the mean "+w+" of those measured, ",
			page.In(meanWeight(f), c.Unit.String()), "."))
	}
}

// askedOfBlanks are the numbers chosen that hardly two joints share: nobody set those.
func askedOfBlanks(k *session.Call, f *fitted.Fit, settable variables) []string {
	var out []string
	for _, name := range namesOf(f, settable) {
		c, ok := f.Sample.Frame.Column(name)
		if ok && c.Kind == frames.Number && (c.Unit.Dimension() == "density" ||
			2*f.Sample.Distinct(k.Context, name) > f.Sample.Frame.Len()) {
			out = append(out, name)
		}
	}
	return out
}

// askedFor warns that a suggestion asks for values that may not be there to be had.
func askedFor(names []string, cmd *phrase.Suggest) page.Sentence {
	with := *cmd
	with.File = &phrase.File{Path: "blanks.csv"}
	return page.Say("This asks for values of " + strings.Join(names, " and ") + " that you may have no blank for: " +
		"almost every joint measured had its own. With the blanks on hand in a file, type: " + phrase.Line(&with) +
		". If it comes with the blank and cannot be chosen, type: mark " + names[0] + " as given")
}

// suggestedMains are how many of each kind are suggested, that of which most are first: with
// other specimens another number is another answer once it is off by more than a third.
func suggestedMains(f *fitted.Fit, of variables, points []linear.Point, count []int,
	finding page.Sentence) []session.Answer {
	var out []session.Answer
	for i, n := range count {
		x := float64(n)
		m := session.Answer{Key: kindName(f, of, points[i]), Finding: finding,
			Gap: say.Gap{Value: x, Range: verdict.Range{Low: x - x/3, High: x + x/3}}}
		out = append(out, m)
	}
	slices.SortStableFunc(out, func(a, b session.Answer) int { return int(b.Gap.Value - a.Gap.Value) })
	return out
}

// variables are indices of a fit's variables.
type variables []int

// settable are the variables that can be chosen, and those that cannot: marked as given with the blank, or a board, a
// day or the series that is not named, which the next joints will have others of.
func settable(k *session.Call, f *fitted.Fit, named ...string) (settable, found variables) {
	frame, ok := k.Session.Frame(k.Entry.Series)
	if !ok {
		frame = f.Sample.Frame
	}
	for i, v := range f.Model().Variables {
		if c, ok := frame.Column(v.Name); ok && (c.Role == frames.Given ||
			isOver(c) && !slices.Contains(named, c.Name)) {
			found = append(found, i)
		} else {
			settable = append(settable, i)
		}
	}
	return settable, found
}

func namesOf(f *fitted.Fit, of variables) []string {
	return lists.Mapped(of, func(v int) string { return f.Model().Variables[v].Name })
}

// kinds are every combination of levels, and of low, middle and high of the numbers.
func kinds(f *fitted.Fit, of variables) ([]linear.Point, bool) {
	out := []linear.Point{{}}
	for _, v := range of {
		var own, next []linear.Point
		for _, l := range f.Matrix.Present[v] {
			own = append(own, linear.Point{Levels: map[int]int{v: l}})
		}
		if x := f.Model().Variables[v]; !x.IsCategory() {
			low, high := session.MinMax(x.Numbers)
			for _, y := range []float64{low, (low + high) / 2, high} {
				own = append(own, linear.Point{Numbers: map[int]float64{v: y}})
			}
		}
		for _, q := range own {
			for _, p := range out {
				next = append(next, p.With(q))
			}
		}
		if out = next; len(out) > mostKinds {
			return nil, false
		}
	}
	return out, true
}

// ownRow is a row without the columns that cannot be distinguished from others.
func ownRow(f *fitted.Fit, row []float64) []float64 {
	var out []float64
	for i, c := range f.Coefficients {
		if !c.Dependent {
			out = append(out, row[i])
		}
	}
	return out
}

type suggestedRow struct {
	Kind page.Many `id:"{columns}"`
	N    int       `id:"n"`
}

// suggestFigures tells what the joints suggested would do.
type suggestFigures struct {
	*narrowing
	Gain float64 `id:"ln_determinant_gain"`
	*apart
}

// narrowing is by how much narrower the intervals of a fit's estimates come out.
type narrowing struct {
	Narrower float64 `id:"narrower" style:"fraction"`
}

// apart is how far two factors went together, and would with the joints.
type apart struct {
	Now  float64 `id:"association" style:"ratio" label:"association now"`
	Then float64 `id:"association_then" style:"ratio" label:"association then"`
}

// suggested is one row a kind of joint, with how many of it.
func suggested(f *fitted.Fit, of variables, points []linear.Point, count []int) page.Table {
	columns := kindColumns(f, of)
	var rows []suggestedRow
	for i, n := range count {
		if n == 0 {
			continue
		}
		rows = append(rows, suggestedRow{page.Many{Columns: columns, Cells: kindCells(f, of, points[i])}, n})
	}
	return page.Filled(page.Table{ID: "suggested", Title: page.Say("What to make next")}, rows, nil)
}

// toMake is each kind of joint suggested, for a sentence.
func toMake(f *fitted.Fit, of variables, points []linear.Point, count []int) []kind {
	var out []kind
	for i, n := range count {
		if n == 0 {
			continue
		}
		out = append(out, kind{n, kindParts(f, of, points[i])})
	}
	return out
}

// kindColumns are the columns of what is chosen.
func kindColumns(f *fitted.Fit, of variables) []page.Column {
	var out []page.Column
	for _, v := range of {
		x := f.Model().Variables[v]
		out = append(out, page.Column{ID: x.Name, Unit: x.Unit})
	}
	return out
}

// kindCells are a point's cells in them.
func kindCells(f *fitted.Fit, of variables, p linear.Point) []page.Cell {
	var out []page.Cell
	for _, v := range of {
		cell := page.N(p.Numbers[v])
		if x := f.Model().Variables[v]; x.IsCategory() {
			cell = page.T(x.Levels[p.Levels[v]])
		}
		out = append(out, cell)
	}
	return out
}

// kindParts are a point's values for a sentence.
func kindParts(f *fitted.Fit, of variables, p linear.Point) []page.Sentence {
	var out []page.Sentence
	for _, v := range of {
		x := f.Model().Variables[v]
		part := page.Say(x.Name + " ")
		if x.IsCategory() {
			part = append(part, page.Word(x.Levels[p.Levels[v]]))
		} else {
			part = append(part, page.In(p.Numbers[v], x.Unit))
		}
		out = append(out, part)
	}
	return out
}

// kindName tells kinds apart.
func kindName(f *fitted.Fit, of variables, p linear.Point) string {
	var out []string
	for _, v := range of {
		if x := f.Model().Variables[v]; x.IsCategory() {
			out = append(out, x.Levels[p.Levels[v]])
		} else {
			out = append(out, strconv.FormatFloat(p.Numbers[v], 'g', -1, 64))
		}
	}
	return fmt.Sprintf("%q", out)
}
