package mutants

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// mutant is one place of the source and what is put there instead.
type mutant struct {
	file     string // path from the module root
	within   string // the function or variables around it, and how often the same change came before in there
	line     int
	from, to int // the bytes that are replaced
	was, now string
}

func (m mutant) String() string {
	return fmt.Sprintf("%s:%d: %s becomes %s", m.file, m.line, clip(m.was), clip(m.now))
}

// clip is a piece of source on one line of at most 60 bytes.
func clip(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if len(s) > 60 {
		s = s[:57] + "..."
	}
	return s
}

// drawn is where the place stands in the order that a seed gives: a hash of what is changed and in
// which function of which package, and of nothing else around it.
func (m mutant) drawn(seed uint64) []byte {
	h := sha256.Sum256(fmt.Appendf(nil, "%d\n%s\n%s\n%s\n%s", seed, path.Dir(m.file), m.within, m.was, m.now))
	return h[:]
}

// apply is the source with the change made.
func (m mutant) apply(source []byte) []byte {
	return slices.Concat(source[:m.from], []byte(m.now), source[m.to:])
}

// mutantsOf lists every place of the files of a folder that could be changed, in the order
// of the source. Files of tests are left out, and files that begin with a build constraint.
func mutantsOf(root, folder string) ([]mutant, error) {
	files, err := filepath.Glob(filepath.Join(root, folder, "*.go"))
	if err != nil {
		return nil, err
	}
	var out []mutant
	for _, file := range files {
		source, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		if strings.HasSuffix(file, "_test.go") || bytes.HasPrefix(source, []byte("//go:build")) {
			continue
		}
		found, err := mutantsIn(filepath.ToSlash(filepath.Join(folder, filepath.Base(file))), source)
		if err != nil {
			return nil, err
		}
		out = append(out, found...)
	}
	return out, nil
}

// mutantsIn lists the places of one file.
func mutantsIn(name string, source []byte) ([]mutant, error) {
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, name, source, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	l := &lister{name: name, source: source, set: set}
	for _, d := range file.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Body != nil && !slices.Contains([]string{"String", "Error", "GoString"}, d.Name.Name) &&
				!mentions(d.Name, "progress") {
				l.look(of(d), d.Body)
			}
		case *ast.GenDecl:
			if d.Tok == token.CONST || d.Tok == token.VAR {
				for _, spec := range d.Specs {
					l.look(spec.(*ast.ValueSpec).Names[0].Name, spec)
				}
			}
		}
	}
	return l.found, nil
}

// of is the name of a function, that of a method with its type.
func of(f *ast.FuncDecl) string {
	if f.Recv == nil {
		return f.Name.Name
	}
	return types.ExprString(f.Recv.List[0].Type) + "." + f.Name.Name
}

// lister walks the syntax of one file.
type lister struct {
	name   string
	source []byte
	set    *token.FileSet
	found  []mutant
}

// look lists the places in what is declared under a name.
func (l *lister) look(name string, declared ast.Node) {
	first := len(l.found)
	ast.Inspect(declared, l.visit)
	slices.SortStableFunc(l.found[first:], func(a, b mutant) int { return a.from - b.from })
	before := map[[2]string]int{}
	for i := range l.found[first:] {
		m := &l.found[first+i]
		m.within = fmt.Sprintf("%s %d", name, before[[2]string{m.was, m.now}])
		before[[2]string{m.was, m.now}]++
	}
}

func (l *lister) text(n ast.Node) string { return string(l.source[l.at(n.Pos()):l.at(n.End())]) }

func (l *lister) at(p token.Pos) int { return l.set.Position(p).Offset }

// put notes that the text from one place to another could be something else.
func (l *lister) put(from, to token.Pos, now string) {
	a, b := l.at(from), l.at(to)
	l.found = append(l.found, mutant{l.name, "", l.set.Position(from).Line, a, b, string(l.source[a:b]), now})
}

// context notes the whole of a changed expression instead of the changed sign alone, so
// that a list of survivors can be read.
func (l *lister) context(n ast.Node, from, to token.Pos, now string) {
	a, b := l.at(n.Pos()), l.at(n.End())
	whole := string(l.source[a:l.at(from)]) + now + string(l.source[l.at(to):b])
	l.found = append(l.found, mutant{l.name, "", l.set.Position(from).Line, a, b, string(l.source[a:b]), whole})
}

// visit notes the changes of one node, and reports whether to look inside it: not into the
// texts of errors, the making of room, progress, the headers of counting loops, whose changes either
// change nothing or crash at once, and a -1 by itself, which stands for none and is only told from
// what is not below zero.
func (l *lister) visit(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.CompositeLit:
		if n.Type != nil {
			t := l.text(n.Type)
			return !strings.HasSuffix(t, "Problem") && !strings.HasSuffix(t, "Error")
		}
	case *ast.CallExpr:
		if f := l.text(n.Fun); slices.Contains([]string{"make", "panic", "fmt.Errorf", "errors.New"}, f) ||
			mentions(n.Fun, "progress") {
			return false
		}
	case *ast.ForStmt:
		ast.Inspect(n.Body, l.visit)
		return false
	case *ast.IfStmt:
		if !mentions(n.Cond, "nil", "err", "progress") {
			l.put(n.Cond.Pos(), n.Cond.End(), "!("+l.text(n.Cond)+")")
		}
	case *ast.BinaryExpr:
		l.binary(n)
	case *ast.UnaryExpr:
		if _, literal := n.X.(*ast.BasicLit); n.Op == token.SUB && !literal {
			l.put(n.Pos(), n.End(), l.text(n.X))
		}
		return l.text(n) != "-1"
	case *ast.BasicLit:
		l.literal(n)
	case *ast.ReturnStmt:
		for _, r := range n.Results {
			l.answer(r)
		}
	case *ast.AssignStmt:
		for _, r := range n.Rhs {
			l.answer(r)
		}
	}
	return true
}

// opposite is what an operator is changed to. A comparison with a count or a whole number
// other than zero moves by one; any other is turned round.
var opposite = map[token.Token]token.Token{
	token.ADD: token.SUB, token.SUB: token.ADD, token.MUL: token.QUO, token.QUO: token.MUL,
	token.LAND: token.LOR, token.LOR: token.LAND, token.EQL: token.NEQ, token.NEQ: token.EQL,
	token.LSS: token.GTR, token.GTR: token.LSS, token.LEQ: token.GEQ, token.GEQ: token.LEQ,
}

var byOne = map[token.Token]token.Token{
	token.LSS: token.LEQ, token.LEQ: token.LSS, token.GTR: token.GEQ, token.GEQ: token.GTR,
}

func (l *lister) binary(n *ast.BinaryExpr) {
	now, ok := opposite[n.Op]
	if !ok || mentions(n, "nil", "err") || textual(n) {
		return
	}
	if next, comparison := byOne[n.Op]; comparison && (countable(n.X) || countable(n.Y)) {
		now = next
	}
	l.context(n, n.OpPos, n.OpPos+token.Pos(len(n.Op.String())), now.String())
}

// literal changes 1 to 2, 2 to 1, and doubles a number with a point that is no mere
// tolerance.
func (l *lister) literal(n *ast.BasicLit) {
	switch {
	case n.Kind == token.INT && n.Value == "1":
		l.put(n.Pos(), n.End(), "2")
	case n.Kind == token.INT && n.Value == "2":
		l.put(n.Pos(), n.End(), "1")
	case n.Kind == token.FLOAT:
		if x, err := strconv.ParseFloat(n.Value, 64); err == nil && x >= 0.001 && x <= 1000 {
			l.put(n.Pos(), n.End(), strconv.FormatFloat(2*x, 'g', -1, 64))
		}
	}
}

// answerNames are the names of answerNames; each is changed to the next.
var answerNames = []string{"CannotTell", "Differs", "NoDifferenceWorth", "DiffersLessThanWorth", "CannotTell"}

func (l *lister) answer(e ast.Expr) {
	id, plain := e.(*ast.Ident)
	if s, ok := e.(*ast.SelectorExpr); ok {
		id, plain = s.Sel, true
	}
	if !plain {
		return
	}
	if i := slices.Index(answerNames, id.Name); i >= 0 {
		l.put(id.Pos(), id.End(), answerNames[i+1])
	}
}

// countable reports whether an operand of a comparison counts: a whole number other than
// zero, or a length.
func countable(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.BasicLit:
		return e.Kind == token.INT && e.Value != "0"
	case *ast.CallExpr:
		f, ok := e.Fun.(*ast.Ident)
		return ok && f.Name == "len"
	case *ast.BinaryExpr:
		_, literal := e.X.(*ast.BasicLit)
		return !literal && countable(e.X)
	case *ast.Ident:
		return e.Name == "n"
	}
	return false
}

// textual reports whether a sum joins texts.
func textual(n ast.Node) bool {
	found := false
	ast.Inspect(n, func(n ast.Node) bool {
		b, ok := n.(*ast.BasicLit)
		found = found || ok && (b.Kind == token.STRING || b.Kind == token.CHAR)
		_, call := n.(*ast.CallExpr)
		return !call
	})
	return found
}

// mentions reports whether a name in n is one of these, or holds it where it is a long one.
func mentions(n ast.Node, names ...string) bool {
	found := false
	ast.Inspect(n, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			for _, name := range names {
				found = found || id.Name == name || len(name) > 3 && strings.Contains(strings.ToLower(id.Name), name)
			}
		}
		return true
	})
	return found
}
