package probe

import (
	"trundle/console"
	"trundle/sim/wiring"
)

// Answers are the valves that open, by step and chord.
type Answers [][]Set

// Simulate is what a relay answers to a plan.
func Simulate(p Plan, r *wiring.Relay, in *console.Instrument) Answers {
	x := Compile(r, in)
	answers := make(Answers, len(p.Steps))
	for i, s := range p.Steps {
		for _, chord := range s.Chords {
			answers[i] = append(answers[i], x.Run(chord, s.Draw))
		}
	}
	return answers
}
