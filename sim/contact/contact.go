// Package contact follows current through contacts and magnets to places that
// nobody meant it to reach: from a scanned board's row to a column whose key
// is up, and from one magnet into another where a common return is open.
//
// It knows paths, not amps: whether current can get somewhere, by which way,
// and with the fewest contacts closed.
package contact

import (
	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// Rules of this package.
const (
	PhantomKey = "phantom-key" // a contact is read that is open
	MaskedKey  = "masked-key"  // a contact is not read that is closed
	BackFeed   = "back-feed"   // current runs backwards through a magnet
)

// Check says where current goes astray in a relay, with the wiring as soldered.
func Check(r *wiring.Relay, in *console.Instrument) []finding.Finding {
	scans, found := Scans(r, in)
	for _, s := range scans {
		found = append(found, s.findings()...)
	}
	returns, wrong := Returns(r, in)
	return append(append(found, wrong...), backFeeds(r, in, returns)...)
}
