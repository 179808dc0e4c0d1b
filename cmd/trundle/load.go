package main

import (
	"trundle/console"
	"trundle/console/finding"
)

// loadInstrument reads an instrument file for a command that needs it whole:
// a broken file is an error that lists everything wrong in it.
func loadInstrument(path string) (*console.Instrument, []finding.Finding, error) {
	in, findings := console.Load(path)
	if in == nil || finding.Broken(findings) {
		return nil, nil, broken(findings)
	}
	return in, findings, nil
}
