package main

import (
	"errors"
	"slices"
	"time"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// registration follows what messages to the organ leave standing of a console:
// controls, shoes and the crescendo, but no keys.
type registration struct {
	in     *console.Instrument
	m      *mapping.Map
	heard  *mapping.End
	stands map[mapping.Thing]int
	turned map[mapping.Thing]midiio.Message // controls that are turned over once more than back, and by what
	order  []mapping.Thing                  // those of both that were ever heard of
	words  string                           // of the last message, where it was about one of them or a button
}

func newRegistration(in *console.Instrument, m *mapping.Map) *registration {
	return &registration{in: in, m: m, heard: m.End(mapping.AtOrgan, "console"), stands: map[mapping.Thing]int{}, turned: map[mapping.Thing]midiio.Message{}}
}

// hear follows a message, and reports whether the map has it.
func (r *registration) hear(t midiio.Timed) bool {
	heard := r.heard.Hear(t)
	r.words = ""
	for _, s := range heard.Signals {
		switch s.Kind {
		case mapping.Control, mapping.Stage:
			r.words = s.Words(r.in)
			r.stand(s.Thing, s.Value)
		case mapping.Shoe:
			r.stand(s.Thing, s.Value)
		case mapping.Button:
			r.words = s.Words(r.in)
		}
	}
	for _, e := range heard.Events {
		if e.Kind == console.TouchEvent {
			thing := mapping.Thing{Kind: mapping.Control, Index: e.Index}
			r.words = thing.Name(r.in) + " turned over"
			r.note(thing)
			if _, odd := r.turned[thing]; odd {
				delete(r.turned, thing)
			} else {
				r.turned[thing] = t.Message
			}
		}
	}
	return heard.Known
}

// stand has a thing stand so.
func (r *registration) stand(t mapping.Thing, value int) {
	r.note(t)
	r.stands[t] = value
}

func (r *registration) note(t mapping.Thing) {
	if !slices.Contains(r.order, t) {
		r.order = append(r.order, t)
	}
}

// saying is how one thing stands, in words and as messages.
type saying struct {
	words    string
	messages []midiio.Message
}

// say says to the organ how all stands that was ever heard of.
func (r *registration) say() (list []saying) {
	end := r.m.End(mapping.AtConsole, "organ")
	for _, t := range r.order {
		if message, odd := r.turned[t]; odd {
			turn := []midiio.Message{message}
			if message.StartsNote() {
				turn = append(turn, midiio.NoteOff(message.Channel(), message.A))
			}
			list = append(list, saying{t.Name(r.in) + " turned over", turn})
		}
		value, stands := r.stands[t]
		if !stands {
			continue
		}
		var messages []midiio.Message
		switch t.Kind {
		case mapping.Control:
			messages = end.Say(nil, console.Effect{Kind: console.ControlEffect, Index: t.Index, Value: value})
		case mapping.Stage:
			messages = end.Say(nil, console.Effect{Kind: console.StageEffect, Value: value})
		case mapping.Shoe:
			messages = end.Did(nil, 0, "console", console.MoveShoe(t.Index, value))
		}
		if len(messages) > 0 {
			list = append(list, saying{mapping.Signal{Thing: t, Value: value}.Words(r.in), messages})
		}
	}
	return list
}

// messages are those of say.
func (r *registration) messages() (list []midiio.Message) {
	for _, s := range r.say() {
		list = append(list, s.messages...)
	}
	return list
}

// chase is what to send to begin a file in the middle, followed by the
// registration as far as that: how all stands there that the map has, what
// stands of the rest, and then what comes from there on.
func (r *registration) chase(messages []midiio.Timed, from time.Duration) []midiio.Timed {
	var others []midiio.Timed
	for _, t := range messages {
		if t.At >= from || !r.hear(t) {
			others = append(others, t)
		}
	}
	var list []midiio.Timed
	for _, m := range r.messages() {
		list = append(list, midiio.Timed{Message: m})
	}
	return append(list, midiio.Chase(others, from)...)
}

// registrationAt is that of an instrument in which these controls are drawn and
// all others pushed in; nil without an instrument.
func registrationAt(path string, draw []string) (*registration, error) {
	if path == "" {
		if len(draw) > 0 {
			return nil, complaint{"--draw is for a recording of an instrument", "name it with --on"}
		}
		return nil, nil
	}
	in, m, err := loadMap(path)
	if err != nil {
		return nil, err
	}
	drawn, wrong := (&stateFlags{draw: draw}).drawn(in)
	if err := errors.Join(wrong...); err != nil {
		return nil, err
	}
	r := newRegistration(in, m)
	for _, entry := range m.Entries {
		if entry.Kind != mapping.Control || !entry.Has(mapping.ToOrgan) {
			continue
		}
		value := 0
		if drawn[entry.Index] {
			value = 1
		}
		r.stand(entry.Thing, value)
	}
	return r, nil
}

// record records how all stands.
func (r *registration) record(to *midiio.Recorder, at time.Duration) {
	for _, s := range r.say() {
		to.Text(at, s.words)
		for _, m := range s.messages {
			to.Add(midiio.Timed{At: at, Message: m})
		}
	}
}
