package bench

import "time"

// Settle is how long a relay is silent when it has answered.
type Settle struct {
	Time  time.Duration
	Fixed bool // not less either, once it is known how it answers
}

const (
	// patience is how much longer a relay is waited for that has not answered as
	// it should: it may be late, and must not be taken for one that is wrong.
	patience = 5

	// known is after how many chords it is known how a relay answers.
	known = 16

	// jitter is by how much a silence may seem longer than it is: by a scan of the
	// relay, and what programs wait for each other.
	jitter = 2 * time.Millisecond
)

// enough is how long a silence is the end of an answer: of one that is right or
// not (or was the same before), to the first chord of a registration or another,
// after some chords of which the longest silence within an answer is known. A
// report that comes after twice that would be of an output that is slower than
// any before.
func (s Settle) enough(right, first bool, chords int, longest time.Duration) time.Duration {
	soon := s.Time
	if !s.Fixed && chords >= known {
		soon = min(soon, 2*longest+jitter)
	}
	switch {
	case right:
		return soon
	case s.Fixed || first || chords < known:
		return patience * s.Time
	}
	return max(s.Time, patience*soon)
}
