// Package starter is what a new user begins with: an instrument file with
// comments, and a plain, complete relay for any instrument.
package starter

import (
	_ "embed"
)

// Instrument is an instrument file to change into one's own. A check finds
// nothing in it.
//
//go:embed organ.yaml
var Instrument []byte
