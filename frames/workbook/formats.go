package workbook

import (
	"context"
	"encoding/xml"
	"strconv"
	"strings"

	"github.com/xuri/nfp"

	"breakbook/frames/units"
)

// shown is what kind of thing a number format makes of a number.
type shown uint8

const (
	plain    shown = iota
	percent        // 0.12 is 12 %
	date           // 44260 is 2021-03-05
	clock          // 0.5 is 12:00
	moment         // a date and a time of day
	duration       // 1.5 is 36:00
)

// format is what is to be known of a number format: all but how many digits it shows.
type format struct {
	shown  shown
	unit   string // a unit that it writes behind the number
	scale  int    // how many powers of ten the number shown is smaller: 3 for "0, "
	digits int    // of a format of zeros alone, such as 000: how many digits it fills up to
}

// longestFormat is more than a spreadsheet takes.
const longestFormat = 255

// builtIn are the formats that a workbook names by number without spelling them, as far as
// they are more than plain numbers (ECMA-376 part 1, 18.8.30; 27 to 36 and 50 to 58 are the
// dates and times of East Asian languages).
var builtIn = map[int]string{9: "0%", 10: "0.00%", 14: "mm-dd-yy", 15: "d-mmm-yy", 16: "d-mmm",
	17: "mmm-yy", 18: "h:mm AM/PM",
	19: "h:mm:ss AM/PM", 20: "h:mm", 21: "h:mm:ss", 22: "m/d/yy h:mm", 27: "yyyy-m", 28: "m-d", 29: "m-d", 30: "m-d-yy",
	31: "yyyy-m-d", 32: "h:mm", 33: "h:mm:ss", 34: "h:mm", 35: "h:mm:ss", 36: "yyyy-m",
	45: "mm:ss", 46: "[h]:mm:ss", 47: "mm:ss.0",
	50: "yyyy-m", 51: "m-d", 52: "yyyy-m", 53: "m-d", 54: "m-d", 55: "h:mm", 56: "h:mm:ss", 57: "yyyy-m", 58: "m-d"}

// readFormats reads the number format of each style of cells.
func (b *Book) readFormats(ctx context.Context, part string) error {
	codes := map[int]string{}
	read := map[int]format{}
	inCells := false
	return b.elements(ctx, part, func(e xml.StartElement) {
		switch e.Name.Local {
		case "numFmt":
			if id, err := strconv.Atoi(attribute(e, "numFmtId")); err == nil {
				codes[id] = attribute(e, "formatCode")
			}
		case "cellXfs":
			inCells = true
		case "cellStyles", "cellStyleXfs", "dxfs":
			inCells = false
		case "xf":
			if !inCells {
				return
			}
			id, err := strconv.Atoi(attribute(e, "numFmtId"))
			if err != nil {
				id = 0
			}
			f, known := read[id]
			if !known {
				code, own := codes[id]
				if !own {
					code = builtIn[id]
				}
				f = formatOf(code)
				read[id] = f
			}
			b.formats = append(b.formats, f)
		}
	})
}

// formatOf reads a number format, by the first of its sections, which is that of positive
// numbers.
func formatOf(code string) format {
	items := firstSection(code)
	var f format
	var hasDate, hasTime, hasDigits, onlyZeros, months, commas, tail = false, false, false, true, false, 0, ""
	for _, t := range items {
		switch t.TType {
		case nfp.TokenTypePercent:
			f.shown = percent
		case nfp.TokenTypeElapsedDateTimes:
			f.shown = duration
		case nfp.TokenTypeDateTimes:
			switch strings.ToLower(t.TValue)[0] {
			case 'h', 's', 'a':
				hasTime = true
			case 'm':
				months = true // or minutes, beside hours or seconds
			default:
				hasDate = true
			}
		case nfp.TokenTypeZeroPlaceHolder, nfp.TokenTypeHashPlaceHolder, nfp.TokenTypeDigitalPlaceHolder:
			hasDigits, commas, tail = true, 0, ""
			if f.digits += len(t.TValue); strings.Trim(t.TValue, "0") != "" || t.TType != nfp.TokenTypeZeroPlaceHolder {
				onlyZeros = false
			}
		case nfp.TokenTypeThousandsSeparator:
			commas, onlyZeros = commas+1, false
		case nfp.TokenTypeLiteral:
			tail += t.TValue
		case nfp.TokenTypeColor, nfp.TokenTypeAlignment, nfp.TokenTypeRepeatsChar:
		default:
			onlyZeros = false
		}
	}
	dated := hasDate || months && !hasTime
	switch {
	case f.shown == duration:
	case dated && hasTime:
		f.shown = moment
	case dated:
		f.shown = date
	case hasTime:
		f.shown = clock
	}
	if f.shown != plain || !hasDigits {
		return format{shown: f.shown}
	}
	if !onlyZeros || f.digits < 2 {
		f.digits = 0
	}
	tail = strings.TrimSpace(tail)
	if u, ok := units.Parse(tail); ok && tail != "" && !u.None() {
		f.unit, f.scale = tail, 3*commas
	}
	return f
}

// firstSection is the first section of a number format cut into its tokens; none where it
// cannot be read.
func firstSection(code string) (items []nfp.Token) {
	if len(code) > longestFormat || strings.EqualFold(code, "General") {
		return nil
	}
	defer func() { // the formats of damaged workbooks are more than the parser bears
		if recover() != nil {
			items = nil
		}
	}()
	p := nfp.NumberFormatParser()
	sections := p.Parse(firstOf(code))
	if len(sections) == 0 {
		return nil
	}
	return sections[0].Items
}

// firstOf is the first section of a number format.
func firstOf(code string) string {
	quoted := false
	for i := 0; i < len(code); i++ {
		switch {
		case code[i] == '"':
			quoted = !quoted
		case quoted:
		case code[i] == '\\':
			i++
		case code[i] == ';':
			return code[:i]
		}
	}
	return code
}
