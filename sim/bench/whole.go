package bench

import (
	"fmt"
	"slices"
	"time"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/probe"
)

// Whole tries a whole relay by a plan, at the console's end of its cable: it
// presses chord after chord, and notes which valves the relay reports open when
// it has fallen silent. It has no clock, as Run has none.
type Whole struct {
	Answers probe.Answers // as far as it has come
	Heard   int           // reports of valves
	Why     string        // why it cannot go on, "" while it can

	in        *console.Instrument
	end       *mapping.End
	plan      probe.Plan
	want      probe.Answers
	settle    time.Duration
	step      int
	begun     bool
	pressed   bool // the chord is held, and is answered
	held      map[console.Key]int
	open      probe.Set
	quiet     time.Duration // since when nothing comes and nothing leaves
	pressedAt time.Duration
	chords    int // that were answered
}

// restless is how long a relay may go on reporting after a chord.
const restless = 30 * time.Second

// patience is how much longer a relay is waited for that has not answered as it
// should: it may be late, and must not be taken for one that is wrong.
const patience = 5

// NewWhole begins a test. The relay has answered when nothing came for so long
// as settle; one whose answer is not the one that is wanted gets more time.
func NewWhole(in *console.Instrument, m *mapping.Map, plan probe.Plan, want probe.Answers, settle time.Duration) *Whole {
	w := &Whole{in: in, end: m.End(mapping.AtConsole, "organ"), plan: plan, want: want, settle: settle, held: map[console.Key]int{},
		Answers: make(probe.Answers, len(plan.Steps)), open: make(probe.Set, (in.Valves+63)/64)}
	w.advance()
	return w
}

// advance goes on to the next step that has a chord left.
func (w *Whole) advance() {
	for w.step < len(w.plan.Steps) && len(w.Answers[w.step]) == len(w.plan.Steps[w.step].Chords) {
		w.step++
	}
}

// Hear takes a message from the organ.
func (w *Whole) Hear(t midiio.Timed) {
	m := t.Message
	switch {
	case m.Kind == midiio.Gone:
		w.Break("the port went away")
	case m.Kind == midiio.Overrun:
		w.Break("the system lost messages that came too fast")
	case m.Kind.Fault() && w.begun:
		w.Break(fmt.Sprintf("what came is no message: %s", m))
	case m.OfPort(), m.RealTime():
	default:
		for _, s := range w.end.Hear(t).Signals {
			if s.Kind == mapping.Valve {
				w.report(s.Index, s.Value == 1)
			}
		}
		w.quiet = max(w.quiet, t.At)
	}
}

func (w *Whole) report(valve int, open bool) {
	bit := uint64(1) << (valve % 64)
	if w.open[valve/64] &^= bit; open {
		w.open[valve/64] |= bit
	}
	w.Heard++
}

// Break ends the test.
func (w *Whole) Break(why string) {
	if w.Why == "" {
		w.Why = why
	}
}

// Left says when what Tick has appended has left.
func (w *Whole) Left(at time.Duration) { w.quiet = max(w.quiet, at) }

// Done reports that all is tried, or that it cannot go on.
func (w *Whole) Done() bool { return w.Why != "" || w.step == len(w.plan.Steps) }

// Pressed is how many chords were answered.
func (w *Whole) Pressed() int { return w.chords }

// Next is when Tick has something to do, whatever comes.
func (w *Whole) Next() (at time.Duration, due bool) {
	return w.quiet + w.enough(), !w.Done()
}

// Tick notes what the relay has answered, and appends the next chord.
func (w *Whole) Tick(to []midiio.Message, now time.Duration) []midiio.Message {
	if !w.begun {
		w.begun, w.quiet = true, now+listening
		for c := range w.in.Controls {
			to = w.turn(to, now, c, 0) // they may stand anyhow
		}
		return to
	}
	if w.Done() {
		return to
	}
	if w.pressed && now > w.pressedAt+restless {
		w.Break(fmt.Sprintf("the relay did not fall silent for %v after a chord", restless))
		return to
	}
	if now < w.quiet+w.enough() {
		return to
	}
	if w.pressed {
		w.Answers[w.step] = append(w.Answers[w.step], append(probe.Set(nil), w.open...))
		w.chords++
		w.pressed = false
		if w.advance(); w.Done() {
			return to
		}
	}
	w.pressed, w.pressedAt, w.quiet = true, now, now
	return w.press(to, now)
}

// enough is how long it must have been quiet.
func (w *Whole) enough() time.Duration {
	if w.pressed && !slices.Equal(w.open, w.want[w.step][len(w.Answers[w.step])]) {
		return patience * w.settle
	}
	return w.settle
}

// press appends what leads from the last chord to the next one.
func (w *Whole) press(to []midiio.Message, now time.Duration) []midiio.Message {
	s := w.plan.Steps[w.step]
	chord := map[console.Key]int{}
	for _, h := range s.Chords[len(w.Answers[w.step])] {
		contacts := 1
		if h.Deep {
			contacts = 2
		}
		chord[h.Key] = contacts
	}
	move := func(k console.Key, contacts int) {
		to = w.end.Did(to, now, "player", console.KeyMoved(k, contacts, ""))
		if w.held[k] = contacts; contacts == 0 {
			delete(w.held, k)
		}
	}
	w.each(func(k console.Key) {
		if w.held[k] > chord[k] {
			move(k, chord[k])
		}
	})
	if len(w.Answers[w.step]) == 0 {
		drawn := make([]int, len(w.in.Controls))
		for _, c := range s.Draw {
			drawn[c] = 1
		}
		for c, value := range drawn {
			to = w.turn(to, now, c, value)
		}
	}
	w.each(func(k console.Key) {
		if w.held[k] < chord[k] {
			move(k, chord[k])
		}
	})
	return to
}

// each is for all keys, in their order.
func (w *Whole) each(do func(console.Key)) {
	for k, keyboard := range w.in.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			do(console.Key{Keyboard: k, Note: n})
		}
	}
}

func (w *Whole) turn(to []midiio.Message, now time.Duration, control, value int) []midiio.Message {
	return w.end.Say(to, console.Effect{At: now, Kind: console.ControlEffect, Index: control, Value: value})
}

// Rest appends the messages that push all controls in.
func (w *Whole) Rest(to []midiio.Message, now time.Duration) []midiio.Message {
	for c := range w.in.Controls {
		to = w.turn(to, now, c, 0)
	}
	return to
}

// Foretell is how long a test takes at a relay that answers as it should at
// once, when a byte takes so long either way.
func Foretell(in *console.Instrument, m *mapping.Map, plan probe.Plan, want probe.Answers, settle, byteTime time.Duration) time.Duration {
	w, organ := NewWhole(in, m, plan, want, settle), m.End(mapping.AtOrgan, "organ")
	var there, back midiio.Encoder
	var bytes []byte
	var now time.Duration
	for !w.Done() {
		var out []midiio.Message
		for _, message := range w.Tick(nil, now) {
			bytes = there.Append(bytes[:0], message)
			now += time.Duration(len(bytes)) * byteTime
		}
		w.Left(now)
		if w.pressed {
			open := want[w.step][len(w.Answers[w.step])]
			for v := range in.Valves {
				value := 0
				if open.Has(v) {
					value = 2
				}
				out = organ.Say(out, console.Effect{Kind: console.ValveEffect, Index: v, Value: value})
			}
		}
		for _, message := range out {
			bytes = back.Append(bytes[:0], message)
			now += time.Duration(len(bytes)) * byteTime
			w.Hear(midiio.Timed{At: now, Message: message})
		}
		if at, due := w.Next(); due {
			now = at
		}
	}
	return now
}
