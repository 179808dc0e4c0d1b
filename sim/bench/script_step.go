package bench

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"trundle/console"
	"trundle/console/finding"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// step reads a line that is a step.
func (r *scriptReader) step(l scriptLine, keys map[string]string) {
	s := Step{At: l.at}
	if l.words[0].text == "ask" {
		s.Text, s.Sort, s.Question = strings.TrimSpace(l.text), Ask, r.question(l)
		r.script.Steps = append(r.script.Steps, s)
		return
	}
	words := make([]string, len(l.words))
	for i, w := range l.words {
		words[i] = r.fill(l, i, w.text, keys)
	}
	s.Text = strings.Join(words, " ")
	wrong, err := r.words(&s, words)
	if err == nil {
		wrong, err = 1, r.sendable(s.Events)
	}
	if err != nil {
		r.wrong(at(l, wrong), "", "%v", err)
	}
	r.script.Steps = append(r.script.Steps, s)
}

func (r *scriptReader) question(l scriptLine) string {
	_, rest, _ := strings.Cut(l.text, "ask")
	rest = strings.TrimSpace(rest)
	if len(rest) < 3 || rest[0] != '"' || rest[len(rest)-1] != '"' {
		r.wrong(l.at, `write it like ask "does it speak?"`, "ask needs a question in quotes")
		return ""
	}
	return rest[1 : len(rest)-1]
}

// fill puts what the names of loops stand for into a word.
func (r *scriptReader) fill(l scriptLine, i int, text string, keys map[string]string) string {
	before, name, found := strings.Cut(text, "$")
	if !found {
		return text
	}
	value, known := keys[name]
	if !known {
		r.wrong(at(l, i), "name it in a loop, like for "+name+" in C2..C7", "$%s stands for nothing here", name)
		return text
	}
	return before + value
}

// words reads the words of a step; of an error it tells which word is wrong.
func (r *scriptReader) words(s *Step, words []string) (wrong int, err error) {
	switch words[0] {
	case "wait":
		s.Sort = Wait
		if len(words) != 2 {
			return 0, errors.New("wait needs one time: write it like wait 20ms")
		}
		s.For, err = duration(words[1])
		return 1, err
	case "expect":
		return r.expect(s, words)
	case "press", "release":
		s.Sort = Say
		return r.press(s, words)
	}
	s.Sort = Say
	if slices.Contains(midiio.Names(), words[0]) {
		m, err := midiio.ParseMessage(strings.Join(words, " "))
		if err == nil && m.OfPort() {
			err = fmt.Errorf("%s is what a port tells of itself, and nothing to send", m)
		}
		s.Messages = []midiio.Message{m}
		return 0, err
	}
	return r.event(s, words)
}

// event reads an event of a console log.
func (r *scriptReader) event(s *Step, words []string) (wrong int, err error) {
	if r.in == nil {
		return 0, fmt.Errorf("%q is no message; for what a console does, name the instrument with --on", words[0])
	}
	log, found := console.ParseLog(r.in, "", []byte(console.LogHead+"\n0 "+strings.Join(words, " ")))
	if len(found) > 0 && len(words) == 2 && r.isButton(words[1]) {
		return 0, fmt.Errorf("%s is a button: write press %s, and release %s", words[1], words[1], words[1])
	}
	if len(found) > 0 {
		return r.noEvent(found[0].Message)
	}
	e := log[0].Event
	switch e.Kind {
	case console.KeyEvent, console.DrawEvent, console.PushEvent, console.TouchEvent, console.ShoeEvent, console.StageEvent:
	default:
		return 0, fmt.Errorf("%s is not sent over a cable: say what the player works", e.Kind)
	}
	s.Events = []console.Event{e}
	return 1, nil
}

// noEvent says what is wrong with words that a log does not take.
func (r *scriptReader) noEvent(message string) (wrong int, err error) {
	text, unknown := strings.CutPrefix(message, "no event ")
	if !unknown {
		return 1, errors.New(message)
	}
	name, fix, _ := strings.Cut(text, "; ")
	if near := finding.DidYouMean(name, slices.Concat(steps, midiio.Names())); near != "" {
		fix = near
	} else if !strings.HasPrefix(fix, "did you mean") {
		fix = "trundle bench --help lists them"
	}
	return 0, fmt.Errorf("no step %s; %s", name, fix)
}

// press reads keys of a keyboard, or a button.
func (r *scriptReader) press(s *Step, words []string) (wrong int, err error) {
	if len(words) == 2 {
		return r.button(s, words)
	}
	if r.in == nil {
		return 0, errors.New("keys have no messages here: name the instrument with --on")
	}
	if len(words) < 3 {
		return 0, fmt.Errorf("%s needs keys or a button: write it like %s great C4", words[0], words[0])
	}
	k := slices.IndexFunc(r.in.Keyboards, func(k console.Keyboard) bool { return k.ID == words[1] })
	if k < 0 {
		return 1, noSuch("keyboard", words[1], names(r.in.Keyboards, func(k console.Keyboard) string { return k.ID }))
	}
	for i, text := range words[2:] {
		notes, err := keys(text)
		if err != nil {
			return i + 2, err
		}
		for _, n := range notes {
			if !r.in.Keyboards[k].Keys.Has(n) {
				return i + 2, fmt.Errorf("%s has keys %s, not %s", words[1], r.in.Keyboards[k].Keys, n)
			}
			contacts := 1
			if words[0] == "release" {
				contacts = 0
			}
			s.Events = append(s.Events, console.KeyMoved(console.Key{Keyboard: k, Note: n}, contacts, ""))
		}
	}
	return 0, nil
}

func (r *scriptReader) isButton(id string) bool {
	return r.in.Combination != nil && slices.ContainsFunc(r.in.Combination.Buttons, func(b console.Button) bool { return b.ID == id })
}

// button is a button that is pressed or let go of.
func (r *scriptReader) button(s *Step, words []string) (wrong int, err error) {
	if r.in == nil || r.in.Combination == nil {
		return 1, fmt.Errorf("no button %s; keys are named like %s great C4", words[1], words[0])
	}
	b := slices.IndexFunc(r.in.Combination.Buttons, func(b console.Button) bool { return b.ID == words[1] })
	if b < 0 {
		return 1, noSuch("button", words[1], names(r.in.Combination.Buttons, func(b console.Button) string { return b.ID }))
	}
	s.Events = []console.Event{console.Press(b)}
	if words[0] == "release" {
		s.Events[0] = console.Release(b)
	}
	return 0, nil
}

// expect reads what is expected.
func (r *scriptReader) expect(s *Step, words []string) (wrong int, err error) {
	if len(words) == 4 && words[1] == "nothing" && words[2] == "for" {
		s.Sort = Nothing
		s.For, err = duration(words[3])
		return 3, err
	}
	s.Sort = Expect
	n := len(words)
	if n < 4 || words[n-2] != "within" {
		return 0, errors.New("expect is not complete: write it like expect bourdon:13 on within 20ms, or expect nothing for 200ms")
	}
	if s.For, err = duration(words[n-1]); err != nil {
		return n - 1, err
	}
	what := words[1 : n-2]
	if slices.Contains(midiio.Names(), what[0]) {
		s.Pattern, err = pattern(what)
		return 1, err
	}
	s.Signal, wrong, err = r.signal(what)
	return wrong + 1, err
}

// pattern is the text form of a message in which * stands for any number.
func pattern(words []string) ([]string, error) {
	filled := slices.Clone(words)
	for i, w := range filled {
		if w == "*" {
			filled[i] = "1"
		}
	}
	m, err := midiio.ParseMessage(strings.Join(filled, " "))
	if err != nil {
		return nil, err
	}
	list := strings.Fields(m.String())
	for i, w := range words {
		if w == "*" && i < len(list) {
			list[i] = "*"
		}
	}
	return list, nil
}

// sendable complains of what the player works and no message tells of: nothing
// would be sent, and a step behind it would blame the organ.
func (r *scriptReader) sendable(events []console.Event) error {
	for _, e := range events {
		t := mapping.Thing{Kind: mapping.Control, Index: e.Index}
		switch e.Kind {
		case console.KeyEvent:
			t.Kind, t.Note = mapping.Key, e.Note
		case console.ShoeEvent:
			t.Kind = mapping.Shoe
		case console.StageEvent:
			t = mapping.Thing{Kind: mapping.Stage}
		case console.PressEvent, console.ReleaseEvent:
			t.Kind = mapping.Button
		}
		if entry, ok := r.m.Find(t); !ok || !entry.Has(mapping.ToOrgan) {
			return fmt.Errorf("the map has no message for %s; add one to the section midi, which stands for the whole default map (trundle learn --default)", t.Name(r.in))
		}
	}
	return nil
}

// signal reads a thing and how it comes to stand: bourdon:13 on, great C4 off.
func (r *scriptReader) signal(words []string) (s *mapping.Signal, wrong int, err error) {
	if r.in == nil {
		return nil, 0, fmt.Errorf("%s is no message; for what stands in the words of a console, name the instrument with --on", strings.Join(words, " "))
	}
	last := len(words) - 1
	if last == 0 || words[last] != "on" && words[last] != "off" {
		return nil, last, fmt.Errorf("write on or off behind %s", strings.Join(words, " "))
	}
	t, err := r.thing(words[:last])
	if err != nil {
		return nil, 0, err
	}
	if entry, ok := r.m.Find(t); !ok || !entry.Has(mapping.ToConsole) {
		return nil, 0, fmt.Errorf("the map has no message by which the organ tells of %s; give it one with way: to-console or both", t.Name(r.in))
	}
	s = &mapping.Signal{Thing: t}
	if words[last] == "on" {
		s.Value = 1
	}
	return s, 0, nil
}

// thingKinds are words that a reader may put before what is expected.
var thingKinds = []string{"lamp", "valve", "key", "control", "stop", "coupler", "knob", "button", "piston"}

// thing is what words name: a valve, a key, a control or a button.
func (r *scriptReader) thing(words []string) (mapping.Thing, error) {
	if id, number, isValve := strings.Cut(words[0], ":"); isValve && len(words) == 1 {
		i := slices.IndexFunc(r.in.Ranks, func(k console.Rank) bool { return k.ID == id })
		if i < 0 {
			return mapping.Thing{}, noSuch("rank", id, names(r.in.Ranks, func(k console.Rank) string { return k.ID }))
		}
		n, err := strconv.Atoi(number)
		if err != nil || n < 1 || n > r.in.Ranks[i].Pipes {
			return mapping.Thing{}, fmt.Errorf("%s has valves 1..%d, not %s", id, r.in.Ranks[i].Pipes, number)
		}
		return mapping.Thing{Kind: mapping.Valve, Index: r.in.Ranks[i].Valve(n)}, nil
	}
	if named := strings.Join(words[1:], " "); named != "" && slices.Contains(thingKinds, words[0]) && !slices.ContainsFunc(r.in.Keyboards, func(k console.Keyboard) bool { return k.ID == words[0] }) {
		return mapping.Thing{}, fmt.Errorf("what is expected stands without its kind: write expect %s", named)
	}
	if len(words) == 2 {
		k := slices.IndexFunc(r.in.Keyboards, func(k console.Keyboard) bool { return k.ID == words[0] })
		if k < 0 {
			return mapping.Thing{}, noSuch("keyboard", words[0], names(r.in.Keyboards, func(k console.Keyboard) string { return k.ID }))
		}
		n, err := console.ParseNote(words[1])
		return mapping.Thing{Kind: mapping.Key, Index: k, Note: n}, err
	}
	if c := slices.IndexFunc(r.in.Controls, func(c console.Control) bool { return c.ID == words[0] }); c >= 0 {
		return mapping.Thing{Kind: mapping.Control, Index: c}, nil
	}
	ids := names(r.in.Controls, func(c console.Control) string { return c.ID })
	if r.in.Combination != nil {
		for b, button := range r.in.Combination.Buttons {
			if ids = append(ids, button.ID); button.ID == words[0] {
				return mapping.Thing{Kind: mapping.Button, Index: b}, nil
			}
		}
	}
	return mapping.Thing{}, noSuch("valve, control or button", strings.Join(words, " "), ids)
}

func names[T any](list []T, name func(T) string) (ids []string) {
	for _, one := range list {
		ids = append(ids, name(one))
	}
	return ids
}

func noSuch(kind, id string, ids []string) error {
	if fix := finding.DidYouMean(id, ids); fix != "" {
		return fmt.Errorf("no %s %s; %s", kind, id, fix)
	}
	return fmt.Errorf("no %s %s", kind, id)
}

// mostWait bounds every time of a script.
const mostWait = 24 * time.Hour

func duration(text string) (time.Duration, error) {
	d, err := time.ParseDuration(text)
	if err != nil || d < 0 || d > mostWait {
		return 0, fmt.Errorf("%q is no time: write it like 20ms, 1.5s or 2m", text)
	}
	return d, nil
}
