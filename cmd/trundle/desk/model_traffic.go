package desk

import (
	"fmt"
	"time"

	"trundle/midiio"
)

// mostTraffic is how many messages the pane goes back.
const mostTraffic = 1000

// traffic is what came from the MIDI port last.
type traffic struct {
	heard   []heard // a ring, the oldest at next once it is full
	next    int
	changes int // grows with everything below
	count   int // messages in all
	faults  int
	monitor midiio.Monitor
	closed  string // why nothing more comes, "" while it may
}

// heard is one message, or what is wrong with the traffic.
type heard struct {
	at      time.Duration
	message midiio.Message
	fault   string // "" for a message
}

func (t *traffic) keep(h heard) {
	if len(t.heard) < mostTraffic {
		t.heard = append(t.heard, h)
		return
	}
	t.heard[t.next] = h
	t.next = (t.next + 1) % mostTraffic
}

// Hear takes what came from the MIDI port by now.
func (m *Model) Hear(now time.Duration, taken midiio.Taken) {
	m.Tick(now)
	t := &m.traffic
	t.changes++
	var faults []midiio.Fault
	for _, message := range taken.Messages {
		faults = t.monitor.Hear(faults[:0], message)
		t.tell(faults)
		if !message.Message.Kind.Fault() {
			t.count++
			t.keep(heard{at: message.At, message: message.Message})
		}
	}
	t.tell(t.monitor.Lost(nil, now, taken.Dropped))
	if taken.Closed && t.closed == "" {
		t.closed = "the port ended"
		if taken.Err != nil {
			t.closed = "the port is lost: " + taken.Err.Error()
		}
		m.complain("%s", t.closed)
	}
}

func (t *traffic) tell(faults []midiio.Fault) {
	for _, f := range faults {
		t.faults++
		t.keep(heard{at: f.At, fault: f.Rule + ": " + f.Text})
	}
}

// trafficLines are the messages that came, the last one first.
func (m *Model) trafficLines() []line {
	t := &m.traffic
	if !m.options.Port {
		return []line{{text: "no port is listened to: begin with --in PORT", ink: Dim}}
	}
	lines := []line{{text: fmt.Sprintf("%s, %s", count(t.count, "message"), count(t.faults, "fault")), ink: Title}}
	if t.closed != "" {
		lines = append(lines, line{text: m.signs.text(t.closed), ink: Wrong})
	}
	for i := range t.heard {
		h := t.heard[(t.next+len(t.heard)-1-i)%len(t.heard)]
		text, ink := h.message.String(), Plain
		if h.fault != "" {
			text, ink = "! "+h.fault, Wrong
		}
		lines = append(lines, line{text: fmt.Sprintf("%9.3f  %s", h.at.Seconds(), text), ink: ink})
	}
	return lines
}
