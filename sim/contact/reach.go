package contact

import (
	"container/heap"
	"slices"
)

// Read is which crossings are read, by crossing, while just these contacts are
// closed: those whose column wire the current of their row wire reaches,
// through closed contacts in the direction their diodes let it.
func (s *Scan) Read(closed []int) []bool {
	read := make([]bool, len(s.Diodes))
	for r := range s.Rows {
		if s.dead[r] {
			continue
		}
		live := map[int]bool{s.wire[r]: true}
		for grew := true; grew; {
			grew = false
			for _, crossing := range closed {
				for _, end := range []int{s.row(crossing), s.column(crossing)} {
					if to, passes := s.across(crossing, end); live[end] && passes && !live[to] {
						live[to], grew = true, true
					}
				}
			}
		}
		for c := range s.Columns {
			read[r*s.Columns+c] = live[s.wire[s.Rows+c]]
		}
	}
	return read
}

// across is the wire that current gets to from another through a closed
// contact; passes is false where the contact is of other wires, or its diode
// the other way round.
func (s *Scan) across(crossing, from int) (to int, passes bool) {
	switch row, column := s.row(crossing), s.column(crossing); from {
	case row:
		return column, s.Diodes[crossing] != Reversed
	case column:
		return row, s.Diodes[crossing] != Right
	}
	return 0, false
}

// maxWays is how many ways one search for a chord looks at.
const maxWays = 100_000

// chord is the fewest presses that make a crossing read while its own contact
// is open; allowed says which sets of presses may be part of the answer, nil
// when any may. found is false when there are none; gaveUp when the search
// ended before it knew.
func (s *Scan) chord(crossing int, allowed func(presses []int) bool) (presses []int, found, gaveUp bool) {
	if s.dead[crossing/s.Columns] {
		return nil, false, false
	}
	seen := map[string]bool{}
	open := ways{{wire: s.row(crossing)}}
	for looked := 0; len(open) > 0; looked++ {
		if looked == maxWays {
			return nil, false, true
		}
		w := heap.Pop(&open).(way)
		if w.wire == s.column(crossing) {
			return w.presses, true, false
		}
		for _, contact := range s.along[w.wire] {
			to, passes := s.across(contact, w.wire)
			if contact == crossing || !passes {
				continue
			}
			for _, press := range s.closers[contact] {
				if slices.Contains(s.Presses[press].Closes, crossing) {
					continue
				}
				next := way{to, w.with(press), looked}
				if key := s.key(next, allowed != nil); !seen[key] && (allowed == nil || allowed(next.presses)) {
					seen[key] = true
					heap.Push(&open, next)
				}
			}
		}
	}
	return nil, false, false
}

// key tells ways apart that have to be looked at apart: where any presses will
// do and none closes two contacts, the first way to a wire is as good as any.
func (s *Scan) key(w way, all bool) string {
	text := []rune{rune(w.wire)}
	if all || s.doubled {
		for _, p := range w.presses {
			text = append(text, rune(p))
		}
	}
	return string(text)
}

// way is a wire that current reaches, and the presses that let it, ascending.
type way struct {
	wire    int
	presses []int
	order   int
}

func (w way) with(press int) []int {
	at, known := slices.BinarySearch(w.presses, press)
	if known {
		return w.presses
	}
	return slices.Insert(slices.Clone(w.presses), at, press)
}

// ways is a heap, fewest presses first.
type ways []way

func (h ways) Len() int { return len(h) }
func (h ways) Less(i, j int) bool {
	if len(h[i].presses) != len(h[j].presses) {
		return len(h[i].presses) < len(h[j].presses)
	}
	return h[i].order < h[j].order
}
func (h ways) Swap(i, j int) { h[i], h[j] = h[j], h[i] }
func (h *ways) Push(w any)   { *h = append(*h, w.(way)) }
func (h *ways) Pop() any {
	last := len(*h) - 1
	w := (*h)[last]
	*h = (*h)[:last]
	return w
}
