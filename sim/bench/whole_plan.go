package bench

import (
	"time"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/probe"
)

// InFewMoves is a plan with the chords of each step in another order: each is
// followed by the one of those left in which the fewest keys move. Of the chords
// of a code that is half the keys; from a chord to its complement all move.
func InFewMoves(p probe.Plan) probe.Plan {
	ordered := probe.Plan{}
	held := map[console.Held]bool{}
	for _, s := range p.Steps {
		left := append([][]console.Held(nil), s.Chords...)
		step := probe.Step{Draw: s.Draw}
		for len(left) > 0 {
			best, least := 0, -1
			for i, chord := range left {
				if n := moves(held, chord); least < 0 || n < least {
					best, least = i, n
				}
			}
			step.Chords = append(step.Chords, left[best])
			clear(held)
			for _, h := range left[best] {
				held[h] = true
			}
			left = append(left[:best], left[best+1:]...)
		}
		ordered.Steps = append(ordered.Steps, step)
	}
	return ordered
}

// moves is how many keys move from what is held to a chord.
func moves(held map[console.Held]bool, chord []console.Held) int {
	n := len(held)
	for _, h := range chord {
		if n++; held[h] {
			n -= 2
		}
	}
	return n
}

// Answering is after how long a relay is foretold to answer: its contacts are
// scanned and debounced in about that time (common practice, no source).
const Answering = 8 * time.Millisecond

// Foretell is how long a test takes at a relay that answers as it should, each
// key after Answering, when a byte takes so long either way.
func Foretell(in *console.Instrument, m *mapping.Map, plan probe.Plan, want probe.Answers, wait Settle, byteTime time.Duration) time.Duration {
	w, organ := NewWhole(in, m, plan, want, wait), m.End(mapping.AtOrgan, "organ")
	var there, back midiio.Encoder
	var bytes []byte
	var now time.Duration
	open := make(probe.Set, len(w.open))
	for !w.Done() {
		pressed := now
		for _, message := range w.Tick(nil, now) {
			bytes = there.Append(bytes[:0], message)
			now += time.Duration(len(bytes)) * byteTime
		}
		w.Left(now)
		if w.pressed {
			var out []midiio.Message
			want := want[w.todo[w.next].step][w.todo[w.next].chord]
			for v := range in.Valves {
				if open.Has(v) != want.Has(v) {
					out = organ.Say(out, console.Effect{Kind: console.ValveEffect, Index: v, Value: 2 * int(want[v/64]>>(v%64)&1)})
				}
			}
			copy(open, want)
			now = answer(w, out, &back, pressed+Answering, now+Answering, byteTime)
		}
		if at, due := w.Next(); due {
			now = at
		}
	}
	return now
}

// answer has a relay say something, from when the first key has been read on and
// not before the last one has.
func answer(w *Whole, out []midiio.Message, line *midiio.Encoder, first, last, byteTime time.Duration) time.Duration {
	now := first
	for i, message := range out {
		now += time.Duration(len(line.Append(nil, message))) * byteTime
		if i == len(out)-1 {
			now = max(now, last)
		}
		w.Hear(midiio.Timed{At: now, Message: message})
	}
	return now
}
