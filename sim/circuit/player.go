package circuit

import (
	"cmp"
	"slices"

	"trundle/console"
)

// Player is what one player can hold at once: two hands, each on one manual,
// and two feet. Common practice, no source.
type Player struct {
	Fingers, Span  int // of a hand: keys at once, and semitones from the lowest to the highest
	Toes, FootSpan int // of a foot: toe and heel, and semitones between them
}

// OnePlayer has ten fingers that span octaves, and plays four pedal notes.
var OnePlayer = Player{Fingers: 5, Span: 12, Toes: 2, FootSpan: 4}

// limbs are two hands, or two feet, and the keyboards that they may be on.
type limbs struct {
	keyboards [][]int // by keyboard: its keys, in ascending order
	most      int     // keys a limb
	span      int
}

// limbs of a player: hands first, then feet. Keys are numbers in list.
func (p Player) limbs(in *console.Instrument, list []console.Key) [2]limbs {
	two := [2]limbs{{most: p.Fingers, span: p.Span}, {most: p.Toes, span: p.FootSpan}}
	for m, keyboard := range in.Keyboards {
		at := &two[0]
		if keyboard.Kind == console.Pedal {
			at = &two[1]
		}
		var keys []int
		for i, k := range list {
			if k.Keyboard == m {
				keys = append(keys, i)
			}
		}
		at.keyboards = append(at.keyboards, keys)
	}
	return two
}

// best is the keys of the highest sum of scores that two limbs can hold; a
// score below 0 forbids its key.
//
// On one keyboard the keys of two limbs can be shared out so that all of one
// lie below all of the other: the lower half of them is no wider than the limb
// that has the lowest, and the upper half likewise. So it is enough to part
// each keyboard at every key, and to take the best reach on either side.
func (l limbs) best(scores []float64, note func(int) console.Note) []int {
	var one [2][]int // the best reaches on two keyboards
	var both []int
	var sum [2]float64
	most := 0.0
	for _, keys := range l.keyboards {
		below, above := l.reaches(keys, scores, note)
		whole := below[len(keys)]
		switch total := total(whole, scores); {
		case total > sum[0]:
			one[0], one[1], sum[0], sum[1] = whole, one[0], total, sum[0]
		case total > sum[1]:
			one[1], sum[1] = whole, total
		}
		for at := range keys {
			if v := total(below[at], scores) + total(above[at], scores); v > most {
				most, both = v, slices.Concat(below[at], above[at])
			}
		}
	}
	if sum[0]+sum[1] > most {
		both = slices.Concat(one[0], one[1])
	}
	return both
}

func total(keys []int, scores []float64) float64 {
	sum := 0.0
	for _, k := range keys {
		sum += scores[k]
	}
	return sum
}

// reaches are the best keys of one limb among the first n keys of a keyboard,
// and among those from the n-th up, for each n.
func (l limbs) reaches(keys []int, scores []float64, note func(int) console.Note) (below, above [][]int) {
	below, above = make([][]int, len(keys)+1), make([][]int, len(keys)+1)
	from := 0
	for n := range keys {
		for note(keys[n])-note(keys[from]) > console.Note(l.span) {
			from++
		}
		below[n+1] = better(below[n], l.top(keys[from:n+1], scores), scores)
	}
	to := len(keys)
	for n := len(keys) - 1; n >= 0; n-- {
		for note(keys[to-1])-note(keys[n]) > console.Note(l.span) {
			to--
		}
		above[n] = better(above[n+1], l.top(keys[n:to], scores), scores)
	}
	return below, above
}

func better(a, b []int, scores []float64) []int {
	if total(b, scores) > total(a, scores) {
		return b
	}
	return a
}

// top are the keys of the highest scores, none that is forbidden.
func (l limbs) top(keys []int, scores []float64) []int {
	allowed := slices.DeleteFunc(slices.Clone(keys), func(k int) bool { return scores[k] < 0 })
	slices.SortStableFunc(allowed, func(a, b int) int { return cmp.Compare(scores[b], scores[a]) })
	return allowed[:min(l.most, len(allowed))]
}
