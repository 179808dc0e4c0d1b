package console

import (
	"fmt"
	"slices"

	"trundle/console/finding"
)

// unreachableDivision finds divisions with stops that no key reaches: they
// float, and no coupler leads to them.
func unreachableDivision(in *Instrument) []finding.Finding {
	var findings []finding.Finding
	for i, d := range in.Divisions {
		reached := d.Keyboard != None || slices.ContainsFunc(in.Couplers, func(c Coupler) bool {
			return c.Division == i && c.Keyboard != None
		})
		stops := slices.ContainsFunc(in.Stops, func(s Stop) bool { return s.Division == i })
		if !reached && stops {
			findings = append(findings, finding.Finding{
				Severity: finding.Warning, Place: d.At,
				Message: fmt.Sprintf("no key reaches division %s: it has no keyboard, and no coupler leads to it", d.ID),
				Fix:     "give it a keyboard, or add a coupler from one",
			})
		}
	}
	return findings
}

// shortChest finds couplers up that run past the highest note of their
// division: the top keys get nothing from them.
func shortChest(in *Instrument) []finding.Finding {
	var findings []finding.Finding
	for _, c := range in.Couplers {
		d := in.Divisions[c.Division]
		top := in.reads(c).To
		if c.Keyboard == None && d.Keyboard != None {
			top = min(top, in.Keyboards[d.Keyboard].Keys.To)
		}
		over := int(top-d.Notes.To) + c.Shift
		if c.Shift <= 0 || over <= 0 || over > in.reads(c).Len() {
			continue
		}
		findings = append(findings, finding.Finding{
			Severity: finding.Note, Place: c.At,
			Message: fmt.Sprintf("coupler %s gives nothing to its top %d keys: division %s ends at %s", c.ID, over, d.ID, d.Notes.To),
			Fix:     fmt.Sprintf("nothing, if so meant; else extend the division to %s", top+Note(c.Shift)),
			Related: []finding.Related{{Place: d.At, Message: fmt.Sprintf("%d notes, %s", d.Notes.Len(), d.Notes)}},
		})
	}
	return findings
}

// runawayCoupler finds rings of couplers that carry all and whose shifts do
// not sum to zero: one key then pulls keys down to the end of the compass.
// Within keyboards that all lead to one another no ring runs away exactly when
// every keyboard can be given a height such that each coupler climbs from one
// height to the next by its shift.
func runawayCoupler(in *Instrument) []finding.Finding {
	var findings []finding.Finding
	done := make([]bool, len(in.Keyboards))
	for root := range in.Keyboards {
		if done[root] {
			continue
		}
		walk := in.walk(root)
		for c := range in.Couplers {
			from, to, ok := in.carriesAll(c)
			if !ok || walk[from] == nil || walk[to] == nil {
				continue
			}
			back := in.walk(to)[root]
			if back == nil || walk[from].height+in.Couplers[c].Shift == walk[to].height {
				continue
			}
			ring := append(append(slices.Clone(walk[from].passed), c), back.passed...)
			if in.sum(ring) == 0 {
				ring = append(slices.Clone(walk[to].passed), back.passed...)
			}
			findings = append(findings, in.runaway(ring))
			break
		}
		for k := range in.Keyboards {
			if walk[k] != nil && in.walk(k)[root] != nil {
				done[k] = true
			}
		}
	}
	return findings
}

// path is a shortest way from one keyboard to another by couplers that carry
// all.
type path struct {
	passed []int // couplers
	height int   // the sum of their shifts
}

// carriesAll gives the keyboards that a coupler leads from and to when it
// pulls keys down.
func (in *Instrument) carriesAll(c int) (from, to int, ok bool) {
	coupler := in.Couplers[c]
	to = in.Divisions[coupler.Division].Keyboard
	return coupler.Keyboard, to, coupler.Carries == CarriesAll && coupler.Keyboard != None && to != None
}

// walk finds a way from one keyboard to every keyboard, nil where there is none.
func (in *Instrument) walk(root int) []*path {
	ways := make([]*path, len(in.Keyboards))
	ways[root] = &path{}
	for next := []int{root}; len(next) > 0; next = next[1:] {
		for c := range in.Couplers {
			from, to, ok := in.carriesAll(c)
			if ok && from == next[0] && ways[to] == nil {
				ways[to] = &path{append(slices.Clone(ways[from].passed), c), ways[from].height + in.Couplers[c].Shift}
				next = append(next, to)
			}
		}
	}
	return ways
}

func (in *Instrument) sum(couplers []int) int {
	sum := 0
	for _, c := range couplers {
		sum += in.Couplers[c].Shift
	}
	return sum
}

// runaway is the finding for a ring of couplers.
func (in *Instrument) runaway(ring []int) finding.Finding {
	first := in.Couplers[ring[0]]
	f := finding.Finding{
		Severity: finding.Warning, Place: first.At,
		Message: fmt.Sprintf("coupler %s carries all in a ring whose shifts sum to %d: with all of it on, one key pulls down keys to the end of the compass", first.ID, in.sum(ring)),
		Fix:     "let one coupler of the ring carry own or none",
	}
	for _, c := range ring[1:] {
		f.Related = append(f.Related, finding.Related{Place: in.Couplers[c].At, Message: "and " + in.Couplers[c].ID})
	}
	return f
}
