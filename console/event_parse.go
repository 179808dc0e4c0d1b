package console

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"trundle/console/finding"
)

// ids finds the names in an instrument's events.
type ids struct {
	keyboards, controls, buttons, shoes, tremulants names
	sequences                                       int
}

func newIDs(in *Instrument) *ids {
	var buttons []Button
	if in.Combination != nil {
		buttons = in.Combination.Buttons
	}
	return &ids{
		keyboards:  known("keyboard", in.Keyboards, func(k Keyboard) string { return k.ID }),
		controls:   known("control", in.Controls, func(c Control) string { return c.ID }),
		buttons:    known("button", buttons, func(b Button) string { return b.ID }),
		shoes:      known("shoe", in.Shoes, func(s Shoe) string { return s.ID }),
		tremulants: known("tremulant", in.Tremulants, func(t Tremulant) string { return t.ID }),
		sequences:  len(in.Crescendo),
	}
}

// known is the name space of things whose places in a file do not matter.
func known[T any](kind string, items []T, id func(T) string) names {
	n := names{kind: kind, index: make(map[string]int, len(items))}
	for i, item := range items {
		n.ids = append(n.ids, id(item))
		n.index[n.ids[i]] = i
	}
	return n
}

// look is the index of an id, or what is wrong with it.
func (n *names) look(id string) (int, error) {
	if i, ok := n.index[id]; ok {
		return i, nil
	}
	return 0, orElse(fmt.Sprintf("no %s %s", n.kind, id), finding.DidYouMean(id, n.ids))
}

func (n *names) has(id string) bool {
	_, ok := n.index[id]
	return ok
}

func orElse(wrong, fix string) error {
	if fix != "" {
		wrong += "; " + fix
	}
	return fmt.Errorf("%s", wrong)
}

// parse reads the words of an event, which carry its kind first. On an error
// at is the word that is wrong.
func (x *ids) parse(words []string) (e Event, at int, err error) {
	e = Event{Kind: EventKind(words[0]), From: Slot{Button: None}, To: Slot{Button: None}}
	form, known := events[e.Kind]
	if !known {
		fix := finding.DidYouMean(words[0], kinds())
		if fix == "" {
			fix = "the events are " + strings.Join(kinds(), ", ")
		}
		return e, 0, orElse("no event "+words[0], fix)
	}
	rest := words[1:]
	for i, w := range form {
		switch {
		case w == restWord:
			e.Text, rest = strings.Join(rest, " "), nil
		case len(rest) > 0:
			if err := x.take(&e, w, rest[0]); err != nil {
				return e, i + 1, err
			}
			rest = rest[1:]
		case w != sourceWord:
			return e, i, fmt.Errorf("%s is not complete: write it like %s", e.Kind, examples[e.Kind])
		}
	}
	if len(rest) > 0 {
		return e, len(words) - len(rest), fmt.Errorf("%s has a word too many: write it like %s", e.Kind, examples[e.Kind])
	}
	return e, 0, nil
}

func kinds() []string {
	var list []string
	for kind := range events {
		list = append(list, string(kind))
	}
	slices.Sort(list)
	return list
}

// take reads one word into the event.
func (x *ids) take(e *Event, w word, text string) (err error) {
	switch w {
	case keyboardWord:
		e.Index, err = x.keyboards.look(text)
	case noteWord:
		e.Note, err = ParseNote(text)
	case touchWord:
		e.Value, err = choice(touches, text)
	case sourceWord:
		e.Text = text
	case controlWord:
		if e.Index, err = x.controls.look(text); err != nil && x.buttons.has(text) {
			err = fmt.Errorf("%s is a button: write press %s, and release %s", text, text, text)
		}
	case buttonWord:
		if e.Index, err = x.buttons.look(text); err != nil && x.controls.has(text) {
			err = fmt.Errorf("%s is no button: write draw %s, and push %s", text, text, text)
		}
	case shoeWord:
		e.Index, err = x.shoes.look(text)
	case tremulantWord:
		e.Index, err = x.tremulants.look(text)
	case sequenceWord:
		if e.Index, err = number(text); err == nil && (e.Index < 1 || e.Index > x.sequences) {
			err = fmt.Errorf("no sequence %s: the crescendo has %d", text, x.sequences)
		}
		e.Index--
	case numberWord:
		if e.Value, err = number(text); err != nil && e.Kind == ShoeEvent {
			err = fmt.Errorf("%w: a shoe stands at 0 to %d", err, ShoeMost)
		}
	case switchWord:
		e.Value, err = choice(switches, text)
	case fromWord, memoryWord:
		e.From, err = x.slot(text, w == fromWord)
	case toWord:
		e.To, err = x.slot(text, true)
	}
	return err
}

func (x *ids) slot(text string, buttons bool) (s Slot, err error) {
	memory, button, found := strings.Cut(text, "/")
	s.Button = None
	if s.Memory, err = number(memory); err == nil && found && buttons {
		s.Button, err = x.buttons.look(button)
	} else if err == nil && found {
		err = fmt.Errorf("%q is no memory: write its number alone", text)
	}
	return s, err
}

// mostNumber bounds every number of an event.
const mostNumber = 1 << 30

func number(text string) (int, error) {
	n, err := strconv.Atoi(text)
	if err != nil || n < -mostNumber || n > mostNumber {
		return 0, fmt.Errorf("%q is no whole number", text)
	}
	return n, nil
}

func choice(of []string, text string) (int, error) {
	for i, known := range of {
		if known == text {
			return i, nil
		}
	}
	return 0, fmt.Errorf("%q is none of %s", text, strings.Join(of, ", "))
}

// ParseSlot reads a slot: 3/general-1, or 3 for the whole memory.
func (in *Instrument) ParseSlot(text string) (Slot, error) { return newIDs(in).slot(text, true) }
