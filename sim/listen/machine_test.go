package listen

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// The definition of what a relay does is wiring.Run's, step by step as it reads;
// here of a copy of the relay with the mistake.
func TestAMachineWithAMistakeFollowsTheDefinition(t *testing.T) {
	classes := map[string]bool{}
	for seed := range uint64(24) {
		in := gen.Instrument(seed, gen.Tiny)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		m := compile(relay, in)
		r := rand.New(rand.NewPCG(seed, 7))
		for _, site := range fault.Sites(relay, in) {
			i := r.IntN(site.Count)
			f, out := site.Way(i), m.put(m.patchOf(site.Edit(i)))
			for range 3 {
				try := anyTry(r, in)
				requireRun(t, f.Relay, in, try, m.run(try), f.Class+": "+f.Where)
			}
			out()
			classes[site.Class] = true
		}
		for range 20 {
			try := anyTry(r, in)
			requireRun(t, relay, in, try, m.run(try), "all taken out")
		}
	}
	for _, class := range gen.Classes {
		require.True(t, classes[class], class)
	}
}

func anyTry(r *rand.Rand, in *console.Instrument) Try {
	var try Try
	for c := range in.Controls {
		if r.IntN(2) == 0 {
			try.Draw = append(try.Draw, c)
		}
	}
	for k, keyboard := range in.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			if r.IntN(4) == 0 {
				try.Held = append(try.Held, console.Held{Key: console.Key{Keyboard: k, Note: n}, Deep: keyboard.Touches == 2 && r.IntN(2) == 0})
			}
		}
	}
	return try
}

func requireRun(t *testing.T, relay *wiring.Relay, in *console.Instrument, try Try, got []int32, of string) {
	t.Helper()
	var want []int32
	for v, open := range wiring.Run(relay, in, try.State(in)).Open {
		if open {
			want = append(want, int32(v))
		}
	}
	require.Equal(t, want, append([]int32(nil), got...), of)
}
