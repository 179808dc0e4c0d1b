package bench

import (
	"slices"
	"time"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/probe"
)

// looping is a test of a relay with a plug in, which reports keys. Every chord is
// pressed when all is at rest, and let go before the next one: what stays driven
// then is part of the answer.
type looping struct {
	outputs map[console.Key]int
	half    int
	held    probe.Set // what was driven while the chord was held, of one that is let go
	clears  bool      // controls are pushed in, to let go of what stays driven
}

func newLooping(loop probe.Loop) *looping {
	l := &looping{outputs: map[console.Key]int{}, half: loop.Half()}
	for i, p := range loop {
		l.outputs[p.Key] = i
	}
	return l
}

// of is the output that a report is about.
func (l *looping) of(t mapping.Thing) (output int, is bool) {
	if l == nil || t.Kind != mapping.Key {
		return 0, false
	}
	output, is = l.outputs[console.Key{Keyboard: t.Index, Note: t.Note}]
	return output, is
}

// part is that of an answer which is waited for.
func (l *looping) part(answer probe.Set) probe.Set {
	switch {
	case l == nil || answer == nil:
		return answer
	case l.held == nil:
		return answer[:l.half/64]
	}
	return answer[l.half/64:]
}

// restless is what may be behind a relay that does not fall silent.
func (l *looping) restless() string {
	if l == nil {
		return ""
	}
	return ": by a mistake, keys behind the plug may reach what leads through it; or a contact of the plug is loose"
}

// holding reports whether the chord is yet to be let go.
func (l *looping) holding() bool { return l != nil && l.held == nil }

// clearing reports whether it is waited until nothing stays driven.
func (l *looping) clearing() bool { return l != nil && l.clears }

// answer is that to a chord, once it is let go.
func (l *looping) answer(open probe.Set) probe.Set {
	if l == nil {
		return slices.Clone(open)
	}
	whole := slices.Concat(l.held, open)
	l.held = nil
	return whole
}

// stays reports whether something stays driven that should not.
func (l *looping) stays(open, want probe.Set) bool {
	return l != nil && !slices.Equal(open, l.part(want))
}

// letGo lets go of a chord that was answered.
func (w *Whole) letGo(to []midiio.Message, now time.Duration) []midiio.Message {
	w.settled()
	w.loop.held = slices.Clone(w.open)
	w.begins(now)
	return w.Release(to, now)
}

// clear pushes all controls in, so that nothing stays driven by what it leads to.
func (w *Whole) clear(to []midiio.Message, now time.Duration) []midiio.Message {
	w.begins(now)
	w.loop.clears, w.drawn, w.quiet = true, -1, now+patience*w.wait.Time
	return w.Rest(to, now)
}
