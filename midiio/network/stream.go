package network

import (
	"slices"
	"time"
)

// maxCommands is how many octets of commands go into one packet, so that with
// an ordinary journal it fits the 1,500 of an Ethernet frame.
const maxCommands = 1200

// sender is what we send in a session. Sequence numbers are extended to 32
// bits; the low 16 are in the packets.
type sender struct {
	sent     state
	seq      uint32 // of the last packet
	acked    uint32 // of the last one the peer is known to have, or to do without
	kept     uint32 // of the last one whose commands journals tell of
	guardAt  time.Duration
	guardGap time.Duration
}

// newSender begins with a sequence number of 16 bits.
func newSender(first uint16) sender {
	seq := 1<<16 | uint32(first)
	return sender{seq: seq, acked: seq}
}

// settled reports that the peer has all commands that journals tell of.
func (s *sender) settled() bool { return s.acked >= s.kept }

// send sends commands, in as many packets as they need.
func (s *session) send(now time.Duration, commands [][]byte, fx *Effects) {
	for len(commands) > 0 {
		size, n := 0, 0
		for n < len(commands) && (n == 0 || size+len(commands[n]) < maxCommands) {
			size += len(commands[n]) + 1
			n++
		}
		s.packet(now, commands[:n], fx)
		if slices.ContainsFunc(commands[:n], lasts) {
			s.kept, s.guardGap, s.guardAt = s.seq, guardAfter, now+guardAfter
		}
		commands = commands[n:]
	}
}

// packet sends one packet. Its journal tells what the ones before it brought.
func (s *session) packet(now time.Duration, commands [][]byte, fx *Effects) {
	s.seq++
	journal := s.sent.journal(s.seq, max(s.acked, s.seq-maxHistory))
	p := Packet{Sequence: uint16(s.seq), Time: uint32(ticks(now)), Source: s.ours, Journal: &journal}
	for _, c := range commands {
		p.Commands = append(p.Commands, Command{Bytes: c})
		s.sent.hear(s.seq, c)
	}
	s.onData(p.Append(nil), fx)
}

// maxHistory is how many packets a journal covers when the peer acknowledges
// none, so that the 16 bits of a sequence number are not ambiguous.
const maxHistory = 1 << 14

// guard sends a packet without commands when the peer may lack the last ones:
// its journal has what they did.
func (s *session) guard(now time.Duration, fx *Effects) {
	if s.settled() || now < s.guardAt {
		return
	}
	s.packet(now, nil, fx)
	s.guardGap = min(2*s.guardGap, guardMost)
	s.guardAt = now + s.guardGap
}

// acknowledged takes the peer's feedback. It counts only for packets that were
// sent and not acknowledged yet.
func (s *sender) acknowledged(f Feedback) {
	for _, seq := range []uint16{uint16(f.Value >> 16), uint16(f.Value)} {
		if seq == 0 && f.Value != 0 {
			continue // the half that is not used
		}
		if ahead := uint32(seq - uint16(s.acked)); ahead > 0 && ahead <= s.seq-s.acked {
			s.acked += ahead
			return
		}
	}
}

// receiver is what we receive in a session.
type receiver struct {
	got        state
	begun      bool
	last       uint16 // sequence number of the last packet
	anew       uint32 // 1 more than what would come next of a sender that began anew; 0: none
	sysEx      bool   // the last segment said that more follows
	feedbackAt time.Duration
}

// lateMost is how far behind a packet may be to be taken for a late one; two in
// a row further behind are of a sender that began anew. (RFC 3550 appendix A.1
// has 100 for this, and wants two.)
const lateMost = 100

// countsAnew reports the second packet in a row that is far behind.
func (r *receiver) countsAnew(sequence uint16) bool {
	second := r.anew == uint32(sequence)+1
	r.anew = uint32(sequence+1) + 1
	return second
}

// take takes a packet of the peer. A late one is of no use any more: its
// successor's journal stood in for it.
func (s *session) take(now time.Duration, p Packet, fx *Effects) {
	s.heard = now
	ahead := int16(p.Sequence - s.last)
	if s.begun && ahead <= 0 {
		if ahead > -lateMost || !s.countsAnew(p.Sequence) {
			return
		}
		fx.Commands = append(fx.Commands, s.got.release()...)
		s.got, s.begun = state{}, false
		s.tell(Restarted, fx)
	}
	if !s.begun || ahead != 1 {
		s.makeUp(p, int(uint16(ahead))-1, fx)
	}
	s.begun, s.last = true, p.Sequence
	for _, c := range p.Commands {
		s.deliver(c.Bytes, fx)
	}
	if s.feedbackAt == 0 {
		s.feedbackAt = now + feedbackAfter
	}
}

// makeUp makes up for packets that did not come before p, or releases all
// notes where that cannot be done: a note too short is better than one that
// sounds for ever.
func (s *session) makeUp(p Packet, lost int, fx *Effects) {
	s.sysEx = false
	if s.begun && (p.Journal == nil || int16(s.last+1-p.Journal.Checkpoint) < 0) {
		fx.Commands = append(fx.Commands, s.got.release()...)
		s.tell(Lost, fx).Packets = lost
	}
	if p.Journal != nil {
		fx.Commands = append(fx.Commands, s.got.repair(*p.Journal)...)
	}
}

// deliver hands a command on. Segments of system exclusive whose beginning was
// lost, or that something else has cut, are dropped.
func (s *session) deliver(command []byte, fx *Effects) {
	switch first, last := command[0], command[len(command)-1]; {
	case first == 0xF7 && !s.sysEx:
		return
	case first == 0xF0, first == 0xF7:
		s.sysEx = last == 0xF0
	case first < 0xF8:
		s.sysEx = false
	}
	s.got.hear(known, command)
	fx.Commands = append(fx.Commands, append([]byte(nil), command...))
}
