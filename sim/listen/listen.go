// Package listen finds mistakes in a relay that reports nothing: a person plays,
// and an ear is the only sensor. It plans what to play so that every single
// mistake is heard, reads what was heard, names the mistakes that account for it,
// and the next key whose answer says most.
package listen

import (
	"trundle/console"
	"trundle/sim/wiring"
)

// Try is what is drawn and held at one time, to be listened to.
type Try struct {
	Draw []int // controls that are on, ascending
	Held []console.Held
}

// Listener is a relay to be listened to, and the instrument that it plays.
type Listener struct {
	in     *console.Instrument
	r      *wiring.Relay
	m      *machine
	rankOf []int // by valve
	wiring bool  // the relay's own table is trusted
}

// New prepares a relay that, without a mistake, plays an instrument.
func New(in *console.Instrument, r *wiring.Relay) *Listener {
	l := &Listener{in: in, r: r, m: compile(r, in)}
	for i, rank := range in.Ranks {
		for range rank.Pipes {
			l.rankOf = append(l.rankOf, i)
		}
	}
	return l
}

// InWiring listens for mistakes in wiring and joins alone: the relay's own table
// is trusted.
func (l *Listener) InWiring() *Listener {
	trusting := *l
	trusting.wiring = true
	return &trusting
}
