package units

import (
	"math/big"
	"strings"

	"gonum.org/v1/gonum/unit"
)

// atom is one unit that is not made of others in its spelling.
type atom struct {
	name     string
	measures string          // its Dimension
	scale    *big.Rat        // how many of the SI unit it is, exactly
	zero     *big.Rat        // for a temperature: kelvin = (x + zero)·scale
	dims     unit.Dimensions // gonum's
	rank     int             // its place in a product's spelling
}

// percentDim keeps percents apart from bare numbers: 12 % is written 12, and a
// bare 12 is not 0.12 of anything.
var percentDim = unit.NewDimension("percent")

var (
	forceDims  = unit.Dimensions{unit.MassDim: 1, unit.LengthDim: 1, unit.TimeDim: -2}
	stressDims = unit.Dimensions{unit.MassDim: 1, unit.LengthDim: -1, unit.TimeDim: -2}
	energyDims = unit.Dimensions{unit.MassDim: 1, unit.LengthDim: 2, unit.TimeDim: -2}
	massDims   = unit.Dimensions{unit.MassDim: 1}
	lengthDims = unit.Dimensions{unit.LengthDim: 1}
	warmthDims = unit.Dimensions{unit.TemperatureDim: 1}
	timeDims   = unit.Dimensions{unit.TimeDim: 1}
)

// atoms in the order in which a product names them. The factors are exact: the
// pound is 0.45359237 kg, the inch 25.4 mm (international yard and pound
// agreement, 1959), standard gravity 9.80665 m/s2 (3rd CGPM, 1901).
var atoms = ranked([]*atom{
	{name: "N", measures: "force", scale: exact("1"), dims: forceDims},
	{name: "kN", measures: "force", scale: exact("1000"), dims: forceDims},
	{name: "kgf", measures: "force", scale: exact("9.80665"), dims: forceDims},
	{name: "lbf", measures: "force", scale: exact("4.4482216152605"), dims: forceDims},
	{name: "MPa", measures: "stress", scale: exact("1000000"), dims: stressDims},
	{name: "kPa", measures: "stress", scale: exact("1000"), dims: stressDims},
	{name: "psi", measures: "stress", scale: exact("44482216152605/6451600000"), dims: stressDims},
	{name: "J", measures: "energy", scale: exact("1"), dims: energyDims},
	{name: "kg", measures: "mass", scale: exact("1"), dims: massDims},
	{name: "g", measures: "mass", scale: exact("1/1000"), dims: massDims},
	{name: "lb", measures: "mass", scale: exact("0.45359237"), dims: massDims},
	{name: "mm", measures: "length", scale: exact("1/1000"), dims: lengthDims},
	{name: "cm", measures: "length", scale: exact("1/100"), dims: lengthDims},
	{name: "m", measures: "length", scale: exact("1"), dims: lengthDims},
	{name: "inch", measures: "length", scale: exact("0.0254"), dims: lengthDims},
	{name: "ft", measures: "length", scale: exact("0.3048"), dims: lengthDims},
	{name: "degC", measures: "temperature", scale: exact("1"), zero: exact("273.15"), dims: warmthDims},
	{name: "degF", measures: "temperature", scale: exact("5/9"), zero: exact("459.67"), dims: warmthDims},
	{name: "s", measures: "time", scale: exact("1"), dims: timeDims},
	{name: "min", measures: "time", scale: exact("60"), dims: timeDims},
	{name: "h", measures: "time", scale: exact("3600"), dims: timeDims},
	{name: "day", measures: "time", scale: exact("86400"), dims: timeDims},
	{name: "percent", measures: "percent", scale: exact("1"), dims: unit.Dimensions{percentDim: 1}},
})

// foot is known only inside other units (lb/ft3).
const foot = "ft"

// known is the closed list in the order Known gives it.
var known = []string{
	"N", "kN", "kgf", "lbf",
	"mm", "cm", "m", "inch",
	"mm2", "cm2", "m2",
	"g", "kg", "lb",
	"kg/m3", "g/cm3", "lb/ft3",
	"degC", "degF",
	"s", "min", "h", "day",
	"N·mm", "N·m", "kN·m", "kgf·mm", "kgf·m",
	"J",
	"N/mm2", "MPa", "kPa", "psi", "kgf/cm2",
	"percent",
}

// Known lists the canonical spelling of every unit of the list in the package's
// own documentation, for help, hints and completion.
func Known() []string { return append([]string(nil), known...) }

// Words lists the names in full that a unit may be typed by, in the two spellings of English:
// newton, millimetre, millimeter.
func Words() []string {
	var out []string
	for _, a := range atoms {
		for _, word := range strings.Fields(aliases[a.name]) {
			if len(word) > 3 && word == strings.Trim(word, "°º") && a.name != foot {
				out = append(out, word)
			}
		}
	}
	return append(out, "pascal")
}

// dimensionNames go by gonum's spelling of the dimensions.
var dimensionNames = map[string]string{
	forceDims.String():                                            "force",
	stressDims.String():                                           "stress",
	energyDims.String():                                           "moment",
	massDims.String():                                             "mass",
	lengthDims.String():                                           "length",
	timeDims.String():                                             "time",
	unit.Dimensions{unit.LengthDim: 2}.String():                   "area",
	unit.Dimensions{unit.LengthDim: 3}.String():                   "volume",
	unit.Dimensions{percentDim: 1}.String():                       "percent",
	unit.Dimensions{unit.TemperatureDim: 1}.String():              "temperature",
	unit.Dimensions{unit.MassDim: 1, unit.LengthDim: -3}.String(): "density",
	unit.Dimensions{unit.MassDim: 1, unit.TimeDim: -2}.String():   "stiffness",
}

// aliases are other spellings of an atom, alone or inside a product. A spelling
// of two letters and more is matched without case where that is not ambiguous.
var aliases = map[string]string{
	"N":       "newton newtons",
	"kN":      "kilonewton kilonewtons",
	"kgf":     "kp kilopond kiloponds kilogramforce",
	"lbf":     "lbsf poundforce",
	"J":       "joule joules",
	"kg":      "kgs kilo kilos kilogram kilograms kilogramme kilogrammes",
	"g":       "gr gram grams gramme grammes",
	"lb":      "lbs lbm pound pounds",
	"mm":      "millimetre millimetres millimeter millimeters",
	"cm":      "centimetre centimetres centimeter centimeters",
	"m":       "metre metres meter meters",
	"inch":    "in inches",
	"ft":      "foot feet",
	"degC":    "°C ºC ℃ celsius centigrade",
	"degF":    "°F ºF ℉ fahrenheit",
	"s":       "sec secs second seconds",
	"min":     "mins minute minutes",
	"h":       "hr hrs hour hours",
	"day":     "days",
	"percent": "% pct",
	"MPa":     "megapascal",
	"kPa":     "kilopascal",
}

// spelledAs is the atom of each of its spellings.
var spelledAs = spellings(aliases)

// wholes are spellings of a whole unit that the product grammar cannot read.
var wholes = map[string]string{
	"C": "degC", "deg c": "degC", "deg. c": "degC", "° c": "degC", "degree c": "degC", "degrees c": "degC",
	"degrees celsius": "degC",
	"F":               "degF", "deg f": "degF", "deg. f": "degF", "° f": "degF", "degree f": "degF",
	"degrees f": "degF", "degrees fahrenheit": "degF", `"`: "inch", "″": "inch", "”": "inch", "''": "inch",
	"per cent": "percent",
	"Nm":       "N·m", "Nmm": "N·mm", "Ncm": "N·cm", "kNm": "kN·m", "kNmm": "kN·mm",
	"kgfm": "kgf·m", "kgfcm": "kgf·cm", "kgfmm": "kgf·mm", "kpm": "kgf·m",
	"g/cc": "g/cm3", "g/ccm": "g/cm3", "pcf": "lb/ft3", "lb/cu ft": "lb/ft3", "lbs/cu ft": "lb/ft3",
	"kilogram-force": "kgf", "pound-force": "lbf", "pounds-force": "lbf",
	"Pa": "N/m2", "pascal": "N/m2", "lbf/in2": "psi", "lbf/inch2": "psi", "lbf/sq in": "psi", "lb/sq in": "psi",
	"sq mm": "mm2", "sq cm": "cm2", "sq m": "m2", "sq in": "inch2", "sqmm": "mm2", "sqcm": "cm2",
}

func exact(s string) *big.Rat {
	r, _ := new(big.Rat).SetString(s)
	return r
}

func ranked(list []*atom) []*atom {
	for i, a := range list {
		a.rank = i
	}
	return list
}

func spellings(table map[string]string) map[string]*atom {
	all := map[string]*atom{}
	for _, a := range atoms {
		all[a.name] = a
		for _, s := range strings.Fields(table[a.name]) {
			all[s] = a
		}
	}
	return all
}
