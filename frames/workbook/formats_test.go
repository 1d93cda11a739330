package workbook

import (
	"strings"
	"testing"
)

// What a number format makes of a number, by the format codes that spreadsheet programs
// write; which codes mean what: ECMA-376 part 1, 18.8.31.
func TestFormats(t *testing.T) {
	for code, want := range map[string]format{
		"":                             {},
		"General":                      {},
		"0":                            {},
		"0.00":                         {},
		"#,##0.00":                     {},
		"0.00E+00":                     {},
		"# ?/?":                        {},
		"@":                            {},
		"#,##0.00_);[Red](#,##0.00)":   {},
		"0%":                           {shown: percent},
		"0.0%":                         {shown: percent},
		`0.0\ %`:                       {shown: percent},
		"0.00 %;[Red]-0.00 %":          {shown: percent},
		`0.0"%"`:                       {unit: "%"},
		"mm-dd-yy":                     {shown: date},
		"yyyy\\-mm\\-dd":               {shown: date},
		"yyyy-mm-dd;@":                 {shown: date},
		"d-mmm":                        {shown: date},
		"mmm-yy":                       {shown: date},
		"[$-409]d\\ mmmm\\ yyyy;@":     {shown: date},
		"[$-F800]dddd, mmmm dd, yyyy":  {shown: date},
		`d. mmmm yyyy`:                 {shown: date},
		"dd.mm.yyyy":                   {shown: date},
		"dd/mm/yyyy hh:mm":             {shown: moment},
		"m/d/yy h:mm":                  {shown: moment},
		"yyyy-mm-dd hh:mm:ss":          {shown: moment},
		"h:mm":                         {shown: clock},
		"h:mm AM/PM":                   {shown: clock},
		"mm:ss":                        {shown: clock},
		"mm:ss.0":                      {shown: clock},
		"[h]:mm:ss":                    {shown: duration},
		"[mm]:ss":                      {shown: duration},
		"[Red]0.0":                     {},
		"[<100]0.0;0":                  {},
		`0.0" mm"`:                     {unit: "mm"},
		`0.0\ "kN"`:                    {unit: "kN"},
		`#,##0" N"`:                    {unit: "N"},
		`0.0," kN"`:                    {unit: "kN", scale: 3},
		`0" pcs"`:                      {},
		`"Board "0`:                    {},
		`#,##0.00\ "€"`:                {},
		`_-* #,##0.00\ "€"_-`:          {},
		"000":                          {digits: 3},
		"00000":                        {digits: 5},
		"0000.0":                       {},
		";;;;;;;;":                     {},
		"[":                            {},
		`"`:                            {},
		strings.Repeat("0", 300):       {},
		strings.Repeat("[$-409]", 200): {},
	} {
		if got := formatOf(code); got != want {
			t.Errorf("%s: %+v, want %+v", code, got, want)
		}
	}
}

func FuzzFormat(f *testing.F) {
	for _, code := range []string{"0.0%", `yyyy\-mm\-dd;@`, `[<100]0.0" mm";0`, "[$-409]h:mm AM/PM", "[h]:mm",
		"_-* #,##0_-", "b1 gge A/P"} {
		f.Add(code)
	}
	f.Fuzz(func(_ *testing.T, code string) { formatOf(code) })
}
