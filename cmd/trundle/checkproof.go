package main

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/circuit"
	"trundle/sim/proof"
	"trundle/sim/rule"
)

// answer is what was found in the shape of its JSON.
func (c *checked) answer() checkAnswer {
	a := checkAnswer{Schema: "trundle.check/1", Caution: c.caution(), Findings: foundAnswers(c.findings), Waived: c.waivedAnswers(), Causes: c.causeAnswers(), Counts: countFindings(c.findings), Mended: c.mended, Certificate: c.certificate}
	if c.proof == nil {
		return a
	}
	p := c.proof
	a.Proof = &proofAnswer{
		Verdict:   string(p.Verdict),
		Equal:     p.Verdict == proof.Equal,
		Reason:    p.Reason,
		Outputs:   p.Outputs,
		LeftOut:   c.leftOut,
		Unshown:   c.unshown,
		Boards:    append([]string{}, c.boards...),
		Differing: len(p.Differing),
		Outside:   p.Outside,
		Files:     c.digests(),
	}
	if a.Proof.Outside == nil {
		a.Proof.Outside = map[string]int{}
	}
	if p.Counterexample != nil {
		a.Proof.Counterexample = &counterexample{
			Play:    playFlags(c.in, p.Counterexample.State),
			Draw:    drawFlags(c.in, p.Counterexample.State),
			Missing: valveNames(c.in, p.Counterexample.Missing),
			Extra:   valveNames(c.in, p.Counterexample.Extra),
			Pins:    runRelay(c.in, c.relay, p.Counterexample.State).pinsAtFault(c.boards),
		}
		a.Proof.Counterexample.FaultPins, a.Proof.Counterexample.FaultRows = c.faults(p.Counterexample)
		a.Proof.Counterexample.Command = c.replay("trundle", a.Proof.Counterexample)
	}
	return a
}

// faults are where the causes lie that make the valves of a case wrong: their
// pins, of those that are not in the table, and their rows.
func (c *checked) faults(ce *proof.Counterexample) (pins []string, rows []placeAnswer) {
	pins, rows = []string{}, []placeAnswer{}
	wrong := slices.Concat(ce.Missing, ce.Extra)
	for _, cause := range c.causes.Causes {
		if !slices.ContainsFunc(cause.Valves, func(v int) bool { return slices.Contains(wrong, v) }) {
			continue
		}
		rows = append(rows, placeAnswer(cause.At))
		if cause.InTable {
			continue
		}
		for _, t := range cause.Pins {
			pins = append(pins, c.relay.Name(t))
		}
	}
	return pins, rows
}

// caution is what stands on every answer about currents and voltages; "" on
// others.
func (c *checked) caution() string {
	if c.relay != nil && circuit.Given(c.relay) || slices.ContainsFunc(c.findings, func(f finding.Finding) bool {
		_, family, _ := rule.Find(f.Rule)
		return electrical(family.Name)
	}) {
		return circuit.Caution
	}
	return ""
}

// playFlags is the keys of a state as --play takes them, a keyboard each.
func playFlags(in *console.Instrument, s console.State) []string {
	plays := []string{}
	for k, keyboard := range in.Keyboards {
		var keys []string
		for _, h := range s.Held {
			switch {
			case h.Keyboard == k && h.Deep:
				keys = append(keys, h.Note.String()+":2")
			case h.Keyboard == k:
				keys = append(keys, h.Note.String())
			}
		}
		if len(keys) > 0 {
			plays = append(plays, keyboard.ID+":"+strings.Join(keys, ","))
		}
	}
	return plays
}

// drawFlags is the controls of a state as --draw takes them.
func drawFlags(in *console.Instrument, s console.State) []string {
	draws := []string{}
	for c, drawn := range s.Drawn {
		if drawn {
			draws = append(draws, in.Controls[c].ID)
		}
	}
	return draws
}

// valveNames is valves by rank and number: bourdon:26.
func valveNames(in *console.Instrument, valves []int) []string {
	names := []string{}
	for _, v := range valves {
		rank := in.Ranks[in.RankOf(v)]
		names = append(names, fmt.Sprintf("%s:%d", rank.ID, v-rank.First+1))
	}
	return names
}

// digests is what was read, by name, so that an answer can be held to it.
func (c *checked) digests() map[string]string { return filesRead(c.path, c.relayPath, c.relay) }
