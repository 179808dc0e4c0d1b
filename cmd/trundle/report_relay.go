package main

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"trundle/cmd/trundle/paper"
	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/circuit"
	"trundle/sim/wiring"
)

// proofSection is what was proven, or what is wrong by its causes.
func proofSection(a checkAnswer) paper.Section {
	p := a.Proof
	s := paper.Section{ID: "proof", Title: "The proof"}
	switch p.Verdict {
	case "equal":
		s.Text = append(s.Text, fmt.Sprintf("This relay, wired as its schedule says, plays this instrument: all %s open exactly when they should, for every set of keys that can be held and every set of stops, couplers and unison offs that can be on.", count(p.Outputs, "valve")))
	case "different":
		s.Text = append(s.Text, fmt.Sprintf("This relay does not play this instrument: %d of %s open otherwise than they should in some state.", p.Differing, count(p.Outputs, "valve")))
		if c := p.Counterexample; c != nil {
			s.Text = append(s.Text, fmt.Sprintf("The smallest case: %s, %s. %s", heldInWords(c.Play), drawnInWords(c.Draw), missingAndExtra(c)))
		}
	default:
		s.Text = append(s.Text, "It is neither proven nor refuted that this relay plays this instrument: "+p.Reason+".")
	}
	var outside []string
	for _, kind := range slices.Sorted(maps.Keys(p.Outside)) {
		outside = append(outside, fmt.Sprintf("%d %s", p.Outside[kind], kind))
	}
	text := "The crescendo, the tutti, shoes, lamps, the coils of knobs, shades, wind and time are outside the proof."
	if len(outside) > 0 {
		text += " So are pins of these kinds: " + strings.Join(outside, ", ") + "."
	}
	s.Text = append(s.Text, text)
	found := paper.Table{Name: "findings", Caption: "Findings", Head: []string{"severity", "rule", "where", "what is wrong", "what to do"}}
	for _, f := range a.Findings {
		found.Rows = append(found.Rows, []string{string(f.Severity), f.Rule, finding.Place(f.placeAnswer).String(), f.Message, f.Fix})
	}
	waived := paper.Table{Name: "waived", Caption: "Accepted, with a reason", Head: []string{"rule", "where", "what is wrong", "reason"}}
	for _, w := range a.Waived {
		waived.Rows = append(waived.Rows, []string{w.Rule, finding.Place(w.placeAnswer).String(), w.Message, w.Reason})
	}
	files := paper.Table{Name: "files", Caption: "The files that were read, by their SHA-256", Head: []string{"file", "digest"}}
	for _, name := range slices.Sorted(maps.Keys(p.Files)) {
		files.Rows = append(files.Rows, []string{name, strings.TrimPrefix(p.Files[name], "sha256:")})
	}
	if len(found.Rows) == 0 {
		s.Text = append(s.Text, "Nothing was found wrong.")
	}
	for _, t := range []paper.Table{found, waived, files} {
		if len(t.Rows) > 0 {
			s.Parts = append(s.Parts, tablePart(t))
		}
	}
	return s
}

func missingAndExtra(c *counterexample) string {
	var parts []string
	if len(c.Missing) > 0 {
		parts = append(parts, "Should open and does not: "+someOf(c.Missing)+".")
	}
	if len(c.Extra) > 0 {
		parts = append(parts, "Opens and should not: "+someOf(c.Extra)+".")
	}
	return strings.Join(parts, " ")
}

// wiringSections are the pins of each board and strip, and tags for cables.
func wiringSections(in *console.Instrument, relay *wiring.Relay, a sheetAnswer) []paper.Section {
	sections := []paper.Section{{ID: "wiring", Title: "Wiring", Break: true, Text: []string{"As soldered, by board and strip. Pins, wires and valves count from 1; pair p of a cable is wires 2p-1 and 2p."}}}
	var order []string
	pins := map[string][]pinPaper{}
	for _, p := range a.Pins {
		on, _, _ := strings.Cut(p.Pin, ".")
		if pins[on] == nil {
			order = append(order, on)
		}
		pins[on] = append(pins[on], p)
	}
	for i, on := range order {
		t := paper.Table{Name: "pins-" + on, Caption: "Pins of " + on, Head: []string{"pin", "kind", "item", "note", "cable", "wire", "pair", "colour", "group"}, Colour: 8}
		for _, p := range pins[on] {
			wire, pair := "", ""
			if p.Wire > 0 {
				wire, pair = strconv.Itoa(p.Wire), strconv.Itoa((p.Wire+1)/2)
			}
			t.Rows = append(t.Rows, []string{p.Pin, p.Kind, p.Item, p.Note, p.Cable, wire, pair, p.Colour, p.Group})
		}
		sections = append(sections, paper.Section{ID: "pins-" + strings.ToLower(on) + "-" + strconv.Itoa(i), Title: boardTitle(relay, on), Inside: true, Break: i > 0, Parts: []paper.Part{tablePart(t)}})
	}
	if joins := joinTable(relay); len(joins.Rows) > 0 {
		sections = append(sections, paper.Section{ID: "joins", Title: "Joins", Inside: true, Break: true, Parts: []paper.Part{tablePart(joins)}})
	}
	if tags := cableTags(relay); len(tags) > 0 {
		sections = append(sections, paper.Section{ID: "tags", Title: "Tags for the ends of cables", Break: true,
			Text: []string{"One for each end; cut along the lines."}, Parts: []paper.Part{{Tags: tags}}})
	}
	return sections
}

func boardTitle(relay *wiring.Relay, id string) string {
	for _, b := range relay.Boards {
		if b.ID == id {
			return fmt.Sprintf("%s, %s, %s", id, b.Direction, count(b.Pins, "pin"))
		}
	}
	return id + ", terminal strip"
}

func joinTable(relay *wiring.Relay) paper.Table {
	t := paper.Table{Name: "joins", Caption: "What cables join", Head: []string{"from", "to", "cable", "wire", "colour"}, Colour: 5}
	for _, j := range relay.Joins {
		for i := range min(len(j.From), len(j.To)) {
			wire, colour := "", ""
			if i < len(j.Wires) {
				wire, colour = strconv.Itoa(j.Wires[i]), relay.WireColour(j.Cable, j.Wires[i])
			}
			t.Rows = append(t.Rows, []string{relay.Name(j.From[i]), relay.Name(j.To[i]), j.Cable, wire, colour})
		}
	}
	return t
}

// cableTags are two tags a cable: its name, where it begins, and what it leads to.
func cableTags(relay *wiring.Relay) []paper.Tag {
	var order []string
	ends := map[string]map[string][]string{} // by cable: at a board or strip, to things
	add := func(cable string, pin wiring.Terminal, to string) {
		if cable == "" {
			return
		}
		if ends[cable] == nil {
			ends[cable] = map[string][]string{}
			order = append(order, cable)
		}
		at := relay.Board(pin.On)
		if !slices.Contains(ends[cable][at], to) {
			ends[cable][at] = append(ends[cable][at], to)
		}
	}
	for _, row := range relay.Soldered() {
		if len(row.Pins) > 0 {
			add(row.Cable, row.Pins[0], strings.TrimSpace(string(row.Kind)+" "+row.Item))
		}
	}
	for _, j := range relay.Joins {
		if len(j.From) > 0 && len(j.To) > 0 {
			add(j.Cable, j.From[0], "strip "+relay.Board(j.To[0].On))
		}
	}
	var tags []paper.Tag
	for _, cable := range order {
		tag := paper.Tag{cable}
		for _, c := range relay.Cables {
			if c.ID == cable && c.Wires > 0 {
				tag = append(tag, strings.TrimSuffix(fmt.Sprintf("%s, %s", count(c.Wires, "wire"), c.Code), ", "))
			}
		}
		for _, at := range slices.Sorted(maps.Keys(ends[cable])) {
			tag = append(tag, at+" to "+someOf(ends[cable][at]))
		}
		tags = append(tags, tag, tag)
	}
	return tags
}

// currentSection is the load of a relay.
func currentSection(c *checked) (paper.Section, error) {
	r, found := circuit.Read(c.relay, c.in)
	if r == nil {
		return paper.Section{}, broken{found, checkCommandFor(c.path, c.relayPath)}
	}
	reporter := circuit.NewReporter(r, c.relay, c.in, circuit.OnePlayer)
	a := answerCurrent(r, c.in, reporter, reporter.Report())
	amps := func(v *rounded) string {
		if v == nil {
			return ""
		}
		return fmt.Sprintf("%.3f", float64(*v))
	}
	lines := paper.Table{Name: "currents", Caption: "Amps", Head: []string{"kind", "what", "rated", "everything on", "worst chord", "no chord exceeds", "margin", "the chord"}}
	for _, l := range a.Lines {
		lines.Rows = append(lines.Rows, []string{l.Kind, l.ID, amps(l.Rated), amps(&l.Everything), amps(&l.Chord.Amps), amps(&l.Chord.Bound), amps(l.Margin), strings.Join(l.Chord.Play, " ")})
	}
	s := paper.Section{ID: "currents", Title: "Currents and voltages", Break: true, Parts: []paper.Part{tablePart(lines)},
		Text: []string{"With all stops and couplers drawn; a chord is what ten fingers and two feet can hold. " + titled(a.Caution) + "."}}
	if d := a.Drop; d != nil {
		t := paper.Table{Name: "drop", Caption: fmt.Sprintf("The worst way: to %s, in the chord %s", d.Load, strings.Join(d.Play, " ")), Head: []string{"where", "volts"}}
		for _, h := range d.Hops {
			t.Rows = append(t.Rows, []string{h.Where, fmt.Sprintf("%.3f", float64(h.Volts))})
		}
		s.Parts = append(s.Parts, tablePart(t))
	}
	return s, nil
}
