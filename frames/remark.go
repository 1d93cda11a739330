package frames

// Reading says how a file was understood and what was odd about it.
type Reading struct {
	Separator string    // "comma", "semicolon", "tab", "bar"
	Decimal   string    // "point", "comma"
	Thousands string    // "none", "comma", "point", "space", "apostrophe"
	Sheet     string    // the sheet of a workbook that was read; then there is neither Separator nor Encoding
	Sheets    []SheetOf // of cells that the workbook has, in its order
	// "UTF-8", "UTF-8 with byte-order mark", "UTF-16", "UTF-16 without byte-order mark", "Windows-1252",
	// or the name given
	Encoding   string
	Packed     bool       // it was a gzip
	HeaderLine int        // 0 where there is none
	UpperLine  int        // the line above it that holds names of groups, or names that it lacks; 0 for none
	UnitsLine  int        // the line that holds only units; 0 for none
	Blocks     [][]string // the columns of blocks that stand side by side under the same headers; nil for none
	// the order of its dates: "year-month-day", "day-month-year", "month-day-year"; "" without dates
	Dates        string
	DateColumns  []string // the columns that hold nothing but dates; they are kept word for word
	MissingWords []string // the words met that were taken as missing, in file order; empty cells are not among them
	Extents      []Extent // of each column, as read; nil where a look said what the file holds
	Look         string   // the .look.json beside it that said all this, "" where none did
	ToFill       bool     // it is a test sheet, to be filled in
	Remarks      []Remark // things a person should be told, in file order
}

// SheetOf is a sheet of a workbook.
type SheetOf struct {
	Name string
	Rows int // that hold anything, its header and notes among them; -1 where it was not looked at
}

// Remark is one odd thing about a file: data, to be put into words by repl/say.
//
// The codes, with what Line, Word and Count hold (Line is always the first):
//
//	decoded-windows-1252  the first line with a byte that is no UTF-8; Count such bytes
//	odd-bytes             Count cells of Column hold bytes that are in no letter of the encoding (Word the first) and
//	                      are missing; without Column, Count such bytes stand outside the cells
//	numbers-in-header     every header cell is a number: the header may be missing
//	data-in-header        the cells of the header (Word, as they stand) look like those of the rows below
//	duplicate-header      Column is the new name, Word the header as written
//	two-line-header       Line has names under those of groups (Word the first), and the two were put together: Column
//	no-header             a column without a header; Column is the name it got
//	empty-column          a column with a header and no value
//	mass-as-load          a load or force in a mass unit; Word is the unit
//	several-orders        Column could be the order of testing, and so could Word; neither is marked so
//	unsure-order          Column is called as an order of testing is, but Count rows have no number of their own there
//	leading-zeros         numbers such as 007, so the column is no number column; Word the first
//	big-whole-number      whole numbers beyond 2^53, so the column is no number column
//	mixed-units           numbers in different units, or with and without one, so it is text
//	other-decimal-mark    Count numbers with the other decimal mark or parted thousands, so it is text
//	guessed-thousands     Count numbers such as 1.234 (Word), read as 1234 since the other mark marks the decimals
//	doubtful-decimal      Word is a number such as 1.234, read as 1.234; the mark might part thousands
//	preamble              Count records above the header, passed over; Word what the first starts with
//	unknown-unit          Word stands in the row of units and is no unit known here
//	two-units             the header's unit is taken; Word in the row of units is another
//	ambiguous-dates       Word could be day or month first; day first is taken
//	mixed-dates           Word is two dates, one that has the day first and one the month
//	odd-date              Word is not a date in the order given
//	stray-word            Count words among numbers, so the column is text; Word the first
//	few-numbers           Count cells of a column of loads, or with a unit, are no numbers (Word the first, Cells the
//	                      first few), and too many for the column to be one; a quarter and more are
//	short-row             Count rows shorter than the header; the rest is missing
//	extra-blank-cells     Count rows with empty cells beyond the header's
//	blank-lines           Count blank lines, passed over
//	blank-lines-missing   the same in a file of one column, where each is a missing value
//	empty-rows            Count rows with nothing in any cell, passed over
//	block-starts          Column is filled in the first row of Count blocks of rows alone (Word the first, Cells the
//	                      first few), as merged cells come out of a sheet
//	error-cells           Count cells of a sheet show an error (Word the first, in Column) and are missing
//	no-stored-value       Count formulas whose value is not stored, which are missing
//	merged-cells          Count areas of merged cells, of which only the first cell holds anything
//	hidden-rows           Count rows that the sheet does not show; they are read
//	hidden-columns        Count columns (Word, by their names) that the sheet does not show; they are read
//	workbook-macros       the workbook has macros; none is run
//	workbook-damaged      the sheet Word is damaged; another was read
//	look-other-file       the .look.json Word was made for other contents than the file's, so it was not used
//	look-broken           the .look.json Word is damaged or nothing that breakbook wrote, so it was not used
//	look-overridden       the .look.json Word was not used because the command says how to read the file
type Remark struct {
	Code   string
	Column string
	Line   int
	Word   string
	Count  int
	Cells  []CellAt // of some codes: the first few that it is about
}

// CellAt is a cell as it stands in a line of its file.
type CellAt struct {
	Line int
	Word string
}
