package desk

import (
	"slices"

	"trundle/console"
)

// work does with an item what pressing it does: a key is held or let go, a
// knob drawn or pushed in, a button pressed.
func (m *Model) work(i Item) {
	machine := m.console.Machine()
	switch i.Kind {
	case KeyItem:
		m.latch(i.key())
	case ControlItem:
		if machine.Drawn(i.Index) {
			m.do(console.Push(i.Index))
		} else {
			m.do(console.Draw(i.Index))
		}
	case ButtonItem:
		if m.buttonKind(i.Index) == console.Set {
			m.holdSet()
			return
		}
		m.do(console.Press(i.Index))
		m.do(console.Release(i.Index))
	case SetItem:
		m.holdSet()
	case TuttiItem:
		m.turnTutti(!machine.Tutti())
	case PipeItem:
		m.toPane(WhyPane)
	case ShoeItem, MemoryItem, CrescendoItem, SequenceItem, TransposerItem, SpeedItem:
		m.turn(i, 1)
	}
}

func (m *Model) turnTutti(on bool) { m.do(tuttiTurned(on)) }

func tuttiTurned(on bool) console.Event {
	e := console.Event{Kind: console.TuttiEvent}
	if on {
		e.Value = 1
	}
	return e
}

// latch holds a key until it is worked again. A key with a second touch goes
// there first.
func (m *Model) latch(k console.Key) {
	contacts := m.held[holding{k, byHand}] + 1
	if contacts > m.in.Keyboards[k.Keyboard].Touches {
		contacts = 0
	}
	m.do(console.KeyMoved(k, contacts, byHand))
	m.shown[k.Keyboard] = k.Note
}

// buttonKind is what a button does, or the one does that it repeats.
func (m *Model) buttonKind(b int) console.ButtonKind {
	return m.in.Combination.Buttons[m.worker(Item{ButtonItem, b, 0})].Kind
}

// holdSet holds the set piston down, or lets it go: it stays, so that another
// can be pressed meanwhile.
func (m *Model) holdSet() {
	set := buttonOf(m.in, console.Set)
	if set == console.None {
		m.complain("this console has no set piston")
		return
	}
	if m.setHeld = !m.setHeld; m.setHeld {
		m.do(console.Press(set))
		m.say("set is held: press what is to be captured, then set again")
		return
	}
	m.do(console.Release(set))
	m.say("set is let go")
}

// turn moves what has more than two places by so many steps.
func (m *Model) turn(i Item, by int) {
	machine := m.console.Machine()
	sequence, stage := machine.Crescendo()
	switch i.Kind {
	case MemoryItem:
		m.do(console.Event{Kind: console.MemoryEvent, Value: m.console.Memory() + by})
	case CrescendoItem:
		if shoe := slices.IndexFunc(m.in.Shoes, func(s console.Shoe) bool { return s.Crescendo }); shoe >= 0 {
			m.shoeToStage(shoe, by)
		} else if to := stage + by; to >= 0 && to <= m.stages() {
			m.do(console.Event{Kind: console.StageEvent, Value: to})
		}
	case SequenceItem:
		n := len(m.in.Crescendo)
		m.do(console.Event{Kind: console.SequenceEvent, Index: (sequence + by + n) % n})
	case TransposerItem:
		if to := machine.Transpose() + by; to >= m.in.Transposer.Low && to <= m.in.Transposer.High {
			m.do(console.Event{Kind: console.TransposeEvent, Value: to})
		}
	case SpeedItem:
		n := len(m.in.Tremulants[i.Index].Speeds)
		m.do(console.Event{Kind: console.SpeedEvent, Index: i.Index, Value: (machine.Speed(i.Index)-1+by+n)%n + 1})
	case ShoeItem:
		m.shoeToStage(i.Index, by)
	default:
		m.say("more and less turn what has stages: shoes, crescendo, memory")
	}
}

// stages is how many stages the crescendo has in its sequence.
func (m *Model) stages() int {
	if len(m.in.Crescendo) == 0 {
		return 0
	}
	sequence, _ := m.console.Machine().Crescendo()
	return len(m.in.Crescendo[sequence].Stages)
}

// shoeStages is how many stages a shoe has in all, 0 left out: those of the
// crescendo, or of the finest box on it.
func (m *Model) shoeStages(shoe int) int {
	if m.in.Shoes[shoe].Crescendo {
		return max(1, m.stages())
	}
	most := 1
	for _, b := range m.in.Shoes[shoe].Boxes {
		most = max(most, m.in.Boxes[b].Stages)
	}
	return most
}

// shoeStage is at which of its stages a shoe stands.
func (m *Model) shoeStage(shoe int) int {
	if m.in.Shoes[shoe].Crescendo {
		_, stage := m.console.Machine().Crescendo()
		return stage
	}
	return m.console.Machine().Position(shoe) * (m.shoeStages(shoe) + 1) / (console.ShoeMost + 1)
}

// shoeToStage moves a shoe so many stages on: a quarter into the stage, where
// a crescendo has come on and the stage above has gone off again; at the ends,
// to the end.
func (m *Model) shoeToStage(shoe, by int) {
	n := m.shoeStages(shoe)
	switch stage := m.shoeStage(shoe) + by; {
	case stage <= 0:
		m.moveShoe(shoe, 0)
	case stage >= n:
		m.moveShoe(shoe, console.ShoeMost)
	default:
		m.moveShoe(shoe, (4*stage+1)*(console.ShoeMost+1)/(4*(n+1)))
	}
}

// moveShoe puts a shoe somewhere within its travel.
func (m *Model) moveShoe(shoe, position int) {
	m.do(console.MoveShoe(shoe, min(max(position, 0), console.ShoeMost)))
}

// toOctave has the letters begin at the highest C that is not above a note
// and leaves them keys to play.
func (m *Model) toOctave(n console.Note) {
	keys := m.in.Keyboards[m.plays.Keyboard].Keys
	n -= n % 12
	for n > 0 && n > keys.To {
		n -= 12
	}
	for n+11 < keys.From && n+12 <= keys.To {
		n += 12
	}
	m.plays.Note = n
}

// playLetter latches a key so many semitones above the octave of the letters.
func (m *Model) playLetter(above int) {
	k := console.Key{Keyboard: m.plays.Keyboard, Note: m.plays.Note + console.Note(above)}
	if keyboard := m.in.Keyboards[k.Keyboard]; !keyboard.Keys.Has(k.Note) {
		m.complain("%s ends at %s", m.keyboardName(k.Keyboard), m.signs.note(keyboard.Keys.To))
		return
	}
	m.latch(k)
}
