package circuit

import (
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

// limbs are two hands, or two feet, and the keyboards that they may be on; or
// the one key that a coupler picks.
type limbs struct {
	keyboards [][]int // by keyboard: its keys, in ascending order
	most      int     // keys a limb
	span      int
	one       bool // there is one limb only
}

// limbs of a player: hands first, then feet, then what couplers pick on
// keyboards from the first picked one up. Keys are numbers in list.
func (p Player) limbs(in *console.Instrument, list []console.Key, picked int) []limbs {
	all := []limbs{{most: p.Fingers, span: p.Span}, {most: p.Toes, span: p.FootSpan}}
	deep := false
	for m, keyboard := range in.Keyboards {
		var keys []int
		for i, k := range list {
			if k.Keyboard == m {
				keys = append(keys, i)
			}
		}
		deep = deep || keyboard.Touches > 1
		switch {
		case m >= picked: // the contacts of a touch may have another lowest key each
			all = append(all, limbs{keyboards: [][]int{keys}, most: 1, one: !deep})
		case keyboard.Kind == console.Pedal:
			all[1].keyboards = append(all[1].keyboards, keys)
		default:
			all[0].keyboards = append(all[0].keyboards, keys)
		}
	}
	return all
}

// best is the keys of the highest sum of scores that two limbs can hold; a
// score below 0 forbids its key. Room is for working in, and kept.
//
// On one keyboard the keys of two limbs can be shared out so that all of one
// lie below all of the other: the lower half of them is no wider than the limb
// that has the lowest, and the upper half likewise. So it is enough to part
// each keyboard at every key, and to take the best reach on either side.
func (l limbs) best(scores []float64, note func(int) console.Note, room *[]reach) []int {
	if l.one {
		return l.top(l.keyboards[0], scores)
	}
	var one [2]reach // the best on two keyboards
	var low, high reach
	for _, keys := range l.keyboards {
		if !slices.ContainsFunc(keys, func(k int) bool { return scores[k] > 0 }) {
			continue
		}
		below, above := l.reaches(keys, scores, note, room)
		if whole := below[len(keys)]; whole.sum > one[0].sum {
			one[0], one[1] = whole, one[0]
		} else if whole.sum > one[1].sum {
			one[1] = whole
		}
		for at := range keys {
			if below[at].sum+above[at].sum > low.sum+high.sum {
				low, high = below[at], above[at]
			}
		}
	}
	if one[0].sum+one[1].sum > low.sum+high.sum {
		low, high = one[0], one[1]
	}
	return slices.Concat(l.top(low.keys, scores), l.top(high.keys, scores))
}

// reach is neighbouring keys within a limb's span, and the sum of the highest
// scores that it can hold of them.
type reach struct {
	keys []int
	sum  float64
}

func total(keys []int, scores []float64) float64 {
	sum := 0.0
	for _, k := range keys {
		sum += scores[k]
	}
	return sum
}

// reaches are the best of one limb among the first n keys of a keyboard, and
// among those from the n-th up, for each n.
func (l limbs) reaches(keys []int, scores []float64, note func(int) console.Note, room *[]reach) (below, above []reach) {
	for len(*room) < 2*(len(keys)+1) {
		*room = append(*room, reach{})
	}
	below, above = (*room)[:len(keys)+1], (*room)[len(keys)+1:2*(len(keys)+1)]
	below[0], above[len(keys)] = reach{}, reach{}
	// A key that adds nothing neither begins nor ends a better reach.
	top := make([]float64, 0, l.most+1)
	to := len(keys)
	for n := len(keys) - 1; n >= 0; n-- {
		for note(keys[to-1])-note(keys[n]) > console.Note(l.span) {
			to--
		}
		above[n] = above[n+1]
		if scores[keys[n]] > 0 {
			if sum := sumOfTop(top, keys[n:to], scores); sum > above[n].sum {
				above[n] = reach{keys[n:to], sum}
			}
		}
	}
	from := 0
	for n := range keys {
		for note(keys[n])-note(keys[from]) > console.Note(l.span) {
			from++
		}
		below[n+1] = below[n]
		if scores[keys[n]] > 0 {
			if sum := sumOfTop(top, keys[from:n+1], scores); sum > below[n].sum {
				below[n+1] = reach{keys[from : n+1], sum}
			}
		}
	}
	return below, above
}

// sumOfTop is the sum of the highest scores of some keys, as many as top has
// room for less one, none that is below 0.
func sumOfTop(top []float64, keys []int, scores []float64) float64 {
	most := cap(top) - 1
	sum := 0.0
	for _, k := range keys {
		score := scores[k]
		if score <= 0 || len(top) == most && score <= top[most-1] {
			continue
		}
		at := len(top)
		top = append(top, score)
		for ; at > 0 && top[at-1] < score; at-- {
			top[at] = top[at-1]
		}
		top[at] = score
		if sum += score; len(top) > most {
			sum -= top[most]
			top = top[:most]
		}
	}
	return sum
}

// top are the keys of the highest scores, none that is forbidden or adds
// nothing.
func (l limbs) top(keys []int, scores []float64) []int {
	top := make([]int, 0, l.most+1)
	for _, k := range keys {
		if scores[k] <= 0 || len(top) == l.most && scores[k] <= scores[top[l.most-1]] {
			continue
		}
		at := len(top)
		for at > 0 && scores[top[at-1]] < scores[k] {
			at--
		}
		if top = slices.Insert(top, at, k); len(top) > l.most {
			top = top[:l.most]
		}
	}
	return top
}
