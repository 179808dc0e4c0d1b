package main

import (
	"bufio"
	"fmt"
	"io"
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
	m       *mapping.Map
	relay   *wiring.Relay
	w       *walk.Walk
	console *mapping.End // the console's end of the cable: says keys, knobs and pistons to the organ
	organ   *mapping.End // the organ's end: says coils and lamps to the console
	cover   *coverage
	answers map[mapping.Thing]string // what a key, stud or knob at the port answers
	who     string
	silent  bool          // there is no port to send to
	travel  time.Duration // that a knob has to arrive in
	keep    func(walk.Step, walk.Answer) error
	out     *bufio.Writer
	ink     ink

	at    int    // the step that is asked for
	ended bool   // by a person, or because nothing is left
	wait  string // the word that is waited for before the organ is told: clear or done
	clear string // the phase and group for which the chamber is clear
	phase walk.Phase
	begun bool
	by    string        // who answered last, "" for the first terminal
	moved bool          // that is why the step was asked for
	asked time.Duration // when the step was asked for
	amps  *float64      // that were read before a verdict, nil for none
	volts *float64

	question *walk.Question // about the line before, nil for none

	idle   time.Duration // contacts have settled by then that were let go
	start  time.Duration // when the organ is told of the step; 0 for no time
	early  []written     // lines that came before it was
	told   []walk.Move   // what the organ was told, to be taken back
	undo   []walk.Move   // what takes back what then stays
	until  time.Duration // when they are, whoever waits; 0 for no time
	want   []walk.Move   // what is to come back and did not yet
	sees   bool          // something is to come that no message tells of, or something else came
	good   time.Duration // when the step is good, as all has come; 0 for no time
	report time.Duration // when the relay should have reported; 0 for no time
	shoes  map[int]bool  // that were moved
	knobs  map[int]bool  // that were drawn by their coils, and not cancelled
	send   []midiio.Message

	open    map[int]bool // valves that the relay says are open
	opened  map[int]bool // that it said opened in this step
	reports int          // how often it said something of a valve
}

func newWalker(in *console.Instrument, m *mapping.Map, relay *wiring.Relay, w *walk.Walk) *walker {
	k := &walker{in: in, m: m, relay: relay, w: w, console: m.End(mapping.AtConsole, "walk"), organ: m.End(mapping.AtOrgan, "walk"),
		cover: newCoverage(in, m, 30*time.Millisecond), travel: console.DefaultTravel * time.Millisecond,
		shoes: map[int]bool{}, knobs: map[int]bool{}, open: map[int]bool{}, opened: map[int]bool{}}
	if in.Combination != nil && in.Combination.Travel > 0 {
		k.travel = time.Duration(in.Combination.Travel) * time.Millisecond
	}
	return k
}

func (k *walker) begin(now time.Duration) {
	fmt.Fprintln(k.out, "answer each step in a line; ? shows what can be said")
	for _, line := range restText(k.w.Again, k.w.Gone) {
		fmt.Fprintln(k.out, k.ink.yellow(line))
	}
	k.next(now)
}

func (k *walker) due() (at time.Duration, is bool) {
	for _, t := range []time.Duration{k.start, k.until, k.good, k.report} {
		if t > 0 && (!is || t < at) {
			at, is = t, true
		}
	}
	return at, is
}

func (k *walker) waits() bool { return false } // contacts and answers come at the port too

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
	k.at, k.asked, k.wait = i, now, ""
	k.amps, k.volts, k.question = nil, nil, nil
	clear(k.opened)
	s := k.w.Steps[i]
	if !k.begun || s.Phase != k.phase {
		k.begun, k.phase = true, s.Phase
		fmt.Fprintf(k.out, "\n%s\n", k.ink.bold(s.Phase.String()+": "+s.Phase.About()))
		if caution := s.Phase.Caution(); caution != "" {
			fmt.Fprintf(k.out, "  %s\n", k.ink.yellow(caution))
		}
	}
	switch {
	case s.Ask && k.clear != chamber(s):
		k.wait = "clear"
	case s.First != "":
		k.wait = "done"
	}
	k.show(k.out)
	if k.wait == "" {
		k.work(now)
	}
}

// chamber is what the chamber is clear for, once it is.
func chamber(s walk.Step) string { return s.Phase.String() + " " + s.Group }

// show shows the step that is asked for.
func (k *walker) show(w io.Writer) {
	s := k.w.Steps[k.at]
	fmt.Fprintf(w, "%d of %d: %s\n", k.at+1, len(k.w.Steps), k.ink.bold(s.Do))
	fmt.Fprintf(w, "  expect: %s", s.Expect)
	if s.Amps != nil {
		good := s.AmpsGood()
		fmt.Fprintf(w, "; %.3f A cold, %.3f A warm, good from %.3f to %.3f A", s.Amps.Cold, s.Amps.Hot, good.From, good.To)
	}
	if s.Pulse > 0 {
		fmt.Fprintf(w, "; for %.0f ms at most", s.Pulse)
	}
	fmt.Fprintln(w)
	switch a, answered := k.w.Last(k.at); {
	case !answered:
	case a.Verdict.IsGood(), a.Verdict == walk.Accept, a.Verdict == walk.Skipped:
		fmt.Fprintf(w, "  it was %s\n", foundAt(s, a))
	default:
		fmt.Fprintf(w, "  it was %s; mend it, or write accept and why\n", foundAt(s, a))
	}
	if k.at == len(k.w.Steps)-1 {
		k.showOpen(w)
	}
	if s.First != "" {
		fmt.Fprintf(w, "  first by hand: %s\n", s.First)
	}
	switch k.wait {
	case "clear":
		fmt.Fprintln(w, k.ink.yellow("  is the chamber clear, hearing protected? write clear"))
	case "done":
		fmt.Fprintln(w, "  write done when it is")
	}
}

// mostOpen is how many open faults are listed before the day is signed.
const mostOpen = 20

// showOpen lists what is open, for who signs.
func (k *walker) showOpen(w io.Writer) {
	faults := k.w.Faults(nil, k.in)
	if len(faults) == 0 {
		fmt.Fprintln(w, "  none is open")
	}
	for _, f := range faults[:min(mostOpen, len(faults))] {
		fmt.Fprintf(w, "  open: %s: %s\n", f.Step.ID, foundAt(f.Step, f.Answer))
	}
	if more := len(faults) - mostOpen; more > 0 {
		fmt.Fprintf(w, "  and %d more, which trundle day lists\n", more)
	}
}

// ready has the organ do a step for which a word was waited.
func (k *walker) ready(now time.Duration) {
	if s := k.w.Steps[k.at]; k.wait == "clear" {
		k.clear = chamber(s)
	}
	k.wait = ""
	k.work(now)
}

// work has the organ do the step that is asked for, once contacts have settled that
// were let go: one that is made again at once is not seen to move.
func (k *walker) work(now time.Duration) {
	s := k.w.Steps[k.at]
	k.want, k.sees, k.good, k.start = nil, false, 0, 0
	if now < k.idle {
		k.start = k.idle
		return
	}
	if k.silent && len(s.Moves) > 0 {
		fmt.Fprintln(k.out, "  by hand: there is no --out")
	}
	if k.silent {
		k.awaits(s)
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
	k.undo = s.Undo
	k.awaits(s)
	if k.reports > 0 && s.Phase == walk.Valves {
		k.report = now + reportTime
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
func (k *walker) release(now time.Duration) {
	if len(k.told)+len(k.undo) > 0 {
		k.idle = now + contactsSettle
	}
	for _, m := range slices.Backward(k.told) {
		m.Value = 0
		k.tell(m)
	}
	for _, m := range k.undo {
		k.tell(m)
	}
	k.told, k.undo, k.want = nil, nil, nil
	k.start, k.until, k.good, k.report = 0, 0, 0, 0
}

// leave leaves the organ with nothing on, knobs in and boxes shut.
func (k *walker) leave() []midiio.Message {
	k.send = nil
	k.release(0)
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

// tick takes back what may not last any longer, and says good when all has come
// and nothing else.
func (k *walker) tick(now time.Duration) error {
	if k.until > 0 && now >= k.until {
		for _, m := range slices.Backward(k.told) {
			m.Value = 0
			k.tell(m)
		}
		k.told, k.until, k.idle = nil, 0, now+contactsSettle
	}
	if k.report > 0 && now >= k.report {
		k.report = 0
		if silent := k.unreported(k.w.Steps[k.at], now); len(silent) > 0 {
			fmt.Fprintf(k.out, "  %s\n", k.ink.red("the relay does not report "+strings.Join(silent, ", ")))
		}
	}
	if k.start > 0 && now >= k.start {
		k.work(now)
	}
	for len(k.early) > 0 && k.start == 0 && !k.ended {
		l := k.early[0]
		k.early = k.early[1:]
		if err := k.line(l, now); err != nil {
			return err
		}
	}
	if k.good > 0 && now >= k.good {
		s := k.w.Steps[k.at]
		k.by = thePort
		return k.answer(walk.Answer{Step: s.ID, Verdict: s.Good, Who: thePort}, now)
	}
	return nil
}

// thePort is who answers what messages tell of.
const thePort = "the port"
