package combination

import (
	"fmt"
	"math"
	"strings"

	"trundle/console"
	"trundle/console/finding"
)

// Rules of a graded series: crescendo stages, or generals meant as one.
const (
	NotLouder    = "not-louder"    // a step is no louder than the one before
	LoudJump     = "loud-jump"     // a step is louder by more than was asked for
	AddsNothing  = "adds-nothing"  // a step changes nothing
	NeverReached = "never-reached" // no step has the stop on
	NotMeasured  = "not-measured"  // a stop has no level, so that nothing is known of it
	NeverSet     = "never-set"     // a general of the series holds nothing yet
)

// audible is the least rise that counts as one, in dB; it only keeps rounding
// from passing for a rise.
const audible = 0.05

// Step is one step of a graded series.
type Step struct {
	Name        string
	Adds, Drops []int   // controls that come on and go off against the step before
	DB          float64 // estimated, -Inf when nothing counts
	Rise        float64 // against the step before; NaN where one of the two has no estimate
}

// Plan is a graded series with its estimated loudness, and what is wrong with it.
type Plan struct {
	Steps    []Step
	Findings []finding.Finding
}

// PlanCrescendo estimates a sequence of the crescendo stage by stage, as it
// stands with what was captured. A rise of more than jump dB is a finding.
func PlanCrescendo(m *Memories, sequence int, boxes []int, jump float64) Plan {
	_, stages := m.blinds()
	p := planner{in: m.in, boxes: boxes, jump: jump}
	for n, stage := range stages[sequence] {
		on := make([]bool, len(m.in.Controls))
		for _, c := range stage.Adds {
			on[c] = true
		}
		for _, c := range stage.Drops {
			on[c] = false
		}
		p.step(fmt.Sprintf("stage %d", n+1), m.in.Crescendo[sequence].Stages[n].At, on)
	}
	p.neverReached()
	p.notMeasured()
	return p.Plan
}

// PlanGenerals estimates generals that are meant to grow one from the other.
// One that was never set is passed over, with a note.
func PlanGenerals(m *Memories, generals []console.Slot, boxes []int, jump float64) Plan {
	p := planner{in: m.in, boxes: boxes, jump: jump}
	for _, slot := range generals {
		set, button := m.Combination(slot), m.in.Combination.Buttons[slot.Button]
		if button.Fixed {
			set = &Combination{On: button.Sets}
		}
		if set == nil {
			p.found(NeverSet, finding.Note, button.At, m.in.SlotText(slot)+" was never set, and is passed over")
			continue
		}
		on := make([]bool, len(m.in.Controls))
		for _, c := range set.On {
			on[c] = true
		}
		p.step(m.in.SlotText(slot), button.At, on)
	}
	p.notMeasured()
	return p.Plan
}

type planner struct {
	Plan
	in    *console.Instrument
	boxes []int
	jump  float64

	before     []bool
	ever       []bool // controls that are on in any step
	unmeasured []bool // stops
}

func (p *planner) step(name string, at finding.Place, on []bool) {
	if p.before == nil {
		p.before, p.ever, p.unmeasured = make([]bool, len(on)), make([]bool, len(on)), make([]bool, len(p.in.Stops))
	}
	s := Step{Name: name, Rise: math.NaN()}
	for c := range on {
		switch {
		case on[c] && !p.before[c]:
			s.Adds = append(s.Adds, c)
		case !on[c] && p.before[c]:
			s.Drops = append(s.Drops, c)
		}
		p.ever[c] = p.ever[c] || on[c]
	}
	var unmeasured []int
	s.DB, unmeasured = Estimate(p.in, on, p.boxes)
	for _, stop := range unmeasured {
		p.unmeasured[stop] = true
	}
	silent := math.IsInf(s.DB, -1)
	if n := len(p.Steps); n > 0 && !silent && !math.IsInf(p.Steps[n-1].DB, -1) {
		s.Rise = s.DB - p.Steps[n-1].DB
	}
	switch {
	case len(s.Adds)+len(s.Drops) == 0:
		p.found(AddsNothing, finding.Warning, at, name+" adds nothing")
	case silent && len(unmeasured) == 0 && len(s.Drops) > 0:
		p.found(NotLouder, finding.Warning, at, name+" sounds nothing")
	case s.Rise < audible && p.counts(s.Adds):
		p.found(NotLouder, finding.Warning, at, fmt.Sprintf("%s gets no louder than the one before: %+.1f dB", name, s.Rise))
	case s.Rise > p.jump:
		p.found(LoudJump, finding.Warning, at, fmt.Sprintf("%s is louder by %.1f dB, more than %.1f", name, s.Rise, p.jump))
	}
	p.Steps = append(p.Steps, s)
	p.before = on
}

// counts reports whether the estimate knows of everything in a list: stops
// with a level, and no coupler, which makes louder what it does not know.
func (p *planner) counts(controls []int) bool {
	for _, c := range controls {
		switch control := p.in.Controls[c]; control.Kind {
		case console.CouplerControl:
			return false
		case console.StopControl:
			if p.in.Stops[control.Index].Level == nil {
				return false
			}
		}
	}
	return true
}

func (p *planner) neverReached() {
	for _, stop := range p.in.Stops {
		if len(p.Steps) > 0 && !p.ever[stop.Control] {
			p.found(NeverReached, finding.Note, stop.At, "no stage reaches "+stop.ID)
		}
	}
}

func (p *planner) notMeasured() {
	var ids []string
	for s, is := range p.unmeasured {
		if is {
			ids = append(ids, p.in.Stops[s].ID)
		}
	}
	if len(ids) > 0 {
		p.found(NotMeasured, finding.Note, finding.Place{File: p.in.File}, "without a level, and not counted: "+strings.Join(ids, ", "))
	}
}

func (p *planner) found(rule string, severity finding.Severity, at finding.Place, message string) {
	p.Findings = append(p.Findings, finding.Finding{Rule: rule, Severity: severity, Place: at, Message: message})
}
