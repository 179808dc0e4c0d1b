package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/partial"
	"trundle/sim/waiver"
	"trundle/sim/wiring"
)

// cutTo cuts a relay to the boards of these names.
func cutTo(in *console.Instrument, r *wiring.Relay, names []string) (*partial.Cut, error) {
	var known []string
	for _, b := range r.Boards {
		known = append(known, b.ID)
	}
	var boards []int
	var wrong []error
	for _, name := range names {
		i := slices.Index(known, name)
		if i < 0 {
			fix := finding.DidYouMean(name, known)
			if fix == "" {
				fix = "the boards are " + strings.Join(known, ", ")
			}
			wrong = append(wrong, complaint{fmt.Sprintf("--boards: no board %q", name), fix})
		}
		boards = append(boards, i)
	}
	if err := errors.Join(wrong...); err != nil {
		return nil, err
	}
	cut := partial.To(in, r, boards)
	if len(cut.LeftOut) == in.Valves {
		return nil, complaint{"--boards: nothing on " + strings.Join(names, ", ") + " opens a valve, so nothing can be compared", "name boards that drive note lines, actions or valves"}
	}
	return cut, nil
}

// waive sets findings aside as the relay file asks. Of some boards only, a
// waiver may well find nothing that it fits.
func (c *checked) waive(found []finding.Finding) {
	c.findings, c.waived = waiver.Apply(found, c.relay.Waivers)
	if len(c.boards) > 0 {
		c.findings = slices.DeleteFunc(c.findings, func(f finding.Finding) bool { return f.Rule == "waiver-unused" })
	}
}

func (c *checked) waivedAnswers() []waivedAnswer {
	answers := []waivedAnswer{}
	for _, w := range c.waived {
		answers = append(answers, waivedAnswer{foundAnswers([]finding.Finding{w.Finding})[0], w.Reason, placeAnswer(w.By)})
	}
	return answers
}
