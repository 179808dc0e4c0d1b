package console

import "time"

// Machine is the console without its combination action: keys, knobs, shoes,
// crescendo, tutti, and what sounds while they are worked. The same events at
// the same times always give the same effects. It has no clock: time comes
// with each event.
type Machine struct {
	in       *Instrument
	heard    *Instrument // with a keyboard more for every pizzicato coupler
	sounding *Sounding
	now      time.Duration

	sources []string   // who holds keys, by the bit of a sourceSet
	keys    []keyState // by keyboard and note

	drawn, on []bool // by control
	transpose int
	tutti     bool
	sequence  int
	stage     int
	tuttiDoes blindness
	stageDoes [][]blindness // by sequence and stage, from 0
	worked    bool          // something was worked that controls may have to follow

	positions []int    // by shoe
	boxes     []int    // stage, by box
	speeds    []int    // by tremulant, from 1; 0 where it has one only
	kept      [][]Held // by sostenuto: what it keeps down

	plucked []plucked // the pizzicato couplers
	pulses  []pulse   // that still sound, by when they end

	changes []Change
	out     []Effect
}

// NewMachine is the console of an instrument that has no errors, with nothing
// held, drawn or open. The instrument must not change afterwards.
func NewMachine(in *Instrument) *Machine {
	m := &Machine{
		in:        in,
		keys:      make([]keyState, len(in.Keyboards)*noteCount),
		drawn:     make([]bool, len(in.Controls)),
		on:        make([]bool, len(in.Controls)),
		positions: make([]int, len(in.Shoes)),
		boxes:     make([]int, len(in.Boxes)),
		speeds:    make([]int, len(in.Tremulants)),
		kept:      make([][]Held, len(in.Sostenutos)),
		changes:   make([]Change, 0, len(in.Controls)+8),
	}
	for t, tremulant := range in.Tremulants {
		m.speeds[t] = min(1, len(tremulant.Speeds))
	}
	m.pluck()
	m.sounding = NewSounding(m.heard)
	stages := make([][]Blind, len(in.Crescendo))
	for i, sequence := range in.Crescendo {
		stages[i] = sequence.Totals()
	}
	m.tuttiDoes, m.stageDoes = m.blindnesses(in.Tutti, stages)
	return m
}

// Do lets time pass to `at`, which ends the pulses that are due, and does what
// events say, as one. It appends the effects. What makes no sense on this
// console has one effect, that it was refused. A time before the last counts
// as it.
func (m *Machine) Do(effects []Effect, at time.Duration, events ...Event) []Effect {
	m.out = effects
	for len(m.pulses) > 0 && m.pulses[0].ends <= at {
		m.now = max(m.now, m.pulses[0].ends)
		m.endPulse()
	}
	m.now = max(m.now, at)
	for _, e := range events {
		if why := m.refusal(e); why != "" {
			m.effect(Effect{Kind: RefusedEffect, Text: why})
			continue
		}
		m.do(e)
	}
	m.follow()
	m.sound()
	return m.out
}

func (m *Machine) do(e Event) {
	switch e.Kind {
	case KeyEvent:
		m.key(Key{e.Index, e.Note}, e.Value, m.source(e.Text))
	case DrawEvent, PushEvent:
		m.knob(e.Index, e.Kind == DrawEvent)
	case TouchEvent:
		m.knob(e.Index, !m.drawn[e.Index])
	case ShoeEvent:
		m.shoe(e.Index, e.Value)
	case StageEvent:
		m.toStage(e.Value)
	case SequenceEvent:
		m.toSequence(e.Index)
	case TuttiEvent:
		m.turnTutti(e.Value == 1)
	case TransposeEvent:
		m.transposeTo(e.Value)
	case SpeedEvent:
		m.speed(e.Index, e.Value)
	}
}

// Next is when the machine has something to do of itself; a tick event at
// that time lets it.
func (m *Machine) Next() (time.Duration, bool) {
	if len(m.pulses) == 0 {
		return 0, false
	}
	return m.pulses[0].ends, true
}

// sound lets the pipes follow what was changed, and pizzicato couplers the
// strokes that came of it.
func (m *Machine) sound() {
	for {
		for _, valve := range m.sounding.Apply(m.changes...) {
			m.effect(Effect{Kind: ValveEffect, Index: valve, Value: int(m.sounding.states[valve])})
		}
		m.changes = m.changes[:0]
		if !m.strokes() {
			return
		}
	}
}

func (m *Machine) effect(e Effect) {
	e.At = m.now
	m.out = append(m.out, e)
}

// Instrument is what the machine was made from.
func (m *Machine) Instrument() *Instrument { return m.in }

// Sounding is what sounds now. It must not be changed.
func (m *Machine) Sounding() *Sounding { return m.sounding }

// Drawn reports whether a control's contact is closed, or a lit one's lamp on.
func (m *Machine) Drawn(control int) bool { return m.drawn[control] }

// On reports whether a control is on, whatever put it on.
func (m *Machine) On(control int) bool { return m.on[control] }

// Held reports whether a key is held, by a source or a sostenuto.
func (m *Machine) Held(k Key) bool { return m.keys[m.keyIndex(k)].contacts() > 0 }

// Crescendo is the sequence and stage of the crescendo.
func (m *Machine) Crescendo() (sequence, stage int) { return m.sequence, m.stage }

// Tutti reports whether the tutti is on.
func (m *Machine) Tutti() bool { return m.tutti }

// Transpose is the shift of the transposer, in semitones.
func (m *Machine) Transpose() int { return m.transpose }

// Position is where a shoe stands, 0 to ShoeMost.
func (m *Machine) Position(shoe int) int { return m.positions[shoe] }

// BoxStage is how far a box is open, 0 to its stages.
func (m *Machine) BoxStage(box int) int { return m.boxes[box] }

// Speed is which of its speeds a tremulant has, from 1; 0 where it has one only.
func (m *Machine) Speed(tremulant int) int { return m.speeds[tremulant] }

// Reference is what console/plain can be asked about the state the machine is
// in: an instrument in which every pizzicato coupler has a keyboard of its
// own, and its state, in which Drawn is all that is on.
func (m *Machine) Reference() (*Instrument, State) {
	s := State{Drawn: append([]bool(nil), m.on...), Transpose: m.transpose}
	for k := range m.keys {
		if contacts := m.keys[k].contacts(); contacts > 0 {
			s.Held = append(s.Held, Held{Key{k / noteCount, Note(k % noteCount)}, contacts == 2})
		}
	}
	for _, p := range m.pulses {
		s.Held = append(s.Held, Held{Key: p.key})
	}
	return m.heard, s
}
