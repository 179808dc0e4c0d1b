package bench

import (
	"math/bits"
	"slices"
	"time"

	"trundle/console"
	"trundle/midiio/mapping"
	"trundle/sim/probe"
)

// down is which keys are held, by keyboard, note and touch.
type down []uint64

func downOf(chord []console.Held) down {
	var d down
	for _, h := range chord {
		at := 2 * (128*h.Keyboard + int(h.Note))
		if h.Deep {
			at++
		}
		for len(d) <= at/64 {
			d = append(d, 0)
		}
		d[at/64] |= 1 << (at % 64)
	}
	return d
}

// differ is in how many places two sets differ.
func differ(a, b []uint64) (n int) {
	if len(a) < len(b) {
		a, b = b, a
	}
	for i, word := range a {
		if i < len(b) {
			word ^= b[i]
		}
		n += bits.OnesCount64(word)
	}
	return n
}

// InFewMoves is a plan with the chords of each step in another order: each is
// followed by the one of those left in which the fewest keys move. Of the chords
// of a code that is half the keys; from a chord to its complement all move. With a
// plug in every chord is let go before the next one, so nothing is saved.
func InFewMoves(p probe.Plan) probe.Plan {
	if p.Loop != nil {
		return p
	}
	ordered := probe.Plan{}
	var held down
	for _, s := range p.Steps {
		var sets []down
		for _, chord := range s.Chords {
			sets = append(sets, downOf(chord))
		}
		left, step := slices.Clone(s.Chords), probe.Step{Draw: s.Draw}
		for len(left) > 0 {
			best := 0
			for i := range left {
				if differ(held, sets[i]) < differ(held, sets[best]) {
					best = i
				}
			}
			held, step.Chords = sets[best], append(step.Chords, left[best])
			left, sets = slices.Delete(left, best, best+1), slices.Delete(sets, best, best+1)
		}
		ordered.Steps = append(ordered.Steps, step)
	}
	return ordered
}

// Answering is after how long a relay is foretold to answer: its contacts are
// scanned and debounced in about that time (common practice, no source).
const Answering = 8 * time.Millisecond

// bytesOf is how many bytes say a thing of a kind, the mean of all that a map has.
func bytesOf(m *mapping.Map, kind mapping.Kind, way mapping.Way) float64 {
	sum, n := 0, 0
	for _, e := range m.Entries {
		if e.Kind == kind && e.Has(way) {
			sum, n = sum+e.Bytes(way), n+1
		}
	}
	return float64(sum) / float64(max(1, n))
}

// Foretell is how long a test takes at a relay that answers as it should, each
// key after Answering, when a byte takes so long either way and what moves is
// said by the messages of a map.
func Foretell(plan probe.Plan, want probe.Answers, wait Settle, m *mapping.Map, byteTime time.Duration) time.Duration {
	now := listening
	var held down
	var open probe.Set
	var drawn []int
	var last silences
	answering, report := Answering, mapping.Valve
	if plan.Loop != nil {
		report = mapping.Key
		answering *= 2 // the contact behind the plug is scanned too
	}
	key, control, output := bytesOf(m, mapping.Key, mapping.ToOrgan), bytesOf(m, mapping.Control, mapping.ToOrgan), bytesOf(m, report, mapping.ToConsole)
	takes := func(bytes float64) time.Duration { return time.Duration(bytes * float64(byteTime)) }
	come := func(keys down, answer probe.Set, controls int) {
		said, outputs := control*float64(controls)+key*float64(differ(held, keys)), differ(open, answer)
		held, open = keys, answer
		now += takes(said) + wait.enough(true, outputs > 0, last)
		if outputs > 0 {
			// It answers while keys are on their way, and not before the last has come.
			now += answering + takes(max(0, output*float64(outputs)-said))
			last = last.and(answering)
		}
	}
	for i, s := range plan.Steps {
		for k, chord := range s.Chords {
			controls := 0
			for _, c := range slices.Concat(drawn, s.Draw) {
				if slices.Contains(drawn, c) != slices.Contains(s.Draw, c) {
					controls++
				}
			}
			drawn = s.Draw
			if plan.Loop == nil {
				come(downOf(chord), want[i][k], controls)
				continue
			}
			half := plan.Loop.Half() / 64
			come(downOf(chord), want[i][k][:half], controls)
			come(nil, want[i][k][half:], 0)
		}
	}
	return now
}
