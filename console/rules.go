package console

import "trundle/console/finding"

// Rule is a check of an instrument that has a meaning: it says what is wrong
// with it, or worth knowing.
type Rule struct {
	ID  string
	Doc string // one line
	Run func(*Instrument) []finding.Finding
}

// Rules are all the instrument rules.
var Rules = []Rule{
	{"bad-compass", "keys or notes that no console has, or that leave nothing to act on", badCompass},
	{"stop-out-of-rank", "a stop takes notes that its rank does not have", stopOutOfRank},
	{"break-outside", "a compound rank breaks beyond its keys, or has keys without rows", breakOutside},
	{"runaway-coupler", "couplers that carry all form a ring that climbs or falls", runawayCoupler},
	{"unreachable-division", "no key reaches a division", unreachableDivision},
	{"short-chest", "a coupler up runs past the highest note of its division", shortChest},
	{"odd-shift", "a coupler shifts by neither octaves nor a fifth", oddShift},
	{"odd-footage", "a footage is that of no harmonic", oddFootage},
	{"slider-cannot", "a stop asks of a chest with note lines what only a unit chest can do", sliderCannot},
	{"piston-out-of-scope", "a button names controls that are none of its own", pistonOutOfScope},
	{"stage-adds", "a crescendo stage adds a celeste, a tremulant or a unison off", stageAdds},
	{"stage-repeats", "a crescendo stage adds what is on already", stageRepeats},
	{"sounds-twice", "two stops, couplers or unison offs do the same", soundsTwice},
	{"never-used", "a rank that no stop takes, or a box that no shoe drives", neverUsed},
}

// Check runs every rule on the instrument.
func (in *Instrument) Check() []finding.Finding {
	var findings []finding.Finding
	for _, rule := range Rules {
		for _, f := range rule.Run(in) {
			f.Rule = rule.ID
			findings = append(findings, f)
		}
	}
	return findings
}
