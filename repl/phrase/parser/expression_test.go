package parser

import (
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"breakbook/repl/phrase"
)

// stripped is a tree with every place taken out of it.
func stripped[T any](tree T) T {
	v := reflect.New(reflect.TypeOf(&tree).Elem()).Elem()
	v.Set(reflect.ValueOf(&tree).Elem())
	return unplaced(v).Interface().(T)
}

func unplaced(v reflect.Value) reflect.Value {
	out := reflect.New(v.Type()).Elem()
	out.Set(v)
	switch v.Kind() {
	case reflect.Interface, reflect.Pointer:
		if v.IsNil() {
			return out
		}
		inner := unplaced(v.Elem())
		if v.Kind() == reflect.Pointer {
			out.Set(reflect.New(v.Type().Elem()))
			out.Elem().Set(inner)
		} else {
			out.Set(inner)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).Name == "At" {
				out.Field(i).SetInt(0)
			} else {
				out.Field(i).Set(unplaced(v.Field(i)))
			}
		}
	case reflect.Slice:
		if v.IsNil() {
			return out
		}
		out.Set(reflect.MakeSlice(v.Type(), v.Len(), v.Len()))
		for i := range v.Len() {
			out.Index(i).Set(unplaced(v.Index(i)))
		}
	}
	return out
}

func expressionOf(t testing.TB, text string, k phrase.Known) phrase.Expression {
	t.Helper()
	c, err := Parse(phrase.Piece{Text: "work out x = " + text, At: 1}, k)
	if err != nil {
		t.Fatalf("%s: %+v", text, err)
	}
	return workedOut(t, c)
}

func workedOut(t interface{ Fatalf(string, ...any) }, c *phrase.Command) phrase.Expression {
	w, ok := c.Do.(*phrase.WorkOut)
	if !ok {
		t.Fatalf("%s is read as %T", c.Input, c.Do)
	}
	return w.Expression
}

// The trees are written back with every bracket that the grammar does not need taken out.
func TestExpressionsBindAsInArithmetic(t *testing.T) {
	for text, want := range map[string]string{
		"load":                             "load",
		"load-3":                           "load - 3",
		"load -3":                          "load - 3",
		"load−3N":                          "load - 3 N",
		"load/density":                     "load / density",
		"load/density/3":                   "load / density / 3",
		"load/(density/3)":                 "load / (density / 3)",
		"load - (3 - 2)":                   "load - (3 - 2)",
		"(load - 3) - 2":                   "load - 3 - 2",
		"load + 3 * 2":                     "load + 3 * 2",
		"(load + 3) * 2":                   "(load + 3) * 2",
		"2^3^2":                            "2 ^ 3 ^ 2",
		"(2^3)^2":                          "(2 ^ 3) ^ 2",
		"-2^2":                             "-2 ^ 2",
		"(-2)^2":                           "(-2) ^ 2",
		"2^-1":                             "2 ^ -1",
		"2*-load":                          "2 * -load",
		"- - load":                         "--load",
		"3 N/mm2":                          "3 N/mm2",
		"3 N/mm²*load":                     "3 N/mm2 * load",
		"3 N/load":                         "3 N / load",
		"2 N/m/cm":                         "2 N/cm/m",
		"2 m-1·s-2 * load":                 "2 m-1·s-2 * load",
		"10%":                              "10 percent",
		"10 % * load":                      "10 percent * load",
		"specific gravity*2":               "specific_gravity * 2",
		"LN(Load)":                         "ln(load)",
		`column "Specific gravity" / 2`:    "specific_gravity / 2",
		`"a ""b"", if"`:                    `"a ""b"", if"`,
		"1e3 - 1e-3":                       "1000 - 0.001",
		"load if pins is pair otherwise 0": `load if pins is pair, otherwise 0`,
		"load if load > 3 kN, otherwise 0 if pins among pair, none, otherwise 2": `load if load > 3 kN, ` +
			`otherwise 0 if pins among pair, none, otherwise 2`,
		"(load if pins is pair, otherwise -1 N) * 2": `(load if pins is pair, ` +
			`otherwise -1 N) * 2`,
		`"a" if not (load > 3 or pins is missing) and load is not missing, otherwise "b"`: `"a" if not (load > 3 or ` +
			`pins is missing) and load is not missing, otherwise "b"`,
		"largest(load, 3 N, 2*load)": "largest(load, 3 N, 2 * load)",
		"round(load if pins is pair, otherwise 0)": `round(load if pins is ` +
			`pair, otherwise 0)`,
		"load if glue is two-part, otherwise load/density ": `load if glue is ` +
			`two-part, otherwise load / density`,
	} {
		got := expressionOf(t, text, newBench())
		if got.String() != want {
			t.Errorf("%s\n got  %s\n want %s", text, got, want)
		}
		if again := expressionOf(t, want, newBench()); !reflect.DeepEqual(stripped(got), stripped(again)) {
			t.Errorf("%s is another tree than %s: %#v, %#v", text, want, got, again)
		}
	}
}

// Names that could be read as something else, or as several things.
func TestColumnsInExpressionsAreReadWhole(t *testing.T) {
	k := newBench()
	k.series["gates"] = append(k.series["gates"],
		phrase.KnownColumn{Name: "load_area", Label: "Load/area", Kind: "number"},
		phrase.KnownColumn{Name: "2nd_load", Label: "2nd load", Kind: "number"},
		phrase.KnownColumn{Name: "otherwise", Label: "Otherwise", Kind: "number"},
		phrase.KnownColumn{Name: "ln", Label: "ln", Kind: "number"})
	for text, want := range map[string]string{
		"load/area * 2": "load_area * 2", "2nd_load + 2": `column "2nd_load" + 2`, "2nd load": `column "2nd_load"`,
		`column "otherwise" if load > 3, otherwise 1`: `column "otherwise" if load > 3, otherwise 1`,
		"ln * ln(ln)": "ln * ln(ln)",
	} {
		if got := expressionOf(t, text, k); got.String() != want {
			t.Errorf("%s is read as %s, want %s", text, got, want)
		}
	}
}

func TestExpressionsWrittenReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := &writer{t: t, k: newBench(), series: "gates", c: &phrase.Command{}}
		tree := w.expression(4, choiceRank)
		c, err := Parse(phrase.Piece{Text: "work out x = " + tree.String(), At: 1}, w.k)
		if err != nil {
			t.Fatalf("%s: %+v", tree, err)
		}
		got := workedOut(t, c)
		if got.String() != tree.String() || !reflect.DeepEqual(stripped(got), stripped(tree)) {
			t.Fatalf("%s reads back as %s", tree, got)
		}
	})
}

func TestLongAndDeepExpressionsAreRefused(t *testing.T) {
	for _, text := range []string{strings.Repeat("(", 5000), strings.Repeat("-", 5000) + "1",
		strings.Repeat("ln(", 3000),
		strings.Repeat("1 if load > 1, otherwise ", 400), strings.Repeat("2^", 4000) + "2",
		strings.Repeat("load + ", 3000)} {
		if _, err := Parse(phrase.Piece{Text: "work out x = " + text, At: 1}, newBench()); err == nil ||
			err.(*phrase.Error).Code != "expected-expression" {
			t.Errorf("%.20q…: %v", text, err)
		}
	}
}

func FuzzExpression(f *testing.F) {
	for _, s := range []string{"load/(34 mm*30 mm)", `"yes" if load > 300 N, otherwise "no"`, "-2^-3^2 %", "((((",
		"largest(ln(load),3 kN-density)",
		"load if pins among pair, none otherwise 1 if not (load is missing), otherwise 2", `column "Größe"`, "2nd",
		"3 N/mm2/mm"} {
		f.Add(s)
	}
	k := newBench()
	f.Fuzz(func(t *testing.T, s string) {
		p := phrase.Piece{Text: "work out x = " + s, At: 1}
		c, err := Parse(p, k)
		checkParsed(t, p, c, err)
		Complete(p.Text, len([]rune(p.Text)), k, Disk{})
		if err != nil {
			return
		}
		tree := workedOut(t, c)
		again, err := Parse(phrase.Piece{Text: "work out x = " + tree.String(), At: 1}, k)
		if err != nil {
			t.Fatalf("%q is written %q, which does not read back: %v", s, tree, err)
		}
		if got := workedOut(t, again); !reflect.DeepEqual(stripped(got), stripped(tree)) {
			t.Fatalf("%q is written %q and reads back as %q", s, tree, got)
		}
	})
}
