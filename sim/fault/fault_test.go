package fault_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// Every class of mistake that tests plant can be made on purpose, and none
// changes the relay it is made in.
func TestEveryClassCanBeMade(t *testing.T) {
	made := map[string]bool{}
	for seed := range uint64(12) {
		in := gen.Instrument(seed, gen.Tiny)
		relay, same := gen.Design(seed, in, gen.AnyOptions(seed)), gen.Design(seed, in, gen.AnyOptions(seed))
		for _, site := range fault.Sites(relay, in) {
			for _, i := range []int{0, site.Count - 1} {
				f := site.Way(i)
				require.NotEmpty(t, f.Where)
				require.NotPanics(t, func() { wiring.Run(f.Relay, in, console.State{}) }, f.Where)
				made[f.Class] = true
			}
		}
		require.Equal(t, same, relay)
	}
	for _, class := range gen.Classes {
		require.True(t, made[class], class)
	}
}
