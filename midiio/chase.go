package midiio

import (
	"slices"
	"time"
)

// Chase is what to send to begin in the middle of a file: first what the
// messages before then left in force, the last of each controller, parameter,
// program, pressure and bend of each channel, and then the rest, counted from
// then on. Notes that began before are not among it.
func Chase(messages []Timed, from time.Duration) []Timed {
	var s standing
	var before, after []Timed
	for _, t := range messages {
		if t.At >= from {
			after = append(after, Timed{t.At - from, t.Message})
		} else {
			s.hear(t.Message)
		}
	}
	for _, m := range s.messages() {
		before = append(before, Timed{0, m})
	}
	return append(before, after...)
}

// Controllers that choose a bank for the next program, and those that choose a
// parameter and set it (MIDI 1.0, bank select, registered and non-registered
// parameter numbers).
const (
	bankMSB = 0
	bankLSB = 32
	dataMSB = 6
	dataLSB = 38
	dataInc = 96
	dataDec = 97
	nrpnLSB = 98
	nrpnMSB = 99
	rpnLSB  = 100
	rpnMSB  = 101
)

// standing is what messages left in force; the zero value is nothing.
type standing struct {
	last   map[stood]ordered
	chosen [16]parameter
	n      int
}

// stood is what a message sets: all of a status, or one controller, which for
// data is that of the parameter chosen.
type stood struct {
	status, controller byte
	of                 parameter
}

// parameter is a parameter by the controllers that choose it, none when kind is 0.
type parameter struct{ kind, msb, lsb byte }

type ordered struct {
	Message
	n    int
	bank []ordered // of a program: what chose its bank
}

func (s *standing) hear(m Message) {
	if m.Channel() == 0 || m.Status < controlChange || m.silences() {
		return
	}
	what := stood{status: m.Status}
	if m.is(controlChange) {
		what.controller = m.A
		chosen := &s.chosen[m.Channel()-1]
		switch m.A {
		case nrpnMSB, rpnMSB:
			*chosen = parameter{m.A, m.B, chosen.lsb}
		case nrpnLSB, rpnLSB:
			*chosen = parameter{m.A + 1, chosen.msb, m.B}
		case dataMSB, dataLSB:
			what.of = *chosen
		case dataInc, dataDec:
			return // a step says nothing of where it led
		}
	}
	if s.last == nil {
		s.last = map[stood]ordered{}
	}
	s.n++
	o := ordered{Message: m, n: s.n}
	if m.is(programChange) {
		for _, controller := range []byte{bankMSB, bankLSB} {
			if b, known := s.last[stood{status: controlChange | m.Status&0x0F, controller: controller}]; known {
				o.bank = append(o.bank, b)
			}
		}
	}
	s.last[what] = o
}

// messages are the last of each, in the order in which they came; a program's
// bank is chosen before it, a parameter before each that sets one, and last the
// one that is chosen.
func (s *standing) messages() (list []Message) {
	var order []stood
	for what := range s.last {
		order = append(order, what)
	}
	chooses := func(w stood) bool {
		return w.controller >= nrpnLSB && w.controller <= rpnMSB && w.status < programChange
	}
	slices.SortFunc(order, func(a, b stood) int {
		if chooses(a) != chooses(b) {
			if chooses(a) {
				return 1
			}
			return -1
		}
		return s.last[a].n - s.last[b].n
	})
	for _, what := range order {
		m := s.last[what].Message
		if of := what.of; of.kind > 0 {
			list = append(list, ControlChange(m.Channel(), of.kind, of.msb), ControlChange(m.Channel(), of.kind-1, of.lsb))
		}
		for _, b := range s.last[what].bank {
			if s.last[stood{status: b.Status, controller: b.A}].n != b.n { // another bank is chosen since
				list = append(list, b.Message)
			}
		}
		list = append(list, m)
	}
	return list
}
