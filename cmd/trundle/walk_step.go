package main

import (
	"bufio"
	"fmt"
	"slices"
	"strings"
	"time"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/walk"
	"trundle/sim/wiring"
)

// walker leads through a walk. It opens no ports and has no clock: who uses it
// hands it lines, messages and the time, and sends what it says.
type walker struct {
	in      *console.Instrument
	relay   *wiring.Relay
	w       *walk.Walk
	console *mapping.End // says what goes to the organ
	organ   *mapping.End // says what goes to the console: knobs and lamps
	ear     *mapping.End // hears what the console says
	cover   *coverage
	answers map[mapping.Thing]string // what a key, stud or knob at the port answers
	who     string
	silent  bool // there is no port to send to
	keep    func(walk.Step, walk.Answer) error
	out     *bufio.Writer
	ink     ink

	at      int    // the step that is asked for
	ended   bool   // by a person, or because nothing is left
	waiting bool   // until the chamber is clear
	clear   string // the phase and group for which it is
	phase   walk.Phase
	begun   bool
	told    []walk.Move // what the organ was told, to be taken back
	until   time.Duration
	shoes   map[int]bool // that were moved
	knobs   map[int]bool // that were drawn by their coils, and not cancelled
	send    []midiio.Message
}

func (k *walker) begin(now time.Duration) { k.next(now) }

func (k *walker) due() (time.Duration, bool) { return k.until, k.until > 0 }

func (k *walker) say() []midiio.Message {
	said := k.send
	k.send = nil
	return said
}

func (k *walker) flush() (ended bool, err error) { return k.ended, k.out.Flush() }

// next asks for the next step, and has the organ do it.
func (k *walker) next(now time.Duration) {
	i, ok := k.w.Next()
	if !ok {
		k.ended = true
		return
	}
	k.ask(i, now)
}

func (k *walker) ask(i int, now time.Duration) {
	k.at = i
	s := k.w.Steps[i]
	if !k.begun || s.Phase != k.phase {
		k.begun, k.phase = true, s.Phase
		fmt.Fprintf(k.out, "\n%s\n", k.ink.bold(s.Phase.String()+": "+s.Phase.About()))
		if caution := s.Phase.Caution(); caution != "" {
			fmt.Fprintf(k.out, "  %s\n", k.ink.yellow(caution))
		}
	}
	fmt.Fprintf(k.out, "%d of %d: %s\n", i+1, len(k.w.Steps), k.ink.bold(s.Do))
	fmt.Fprintf(k.out, "  expect: %s", s.Expect)
	if s.Amps != nil {
		fmt.Fprintf(k.out, "; %.3f A, %.3f A warm", s.Amps.Cold, s.Amps.Hot)
	}
	if s.Pulse > 0 {
		fmt.Fprintf(k.out, "; for %.0f ms at most", s.Pulse)
	}
	fmt.Fprintln(k.out)
	if a, answered := k.w.Last(i); answered && !a.Verdict.IsGood() {
		fmt.Fprintf(k.out, "  it was %s; mend it, or write accept and why\n", strings.TrimSpace(string(a.Verdict)+" "+a.Words))
	}
	if group := s.Phase.String() + " " + s.Group; s.Ask && k.clear != group {
		k.waiting = true
		fmt.Fprintln(k.out, k.ink.yellow("  is the chamber clear, hearing protected? write clear"))
		return
	}
	k.work(now)
}

// work has the organ do the step that is asked for.
func (k *walker) work(now time.Duration) {
	s := k.w.Steps[k.at]
	if k.silent && len(s.Moves) > 0 {
		fmt.Fprintln(k.out, "  by hand: there is no --out")
		return
	}
	for _, m := range s.Moves {
		before := len(k.send)
		if k.tell(m); len(k.send) == before {
			fmt.Fprintf(k.out, "  by hand: the map has no message for %s\n", walk.Words(k.in, m.Item))
			continue
		}
		switch m.Item.Kind {
		case wiring.ShoeKind:
			k.shoes[m.Item.Index] = true
		case wiring.KnobOnKind, wiring.KnobOffKind: // its relay ends the pulse
			k.knobs[m.Item.Index] = m.Value == 1
		default:
			k.told = append(k.told, m)
		}
	}
	if s.Pulse > 0 && len(k.told) > 0 {
		k.until = now + time.Duration(s.Pulse*float64(time.Millisecond))
	}
}

// tell says how a thing is to stand.
func (k *walker) tell(m walk.Move) {
	signal := mapping.Signal{Thing: thingOf(k.in, m.Item), Value: m.Value}
	switch m.Item.Kind {
	case wiring.KnobOnKind, wiring.KnobOffKind, wiring.LampKind:
		k.send = k.organ.Tell(k.send, signal)
	default:
		k.send = k.console.Tell(k.send, signal)
	}
}

// release takes back what the organ was told: keys first.
func (k *walker) release() {
	for _, m := range slices.Backward(k.told) {
		m.Value = 0
		k.tell(m)
	}
	k.told, k.until = nil, 0
}

// leave leaves the organ with nothing on, knobs in and boxes shut.
func (k *walker) leave() []midiio.Message {
	k.send = nil
	k.release()
	for shoe := range k.in.Shoes {
		if k.shoes[shoe] {
			k.tell(walk.Move{Item: wiring.Item{Kind: wiring.ShoeKind, Index: shoe, Of: console.None}})
		}
	}
	for knob := range k.in.Controls {
		if k.knobs[knob] {
			k.tell(walk.Move{Item: wiring.Item{Kind: wiring.KnobOffKind, Index: knob, Of: console.None}})
		}
	}
	return k.send
}

// tick takes back what may not last any longer.
func (k *walker) tick(now time.Duration) {
	if k.until > 0 && now >= k.until {
		k.release()
	}
}

// line takes what a person wrote.
func (k *walker) line(text string, now time.Duration) error {
	switch word := strings.TrimSpace(text); {
	case word == "":
		return nil
	case word == "end":
		k.ended = true
		return nil
	case k.waiting && word == "clear":
		k.waiting, k.clear = false, k.w.Steps[k.at].Phase.String()+" "+k.w.Steps[k.at].Group
		k.work(now)
		return nil
	case word == "again":
		k.release()
		k.ask(k.at, now)
		return nil
	case word == "back":
		k.release()
		k.waiting = false
		k.ask(max(0, k.at-1), now)
		return nil
	case word == "rest" && !k.waiting:
		return k.rest(now)
	}
	a, err := walk.Read(k.w.Steps[k.at], text)
	if err != nil {
		fmt.Fprintf(k.out, "  %v; or again, back, rest, skip, end\n", err)
		return nil
	}
	if k.waiting && a.Verdict != walk.Skipped && a.Verdict != walk.Accept {
		fmt.Fprintln(k.out, "  it was not tried yet: write clear when the chamber is, or skip")
		return nil
	}
	a.Who = k.who
	return k.answer(a, now)
}

// rest answers a group to its end.
func (k *walker) rest(now time.Duration) error {
	if k.w.Steps[k.at].Phase == walk.Sign {
		fmt.Fprintln(k.out, "  one by one")
		return nil
	}
	for _, i := range k.w.Rest(k.at) {
		s := k.w.Steps[i]
		if err := k.take(i, walk.Answer{Step: s.ID, Verdict: s.Good, Words: "with its group", Who: k.who}); err != nil {
			return err
		}
	}
	k.release()
	k.next(now)
	return nil
}

// answer takes an answer to the step that is asked for, and goes on.
func (k *walker) answer(a walk.Answer, now time.Duration) error {
	k.release()
	k.waiting = false
	if err := k.take(k.at, a); err != nil {
		return err
	}
	k.next(now)
	return nil
}

func (k *walker) take(i int, a walk.Answer) error {
	if err := k.w.Answer(a); err != nil {
		return err
	}
	text := string(a.Verdict)
	if a.Words != "" {
		text += ": " + a.Words
	}
	if !a.Verdict.IsGood() {
		text = k.ink.red(text)
	}
	fmt.Fprintf(k.out, "  %s: %s\n", k.w.Steps[i].ID, text)
	return k.keep(k.w.Steps[i], a)
}

// hear takes a message from the port: an answer by what was named for it, or in
// the phase of inputs what was worked.
func (k *walker) hear(t midiio.Timed, now time.Duration) error {
	done, strange := k.cover.hear(t)
	s := k.w.Steps[k.at]
	if k.ended {
		return nil
	}
	if s.Phase == walk.Inputs {
		if strange && !isIdentity(t.Message) {
			fmt.Fprintf(k.out, "  %s is not in the map\n", subject(t.Message))
		}
		return k.tickOff(done, now)
	}
	for _, signal := range k.ear.Hear(t).Signals {
		line, ok := k.answers[signal.Thing]
		switch {
		case ok && signal.Value == 1 && k.waiting:
			fmt.Fprintln(k.out, "  that the chamber is clear must be written: clear")
		case ok && signal.Value == 1:
			a, err := walk.Read(s, line)
			if err != nil {
				return err
			}
			a.Who = k.who + ", at the port"
			return k.answer(a, now)
		case s.Phase == walk.Knobs && signal.Kind == mapping.Control:
			fmt.Fprintf(k.out, "  a contact says: %s\n", signal.Words(k.in))
		case signal.Kind == mapping.Valve && signal.Value == 1:
			fmt.Fprintf(k.out, "  the relay says: %s\n", signal.Words(k.in))
		}
	}
	return nil
}

// tickOff answers the steps of what was worked.
func (k *walker) tickOff(done []mapping.Thing, now time.Duration) error {
	for _, thing := range done {
		for i, s := range k.w.Steps {
			if s.Phase != walk.Inputs || thingOf(k.in, s.Items[0]) != thing {
				continue
			}
			if err := k.take(i, walk.Answer{Step: s.ID, Verdict: s.Good, Who: "the port"}); err != nil {
				return err
			}
		}
	}
	if _, answered := k.w.Last(k.at); answered {
		k.next(now)
	}
	return nil
}
