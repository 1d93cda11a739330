package phrase

import "slices"

// Entry is one command of the language: its phrase, one line of help, an example.
// Parsing, help, completion, the man page, the shell completions and the
// random-line tests are all read off the table; no other place knows a command's name.
//
// A phrase is written in words and typed slots, `{name:type}`:
//
//	compare {y:response} by {a:category}
//
// with `[…]` for what may be left out and `|` between words of which one stands.
// Options are phrases of their own that may follow in any order, each at most
// once; the option is known by its Name.
type Entry struct {
	Name    string // unique
	Do      any    // the command's own struct, a Subject in it set: the parser fills a copy
	Kind    string // the `kind` of the JSON contract
	Phrase  string
	Options []Option
	Clauses []Clause
	Group   Group
	Help    string // one line
	Example string // a whole command, on the columns of the demo series
	Mends   []Mend // the trouble this command is the way out of, for hints
	Result  string // how a result without a name is called ("fit" gives fit1); empty: none
	Plain   bool   // it takes no blocked fit
}

// Option is one of the phrases that may follow the command's own words.
type Option struct {
	Name   string
	Phrase string
}

// Clause is one of the clauses common to many commands.
type Clause uint8

const (
	For Clause = iota
	From
	As
	To
	Each
	Confidence
	Worth
	WorthPer // worth that may be the price of a unit of cost
)

// Group is the heading a command stands under in the help.
type Group string

const (
	Bringing Group = "Bringing test results in"
	Looking  Group = "Looking"
	Fitting  Group = "Fitting"
	Planning Group = "Planning the next series"
	Drawing  Group = "Drawing"
	Book     Group = "Book and session"
)

// analysis is the clauses every analysis command takes.
var analysis = []Clause{For, From, As, Each, Confidence, Worth}

// sheetOfBook names the sheet of the workbook that a command reads.
var sheetOfBook = Option{"sheet", "sheet {sheet:sheet}"}

// Table is the whole language.
var Table = []Entry{
	{Name: "open", Do: Open{}, Kind: "open", Group: Bringing, Clauses: []Clause{As},
		Phrase: "open {file:file .csv .xlsx .gz .tsv .txt}",
		Options: []Option{
			sheetOfBook,
			{"separator", "separated by {separator:choice comma semicolon tab bar}"},
			{"decimal", "decimal {decimal:choice comma point}"},
			{"thousands", "thousands {thousands:choice point comma space apostrophe none}"},
			{"encoding", "encoding {encoding:texts}"},
			{"header row", "header row {header:count}"},
			{"header none", "header none"},
			{"units row", "units in row {units:count}"},
			{"missing", "missing is {missing:texts}"},
			{"dates", "dates as {dates:choice day-month-year month-day-year year-month-day}"},
		},
		Mends:   []Mend{{NoSeries, "open FILE.csv"}},
		Help:    "reads a CSV file, or a sheet of a workbook (.xlsx), and makes it the current series",
		Example: "open gates.csv"},
	{Name: "show series", Do: ShowSeries{}, Kind: "show", Group: Bringing, Phrase: "show series",
		Help: "which series are open", Example: "show series"},
	{Name: "show results", Do: ShowResults{}, Kind: "show", Group: Bringing, Phrase: "show results",
		Help: "what has been fitted and compared so far", Example: "show results"},
	{Name: "switch", Do: SwitchTo{}, Kind: "switch", Group: Bringing, Phrase: "switch to {series:series}",
		Help: "makes another open series the current one", Example: "switch to gates"},
	{Name: "look", Do: Look{}, Kind: "look",
		Group: Bringing, Clauses: []Clause{From}, Phrase: "look [{columns:columns}]",
		Help: "every column: what it holds, its unit, how much is missing", Example: "look load, pins"},
	{Name: "rows", Do: Rows{}, Kind: "rows",
		Group: Bringing, Clauses: []Clause{For, From}, Phrase: "rows [{extent:extent}]",
		Help: "specimens as read, with their line in the file", Example: "rows 5 to 12"},
	{Name: "check series", Do: CheckSeries{}, Kind: "check series", Group: Bringing, Clauses: []Clause{From},
		Phrase:  "check series",
		Help:    "what a careful reader of the rows would ask, each with the line that puts it right",
		Example: "check series"},
	{Name: "mark", Do: Mark{}, Kind: "mark", Group: Bringing,
		Phrase: "mark {column:column} as {role:choice specimen load failure block weight order given result}",
		Help:   "says what a column is for: the default where a command needs one", Example: "mark board as block"},
	{Name: "unit", Do: SetUnit{}, Kind: "unit", Group: Bringing, Phrase: "unit {column:number} is {unit:unit}",
		Mends: []Mend{{NoUnit, "unit COLUMN is UNIT"}},
		Help:  "says what unit a column is in", Example: "unit load is kgf"},
	{Name: "treat", Do: Treat{}, Kind: "treat",
		Group: Bringing, Phrase: "treat {column:column} as {kind:choice category number text}",
		Mends: []Mend{{NeedCategory, "treat COLUMN as category"}, {NeedNumber, "treat COLUMN as number"}},
		Help:  "says what kind of column it is", Example: "treat thickness as category"},
	{Name: "levels", Do: OrderLevels{}, Kind: "levels",
		Group: Bringing, Phrase: "levels of {column:category} are {levels:levels column}",
		Help:    "the order of a category's levels, the baseline first",
		Example: "levels of pins are none, single, pair, offset"},

	{Name: "merge", Do: MergeLevels{}, Kind: "merge", Group: Bringing,
		Phrase:  "merge levels {levels:levels column} into {into:words} of {column:category}",
		Help:    "makes one level of several, or tidies a spelling",
		Example: "merge levels single, pair into pinned of pins"},
	{Name: "rename", Do: Rename{}, Kind: "rename",
		Group: Bringing, Phrase: "rename {column:column} to {name:newcolumn}",
		Help: "gives a column another name", Example: "rename load to peak load"},
	{Name: "convert", Do: Convert{}, Kind: "convert", Group: Bringing,
		Phrase: "convert {column:number} to {unit:unit column}",
		Help:   "turns a column's numbers into another unit", Example: "convert load to kN"},
	{Name: "work out", Do: WorkOut{}, Kind: "work out",
		Group: Bringing, Phrase: "work out {name:newcolumn} = {expression:expression}",
		Help: "a new column worked out from others, units and all", Example: "work out moment = load * 80 mm"},
	{Name: "band into", Do: Band{Subject: BandInto{}}, Kind: "band",
		Group: Bringing, Clauses: []Clause{As}, Phrase: "band {column:number} into {n:count}",
		Help: "a number column cut into levels with about as many specimens each", Example: "band density into 3"},
	{Name: "band at", Do: Band{Subject: BandAt{}}, Kind: "band",
		Group: Bringing, Clauses: []Clause{As}, Phrase: "band {column:number} at {cuts:amounts column}",
		Help: "a number column cut into levels at the values you name", Example: "band density at 500, 600"},
	{Name: "set aside", Do: SetAside{}, Kind: "set aside",
		Group: Bringing, Phrase: "set aside {which:which} because {reason:quoted}",
		Help:    "leaves specimens out without losing them; every later result says how many",
		Example: `set aside specimen G54, G61 because "knot at the pin"`},
	{Name: "bring back", Do: BringBack{}, Kind: "bring back", Group: Bringing, Phrase: "bring back {which:which}",
		Help: "takes specimens in again that were set aside", Example: "bring back specimen G54"},
	{Name: "correct", Do: Correct{}, Kind: "correct", Group: Bringing,
		Phrase: "correct {column:column} of {specimen:specimen} to {value:cell column}",
		Options: []Option{
			{"new", "as new level"},
			{"reason", "because {reason:quoted}"},
		},
		Help:    "puts a value right in the series, never in its file; without a reason it fills an empty cell in",
		Example: `correct load of G54 to 412 kgf because "misread"`},
	{Name: "show result", Do: ShowResult{}, Kind: "show", Group: Bringing, Phrase: "show {result:result}",
		Help: "a result whole: every finding, table, figure and caution", Example: "show fit1"},
	{Name: "show caution", Do: ShowCaution{}, Kind: "show", Group: Bringing, Phrase: "show caution {number:count}",
		Help: "a caution whole, by its number", Example: "show caution 1"},
	{Name: "show aside", Do: ShowAside{}, Kind: "show", Group: Bringing, Clauses: []Clause{From}, Phrase: "show aside",
		Help: "which specimens are set aside and which values were corrected, and why", Example: "show aside"},
	{Name: "pool", Do: Pool{}, Kind: "pool", Group: Bringing, Phrase: "pool {list:manyseries} as {name:name}",
		Help:    "series one below the other, with a column that says which is which",
		Example: "pool gates, gates_spring as all"},
	{Name: "put beside", Do: PutBeside{}, Kind: "put",
		Group: Bringing, Phrase: "put {first:series own} beside {second:series} by {key:column} as {name:name}",
		Help:    "the columns of two series side by side, matched by a column both have",
		Example: "put gates beside gates_spring by specimen as both"},
	{Name: "put below", Do: PutBelow{}, Kind: "put",
		Group: Bringing, Phrase: "put {first:columns} below {more:stack} as {name:name}",
		Help:    "blocks of columns that stand side by side in one file, one below the other",
		Example: "put pins below failure as both"},
	{Name: "read curves", Do: ReadCurves{}, Kind: "curves",
		Group: Bringing, Phrase: "read curves {files:files .csv .xlsx .gz .tsv .txt} by {key:column}",
		Options: []Option{
			{"taking", "taking {load:words} as load, {slip:words} as slip"},
			{"drop", "drop {drop:percent}"},
			sheetOfBook,
		},
		Help:    "load-slip readings, of files or a folder: adds what each curve shows, such as stiffness",
		Example: "read curves gates_slip.csv by specimen"},
	{Name: "calibrate", Do: Calibrate{}, Kind: "calibrate",
		Group: Bringing, Phrase: "calibrate {column:number} from {file:file .csv .xlsx}",
		Options: []Option{sheetOfBook},
		Help:    "corrects a column by the table of its gauge (columns reading and true)",
		Example: "calibrate load from gauge.csv"},
	{Name: "adjust", Do: Adjust{}, Kind: "adjust", Group: Bringing, Clauses: []Clause{As},
		Phrase: "adjust {column:number} to {given:given}", Options: []Option{{"fit", "of {fit:result fit}"},
			{"slope", "by {rate:amount 3% 4% 6%} per {step:amount beside} {beside:number}"}},
		Help:    "brings a column to reference conditions, by the slopes of a fit or by one you give",
		Example: "adjust load to density 640 kg/m3"},
	{Name: "write", Do: Write{}, Kind: "write", Group: Bringing, Clauses: []Clause{From},
		Phrase: "write {file:file written .csv}", Options: []Option{replacing},
		Help: "the series as a CSV, with a file beside it for what a CSV cannot say", Example: "write gates_done.csv"},
	{Name: "close", Do: Close{}, Kind: "close", Group: Bringing, Phrase: "close {series:series}",
		Help: "puts a series away, with the results made on it", Example: "close gates"},
	{Name: "forget", Do: Forget{}, Kind: "forget", Group: Bringing, Phrase: "forget {result:result}",
		Help: "drops a result, so that its name is free again", Example: "forget fit1"},

	{Name: "average", Do: Average{}, Kind: "average", Group: Looking, Clauses: analysis,
		Phrase: "average {y:response} by {a:category}[, {b:category}]",
		Help:   "mean, spread and interval of each group", Example: "average load by pins"},
	{Name: "count", Do: CountModes{}, Kind: "count",
		Group: Looking, Clauses: []Clause{For, From, As, Each, Confidence}, Result: "count",
		Phrase:  "count {mode:category} by {a:category}",
		Help:    "how many broke in which way at each level, and whether the way depends on the level",
		Example: "count failure by pins"},
	{Name: "modes", Do: Modes{}, Kind: "modes",
		Group: Looking, Clauses: []Clause{For, From, As, Each, Confidence}, Result: "modes",
		Phrase:  "modes {mode:category} by {a:category} [under {y:response}]",
		Help:    "the share of each way of breaking with its exact interval, and how it builds up with the load",
		Example: "modes failure by pins under load"},
	{Name: "check", Do: Check{Subject: ByLevels{}}, Kind: "check",
		Group: Looking, Clauses: []Clause{For, From, As, Each}, Result: "check",
		Phrase:  "check {y:response} by {a:category}",
		Help:    "whether the intervals can be trusted: shape, spread, odd specimens, drift, what varied together",
		Example: "check load by pins"},
	{Name: "check of", Do: Check{Subject: OfFit{}}, Kind: "check",
		Group: Looking, Clauses: []Clause{As}, Result: "check",
		Phrase: "check [of {fit:result fit}]",
		Help:   "the same of the residuals of a fit, and whether its terms miss a bend", Example: "check of fit1"},

	{Name: "fit", Do: Fit{}, Kind: "fit", Group: Fitting, Clauses: analysis, Result: "fit",
		Phrase:  "fit {y:response} on {terms:terms}",
		Options: append([]Option{{"resistant", "resistant"}, withSeries}, fitting...),
		Help:    "which factors go with the load, each adjusted for the others", Example: "fit load on density, pins"},
	{Name: "drove", Do: Drove{}, Kind: "drove", Group: Fitting, Clauses: []Clause{For, From, As, Confidence, Worth},
		Result: "drove", Phrase: "what drove {y:response}",
		Options: []Option{{"among", "among {among:columns}"}, {"blocked by", "blocked by {blocks:blocks}"}, withSeries,
			seriesDiffer},
		Help:    "the everyday question: which of all columns drove it, by how much, and what cannot be told",
		Example: "what drove load"},
	{Name: "drove mode", Do: DroveMode{}, Kind: "drove", Group: Fitting,
		Clauses: []Clause{For, From, As, Confidence, Worth}, Result: "drove",
		Phrase:  "what drove {modes:category} [is {level:level modes}]",
		Options: []Option{{"among", "among {among:columns}"}},
		Help:    "the same for how joints failed: in one way, or in each", Example: "what drove failure is glue"},
	{Name: "until", Do: Until{}, Kind: "strength", Group: Fitting, Clauses: analysis, Result: "strength",
		Phrase:  "fit {y:response} until {mode:mode} [on {terms:terms}]",
		Options: scatter,
		Help:    "what one way of breaking would carry, had nothing else given way first",
		Example: "fit load until failure is glue on pins"},
	{Name: "odds", Do: Odds{Subject: OneMode{}}, Kind: "odds", Group: Fitting, Clauses: analysis, Result: "odds",
		Phrase: "odds {mode:mode} on {terms:terms}",
		Help:   "which factors go with the chance of breaking in one way", Example: "odds failure is glue on pins"},
	{Name: "odds all", Do: Odds{Subject: AllModes{}}, Kind: "odds", Group: Fitting, Clauses: analysis, Result: "odds",
		Phrase: "odds {modes:category} on {terms:terms}", Options: []Option{{"against",
			"against {against:level modes}"}},
		Help:    "the same for all ways of breaking at once, each compared with one",
		Example: "odds failure on pins against wood"},
	{Name: "anova of", Do: Anova{Subject: OfFit{}}, Kind: "anova",
		Group: Fitting, Clauses: []Clause{As, Confidence, Worth}, Result: "anova",
		Phrase: "anova [of {fit:result fit}]", Options: []Option{{"sequential", "sequential"},
			{"each last", "each last"}},
		Help: "how much of the variation each source of a fit accounts for", Example: "anova of fit1"},
	{Name: "anova", Do: Anova{Subject: AnovaOnTerms{}}, Kind: "anova",
		Group: Fitting, Clauses: analysis, Result: "anova",
		Phrase: "anova {y:response} on {terms:terms}", Options: append([]Option{{"sequential", "sequential"},
			{"each last", "each last"}}, fitting...),
		Help: "the same, straight from the columns", Example: "anova load on pins, thickness"},
	{Name: "adjusted", Do: Adjusted{}, Kind: "adjusted",
		Group: Fitting, Clauses: []Clause{As, Confidence, Worth}, Result: "adjusted",
		Phrase:  "adjusted {a:category} [of {fit:result fit}]",
		Options: []Option{averaging, {"given", "given {given:given}"}},
		Help:    "the mean of each level with the other factors held equal", Example: "adjusted pins of fit1"},
	{Name: "compare", Do: Compare{Subject: ByLevels{}}, Kind: "compare",
		Group: Fitting, Clauses: []Clause{For, From, As, Each, Confidence, WorthPer}, Result: "compare",
		Phrase: "compare {y:response} by {a:category}", Options: comparing,
		Help: "each level against each other, or all against one", Example: "compare load by pins against none"},
	{Name: "compare with", Do: Compare{Subject: WithFigure{}}, Kind: "compare",
		Group: Fitting, Clauses: analysis, Result: "compare",
		Phrase:  "compare {y:response} with {figure:amount} [by {a:category}]",
		Options: []Option{{"uneven spread", "uneven spread"}},
		Help:    "each mean against a figure", Example: "compare load with 500 N by pins"},
	{Name: "compare of", Do: Compare{Subject: LevelsOfFit{}}, Kind: "compare",
		Group: Fitting, Clauses: []Clause{As, Confidence, WorthPer}, Result: "compare",
		Phrase: "compare {a:category} [of {fit:result fit}]", Options: append([]Option{averaging}, comparing...),
		Help: "the levels of a fit, with the other factors held equal", Example: "compare pins of fit1"},
	{Name: "share out of", Do: ShareOut{Subject: OfFit{}}, Kind: "shares",
		Group: Fitting, Clauses: []Clause{As, Confidence}, Result: "shares",
		Phrase: "share out [of {fit:result fit}]",
		Help:   "what each factor of a fit gets of what they explain together", Example: "share out of fit1",
		Plain: true},
	{Name: "share out mode", Do: ShareOut{Subject: ModeOnTerms{}}, Kind: "shares",
		Group: Fitting, Clauses: []Clause{For, From, As, Each, Confidence}, Result: "shares",
		Phrase: "share out {mode:mode} on {terms:terms}",
		Help:   "the same for how likely a way of breaking is", Example: "share out failure is glue on pins, density"},
	{Name: "share out", Do: ShareOut{Subject: WeightedOnTerms{}}, Kind: "shares",
		Group: Fitting, Clauses: []Clause{For, From, As, Each, Confidence}, Result: "shares",
		Phrase:  "share out {y:response} on {terms:terms}",
		Options: []Option{{"weighted by", "weighted by {weight:number}"}},
		Help:    "the same, straight from the columns", Example: "share out load on density, pins, thickness"},
	{Name: "predict", Do: Predict{}, Kind: "predict",
		Group: Fitting, Clauses: []Clause{As, Confidence, Worth}, Result: "predict",
		Phrase: "predict [{fit:result fit}] given {given:given}", Options: []Option{averaging},
		Help: "what a fit expects for joints you name", Example: "predict fit1 given pins pair, density 620 kg/m3"},
	{Name: "rivals", Do: Rivals{}, Kind: "rivals", Group: Fitting, Clauses: []Clause{As}, Result: "rivals",
		Phrase:  "rivals {fits:results fit}",
		Help:    "which of several fits the specimens support best, and what terms more bring",
		Example: "rivals fit1, fit2"},
	{Name: "agree", Do: Agree{Subject: AgreeMean{}}, Kind: "agree",
		Group: Fitting, Clauses: []Clause{For, From, As, Each, Confidence}, Result: "agree",
		Phrase: "agree {y:response} by {series:category}",
		Help:   "whether past series tell one story, and what they say together", Example: "agree load by series"},
	{Name: "agree effect", Do: Agree{Subject: AgreeEffect{}}, Kind: "agree",
		Group: Fitting, Clauses: analysis, Result: "agree",
		Phrase:  "agree compare {a:category} against {against:level a} by {series:category}",
		Help:    "whether the difference of two levels repeats from series to series",
		Example: "agree compare pins against none by series"},
	{Name: "agree measure", Do: Agree{Subject: AgreeMeasure{}}, Kind: "agree",
		Group: Fitting, Clauses: analysis, Result: "agree",
		Phrase:  "agree compare {y:response} by {a:category} against {against:level a} by {series:category}",
		Help:    "the same of another measure than the one marked as load",
		Example: "agree compare density by pins against none by series"},
	{Name: "characteristic", Do: Characteristic{Subject: LimitsByLevels{}}, Kind: "characteristic",
		Group: Fitting, Clauses: analysis, Result: "characteristic",
		Phrase: "characteristic {y:response} by {a:category}",
		Options: []Option{{"blocked by", "blocked by {blocks:blocks}"},
			{"exceeded", "exceeded by {exceeded:percent 90% 95% 99%}"}, {"normal", "normal"},
			{"lognormal", "lognormal"},
			{"ranked", "ranked"}},
		Help: "what nearly all joints of a level exceed, and how sure that is", Example: "characteristic load by pins"},
	{Name: "characteristic of", Do: Characteristic{Subject: LimitsOfFit{}}, Kind: "characteristic",
		Group: Fitting, Clauses: []Clause{As, Confidence}, Result: "characteristic",
		Phrase:  "characteristic [of {fit:result fit}] given {given:given}",
		Options: []Option{{"exceeded", "exceeded by {exceeded:percent 90% 95% 99%}"}},
		Help:    "the same for joints not made yet, by a fit",
		Example: "characteristic of fit1 given pins pair, density 620 kg/m3"},
	{Name: "same", Do: Same{}, Kind: "same", Group: Fitting, Clauses: []Clause{For, From, As, Each}, Result: "same",
		Phrase:  "same {y:response} by {a:category} within {within:amount 5% 10% 20%}",
		Options: []Option{{"against", "against {against:level a}"}},
		Help:    "whether levels carry the same, give or take a margin you name",
		Example: "same load by pins within 10%"},

	{Name: "plan", Do: Plan{Subject: PlanMeans{}}, Kind: "plan",
		Group: Planning, Clauses: []Clause{For, From, As, Confidence, WorthPer}, Result: "plan",
		Phrase: "plan {y:response} by {a:category}[, {b:category}]",
		Options: []Option{{"detecting", "detecting {detecting:amount 5% 10% 20%}"},
			{"chance", "chance {chance:percent 80% 90% 95%}"}, {"spread", "spread {spread:amount}"},
			{"blanks", "using up {blanks:count} blanks"}, {"fit", "of {fit:result fit strength}"},
			{"with", "with {with:perlevel a}"},
			{"stages", "in {stages:count} stages"}, {"spending evenly", "spending evenly"}, costing},
		Help:    "how many specimens show a difference that large, or what so many would show",
		Example: "plan load by pins detecting 10%"},
	{Name: "plan mode", Do: Plan{Subject: PlanModes{}}, Kind: "plan",
		Group: Planning, Clauses: []Clause{For, As, Confidence}, Result: "plan",
		Phrase: "plan {mode:mode} by {a:category} from {share:percent} to {wanted:percent}",
		Options: []Option{{"chance", "chance {chance:percent 80% 90% 95%}"},
			{"blanks", "using up {blanks:count} blanks"},
			{"odds", "of {odds:result odds}"}},
		Help:    "how many specimens show that a way of breaking gets rarer or commoner",
		Example: "plan failure is glue by pins from 60% to 20%"},
	{Name: "plan limit", Do: Plan{Subject: PlanLimit{}}, Kind: "plan",
		Group: Planning, Clauses: []Clause{For, From, As}, Result: "plan",
		Phrase: "plan characteristic {y:response} [by {a:category}] within {within:percent 5% 10% 20%}",
		Options: []Option{{"chance", "chance {chance:percent 80% 90% 95%}"}, {"spread", "spread {spread:amount}"},
			{"blanks", "using up {blanks:count} blanks"}},
		Help:    "how many specimens bring a characteristic value that close",
		Example: "plan characteristic load within 10%"},
	{Name: "sheet", Do: Sheet{}, Kind: "sheet", Group: Planning,
		Phrase:  "sheet [of {plan:result plan}] to {file:file written .csv .html}",
		Options: []Option{{"day", "with {day:count} a day"}, replacing},
		Help:    "a test sheet in a random order: a .csv opens again with every column marked, an .html is to print",
		Example: "sheet of plan1 to sheet.csv"},
	{Name: "judge", Do: Judge{}, Kind: "judge", Group: Planning, Clauses: []Clause{For, From, As, Worth},
		Result:  "judge",
		Phrase:  "judge [{plan:result plan}] so far",
		Help:    "whether the current series, made by a plan, may stop, and what is left to make",
		Example: "judge plan1 so far"},
	{Name: "allot", Do: Allot{}, Kind: "allot", Group: Planning, Clauses: []Clause{To}, Options: []Option{sheetOfBook,
		replacing},
		Phrase:  "allot {file:file .csv .xlsx} over {factor:name} {levels:texts} balancing {columns:headers}",
		Help:    "which blank gets which level, so that density and the like match",
		Example: "allot gates.csv over finish oil, wax balancing density"},
	{Name: "suggest", Do: Suggest{}, Kind: "suggest",
		Group: Planning, Phrase: "suggest {n:count} [of {fit:result fit}]",
		Options: []Option{{"from", "from {file:file .csv .xlsx}"}, sheetOfBook},
		Help:    "the joints that would narrow a fit's estimates most", Example: "suggest 8 of fit1"},
	{Name: "separate", Do: Separate{}, Kind: "suggest", Group: Planning,
		Phrase:  "suggest {n:count} to separate {a:column}, {b:column}",
		Options: []Option{{"fit", "of {fit:result fit}"}},
		Help:    "the joints that would distinguish two factors that changed together",
		Example: "suggest 4 to separate pins, thickness"},

	{Name: "draw by", Do: DrawBy{}, Kind: "draw",
		Group: Drawing, Clauses: []Clause{For, From, To, Confidence}, Options: append([]Option{overOrder, fromZero},
			drawing...),
		Phrase: "draw {y:response} by {a:category}[, {b:category}]",
		Help:   "every specimen, with the mean of each level and its interval", Example: "draw load by pins"},
	{Name: "draw modes", Do: DrawModes{}, Kind: "draw",
		Group: Drawing, Clauses: []Clause{For, From, To, Confidence}, Options: drawing,
		Phrase: "draw {mode:category} by {a:category}",
		Help:   "the share of each way of breaking at each level, with its interval", Example: "draw failure by pins"},
	{Name: "draw against", Do: DrawAgainst{}, Kind: "draw",
		Group: Drawing, Clauses: []Clause{For, From, To, Confidence},
		Phrase: "draw {y:response} against {x:number}",
		Options: append([]Option{
			{"by", "by {a:category}"},
			{"line", "line of {fit:result fit}"},
			fromZero,
		}, drawing...),
		Help: "points, and the line and interval of a fit", Example: "draw load against density by pins line of fit1"},
	{Name: "draw curves", Do: DrawCurves{}, Kind: "draw",
		Group: Drawing, Clauses: []Clause{For, From, To}, Options: drawing,
		Phrase: "draw curves [by {a:category}]",
		Help:   "the load-slip curve of every specimen, with its first drop", Example: "draw curves by pins"},
	{Name: "draw until", Do: DrawUntil{}, Kind: "draw",
		Group: Drawing, Clauses: []Clause{For, From, To}, Options: append(append([]Option{}, scatter...), drawing...),
		Phrase:  "draw {y:response} until {mode:mode} [by {a:category}]",
		Help:    "the share still holding as the load rises, one way of breaking alone",
		Example: "draw load until failure is glue by pins"},
	{Name: "draw shares", Do: DrawShares{}, Kind: "draw", Group: Drawing, Clauses: []Clause{To}, Options: drawing,
		Phrase: "draw shares [of {shares:result shares}]",
		Help:   "what each factor gets, with its interval", Example: "draw shares of shares1"},
	{Name: "draw gaps", Do: DrawGaps{}, Kind: "draw", Group: Drawing, Clauses: []Clause{To}, Options: drawing,
		Phrase: "draw {gaps:result drove compare odds count agree}",
		Help:   "the differences of an answer, beside zero and the size worth having", Example: "draw drove1"},
	{Name: "draw chance", Do: DrawChance{}, Kind: "draw", Group: Drawing, Clauses: []Clause{To}, Options: drawing,
		Phrase: "draw chance [of {plan:result plan}]",
		Help:   "what chance fewer or more specimens than planned would give", Example: "draw chance of plan1"},
	{Name: "draw residuals", Do: DrawResiduals{}, Kind: "draw", Group: Drawing, Clauses: []Clause{To},
		Options: append([]Option{{"against", "against {x:number}"}, overOrder}, drawing...),
		Phrase:  "draw residuals [of {fit:result fit}]",
		Help:    "the residuals of a fit, against what it expected or a column", Example: "draw residuals of fit1"},
	{Name: "draw effects", Do: DrawEffects{}, Kind: "draw",
		Group: Drawing, Clauses: []Clause{To, Confidence}, Options: drawing,
		Phrase: "draw effects [of {fit:result fit}]",
		Help:   "what each term of a fit does, with its interval, beside no effect", Example: "draw effects of fit1"},
	{Name: "draw adjusted", Do: DrawAdjusted{}, Kind: "draw",
		Group: Drawing, Clauses: []Clause{To, Confidence}, Options: append([]Option{averaging, fromZero}, drawing...),
		Phrase:  "draw adjusted {a:category} [of {fit:result fit}]",
		Help:    "the mean of each level with the other factors held equal, over the specimens",
		Example: "draw adjusted pins of fit1"},
	{Name: "draw all", Do: DrawAll{}, Kind: "draw",
		Group: Drawing, Clauses: []Clause{To, Confidence}, Options: []Option{drawing[0], replacing},
		Phrase: "draw all [of {result:result}]",
		Help:   "every picture there is of a result, a file each in a folder", Example: "draw all of fit1 to pictures"},
	{Name: "sketch by", Do: SketchBy{}, Kind: "sketch", Group: Drawing, Clauses: []Clause{For, From, Confidence},
		Phrase: "sketch {y:response} by {a:category}",
		Help:   "the picture of every specimen by level in text, here and now", Example: "sketch load by pins"},
	{Name: "sketch against", Do: SketchAgainst{}, Kind: "sketch", Group: Drawing, Clauses: []Clause{For, From},
		Phrase: "sketch {y:response} against {x:number}", Options: []Option{{"by", "by {a:category}"}},
		Help: "the picture of one number against another in text", Example: "sketch load against density by pins"},

	{Name: "note", Do: Prose{}, Kind: "note", Group: Book, Phrase: "note {text:rest}",
		Help: "a paragraph for the report", Example: "note The pins were cut by hand."},
	{Name: "heading", Do: Prose{}, Kind: "heading", Group: Book, Phrase: "heading {text:rest}",
		Help: "a heading for the report", Example: "heading Pins"},
	{Name: "conclude", Do: Prose{}, Kind: "conclude", Group: Book, Phrase: "conclude {text:rest}",
		Help: "what you conclude, for the report's first screen", Example: "conclude Pin the joints with a pair."},
	{Name: "save", Do: SaveBook{}, Kind: "save", Group: Book, Phrase: "save book {file:file written .brk}",
		Options: []Option{replacing},
		Help:    "saves the commands of the book, to be replayed", Example: "save book gates.brk"},
	{Name: "resume", Do: Resume{}, Kind: "resume", Group: Book, Phrase: "resume",
		Help: "takes up the latest book that was not saved, at the prompt", Example: "resume"},
	{Name: "forget journal", Do: ForgetJournal{}, Kind: "forget journal", Group: Book, Phrase: "forget journal",
		Help: "drops the book that resume would take up", Example: "forget journal"},
	{Name: "replay", Do: Replay{}, Kind: "replay", Group: Book, Phrase: "replay {file:file .brk}",
		Help: "runs the commands of a saved book", Example: "replay gates.brk"},
	{Name: "report", Do: Report{}, Kind: "report", Group: Book, Phrase: "report {file:file written .html .md}",
		Options: []Option{{"titled", "titled {title:quoted}"}, {"by", "by {by:quoted}"},
			{"dated", "dated {date:quoted}"}, replacing},
		Help:    "writes the book as one page, .html or .md",
		Example: `report gates.html titled "Gate corners"`},
	{Name: "again", Do: Again{}, Kind: "again", Group: Book, Clauses: []Clause{As}, Phrase: "again {result:result}",
		Help: "the same once more with what is set aside now, as a new result", Example: "again fit1"},
	{Name: "again all", Do: AgainAll{}, Kind: "again all", Group: Book, Phrase: "again all",
		Help: "reads the files anew, runs the book on them and says which answers changed", Example: "again all"},
	{Name: "learn", Do: Learn{}, Kind: "learn", Group: Book, Phrase: "learn",
		Help: "a guided quarter of an hour: from an untidy sheet to the next series", Example: "learn"},
	{Name: "demo", Do: Demo{}, Kind: "demo", Group: Book, Phrase: "demo",
		Help: "the shipped example, put into a folder of its own and run", Example: "demo"},
	{Name: "undo", Do: Undo{}, Kind: "undo", Group: Book, Phrase: "undo",
		Help: "undoes the last entry", Example: "undo"},
	{Name: "confidence", Do: SetConfidence{}, Kind: "confidence", Group: Book,
		Phrase: "confidence {level:percent 90% 95% 99%}",
		Help:   "how sure an interval is meant to be", Example: "confidence 90%"},
	{Name: "worth", Do: SetWorth{}, Kind: "worth", Group: Book, Phrase: "worth {amount:amount 5% 10% 20%}",
		Help: "the smallest difference that matters to you", Example: "worth 10%"},
	{Name: "chalk point", Do: SetChalkPoint{}, Kind: "chalk point", Group: Book, Phrase: "chalk point {amount:amount}",
		Help: "below which your glue dries white and weak: read the tin", Example: "chalk point 13 degC"},
	{Name: "seed", Do: SetSeed{}, Kind: "seed", Group: Book, Phrase: "seed {n:count}",
		Help: "the start of every random draw, so that a book replays alike", Example: "seed 7"},
	{Name: "digits", Do: SetDigits{}, Kind: "digits", Group: Book, Phrase: "digits {n:count}",
		Help: "significant digits on the screen", Example: "digits 4"},
	{Name: "help", Do: AskHelp{}, Kind: "help", Group: Book, Phrase: "help [{word:rest commands}]",
		Mends: []Mend{{NoCommand, "type help to see what can be typed"}},
		Help:  "what can be typed", Example: "help compare"},
	{Name: "quit", Do: Quit{}, Kind: "quit", Group: Book, Phrase: "quit|exit", Options: []Option{{"without saving",
		"without saving"}},
		Help: "leaves the book; what is not saved can be resumed next time", Example: "quit"},
}

// fitting is how a fit of any kind may be wished.
var fitting = []Option{
	{"blocked by", "blocked by {blocks:blocks}"},
	{"weighted by", "weighted by {weight:number}"},
	{"uneven spread", "uneven spread"},
	{"through zero", "through zero"},
	seriesDiffer,
}

// withSeries draws past series in.
var withSeries = Option{"past", "with series {past:manyseries past}"}

// seriesDiffer makes the levels of the column series random, with the sd given.
var seriesDiffer = Option{"differ", "series differ by {differ:amount 5% 8% 10%}"}

// scatter is how the strength of one way of breaking may be taken to scatter.
var scatter = []Option{{"weibull", "weibull"}, {"lognormal", "lognormal"}}

// comparing is how levels may be compared.
// averaging tells a factor once that would be told within each level of another.
var averaging = Option{"averaged over", "averaged over {over:columns}"}

var comparing = []Option{
	{"against", "against {against:level a}"},
	{"uneven spread", "uneven spread"},
	{"ranked", "ranked"},
	{"reshuffled", "reshuffled [{times:count} times]"},
	costing,
}

// costing tells what a specimen of each level costs.
var costing = Option{"costing", "costing {costing:prices a}"}

// fromZero has the axis of a picture begin at zero, where a length is its value.
var fromZero = Option{"from zero", "from zero"}

// overOrder has the specimens of a picture one after the other as they were tested.
var overOrder = Option{"over order", "over order"}

var drawing = []Option{
	{"size", "size {width:count} by {height:count} mm"},
	{"titled", "titled {title:quoted}"},
	replacing,
}

// replacing insists on a file that a person made or changed; the old one is kept.
var replacing = Option{"replacing", "replacing"}

// Kinds are the kinds of entries that commands give, each once, in the order of the table.
func Kinds() []string {
	var out []string
	for _, e := range Table {
		if !slices.Contains(out, e.Kind) {
			out = append(out, e.Kind)
		}
	}
	return out
}
