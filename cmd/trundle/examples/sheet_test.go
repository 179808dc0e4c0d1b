package examples_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// TestSaltmarshHallHasThePipesCountedByHand counts as a builder does: borrowed
// and extended stops add nothing, a compound stop its rows times its keys.
func TestSaltmarshHallHasThePipesCountedByHand(t *testing.T) {
	sheet := console.NewSheet(loadOrgan(t, "saltmarsh/organ.yaml"))
	for d, want := range []struct {
		division            string
		stops, ranks, pipes int
	}{
		{"great", 9, 7 + 4, 7*61 + 4*61},
		{"choir", 9, 5 + 2, 85 + 73 + 3*61 + 2*49},
		{"pedal", 10, 3, 61 + 44 + 44},
	} {
		got := sheet.Divisions[d].Totals
		require.Equal(t, []int{want.stops, want.ranks, want.pipes}, []int{len(sheet.Divisions[d].Stops), got.Ranks, got.Pipes}, want.division)
	}
	require.Equal(t, []int{11 + 7 + 3, 671 + 439 + 149}, []int{sheet.Ranks, sheet.Pipes})
}
