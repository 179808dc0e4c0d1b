package network

import (
	"bytes"
	"encoding/binary"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The packets of the session protocol begin with FF FF and two letters.
// ("MIDI Network Driver Protocol", publicly archived.)

// Word is the two letters that say what a packet of the session is for.
type Word string

const (
	Invite Word = "IN"
	Accept Word = "OK"
	Refuse Word = "NO"
	Bye    Word = "BY"
)

// protocolVersion is the one that there is.
const protocolVersion = 2

// Exchange begins or ends a session.
type Exchange struct {
	Word   Word
	Token  uint32 // chosen by who invites
	Source uint32 // the sender's SSRC
	Name   string // of the sender, or none
}

// maxName is how much of a name is read, in octets.
const maxName = 100

func (x Exchange) append(to []byte) []byte {
	to = append(to, 0xFF, 0xFF, x.Word[0], x.Word[1])
	to = binary.BigEndian.AppendUint32(to, protocolVersion)
	to = binary.BigEndian.AppendUint32(to, x.Token)
	to = binary.BigEndian.AppendUint32(to, x.Source)
	if x.Name != "" {
		to = append(append(to, x.Name...), 0)
	}
	return to
}

// Sync is one of the three packets that compare clocks. Times are in ticks of
// 100 µs: the first and third of who began, the second of the other.
type Sync struct {
	Source uint32
	Count  int // 0, 1 or 2: which of the three it is
	Times  [3]uint64
}

func (s Sync) append(to []byte) []byte {
	to = append(to, 0xFF, 0xFF, 'C', 'K')
	to = binary.BigEndian.AppendUint32(to, s.Source)
	to = append(to, byte(s.Count), 0, 0, 0)
	for _, t := range s.Times {
		to = binary.BigEndian.AppendUint64(to, t)
	}
	return to
}

// Feedback tells the sender what has been received. Published descriptions
// disagree on where in Value the sequence number stands: it is written in the
// upper half, with the lower half zero, and read from either.
type Feedback struct {
	Source uint32
	Value  uint32
}

func (f Feedback) append(to []byte) []byte {
	to = append(to, 0xFF, 0xFF, 'R', 'S')
	to = binary.BigEndian.AppendUint32(to, f.Source)
	return binary.BigEndian.AppendUint32(to, f.Value)
}

// parseExchange reads a packet that is one of Exchange, Sync and Feedback; nil
// is none of them.
func parseExchange(b []byte) any {
	if len(b) < 8 || b[0] != 0xFF || b[1] != 0xFF {
		return nil
	}
	word, first := Word(b[2:4]), binary.BigEndian.Uint32(b[4:])
	switch word {
	case Invite, Accept, Refuse, Bye:
		if len(b) < 16 || first != protocolVersion {
			return nil
		}
		return Exchange{word, binary.BigEndian.Uint32(b[8:]), binary.BigEndian.Uint32(b[12:]), parseName(b[16:])}
	case "CK":
		if len(b) < 36 || b[8] > 2 {
			return nil
		}
		s := Sync{Source: first, Count: int(b[8])}
		for i := range s.Times {
			s.Times[i] = binary.BigEndian.Uint64(b[12+8*i:])
		}
		return s
	case "RS":
		if len(b) < 12 {
			return nil
		}
		return Feedback{first, binary.BigEndian.Uint32(b[8:])}
	}
	return nil
}

// parseName is a name up to its end, without what could not be printed.
func parseName(b []byte) string {
	name, _, _ := bytes.Cut(b, []byte{0})
	return strings.Map(func(r rune) rune {
		if r == utf8.RuneError || !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, string(name[:min(len(name), maxName)]))
}
