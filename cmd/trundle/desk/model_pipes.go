package desk

import (
	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/voices"
)

// pipes follows the pipes that speak, for a synthesizer.
type pipes struct {
	player   *voices.Player
	speaking map[int]bool // by valve
}

func newPipes(in *console.Instrument) *pipes {
	return &pipes{voices.New(in), map[int]bool{}}
}

// follow appends the notes of pipes that begin to speak, and of those that end.
func (p *pipes) follow(to []midiio.Message, effects []console.Effect) []midiio.Message {
	for _, e := range effects {
		if e.Kind != console.ValveEffect {
			continue
		}
		const open = 2 // with wind
		switch speaks := e.Value == open; {
		case speaks && !p.speaking[e.Index]:
			p.speaking[e.Index] = true
			to = p.player.Open(to, e.Index)
		case !speaks && p.speaking[e.Index]:
			delete(p.speaking, e.Index)
			to = p.player.Shut(to, e.Index)
		}
	}
	return to
}
