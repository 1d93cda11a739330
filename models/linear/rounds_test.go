package linear

import "testing"

// A block of rows is some milliseconds of work however wide the table is, so that a stop is heeded soon: about a
// million multiplications, no less than 16 rows and no more than 8,192.
func TestBlocksAreAsLongHoweverWide(t *testing.T) {
	rows := &table{n: 1 << 20}
	for cost, want := range map[int]int{0: 1 << 13, 1: 1 << 13, 1 << 7: 1 << 13, 1 << 8: 1 << 12, 1 << 10: 1 << 10,
		1 << 14: 64, 1 << 16: 16, 1 << 20: 16} {
		if size, _ := rows.rounds(cost); size != want {
			t.Errorf("rows of %d multiplications come in blocks of %d, want %d", cost, size, want)
		}
	}
}
