package probe

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestASquareOfBitsTurns(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	rows := make([]word, 64)
	for i := range rows {
		rows[i] = r.Uint64()
	}
	square := turned(rows)
	for i := range 64 {
		for j := range 64 {
			require.Equal(t, rows[i]>>j&1, square[j]>>i&1)
		}
	}
	require.Equal(t, rows[:50], rowsOf(columns(rows[:50], 64), 50))
}
