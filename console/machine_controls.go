package console

// blindness is what a crescendo stage or the tutti does to each control.
type blindness []uint8

const (
	adds  uint8 = 1 << iota // it is on without being drawn
	drops                   // it is off although it is drawn
)

// Totals is what each stage of a sequence adds and drops in all, from stage 1.
func (s Sequence) Totals() []Blind {
	totals := make([]Blind, len(s.Stages))
	for i, stage := range s.Stages {
		if i > 0 {
			before := totals[i-1]
			totals[i] = Blind{before.Adds[:len(before.Adds):len(before.Adds)], before.Drops[:len(before.Drops):len(before.Drops)]}
		}
		totals[i].Adds = append(totals[i].Adds, stage.Adds...)
		totals[i].Drops = append(totals[i].Drops, stage.Drops...)
	}
	return totals
}

func (m *Machine) blindnesses(tutti Blind, stages [][]Blind) (blindness, [][]blindness) {
	does := func(b Blind) blindness {
		marks := make(blindness, len(m.in.Controls))
		for _, c := range b.Adds {
			marks[c] |= adds
		}
		for _, c := range b.Drops {
			marks[c] |= drops
		}
		return marks
	}
	sequences := make([][]blindness, len(stages))
	for i, of := range stages {
		sequences[i] = []blindness{does(Blind{})}
		for _, b := range of {
			sequences[i] = append(sequences[i], does(b))
		}
	}
	return does(tutti), sequences
}

// SetBlinds puts others in the place of what the tutti and the crescendo add
// and drop: stages[i][n-1] is what stage n of sequence i does in all. It
// appends the effects, since tutti and crescendo may be on.
func (m *Machine) SetBlinds(effects []Effect, tutti Blind, stages [][]Blind) []Effect {
	m.out = effects
	m.tuttiDoes, m.stageDoes = m.blindnesses(tutti, stages)
	m.worked = true
	m.follow()
	m.sound()
	return m.out
}

// knob notes that a control's contact closed or opened.
func (m *Machine) knob(control int, drawn bool) {
	if m.drawn[control] == drawn {
		return
	}
	m.drawn[control] = drawn
	if m.in.Controls[control].Style == Lit {
		m.effect(Effect{Kind: LightEffect, Index: control, Value: bit(drawn)})
	}
	m.worked = true
}

// follow lets controls come on and go off with what draws, adds and drops them.
func (m *Machine) follow() {
	if !m.worked {
		return
	}
	m.worked = false
	for c, was := range m.on {
		var does uint8
		if len(m.stageDoes) > 0 {
			does = m.stageDoes[m.sequence][m.stage][c]
		}
		if m.tutti {
			does |= m.tuttiDoes[c]
		}
		on := (m.drawn[c] || does&adds != 0) && does&drops == 0
		if on != was {
			m.turn(c, on)
		}
	}
}

func (m *Machine) turn(control int, on bool) {
	m.on[control] = on
	m.effect(Effect{Kind: ControlEffect, Index: control, Value: bit(on)})
	if on {
		m.changes = append(m.changes, TurnOn(control))
	} else {
		m.changes = append(m.changes, TurnOff(control))
	}
	switch c := m.in.Controls[control]; c.Kind {
	case SostenutoControl:
		m.sustain(c.Index, on)
	case GatheringControl:
		m.moveBoxes()
	}
}

func (m *Machine) turnTutti(on bool) {
	if m.tutti == on {
		return
	}
	m.tutti = on
	m.effect(Effect{Kind: TuttiEffect, Value: bit(on)})
	m.worked = true
}

func (m *Machine) transposeTo(semitones int) {
	if m.transpose == semitones {
		return
	}
	m.transpose = semitones
	m.effect(Effect{Kind: TransposeEffect, Value: semitones})
	m.changes = append(m.changes, TransposeTo(semitones))
}

func (m *Machine) speed(tremulant, speed int) {
	if m.speeds[tremulant] == speed {
		return
	}
	m.speeds[tremulant] = speed
	m.effect(Effect{Kind: SpeedEffect, Index: tremulant, Value: speed})
}

func bit(b bool) int {
	if b {
		return 1
	}
	return 0
}
