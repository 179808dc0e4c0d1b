package bench

import (
	"fmt"
	"math"
	"slices"
	"time"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// Times measures how fast and how surely a relay answers, at the console's end
// of its cable. It has no clock, as Run has none.
type Times struct {
	Phases []Phase // as far as they were done
	Errors []time.Duration
	Stuck  []int  // valves that are open when all is let go
	Why    string // why it cannot go on, "" while it can

	in      *console.Instrument
	line    line
	rate    time.Duration // of a byte on the link
	todo    []phase
	open    []bool
	begun   bool
	start   time.Duration // of the phase
	next    int           // beat
	left    time.Duration // when something last left
	last    time.Duration // when something last left or was reported
	answers int           // that are due to what was sent in this phase
	came    int           // messages in this phase
	waiting []beat        // sent, and not answered
}

// Phase is what came of one part of the test.
type Phase struct {
	Name    string
	Sent    int             // messages
	Asked   int             // of them those that a valve should answer
	Heard   int             // reports of valves
	Lost    int             // answers that did not come
	Doubled int             // reports of what was known
	Seconds float64         // from the first to the last that was sent
	Trips   []time.Duration // from when a message had left until its answer came, ascending
}

// phase is what is done in one part, at times from its beginning.
type phase struct {
	name  string
	beats []beat
}

// beat is one event, and the valve that should answer it.
type beat struct {
	at      time.Duration
	event   console.Event
	valve   int // -1 for none
	open    bool
	answers int           // that it has at a relay that is right
	left    time.Duration // when it had left; 0: that is not known
}

// tail is how long a part waits for answers when all is sent, and longest how long
// it does, beside the time that they take on the link, where reports go on and on.
const tail, longest = 500 * time.Millisecond, 10 * time.Second

// most is how many messages may come in a part before that is a flood: all that a
// console is told of anew, as by a relay that has just been switched on, in three
// messages each where it is told by parameters; ten times what answers what was sent,
// since contacts bounce and wires are bridged; and what a full MIDI cable carries
// within a second besides.
func (t *Times) most() int { return often + 3*(len(t.open)+len(t.in.Controls)) + 10*t.answers }

// Hear takes a message from the organ.
func (t *Times) Hear(m midiio.Timed) {
	if !m.Message.OfPort() && !m.Message.RealTime() {
		if t.came++; t.came > t.most() {
			t.Break(fmt.Sprintf("it is flooded: %d messages came, where %d answer what was sent", t.came, t.answers))
		}
	}
	signals, why := t.line.hear(m, len(t.Phases) > 1)
	if why != "" {
		t.Break(why)
	}
	for _, s := range signals {
		if s.Kind == mapping.Valve {
			t.report(s.Index, s.Value == 1, m.At)
		}
	}
}

func (t *Times) report(valve int, open bool, at time.Duration) {
	t.last = max(t.last, at)
	if len(t.Phases) == 0 {
		return
	}
	p := &t.Phases[len(t.Phases)-1]
	p.Heard++
	known := t.open[valve] == open
	t.open[valve] = open
	answers := func(b beat) bool { return b.valve == valve && b.open == open && b.left <= at }
	first := slices.IndexFunc(t.waiting, answers) // answers come in the order of what they answer
	if first < 0 {
		if known && len(t.Phases) > 1 {
			p.Doubled++
		}
		return
	}
	p.Trips = append(p.Trips, at-t.waiting[first].left)
	kept := t.waiting[:0]
	for i, b := range t.waiting {
		switch {
		case i == first:
		case i < first && b.valve == valve:
			p.Lost++ // what was asked before was never answered
		default:
			kept = append(kept, b)
		}
	}
	t.waiting = kept
}

// Break ends the test.
func (t *Times) Break(why string) {
	if t.Why == "" {
		t.Why = why
	}
}

// Left says when what Tick has appended has left.
func (t *Times) Left(at time.Duration) {
	t.left, t.last = at, max(t.last, at)
	for i := range t.waiting {
		if t.waiting[i].left == 0 {
			t.waiting[i].left = at
		}
	}
}

// Done reports that nothing is left to do.
func (t *Times) Done() bool { return t.Why != "" || len(t.todo) == 0 }

// Next is when Tick has something to do, whatever comes.
func (t *Times) Next() (at time.Duration, due bool) {
	switch {
	case t.Done():
		return 0, false
	case !t.begun:
		return 0, true
	case t.next < len(t.todo[0].beats):
		return t.start + t.todo[0].beats[t.next].at, true
	}
	return t.ends(), true
}

// ends is when a part ends if nothing more comes, and at the latest.
func (t *Times) ends() time.Duration { return min(t.last+tail, t.left+t.patience()) }

// patience is how long a part waits for its answers, all of which may wait on the link.
func (t *Times) patience() time.Duration { return longest + time.Duration(3*t.answers)*t.rate }

// Takes is about how long what is left to do takes.
func (t *Times) Takes(now time.Duration) (left time.Duration) {
	for _, p := range t.todo {
		if left += tail; len(p.beats) > 0 {
			left += p.beats[len(p.beats)-1].at
		}
	}
	if t.begun {
		left -= now - t.start
	}
	return max(0, left)
}

// Tick appends what is due.
func (t *Times) Tick(to []midiio.Message, now time.Duration) []midiio.Message {
	for !t.Done() {
		if !t.begun {
			t.begun, t.start, t.next, t.left, t.last, t.answers, t.came = true, now, 0, now, max(t.last, now), 0, 0
			t.Phases = append(t.Phases, Phase{Name: t.todo[0].name})
		}
		p, beats := &t.Phases[len(t.Phases)-1], t.todo[0].beats
		if t.next == len(beats) {
			switch {
			case now < t.ends():
				return to
			case now < t.last+tail:
				t.Break(fmt.Sprintf("it is flooded: valves are still reported %.1f s after the last message had left", (now - t.left).Seconds()))
				return to
			}
			t.finish()
			continue
		}
		b := beats[t.next]
		due := t.start + b.at
		if now < due {
			return to
		}
		t.next++
		said := len(to)
		if to = t.say(to, now, b.event); len(to) == said {
			continue
		}
		t.Errors = append(t.Errors, now-due)
		p.Sent += len(to) - said
		p.Seconds = (now - t.start).Seconds()
		t.answers += b.answers
		if b.valve >= 0 {
			p.Asked++
			b.left = 0
			t.waiting = append(t.waiting, b)
		}
	}
	return to
}

func (t *Times) say(to []midiio.Message, now time.Duration, e console.Event) []midiio.Message {
	switch e.Kind {
	case console.DrawEvent:
		return t.line.end.Say(to, console.Effect{At: now, Kind: console.ControlEffect, Index: e.Index, Value: 1})
	case console.PushEvent:
		return t.line.end.Say(to, console.Effect{At: now, Kind: console.ControlEffect, Index: e.Index})
	}
	return t.line.end.Did(to, now, "player", e)
}

// finish ends a part.
func (t *Times) finish() {
	p := &t.Phases[len(t.Phases)-1]
	p.Lost += len(t.waiting)
	t.waiting = nil
	slices.Sort(p.Trips)
	if t.todo, t.begun = t.todo[1:], false; len(t.todo) == 0 {
		for v, open := range t.open {
			if open {
				t.Stuck = append(t.Stuck, v)
			}
		}
	}
}

// Rest appends the messages that push all controls in.
func (t *Times) Rest(to []midiio.Message, now time.Duration) []midiio.Message {
	for c := range t.in.Controls {
		to = t.say(to, now, console.Push(c))
	}
	return to
}

// Percentile is the least of some times, ascending, that p of a hundred do not
// exceed; 0 of none.
func Percentile(list []time.Duration, p float64) time.Duration {
	if len(list) == 0 {
		return 0
	}
	return list[max(0, int(math.Ceil(p/100*float64(len(list))))-1)]
}

// Jitter is the standard deviation of some times.
func Jitter(list []time.Duration) time.Duration {
	var sum, squares float64
	for _, d := range list {
		sum += float64(d)
	}
	mean := sum / float64(max(1, len(list)))
	for _, d := range list {
		squares += (float64(d) - mean) * (float64(d) - mean)
	}
	return time.Duration(math.Sqrt(squares / float64(max(1, len(list)))))
}
