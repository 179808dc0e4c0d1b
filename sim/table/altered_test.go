package table

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The forms in which spreadsheets show dates and numbers by default: those of
// ISO 8601, and the built-in formats 11, 14 to 17 and 22 of ECMA-376 part 1,
// 18.8.30 (0.00E+00, mm-dd-yy, d-mmm-yy, d-mmm, mmm-yy, m/d/yy h:mm), and with
// the points and slashes of other places.
func TestWhatASpreadsheetMakesOfACell(t *testing.T) {
	for _, date := range []string{"2026-03-14", "03-14-26", "14-Mar-26", "14-Mar", "Mar-26", "3/14/26 0:00", "3/14/2026", "14.03.2026", "14. Mar", "Mar 14"} {
		require.Contains(t, Altered(date), "a date of", date)
	}
	for _, number := range []string{"13.0", "1,0", "1.00E+05", "1E+05", "1..61.0"} {
		require.Contains(t, Altered(number), "a decimal number of", number)
	}
	for _, meant := range []string{"", "13", "1..61", "1..61/2", "61..1", "3-14", "1 2 3", "C2..C7", "great-principal-8", "X1", "white-blue", "1..25 27..62", "marimba", "mar"} {
		require.Empty(t, Altered(meant), meant)
	}
}
