// Package network is MIDI over a network: the payload of RFC 6295 in RTP
// packets, its recovery journal, and the session protocol in common use with
// it (published as "MIDI Network Driver Protocol"). Packets, journal and
// sessions are pure: time and packets go in, packets and commands come out;
// only Node has sockets. Commands are handed on as they come; the times in
// packets are written but not heeded.
//
// The protocol has no authentication: who can send packets under the address
// of a peer can play. It belongs on a network whose members are trusted.
package network

import (
	"encoding/binary"
	"errors"
	"fmt"
)

// payloadType is the RTP payload type that the session protocol uses.
const payloadType = 97

// Packet is an RTP packet with MIDI in it (RFC 6295 sections 2 and 3).
type Packet struct {
	Sequence uint16
	Time     uint32 // in ticks of 100 µs, the sender's clock
	Source   uint32 // the sender's SSRC
	Phantom  bool   // the first command had running status where it came from
	Commands []Command
	Journal  *Journal // nil: none, or one that cannot be read
}

// Command is a MIDI message, or a segment of a system exclusive one, which
// begins with F0 or F7 and ends with F7 (the end), F0 (more follows), F4
// (cancelled) or F5 (the end, but no F7 was sent).
type Command struct {
	Delta uint32 // ticks after the command before, or after the packet's time
	Bytes []byte
}

// Append appends the packet's octets. Its list of commands must not be longer
// than 4,095 octets (RFC 6295 section 3.1).
func (p Packet) Append(to []byte) []byte {
	list, z := appendList(nil, p.Commands)
	marker := byte(0)
	if len(list) > 0 {
		marker = 0x80
	}
	to = append(to, 0x80, marker|payloadType)
	to = binary.BigEndian.AppendUint16(to, p.Sequence)
	to = binary.BigEndian.AppendUint32(to, p.Time)
	to = binary.BigEndian.AppendUint32(to, p.Source)
	flags := bit(p.Journal != nil, 0x40) | bit(z, 0x20) | bit(p.Phantom, 0x10)
	if len(list) <= 15 {
		to = append(to, flags|byte(len(list)))
	} else {
		to = append(to, 0x80|flags|byte(len(list)>>8), byte(len(list)))
	}
	to = append(to, list...)
	if p.Journal != nil {
		to = p.Journal.append(to)
	}
	return to
}

// bit is a flag's bit when it is set.
func bit(set bool, mask byte) byte {
	if set {
		return mask
	}
	return 0
}

var errShort = errors.New("the packet is cut short")

// ParsePacket reads a packet, whoever sent it. Its commands lie in the bytes
// that were given. A journal that cannot be read is left out: the commands are
// good without it.
func ParsePacket(b []byte) (Packet, error) {
	if len(b) < 13 {
		return Packet{}, errShort
	}
	if b[0] != 0x80 || b[1]&0x7F != payloadType {
		return Packet{}, fmt.Errorf("%02X %02X begins no MIDI packet", b[0], b[1])
	}
	p := Packet{
		Sequence: binary.BigEndian.Uint16(b[2:]), Time: binary.BigEndian.Uint32(b[4:]),
		Source: binary.BigEndian.Uint32(b[8:]), Phantom: b[12]&0x10 != 0,
	}
	flags, length, rest := b[12], int(b[12]&0x0F), b[13:]
	if flags&0x80 != 0 {
		if len(rest) == 0 {
			return Packet{}, errShort
		}
		length, rest = length<<8|int(rest[0]), rest[1:]
	}
	if length > len(rest) {
		return Packet{}, errShort
	}
	var err error
	if p.Commands, err = parseList(rest[:length], flags&0x20 != 0); err != nil {
		return Packet{}, err
	}
	if flags&0x40 != 0 {
		if j, err := parseJournal(rest[length:]); err == nil {
			p.Journal = &j
		}
	}
	return p, nil
}
