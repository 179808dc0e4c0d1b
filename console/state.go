package console

// Key is one key of one keyboard.
type Key struct {
	Keyboard int
	Note     Note
}

// Held is a key that is held down; Deep when its second contact is made too.
type Held struct {
	Key
	Deep bool
}

// State is everything that what sounds depends on. It has no history.
type State struct {
	Held      []Held
	Drawn     []bool // by control; nil when nothing is drawn
	Sequence  int    // of the crescendo
	Stage     int    // of the crescendo, 0 when closed
	Tutti     bool
	Transpose int // semitones
}

// On is what is on in a state, by control: drawn, or added by the crescendo's
// stage or the tutti, and dropped by neither.
func (in *Instrument) On(s State) []bool {
	on := make([]bool, len(in.Controls))
	copy(on, s.Drawn)
	var blind []Blind
	if s.Sequence < len(in.Crescendo) {
		for _, stage := range in.Crescendo[s.Sequence].Stages[:min(s.Stage, len(in.Crescendo[s.Sequence].Stages))] {
			blind = append(blind, stage.Blind)
		}
	}
	if s.Tutti {
		blind = append(blind, in.Tutti)
	}
	for _, b := range blind {
		for _, c := range b.Adds {
			on[c] = true
		}
	}
	for _, b := range blind {
		for _, c := range b.Drops {
			on[c] = false
		}
	}
	return on
}
