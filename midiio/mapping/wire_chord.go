package mapping

import (
	"slices"

	"trundle/console"
)

// What one player can hold: five keys of a hand within an octave, both hands on
// one manual or on two, and a note for each heel and toe. (Common practice, no
// source.)
const (
	fingers = 5
	reach   = 12
	feet    = 4
)

// worstChord is a chord of much traffic: of each hand and of the feet, the keys
// that cause the most bytes each when all stops and couplers are drawn.
func (m *Map) worstChord() []console.Key {
	w := m.wire("", 0)
	w.full()
	var hands [][]weighed // the best of each manual, heaviest first
	var chord []console.Key
	for k, keyboard := range m.in.Keyboards {
		keys := w.weigh(k)
		if keyboard.Kind == console.Pedal {
			for _, best := range heaviest(keys, feet) {
				chord = append(chord, best.key)
			}
			continue
		}
		one := hand(keys, nil)
		hands = append(hands, one, hand(keys, one))
	}
	slices.SortStableFunc(hands, func(a, b []weighed) int { return total(b) - total(a) })
	for _, h := range hands[:min(2, len(hands))] {
		for _, best := range h {
			chord = append(chord, best.key)
		}
	}
	return chord
}

// weighed is a key and the bytes that it causes alone.
type weighed struct {
	key   console.Key
	bytes int
}

func total(keys []weighed) (sum int) {
	for _, k := range keys {
		sum += k.bytes
	}
	return sum
}

// weigh presses each key of a keyboard alone.
func (w *wire) weigh(keyboard int) (keys []weighed) {
	span := w.m.in.Keyboards[keyboard].Keys
	for n := span.From; n <= span.To; n++ {
		k := console.Key{Keyboard: keyboard, Note: n}
		w.quiet()
		w.do(0, console.KeyMoved(k, 1, ""))
		keys = append(keys, weighed{k, w.taken.Bytes})
		w.do(0, console.KeyMoved(k, 0, ""))
	}
	return keys
}

// hand is the heaviest keys that a hand can hold, without those another holds.
func hand(keys, without []weighed) (best []weighed) {
	for i := range keys {
		window := slices.Clone(keys[i:min(i+reach+1, len(keys))])
		window = slices.DeleteFunc(window, func(k weighed) bool { return slices.Contains(without, k) })
		if h := heaviest(window, fingers); total(h) > total(best) {
			best = h
		}
	}
	return best
}

// heaviest is so many of the heaviest keys, the lowest of equals.
func heaviest(keys []weighed, n int) []weighed {
	keys = slices.Clone(keys)
	slices.SortStableFunc(keys, func(a, b weighed) int { return b.bytes - a.bytes })
	return keys[:min(n, len(keys))]
}
