package bench

import (
	"time"

	"trundle/combination"
	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// Keep begins the combination action with memories (nil: none was ever set).
// What it captures is kept by save, which may be nil.
func (s *StandIn) Keep(memories *combination.Memories, save func(*combination.Memories) error) {
	s.action, s.save = combination.New(s.in, memories), save
	for _, thing := range s.timing.Stuck {
		if thing.Kind == mapping.Control {
			s.act(console.Draw(thing.Index), 0)
		}
	}
}

// knob is what the contact of a control did.
func knob(control int, made bool) console.Event {
	if made {
		return console.Draw(control)
	}
	return console.Push(control)
}

// work takes what was done at the console, but for keys. Controls that move have
// contacts; the rest is believed when any contact is that was worked before it.
func (s *StandIn) work(e console.Event, at time.Duration) {
	switch e.Kind {
	case console.KeyEvent:
		return
	case console.DrawEvent, console.PushEvent, console.TouchEvent:
		thing := mapping.Thing{Kind: mapping.Control, Index: e.Index}
		if s.in.Controls[e.Index].Style == console.Lit {
			break
		}
		c := s.contacts[thing]
		s.move(thing, e.Kind == console.DrawEvent || e.Kind == console.TouchEvent && (c == nil || !c.made), at)
		return
	}
	s.worked = append(s.worked, timed[console.Event]{at + s.timing.Bounce + s.timing.Debounce + 2*s.timing.Scan, e})
}

// arrive has a knob follow its coil. It is told of as its contact stands: a
// contact that is stuck does not move.
func (s *StandIn) arrive(coil console.Effect, at time.Duration) {
	if s.move(mapping.Thing{Kind: mapping.Control, Index: coil.Index}, coil.Value == 1, at) {
		s.say(coil, at)
	}
}

// act has the combination action do what an event says.
func (s *StandIn) act(e console.Event, at time.Duration) {
	save := 0
	for _, f := range s.action.Do(at, e) {
		switch f.Kind {
		case console.CoilEffect:
			s.moved = at
			s.knobs = append(s.knobs, timed[console.Effect]{at + s.timing.Late + s.timing.Travel, f})
		case console.ControlEffect:
			s.moved = at
			s.unsettle(at)
			s.say(f, at)
		case console.LightEffect, console.LampEffect, console.StageEffect:
			s.say(f, at)
		case console.SaveEffect:
			save = f.Value
		case console.SaysEffect, console.StuckEffect, console.MemoryEffect, console.RefusedEffect:
			s.tell(f)
		}
	}
	if save > 0 {
		s.act(s.kept(save), at)
	}
}

// kept saves a capture, and is the answer.
func (s *StandIn) kept(number int) console.Event {
	if s.save != nil {
		if err := s.save(s.action.Saving()); err != nil {
			return console.Event{Kind: console.SaveFailedEvent, Value: number, Text: err.Error()}
		}
	}
	return console.Event{Kind: console.SavedEvent, Value: number}
}

// tell says what has no message.
func (s *StandIn) tell(f console.Effect) {
	if s.Says == nil {
		return
	}
	switch item, to := s.in.EffectWords(f); f.Kind {
	case console.StuckEffect:
		s.Says(item + " does not go " + to + ": its contact did not move")
	case console.MemoryEffect:
		s.Says("memory " + to)
	default:
		s.Says(to)
	}
}

// introduce tells who has come back how controls and lamps stand.
func (s *StandIn) introduce(to []midiio.Message, now time.Duration) []midiio.Message {
	to = s.end.Connect(to, now, s.action.Machine())
	if s.in.Combination == nil {
		return to
	}
	for b, button := range s.in.Combination.Buttons {
		if button.Repeats == console.None && s.action.Lamp(b) {
			to = s.end.Say(to, console.Effect{At: now, Kind: console.LampEffect, Index: b, Value: 1})
		}
	}
	return to
}
