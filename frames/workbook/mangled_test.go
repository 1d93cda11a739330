package workbook

import (
	"maps"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Parts of a workbook with bytes changed, cut out and doubled are read or refused, in the
// state that readers of a table rely on, and soon.
func TestMangledParts(t *testing.T) {
	whole := partsOf(`<row r="1" hidden="1"><c r="A1" t="s"><v>0</v></c><c r="B1" `+
		`t="inlineStr"><is><r><t>x</t></r></is></c></row>`+
		`<row r="2"><c r="A2"><v>1.5</v></c><c r="B2" s="2"><f>A2</f><v>46083</v></c><c r="D2" `+
		`t="e"><v>#N/A</v></c></row>`, `<row/>`)
	names := slices.Sorted(maps.Keys(whole))
	rapid.Check(t, func(rt *rapid.T) {
		parts := maps.Clone(whole)
		for range rapid.IntRange(1, 4).Draw(rt, "changes") {
			name := rapid.SampledFrom(names).Draw(rt, "part")
			b := []byte(parts[name])
			if len(b) == 0 {
				continue
			}
			from := rapid.IntRange(0, len(b)-1).Draw(rt, "from")
			to := rapid.IntRange(from, len(b)).Draw(rt, "to")
			switch rapid.IntRange(0, 3).Draw(rt, "how") {
			case 0:
				b[from] = rapid.Byte().Draw(rt, "byte")
			case 1:
				b[from] = rapid.SampledFrom([]byte(`0123456789<>/"=&;#ABZ`)).Draw(rt, "mark")
			case 2:
				b = slices.Delete(b, from, to)
			case 3:
				b = slices.Insert(b, from, slices.Clone(b[from:to])...)
			}
			parts[name] = string(b)
		}
		before := time.Now()
		table, err := opened(stored(t, parts))
		check(t, table, err)
		if took := time.Since(before); took > 10*time.Second {
			rt.Errorf("%v for a workbook of a few lines", took)
		}
	})
}
