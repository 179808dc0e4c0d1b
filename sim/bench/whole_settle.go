package bench

import (
	"slices"
	"time"
)

// Settle is how long a relay is silent when it has answered.
type Settle struct {
	Time  time.Duration
	Fixed bool // not less either, once it is known how it answers
}

const (
	// patience is how much longer a relay is waited for that has not answered as
	// it should: it may be late, and must not be taken for one that is wrong.
	patience = 5

	// known is after how many answers it is known how a relay answers, and recent
	// how many are remembered.
	known, recent = 16, 64

	// jitter is by how much a silence may seem longer than it is: by a scan of the
	// relay, and what programs wait for each other.
	jitter = 2 * time.Millisecond
)

// silences are the longest within each of the last answers.
type silences []time.Duration

func (s silences) and(longest time.Duration) silences {
	s = append(s, longest)
	return s[max(0, len(s)-recent):]
}

// usual is what nine of ten do not exceed; one program or another may be late
// for once.
func (s silences) usual() time.Duration {
	return Percentile(slices.Sorted(slices.Values(s)), 90)
}

// enough is how long a silence is the end of an answer that is right (or the same
// as before) or not. Where something has changed as it should the relay has seen
// the chord, and whatever comes of it besides comes with that or soon after: by
// then it is enough if it is silent for twice as long as it usually is within an
// answer. Where nothing was to change nothing shows that it has seen the chord.
func (s Settle) enough(right, changed bool, last silences) time.Duration {
	soon := s.Time
	if !s.Fixed && len(last) >= known {
		soon = min(soon, 2*last.usual()+jitter)
	}
	switch {
	case right && changed:
		return soon
	case right:
		return s.Time
	case s.Fixed || len(last) < known:
		return patience * s.Time
	}
	return max(s.Time, patience*soon)
}
