package contact

import (
	"slices"

	"trundle/console"
)

// What one player can hold at once. Common practice, no source: two hands of
// five fingers that span up to 14 semitones; a thumb takes two neighbouring
// keys, or one more on the manual beside; each foot takes a pedal key by its
// toe and another, up to a third away, by its heel.
const (
	handSpan  = 14
	fingers   = 5
	thumbSpan = 2
	footSpan  = 4
)

// Playable reports whether one player can hold these keys.
func Playable(in *console.Instrument, keys []console.Key) bool {
	var manual, pedal []console.Key
	for _, k := range keys {
		if in.Keyboards[k.Keyboard].Kind == console.Pedal {
			pedal = append(pedal, k)
		} else {
			manual = append(manual, k)
		}
	}
	order := manuals(in)
	return split(manual, 2*(fingers+1), func(hand []console.Key) bool { return hold(order, hand) }) && split(pedal, 4, foot)
}

// manuals is the place of each manual among the manuals, by keyboard: those
// that follow each other in the file lie beside each other.
func manuals(in *console.Instrument) []int {
	place, count := make([]int, len(in.Keyboards)), 0
	for k, keyboard := range in.Keyboards {
		if place[k] = count; keyboard.Kind == console.Manual {
			count++
		}
	}
	return place
}

// split reports whether keys can be shared out to two limbs.
func split(keys []console.Key, most int, one func([]console.Key) bool) bool {
	if len(keys) > most {
		return false
	}
	for share := range 1 << len(keys) {
		var a, b []console.Key
		for i, k := range keys {
			if share>>i&1 == 1 {
				a = append(a, k)
			} else {
				b = append(b, k)
			}
		}
		if one(a) && one(b) {
			return true
		}
	}
	return false
}

// hold reports whether one hand can hold these keys.
func hold(order []int, keys []console.Key) bool {
	if span(keys) > handSpan {
		return false
	}
	byManual := map[int][]console.Note{}
	for _, k := range keys {
		byManual[k.Keyboard] = append(byManual[k.Keyboard], k.Note)
	}
	switch len(byManual) {
	case 0:
		return true
	case 1:
		notes := byManual[keys[0].Keyboard]
		slices.Sort(notes)
		n := len(notes)
		return n <= fingers || n == fingers+1 && (notes[1]-notes[0] <= thumbSpan || notes[n-1]-notes[n-2] <= thumbSpan)
	case 2:
		a, b := keys[0].Keyboard, 0
		for m := range byManual {
			if m != a {
				b = m
			}
		}
		beside := order[a]-order[b] == 1 || order[b]-order[a] == 1
		return beside && min(len(byManual[a]), len(byManual[b])) == 1 && max(len(byManual[a]), len(byManual[b])) <= fingers
	}
	return false
}

func foot(keys []console.Key) bool {
	return len(keys) < 2 || len(keys) == 2 && keys[0].Keyboard == keys[1].Keyboard && span(keys) <= footSpan
}

// span is the distance from the lowest to the highest key, in semitones.
func span(keys []console.Key) int {
	if len(keys) == 0 {
		return 0
	}
	low, high := keys[0].Note, keys[0].Note
	for _, k := range keys {
		low, high = min(low, k.Note), max(high, k.Note)
	}
	return int(high - low)
}
