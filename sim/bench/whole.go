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
// it has fallen silent. What was not answered as it should be is tried once more
// at the end, and what is answered otherwise then three times more, with patience:
// a program or a relay that was late for once is told from a contact that is loose.
// It has no clock, as Run has none.
type Whole struct {
	Answers  probe.Answers // as far as it has come; of what was tried again the last
	Late     int           // chords that were answered otherwise at first, and alike with patience
	Unsteady int           // chords that are answered now so, now otherwise
	Heard    int           // reports of valves
	Why      string        // why it cannot go on, "" while it can

	in        *console.Instrument
	line      line
	plan      probe.Plan
	want      probe.Answers
	wait      Settle
	changed   bool          // something came that is part of the answer
	silence   time.Duration // the longest within it, so far
	last      silences
	todo      []spot
	next      int // of them
	round     round
	doubtful  []spot        // answered otherwise the second time
	loose     map[spot]bool // those of them that are answered otherwise with patience too
	rested    bool          // before a try with patience
	drawn     int           // the step whose controls stand, -1 for none
	begun     bool
	pressed   bool // the chord is held, and is answered
	held      map[console.Key]int
	open      probe.Set
	loop      *looping      // nil where valves are reported
	quiet     time.Duration // since when nothing comes and nothing leaves
	pressedAt time.Duration
}

// spot is one chord of a plan.
type spot struct{ step, chord int }

// round is how often chords have been tried, and with what patience.
type round int

const (
	once round = iota
	again
	patient
)

// tries is how often a doubtful chord is tried with patience, and mostDoubtful how
// many of them are: a relay that is late or loose for more is not worth the time.
const tries, mostDoubtful = 3, 50

// restless is how long a relay may go on reporting after a chord.
const restless = 30 * time.Second

// NewWhole begins a test of a relay whose answers should be those that are wanted.
func NewWhole(in *console.Instrument, m *mapping.Map, plan probe.Plan, want probe.Answers, wait Settle) *Whole {
	w := Whole{in: in, line: line{end: m.End(mapping.AtConsole, "organ")}, plan: plan, want: want, wait: wait,
		held: map[console.Key]int{}, open: make(probe.Set, (in.Valves+63)/64)}
	if plan.Loop != nil {
		w.loop = newLooping(plan.Loop)
		w.open = make(probe.Set, w.loop.half/64)
	}
	return begin(w)
}

// begin has all chords of the plan to do.
func begin(w Whole) *Whole {
	w.drawn, w.Answers = -1, make(probe.Answers, len(w.plan.Steps))
	for i, s := range w.plan.Steps {
		w.Answers[i] = make([]probe.Set, len(s.Chords))
		for k := range s.Chords {
			w.todo = append(w.todo, spot{i, k})
		}
	}
	return &w
}

// Hear takes a message from the organ.
func (w *Whole) Hear(t midiio.Timed) {
	signals, why := w.line.hear(t, w.begun)
	if why != "" {
		w.Break(why)
	}
	for _, s := range signals {
		if output, is := w.loop.of(s.Thing); is {
			w.report(output, s.Value == 1, t.At)
		} else if s.Kind == mapping.Valve && w.loop == nil {
			w.report(s.Index, s.Value == 1, t.At)
		}
	}
}

// report takes that a valve is open or shut. Only what changes is part of an
// answer: a relay may say from time to time how all stands.
func (w *Whole) report(valve int, open bool, at time.Duration) {
	w.Heard++
	bit := uint64(1) << (valve % 64)
	if w.open[valve/64]&bit != 0 == open {
		return
	}
	w.open[valve/64] ^= bit
	w.changed, w.silence = true, max(w.silence, at-w.quiet)
	w.quiet = max(w.quiet, at)
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
func (w *Whole) Done() bool { return w.Why != "" || w.next == len(w.todo) }

// Pressed is how many chords were answered, those that were tried again too.
func (w *Whole) Pressed() int { return w.next }

// Presses is how many there are to press, as far as is known.
func (w *Whole) Presses() int { return len(w.todo) }

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
	if (w.pressed || w.loop.clearing()) && now > w.pressedAt+restless {
		w.Break(fmt.Sprintf("the relay did not fall silent for %v after a chord", restless) + w.loop.restless())
		return to
	}
	if now < w.quiet+w.enough() {
		return to
	}
	if w.pressed && w.loop.holding() {
		return w.letGo(to, now)
	}
	if w.pressed {
		stays := w.loop.stays(w.open, w.want[w.todo[w.next].step][w.todo[w.next].chord])
		w.pressed = false
		w.note()
		if w.Done() {
			return to
		}
		if stays {
			return w.clear(to, now)
		}
	}
	if (w.round == patient || w.repeats()) && !w.rested {
		w.rested = true
		w.begins(now)
		w.quiet = now + patience*w.wait.Time
		return w.Release(to, now)
	}
	w.pressed, w.rested = true, false
	w.begins(now)
	if w.loop != nil {
		w.loop.clears = false
	}
	return w.press(to, now)
}

// repeats reports whether the chord is the last one again, which would change nothing.
func (w *Whole) repeats() bool { return w.next > 0 && w.todo[w.next] == w.todo[w.next-1] }

// begins is the beginning of an answer.
func (w *Whole) begins(now time.Duration) {
	w.pressedAt, w.quiet, w.changed, w.silence = now, now, false, 0
}

// note takes what is open for the answer. After the last one it is seen what to
// try again.
func (w *Whole) note() {
	at := w.todo[w.next]
	answer, now := &w.Answers[at.step][at.chord], w.loop.answer(w.open)
	same := slices.Equal(*answer, now)
	switch {
	case w.round == again && !same:
		w.doubtful = append(w.doubtful, at)
	case w.round == patient && !same && len(w.todo)-w.next <= (tries-1)*len(w.doubtful): // not the first of its tries
		w.loose[at] = true
	}
	*answer = now
	w.settled()
	if w.next++; w.next < len(w.todo) || w.Heard == 0 {
		return
	}
	switch w.round {
	case once:
		for _, at := range slices.Clone(w.todo) {
			if !slices.Equal(w.Answers[at.step][at.chord], w.want[at.step][at.chord]) {
				w.todo = append(w.todo, at)
			}
		}
	case again:
		if len(w.doubtful) > mostDoubtful {
			w.Unsteady = len(w.doubtful)
			return
		}
		w.todo, w.loose = slices.Concat(w.todo, slices.Repeat(w.doubtful, tries)), map[spot]bool{}
	case patient:
		w.Unsteady = len(w.loose)
		w.Late = len(w.doubtful) - w.Unsteady
	}
	w.round++
}

// settled notes how long the relay took to fall silent.
func (w *Whole) settled() {
	if w.changed {
		w.last = w.last.and(w.silence)
	}
}

// enough is how long it must have been quiet.
func (w *Whole) enough() time.Duration {
	if !w.pressed {
		return 0
	}
	if w.round == patient {
		return patience * w.wait.Time
	}
	at := w.todo[w.next]
	is := func(answer probe.Set) bool { return slices.Equal(w.open, w.loop.part(answer)) }
	right := is(w.want[at.step][at.chord]) || w.round == again && is(w.Answers[at.step][at.chord])
	return w.wait.enough(right, w.changed, w.last)
}

// press appends what leads from the last chord to the next one.
func (w *Whole) press(to []midiio.Message, now time.Duration) []midiio.Message {
	at := w.todo[w.next]
	s := w.plan.Steps[at.step]
	chord := map[console.Key]int{}
	for _, h := range s.Chords[at.chord] {
		contacts := 1
		if h.Deep {
			contacts = 2
		}
		chord[h.Key] = contacts
	}
	move := func(k console.Key, contacts int) {
		to = w.line.end.Did(to, now, "player", console.KeyMoved(k, contacts, ""))
		if w.held[k] = contacts; contacts == 0 {
			delete(w.held, k)
		}
	}
	w.each(func(k console.Key) {
		if w.held[k] > chord[k] {
			move(k, chord[k])
		}
	})
	if w.drawn != at.step {
		w.drawn = at.step
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

// Release appends the messages that let go of all keys.
func (w *Whole) Release(to []midiio.Message, now time.Duration) []midiio.Message {
	w.each(func(k console.Key) {
		if w.held[k] > 0 {
			to = w.line.end.Did(to, now, "player", console.KeyMoved(k, 0, ""))
		}
	})
	clear(w.held)
	return to
}

// Then is the test of more chords by another plan, with all as it stands.
func (w *Whole) Then(plan probe.Plan, want probe.Answers) *Whole {
	return begin(Whole{in: w.in, line: line{end: w.line.end}, plan: plan, want: want, wait: w.wait, held: w.held, open: w.open, last: w.last, Heard: w.Heard, loop: w.loop})
}

func (w *Whole) turn(to []midiio.Message, now time.Duration, control, value int) []midiio.Message {
	return w.line.end.Say(to, console.Effect{At: now, Kind: console.ControlEffect, Index: control, Value: value})
}

// Rest appends the messages that push all controls in.
func (w *Whole) Rest(to []midiio.Message, now time.Duration) []midiio.Message {
	for c := range w.in.Controls {
		to = w.turn(to, now, c, 0)
	}
	return to
}
