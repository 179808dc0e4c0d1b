package midiio

import (
	"fmt"
	"strings"
	"time"

	"trundle/console"
)

// sensing is how long a sender of active sensing may be silent: 300 ms, with
// the tolerance of receivers (MIDI 1.0, active sensing; the 330 from memory).
const sensing = 330 * time.Millisecond

// Fault is what is wrong with the traffic at one time.
type Fault struct {
	At   time.Duration
	Rule string // one of Rules
	Text string // one line
}

// Rules are what a monitor tells of.
var Rules = []string{"no-status", "undefined", "unfinished", "sysex-cut", "sysex-stray-end",
	"off-without-on", "on-twice", "note-hangs", "sensing-stopped", "link-full", "lost", "port-overrun", "port-gone"}

// Monitor hears messages and finds what is wrong with them; the zero value is
// ready, with active sensing watched and no note too long.
type Monitor struct {
	IgnoreSensing bool
	Hang          time.Duration      // a note held so long is told of once; 0: never
	IsKey         func(Message) bool // which notes must pair; nil: all of them

	keys     [16][128]heldKey
	sensed   bool          // active sensing has begun, and not stopped
	last     time.Duration // when anything was heard
	linkFull bool
	lost     int
}

type heldKey struct {
	held, told bool
	since      time.Duration
}

// Hear appends what is wrong with a message that comes now.
func (m *Monitor) Hear(to []Fault, t Timed) []Fault {
	to = m.Tick(to, t.At)
	m.last = t.At
	msg := t.Message
	if msg.Kind.Releases() {
		text := "the port is gone"
		if msg.Kind == Overrun {
			text = "the system lost messages, because they came too fast"
		}
		if held := m.Held(t.At); len(held) > 0 {
			text += "; what it held is released: " + names(held)
		}
		m.keys, m.sensed = [16][128]heldKey{}, false
		return append(to, Fault{t.At, msg.Name(), text})
	}
	if msg.Kind.Fault() {
		return append(to, Fault{t.At, msg.Name(), describe(msg)})
	}
	switch channel := msg.Channel() - 1; {
	case msg.RealTime():
		m.sensed = m.sensed || msg.Status == activeSensing && !m.IgnoreSensing
		if msg.Status == systemReset {
			m.keys, m.sensed = [16][128]heldKey{}, false
		}
	case (msg.StartsNote() || msg.EndsNote()) && m.IsKey != nil && !m.IsKey(msg):
	case msg.StartsNote():
		key := &m.keys[channel][msg.A]
		if key.held {
			to = append(to, Fault{t.At, "on-twice", fmt.Sprintf("%s is on already, for %s", name(channel, msg.A), seconds(t.At-key.since))})
		}
		*key = heldKey{held: true, since: t.At}
	case msg.EndsNote():
		key := &m.keys[channel][msg.A]
		if !key.held {
			to = append(to, Fault{t.At, "off-without-on", name(channel, msg.A) + " is not on"})
		}
		*key = heldKey{}
	case msg.silences():
		m.keys[channel] = [128]heldKey{}
	}
	return to
}

// Tick appends what is wrong because of what has not come by now.
func (m *Monitor) Tick(to []Fault, now time.Duration) []Fault {
	if m.sensed && now-m.last > sensing {
		m.sensed = false
		to = append(to, Fault{m.last + sensing, "sensing-stopped", fmt.Sprintf("nothing came for %s after active sensing", seconds(sensing))})
	}
	if m.Hang == 0 {
		return to
	}
	for _, h := range m.Held(now) {
		key := &m.keys[h.Channel-1][h.Key]
		if h.Age >= m.Hang && !key.told {
			key.told = true
			to = append(to, Fault{key.since + m.Hang, "note-hangs", fmt.Sprintf("%s is on for %s", name(h.Channel-1, h.Key), seconds(m.Hang))})
		}
	}
	return to
}

// Link appends that the link is over 80% full, once until it is not.
func (m *Monitor) Link(to []Fault, now time.Duration, load float64) []Fault {
	full := load > 0.8
	if full && !m.linkFull {
		to = append(to, Fault{now, "link-full", fmt.Sprintf("%.0f%% of the link was used in the last second", 100*load)})
	}
	m.linkFull = full
	return to
}

// Lost appends that messages were lost because they were not taken in time,
// given how many are by now.
func (m *Monitor) Lost(to []Fault, now time.Duration, dropped int) []Fault {
	if dropped > m.lost {
		to = append(to, Fault{now, "lost", fmt.Sprintf("%d messages were lost here, because they came too fast", dropped-m.lost)})
		m.lost = dropped
	}
	return to
}

// HeldKey is a key that is on, and for how long.
type HeldKey struct {
	Channel int
	Key     byte
	Age     time.Duration
}

// Held are the keys that are on now, by channel and key.
func (m *Monitor) Held(now time.Duration) (list []HeldKey) {
	for channel := range m.keys {
		for key, k := range m.keys[channel] {
			if k.held {
				list = append(list, HeldKey{channel + 1, byte(key), now - k.since})
			}
		}
	}
	return list
}

// Finish appends the keys that are still on at the end.
func (m *Monitor) Finish(to []Fault, now time.Duration) []Fault {
	for _, h := range m.Held(now) {
		to = append(to, Fault{now, "note-hangs", fmt.Sprintf("%s is still on, for %s", name(h.Channel-1, h.Key), seconds(h.Age))})
	}
	return to
}

// describe says what is wrong with the stream.
func describe(m Message) string {
	switch m.Kind {
	case NoStatus:
		return fmt.Sprintf("a data byte %02X without a status", m.A)
	case Undefined:
		return fmt.Sprintf("status %02X has no meaning in MIDI 1.0", m.Status)
	case Unfinished:
		return fmt.Sprintf("%s lacks data: % X", Message{Status: m.Status}.Name(), m.Bytes())
	case Cut:
		return "a system exclusive message is cut: it does not end"
	}
	return "a system exclusive message ends that never began"
}

// names are keys that are held, of many only the first.
func names(held []HeldKey) string {
	var list []string
	for _, h := range held[:min(len(held), 8)] {
		list = append(list, name(h.Channel-1, h.Key))
	}
	if more := len(held) - len(list); more > 0 {
		list = append(list, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(list, ", ")
}

func name(channel int, key byte) string {
	return fmt.Sprintf("key %d/%s of channel %d", key, console.Note(key), channel+1)
}

func seconds(d time.Duration) string { return fmt.Sprintf("%.3f s", d.Seconds()) }
