package midiio

import "time"

// Chase is what to send to begin in the middle of a file: first what the
// messages before then left in force, the last of each controller, program,
// pressure and bend of each channel, and then the rest, counted from then on.
// Notes that began before are not among it.
func Chase(messages []Timed, from time.Duration) []Timed {
	type what struct{ status, controller byte }
	last := map[what]int{}
	of := func(m Message) what {
		w := what{status: m.Status}
		if m.is(controlChange) {
			w.controller = m.A
		}
		return w
	}
	lasting := func(m Message) bool { return m.Channel() > 0 && m.Status >= controlChange && !m.silences() }
	var before, after []Timed
	for i, t := range messages {
		if t.At >= from {
			after = append(after, Timed{t.At - from, t.Message})
		} else if lasting(t.Message) {
			last[of(t.Message)] = i
		}
	}
	for i, t := range messages {
		if t.At < from && lasting(t.Message) && last[of(t.Message)] == i {
			before = append(before, Timed{0, t.Message})
		}
	}
	return append(before, after...)
}
