package reading

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"breakbook/frames"
)

// shown writes a frame a column a line: name kind [unit] <role> label: cells, with ~
// for a missing value.
func shown(f *frames.Frame) string {
	var b strings.Builder
	for _, c := range f.Columns() {
		fmt.Fprintf(&b, "%s %s", c.Name, c.Kind)
		if !c.Unit.None() {
			fmt.Fprintf(&b, " [%s]", c.Unit)
		}
		if c.Role != frames.NoRole {
			fmt.Fprintf(&b, " <%s>", c.Role)
		}
		fmt.Fprintf(&b, " %q:", c.Label)
		for row := range f.Len() {
			cell, ok := f.Cell(c.Name, row)
			if !ok {
				cell = "~"
			}
			b.WriteString(" " + cell)
		}
		b.WriteString("\n")
	}
	return b.String()
}

func remarked(r *frames.Reading) string {
	var all []string
	for _, m := range r.Remarks {
		all = append(all, fmt.Sprintf("%s %s %d %s %d", m.Code, m.Column, m.Line, m.Word, m.Count))
	}
	return strings.Join(all, "\n")
}

// Every expectation is typed by hand from looking at the file.
func TestRead(t *testing.T) {
	for _, c := range []struct {
		name, file, want, reading string
	}{
		{
			"plain", "specimen,pins,density,Break load (kgf)\na1,none,612,64.5\na2,pair,598,101\na3,none,640,70.25\n",
			`specimen text <specimen> "specimen": a1 a2 a3
pins category "pins": none pair none
density number "density": 612 598 640
break_load number [kgf] <load> "Break load": 64.5 101 70.25
`, "comma point UTF-8 [] ",
		},
		{
			"both decimal marks", "Nr;Dichte [kg/m³];load (N)\n1;612,5;1.5\n2;598;1.25\n",
			`nr number <specimen> "Nr": 1 2
dichte text [kg/m3] "Dichte": 612,5 598
load number [N] <load> "load": 1.5 1.25
`, "semicolon point UTF-8 [] other-decimal-mark dichte 2 612,5 1",
		},
		{
			"semicolons and decimal commas",
			"\ufeffNr;Dichte [kg/m³];load (N)\r\n1;612,5;1500\r\n2;598;1250,75\r\n\r\n3;640,25;\r\n",
			`nr number <specimen> "Nr": 1 2 3
dichte number [kg/m3] "Dichte": 612.5 598 640.25
load number [N] <load> "load": 1500 1250.75 ~
`, "semicolon comma UTF-8 with byte-order mark [] blank-lines  4  1",
		},
		{
			"tabs, missing words, quotes",
			"id\tGlue line\tTemp °C\n\"a\t1\"\t\"PVA, \"\"white\"\"\"\t15\nb\tPVA\tn/a\nc\t-\t?\n",
			`id text <specimen> "id": a	1 b c
glue_line text "Glue line": PVA, "white" PVA ~
temp number [degC] "Temp": 15 ~ ~
`, "tab point UTF-8 [n/a - ?] ",
		},
		{
			"bars", "a|b\n1|x\n2|x\n", "a number \"a\": 1 2\nb category \"b\": x x\n", "bar point UTF-8 [] ",
		},
		{
			"one column, blank lines are missing", "load\n1\n\n2\n\n", "load number <load> \"load\": 1 ~ 2 ~\n",
			"comma point UTF-8 [] blank-lines-missing  3  2",
		},
		{
			"leading zeros", "board,code\n007,1\n012,2\n007,3\n",
			"board category \"board\": 007 012 007\ncode number \"code\": 1 2 3\n",
			"comma point UTF-8 [] leading-zeros board 2 007 3",
		},
		{
			"beyond 2^53", "tag,x\n9007199254740993,1\n9007199254740992,2\n",
			"tag text \"tag\": 9007199254740993 9007199254740992\nx number \"x\": 1 2\n",
			"comma point UTF-8 [] big-whole-number tag 2 9007199254740993 1",
		},
		{
			"units in cells", "load,moisture,gap\n64.5 kgf,12 %,1/2 in\n70 kgf,11.5%,1/4 in\n,9 %,1/2 in\n",
			`load number [kgf] <load> "load": 64.5 70 ~
moisture number [percent] "moisture": 12 11.5 9
gap category "gap": 1/2 in 1/4 in 1/2 in
`, "comma point UTF-8 [] ",
		},
		{
			"units in cells that differ", "load,slip\n64.5 kgf,1 mm\n632 N,2\n70 kgf,3 mm\n",
			"load text [kgf] <load> \"load\": 64.5 kgf 632 N 70 kgf\nslip text [mm] \"slip\": 1 mm 2 3 mm\n",
			"comma point UTF-8 [] mixed-units load 3 632 N 1\nmixed-units slip 3 2 1",
		},
		{
			"stray word", "load,pins\n64.5,a\n70,b\nbroke early,a\n71,b\n",
			"load text <load> \"load\": 64.5 70 broke early 71\npins category \"pins\": a b a b\n",
			"comma point UTF-8 [] stray-word load 4 broke early 1",
		},
		{
			"stray word first", "load,pins\nslipped,a\n64.5,a\n70,b\n",
			"load text <load> \"load\": slipped 64.5 70\npins category \"pins\": a a b\n",
			"comma point UTF-8 [] stray-word load 2 slipped 1",
		},
		{
			"duplicate and blank headers", "load,load,,Load,\n1,2,x,4,\n3,4,x,5,\n",
			"load number <load> \"load\": 1 3\nload_second number \"load\": 2 4\ncolumn_3 category \"column_3\": x " +
				"x\nload_third number \"Load\": 4 5\n",
			"comma point UTF-8 [] duplicate-header load_second 1 load 0\nduplicate-header load_third 1 Load " +
				"0\nno-header column_3 1  0",
		},
		{
			"loads in kg", "Max load (kg),failure\n64,glue\n70,wood\n",
			"max_load number [kg] <load> \"Max load\": 64 70\nfailure category <failure> \"failure\": glue wood\n",
			"comma point UTF-8 [] mass-as-load max_load 1 kg 0",
		},
		{
			"short rows and empty cells beyond", "a,b,c\n1,2\n3,4,5,,\n6\n",
			"a number \"a\": 1 3 6\nb number \"b\": 2 4 ~\nc number \"c\": ~ 5 ~\n",
			"comma point UTF-8 [] short-row  2  2\nextra-blank-cells  3  1",
		},
		{
			"empty rows and an empty column", "a,b,note\n1,x,\n,,\n2,x,\n,,\n",
			"a number \"a\": 1 2\nb category \"b\": x x\nnote text \"note\": ~ ~\n",
			"comma point UTF-8 [] empty-column note 1  0\nempty-rows  3  2",
		},
		{
			"Windows-1252", "wood,temp (\xb0C)\nL\xe4rche,15\nL\xe4rche,16\n",
			"wood category \"wood\": Lärche Lärche\ntemp number [degC] \"temp\": 15 16\n",
			"comma point Windows-1252 [] decoded-windows-1252  1  3",
		},
		{
			"UTF-16", "\xff\xfea\x00,\x00b\x00\n\x001\x00,\x00\xe4\x00\n\x00", "a number \"a\": 1\nb text \"b\": ä\n",
			"comma point UTF-16 [] ",
		},
		{
			"old line ends", "a,b\r1,2\r3,4\r", "a number \"a\": 1 3\nb number \"b\": 2 4\n", "comma point UTF-8 [] ",
		},
		{
			"inch marks", "Thickness (\"),stock\n1.5,\"12\"\" board\"\n1.75,12\" board\n",
			"thickness number [inch] \"Thickness\": 1.5 1.75\nstock category \"stock\": 12\" board 12\" board\n",
			"comma point UTF-8 [] ",
		},
		{
			"blanks round quotes, a line end inside", "a, \"b\" ,c\n1, \"x\ny\" ,3\n\n2,\"x\ny\",4\n",
			"a number \"a\": 1 2\nb category \"b\": x\ny x\ny\nc number \"c\": 3 4\n",
			"comma point UTF-8 [] blank-lines  4  1",
		},
		{
			"decimal commas in quotes", "a,b\n\"1,5\",x\n\"12,25\",x\n",
			"a number \"a\": 1.5 12.25\nb category \"b\": x x\n",
			"comma comma UTF-8 [] ",
		},
		{
			"thousands in a file of commas", "a,b\n\"1,500\",x\n\"12,250\",x\n",
			"a number \"a\": 1500 12250\nb category \"b\": x x\n", "comma point UTF-8 [] guessed-thousands a 2 1,500 2",
		},
		{
			"dates do not decide the decimal mark", "day;load\n12.05.2024;1,5\n13.05.2024;2,5\n",
			"day text \"day\": 12.05.2024 13.05.2024\nload number <load> \"load\": 1.5 2.5\n",
			"semicolon comma UTF-8 [] ",
		},
		{
			"no header", "1,2\n3,4\n", "1 number \"1\": 3\n2 number \"2\": 4\n",
			"comma point UTF-8 [] numbers-in-header  1  2",
		},
		{
			"numbers of every look", "x\n+1\n−2.5\n.5\n5.\n1e3\n-1.5E-3\n 7 \n1e-300\n0.1\n123456789.123456789\n",
			"x number \"x\": 1 -2.5 0.5 5 1000 -0.0015 7 1e-300 0.1 123456789.12345679\n",
			"comma point UTF-8 [] ",
		},
		{
			"things that are no numbers", "x\ninf\n0x10\n1_000\nNaN\n1e999\n--1\n",
			"x text \"x\": inf 0x10 1_000 ~ 1e999 --1\n", "comma point UTF-8 [NaN] ",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, r, err := Read(t.Context(), "x.csv", []byte(c.file), Overrides{})
			if err != nil {
				t.Fatal(err)
			}
			if got := shown(f); got != c.want {
				t.Errorf("read:\n%swant:\n%s", got, c.want)
			}
			if got := fmt.Sprintf("%s %s %s %v %s", r.Separator, r.Decimal, r.Encoding, r.MissingWords,
				remarked(r)); got != c.reading {
				t.Errorf("reading:\n%s\nwant:\n%s", got, c.reading)
			}
		})
	}
}

// numbered writes so many rows, each made from its number, under a header.
func numbered(header string, rows int, row func(i int) string) []byte {
	var b strings.Builder
	b.WriteString(header + "\n")
	for i := range rows {
		b.WriteString(row(i) + "\n")
	}
	return []byte(b.String())
}

func TestManyDistinctWordsAreText(t *testing.T) {
	data := numbered("id,note,sample", 5000, func(i int) string {
		note := fmt.Sprintf("note %d", i)
		switch i {
		case 0, 4000:
			note = "n/a"
		case 4500:
			note = "12.5"
		}
		return fmt.Sprintf("s%d,%s,%d", i, note, i/2)
	})
	f, r, err := Read(t.Context(), "x.csv", data, Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	id, _ := f.Column("id")
	note, _ := f.Column("note")
	sample, _ := f.Column("sample")
	if id.Kind != frames.Text || id.Role != frames.Specimen || note.Kind != frames.Text ||
		sample.Role != frames.NoRole ||
		len(r.Remarks) > 0 {
		t.Errorf("id %+v, note %+v, sample %+v, remarks %v", id, note, sample, r.Remarks)
	}
	missing, _ := f.MissingIn("note")
	if got := rows(missing); len(got) != 2 || got[0] != 1 || got[1] != 4001 {
		t.Errorf("missing rows %v, want 1 and 4001", got)
	}
	if s, _ := f.Cell("note", 4500); s != "12.5" {
		t.Errorf("cell %q", s)
	}
	if s, _ := f.Cell("note", 999); s != "note 999" || f.SpecimenName(4999) != "s4999" {
		t.Errorf("cell %q, specimen %q", s, f.SpecimenName(4999))
	}
}

func TestAWordLateInANumberColumn(t *testing.T) {
	data := numbered("x,y", 3000, func(i int) string {
		if i == 2999 {
			return "2.5?,1"
		}
		return fmt.Sprintf("%d.50,1", i)
	})
	f, r, err := Read(t.Context(), "x.csv", data, Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	if first, _ := f.Cell("x", 0); first != "0.50" || remarked(r) != "stray-word x 3001 2.5? 1" {
		t.Errorf("first cell %q, remarks %q; want the cells as written", first, remarked(r))
	}
}

func TestADecimalCommaThatShowsLate(t *testing.T) {
	data := numbered("x;y", 1000, func(i int) string {
		if i == 900 {
			return "1,5;2"
		}
		return "3;4"
	})
	f, r, err := Read(t.Context(), "x.csv", data, Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	if x, err := f.Numbers("x"); err != nil || x[900] != 1.5 || r.Decimal != "comma" || len(r.Remarks) > 0 {
		t.Errorf("%v, %+v", err, r)
	}
}

// TestTheCommonerDecimalMarkIsTaken: which mark the file writes its decimals with is counted over all of it.
func TestTheCommonerDecimalMarkIsTaken(t *testing.T) {
	written := func(separator string, commas, points int, names bool) []byte {
		return numbered("specimen"+separator+"load", commas+points, func(i int) string {
			name, load := "s"+strconv.Itoa(i), strconv.Itoa(900+i)+".5"
			if names {
				name = strconv.Itoa(i/10+1) + "." + strconv.Itoa(i%10+1)
			}
			if i < commas {
				load = strings.Replace(load, ".", ",", 1)
			}
			if separator == "," {
				load = `"` + load + `"`
			}
			return name + separator + load
		})
	}
	for _, c := range []struct {
		name    string
		data    []byte
		decimal string
		odd     int // how many numbers have the other mark
	}{
		{"16 commas to a point", written(";", 16, 1, false), "comma", 1},
		{"a comma to 16 points", written(";", 1, 16, false), "point", 1},
		{"as many of both", written(";", 8, 8, false), "point", 8},
		{"commas where they separate", written(",", 16, 1, false), "point", 16},
		{"tabs", written("\t", 16, 1, false), "comma", 1},
		{"the point commoner after the first hundred", written(";", 150, 400, false), "point", 150},
		{"the comma commoner, many points late", written(";", 600, 400, false), "comma", 400},
		{"many distinct texts", written(";", 1500, 700, false), "comma", 700},
		{"names with points", written(";", 16, 0, true), "comma", 0},
	} {
		_, r, err := Read(t.Context(), "x.csv", c.data, Overrides{})
		if err != nil {
			t.Fatal(err)
		}
		odd := 0
		for _, m := range r.Remarks {
			if m.Code == "other-decimal-mark" && m.Column == "load" {
				odd += m.Count
			}
		}
		if r.Decimal != c.decimal || r.Thousands != "none" || odd != c.odd || len(r.Remarks) != min(odd, 1) {
			t.Errorf("%s: decimal %s, thousands %s, remarks %q; want %s and %d", c.name, r.Decimal, r.Thousands,
				remarked(r), c.decimal, c.odd)
		}
	}
	points := numbered("specimen;load;moisture;width", 100, func(i int) string {
		return fmt.Sprintf("s%d;%d.5;%d,5;3%d.25", i, 900+i, i, i%10)
	})
	if _, r, err := Read(t.Context(), "x.csv", points, Overrides{}); err != nil || r.Decimal != "point" {
		t.Errorf("two columns with points and one with commas are read with %v, %v", r, err)
	}
}

func TestTheCellsInTheWayOfNumbersAreNamed(t *testing.T) {
	column := func(header string, cells ...string) string {
		return "specimen," + header + "\n" + string(numbered("", len(cells), func(i int) string {
			return "s" + strconv.Itoa(i) + "," + cells[i]
		}))[1:]
	}
	odd := []string{"12.1", "12½", "inf", "12.4", "O.5", "(12)", "12..5", "13 .5", "12½", "12.2"}
	for _, c := range []struct{ name, file, want string }{
		{"a load", column("load", odd...), "few-numbers load 3 12½ 7 [{3 12½} {4 inf} {6 O.5} {7 (12)} {8 12..5}]"},
		{"a unit", column("width (mm)", odd[:4]...), "stray-word width 3 12½ 2 []"},
		{"a unit, and most are words", column("width (mm)", odd[3:7]...),
			"few-numbers width 3 O.5 3 [{3 O.5} {4 (12)} {5 12..5}]"},
		{"a unit and one word", column("dowel (mm)", "split", "split", "split", "8"), ""},
		{"a load and one word", column("load", "split", "split", "split", "8"),
			"few-numbers load 2 split 3 [{2 split}]"},
		{"a load of fewer than a quarter", column("load", "split", "split", "split", "split", "8"), ""},
		{"neither", column("remark", odd...), ""},
	} {
		_, r, err := Read(t.Context(), "x.csv", []byte(c.file), Overrides{})
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, m := range r.Remarks {
			got += fmt.Sprintf("%s %s %d %s %d %v", m.Code, m.Column, m.Line, m.Word, m.Count, m.Cells)
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestKindsAndRolesThatNamesDecide(t *testing.T) {
	for _, c := range []struct{ name, file, want string }{
		{"board names are no measures", "board,batch\n1N,2E1\n2N,2E2\n1N,2E1\n",
			"board category \"board\": 1N 2N 1N\nbatch category \"batch\": 2E1 2E2 2E1\n"},
		{"a sample that repeats names no specimen", "sample,load\na,1\na,2\n",
			"sample category \"sample\": a a\nload number <load> \"load\": 1 2\n"},
		{"numbered modes are no failure words", "mode,load\n1,1\n2,2\n",
			"mode number \"mode\": 1 2\nload number <load> \"load\": 1 2\n"},
		{"load as a factor", "load,x\nlow,1\nhigh,2\nlow,3\n",
			"load category \"load\": low high low\nx number \"x\": 1 2 3\n"},
		{"the surest load name", "max load,break load\n1,2\n",
			"max_load number \"max load\": 1\nbreak_load number <load> \"break load\": 2\n"},
		{"blanks go by their names", "blank,density\na1,610\na2,605\n",
			"blank text <specimen> \"blank\": a1 a2\ndensity number \"density\": 610 605\n"},
		{"a sheet still to be filled in", "specimen,load,failure\na,,\nb,,\n",
			"specimen text <specimen> \"specimen\": a b\nload number <load> \"load\": ~ ~\nfailure category " +
				"<failure> \"failure\": ~ ~\n"},
	} {
		f, _, err := Read(t.Context(), "x.csv", []byte(c.file), Overrides{})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		} else if got := shown(f); got != c.want {
			t.Errorf("%s:\n%swant:\n%s", c.name, got, c.want)
		}
	}
}

func TestExtent(t *testing.T) {
	f := opened(t, "a,b,c\n-2.5,x,\n,y,\n7,,\n0,x,\n")
	for _, c := range []struct {
		column      string
		least, most float64
		missing     int
	}{{"a", -2.5, 7, 1}, {"b", math.NaN(), math.NaN(), 1}, {"c", math.NaN(), math.NaN(), 4},
		{"d", math.NaN(), math.NaN(),
			0}} {
		e := f.Extent(t.Context(), c.column)
		least, most, missing := e.Least, e.Most, e.Missing
		same := func(x, y float64) bool { return x == y || math.IsNaN(x) && math.IsNaN(y) }
		if !same(least, c.least) || !same(most, c.most) || missing != c.missing {
			t.Errorf("%s runs from %v to %v with %d missing; want %v, %v, %d", c.column, least, most, missing,
				c.least, c.most, c.missing)
		}
	}
}
