package listen

import (
	"math/rand/v2"
	"slices"
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
		for _, site := range slices.Concat(fault.Sites(relay, in), fault.Stuck(relay, in)) {
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
	for _, class := range append(gen.Classes, "key-stuck", "stop-stuck", "output-stuck") {
		require.True(t, classes[class], class)
	}
}

// So it does where what is settled without the mistake is not worked out anew.
func TestATryOfAPoolFollowsTheDefinition(t *testing.T) {
	for seed := range uint64(24) {
		in := gen.Instrument(seed, gen.Tiny)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		p := newPool(New(in, relay))
		r := rand.New(rand.NewPCG(seed, 8))
		for range 8 {
			p.add(anyTry(r, in))
		}
		for _, site := range slices.Concat(fault.Sites(relay, in), fault.Stuck(relay, in)) {
			i := r.IntN(site.Count)
			f, x := site.Way(i), p.l.m.patchOf(site.Edit(i))
			out := p.l.m.put(x)
			for range 3 {
				try := int32(r.IntN(len(p.tries)))
				requireRun(t, f.Relay, in, p.tries[try], p.with(x, try), f.Class+": "+f.Where)
			}
			out()
		}
	}
}

// A row that holds and should not, or the other way round, is one that asks for
// nothing, or is not there.
func TestATurnedRowFollowsTheDefinition(t *testing.T) {
	for seed := range uint64(24) {
		in := gen.Instrument(seed, gen.Tiny)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		p := newPool(New(in, relay))
		r := rand.New(rand.NewPCG(seed, 9))
		for number, row := range relay.Switch {
			if row.Kind == wiring.Read {
				continue
			}
			for range 3 {
				try := anyTry(r, in)
				reg := p.reg[p.add(try)]
				turned, holds := *relay, p.l.m.rows[number].among(p.regs[reg].drawn.labels)
				turned.Switch = slices.Clone(relay.Switch)
				if holds {
					turned.Switch = slices.Delete(turned.Switch, number, number+1)
				} else {
					turned.Switch[number].Control = nil
				}
				if p.l.m.played {
					continue
				}
				requireRun(t, &turned, in, try, p.l.m.turned(int32(number), holds, try, p.settled(reg)), "settled")
				requireRun(t, &turned, in, try, p.l.m.turned(int32(number), holds, try, nil), "anew")
			}
		}
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
