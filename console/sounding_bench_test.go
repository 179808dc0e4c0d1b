package console_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/gen"
)

// drawnLarge is the large instrument with 100 stops drawn and 10 couplers on,
// and ten keys that are held meanwhile.
func drawnLarge() (*console.Instrument, *console.Sounding, console.State) {
	in := gen.Instrument(1, gen.Large)
	random := rand.New(rand.NewPCG(1, 0))
	s := console.State{Drawn: make([]bool, len(in.Controls))}
	var changes []console.Change
	for _, i := range random.Perm(len(in.Stops))[:100] {
		s.Drawn[in.Stops[i].Control] = true
	}
	for _, i := range random.Perm(len(in.Couplers))[:10] {
		s.Drawn[in.Couplers[i].Control] = true
	}
	for c, on := range s.Drawn {
		if on {
			changes = append(changes, console.TurnOn(c))
		}
	}
	for n := range console.Note(10) {
		key := console.Key{Keyboard: int(n) % len(in.Keyboards), Note: 37 + 3*n}
		s.Held = append(s.Held, console.Held{Key: key})
		changes = append(changes, console.KeyDown(key))
	}
	sounding := console.NewSounding(in)
	sounding.Apply(changes...)
	return in, sounding, s
}

// keysOf is every key of an instrument but those held.
func keysOf(in *console.Instrument, held []console.Held) []console.Key {
	var keys []console.Key
	for m, keyboard := range in.Keyboards {
	notes:
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			for _, h := range held {
				if h.Keyboard == m && h.Note == n {
					continue notes
				}
			}
			keys = append(keys, console.Key{Keyboard: m, Note: n})
		}
	}
	return keys
}

// One operation is a key pressed or let go. Beside the mean it tells the
// worst single one, and how many times longer console/plain takes.
func BenchmarkKey(b *testing.B) {
	in, sounding, state := drawnLarge()
	keys := keysOf(in, state.Held)
	valves := 0

	var plainly time.Duration
	const plainRuns = 5
	for i := range plainRuns {
		s := state
		s.Held = append(s.Held[:len(s.Held):len(s.Held)], console.Held{Key: keys[i*len(keys)/plainRuns]})
		start := time.Now()
		plain.Open(in, s)
		plainly += time.Since(start)
	}

	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if key := keys[i/2%len(keys)]; i%2 == 0 {
			valves += len(sounding.Apply(console.KeyDown(key)))
		} else {
			sounding.Apply(console.KeyUp(key))
		}
	}
	b.StopTimer()
	mean := float64(b.Elapsed()) / float64(b.N)
	b.ReportMetric(float64(valves)/(float64(b.N)/2), "valves/press")
	b.ReportMetric(float64(plainly)/plainRuns/mean, "x-slower-plainly")

	var worst time.Duration
	for _, key := range keys {
		start := time.Now()
		sounding.Apply(console.KeyDown(key))
		worst = max(worst, time.Since(start))
		sounding.Apply(console.KeyUp(key))
	}
	b.ReportMetric(float64(worst.Nanoseconds()), "worst-ns")
}

// A coupler turned with ten keys held.
func BenchmarkCoupler(b *testing.B) {
	in, sounding, _ := drawnLarge()
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if control := in.Couplers[i/2%len(in.Couplers)].Control; i%2 == 0 {
			sounding.Apply(console.TurnOn(control))
		} else {
			sounding.Apply(console.TurnOff(control))
		}
	}
}

// A combination of 100 stops and couplers drawn and cancelled, with ten keys
// held.
func BenchmarkCombination(b *testing.B) {
	in, sounding, _ := drawnLarge()
	var on, off []console.Change
	for _, c := range rand.New(rand.NewPCG(2, 0)).Perm(len(in.Controls))[:100] {
		on, off = append(on, console.TurnOn(c)), append(off, console.TurnOff(c))
	}
	sounding.Apply(off...)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if i%2 == 0 {
			sounding.Apply(on...)
		} else {
			sounding.Apply(off...)
		}
	}
}

func BenchmarkNewSounding(b *testing.B) {
	in := gen.Instrument(1, gen.Large)
	b.ReportAllocs()
	for b.Loop() {
		console.NewSounding(in)
	}
}
