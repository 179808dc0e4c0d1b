package wiring_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// Whatever a relay hangs up is an item of its instrument, and is found by the
// name that its row gives it.
func TestEveryItemIsFoundByItsName(t *testing.T) {
	for seed := range uint64(8) {
		in := gen.Instrument(seed, gen.Tiny)
		r := gen.Design(seed, in, gen.Options{Coils: true, Spares: true})
		every := map[wiring.Item]bool{}
		for _, item := range wiring.Every(in) {
			require.False(t, every[item], "%v stands twice", item)
			every[item] = true
		}
		for _, item := range wiring.Needed(in) {
			require.True(t, every[item])
		}
		for _, row := range r.Plan {
			for _, item := range row.Items {
				if item.Index == console.None && item.Kind != wiring.StageKind {
					continue
				}
				require.True(t, every[item], "%v", item)
				_, name, note := item.Words(in)
				if note != "" {
					name += ":" + note
				}
				called, _ := wiring.Called(in, name)
				require.Contains(t, called, item, name)
			}
		}
	}
}
