package console

import "math/bits"

// noteCount is how many notes there are: LowestNote is 0.
const noteCount = int(HighestNote) + 1

// noteSet is a set of notes, one bit each.
type noteSet [2]uint64

// spanSet is the notes of a span; what of it is no note is left out.
func spanSet(span Span) noteSet {
	var set noteSet
	for n := max(span.From, LowestNote); n <= min(span.To, HighestNote); n++ {
		set.put(int(n), true)
	}
	return set
}

// landingIn is the notes that a shift takes into a span.
func landingIn(span Span, shift int) noteSet {
	return spanSet(Span{span.From - Note(shift), span.To - Note(shift)})
}

func (s *noteSet) has(n int) bool {
	return s[n>>6]>>(n&63)&1 != 0
}

func (s *noteSet) put(n int, in bool) {
	s[n>>6] &^= 1 << (n & 63)
	if in {
		s[n>>6] |= 1 << (n & 63)
	}
}

func (s noteSet) and(t noteSet) noteSet {
	return noteSet{s[0] & t[0], s[1] & t[1]}
}

func (s noteSet) without(t noteSet) noteSet {
	return noteSet{s[0] &^ t[0], s[1] &^ t[1]}
}

// lowest and highest are None of the empty set.
func (s noteSet) lowest() int {
	switch {
	case s[0] != 0:
		return bits.TrailingZeros64(s[0])
	case s[1] != 0:
		return 64 + bits.TrailingZeros64(s[1])
	}
	return None
}

func (s noteSet) highest() int {
	if s[1] != 0 {
		return 63 + bits.Len64(s[1])
	}
	return bits.Len64(s[0]) - 1
}

// all yields the notes of the set, ascending.
func (s noteSet) all(yield func(int) bool) {
	for n := s.lowest(); n != None; n = s.lowest() {
		s.put(n, false)
		if !yield(n) {
			return
		}
	}
}
