package desk

import (
	"fmt"
	"time"

	"trundle/midiio"
)

// mostTraffic is how many messages the pane goes back.
const mostTraffic = 1000

// traffic is what came and went by MIDI last.
type traffic struct {
	heard   []heard // a ring, the oldest at next once it is full
	next    int
	changes int // grows with everything below
	count   int // messages that came
	sent    int // messages that went
	faults  int
	monitor midiio.Monitor
	closed  string // why nothing more comes, "" while it may
}

// heard is one message, or what is wrong with the traffic.
type heard struct {
	at      time.Duration
	message midiio.Message
	words   string // what it says by the instrument's map, "" for nothing
	out     bool   // it was sent
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
		switch {
		case message.Message.OfPort():
			m.obeyMessage(message)
		case !message.Message.Kind.Fault():
			t.count++
			t.keep(heard{at: message.At, message: message.Message, words: m.obeyMessage(message)})
		}
	}
	t.tell(t.monitor.Lost(nil, now, taken.Dropped))
	if taken.Closed && t.closed == "" {
		t.closed = "the port ended"
		if taken.Err != nil {
			t.closed = "the port is lost: " + taken.Err.Error()
		}
		m.unplug()
		m.complain("%s", t.closed)
	}
}

func (t *traffic) tell(faults []midiio.Fault) {
	for _, f := range faults {
		t.faults++
		t.keep(heard{at: f.At, fault: f.Rule + ": " + f.Text})
	}
}

// trafficLines is the sum of the traffic, and a row for every message that is
// kept, the last one first.
func (m *Model) trafficLines() (head []line, rows []int) {
	t := &m.traffic
	if !m.options.Port && m.options.Says == SaysNothing {
		return []line{{text: "no MIDI: begin with --in PORT, --out PORT, or both", ink: Dim}}, nil
	}
	head = []line{{text: fmt.Sprintf("%s, %s", count(t.count, "message"), count(t.faults, "fault")), ink: Title}}
	if m.options.Says != SaysNothing {
		head[0].text += fmt.Sprintf(", %d sent", t.sent)
	}
	if t.closed != "" {
		head = append(head, line{text: m.signs.text(t.closed), ink: Wrong})
	}
	for i := range t.heard {
		rows = append(rows, (t.next+len(t.heard)-1-i)%len(t.heard))
	}
	return head, rows
}

// trafficLine is a row of trafficLines as a line.
func (m *Model) trafficLine(row int) line {
	h := m.traffic.heard[row]
	text, ink := h.message.String(), Plain
	switch {
	case h.fault != "":
		text, ink = "! "+h.fault, Wrong
	case h.out:
		text, ink = m.signs.sent+" "+text, Coupled
	}
	if h.words != "" {
		text += ": " + m.signs.text(h.words)
	}
	return line{text: fmt.Sprintf("%9.3f  %s", h.at.Seconds(), text), ink: ink}
}
