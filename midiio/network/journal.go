package network

import (
	"encoding/binary"
	"slices"
)

// Journal is the recovery journal of a packet (RFC 6295 section 5 and appendix
// A): what the packets since a checkpoint brought about, so that who lost some
// of them can put it right. Of the channels' chapters P, C, W, N, T and A are
// read and written; the others, and the system's, are passed over: parameters
// (M), how hard a note was let go (E), and system exclusive have no second chance.
type Journal struct {
	Checkpoint uint16 // sequence number of the first packet it covers
	Channels   []ChannelJournal
}

// ChannelJournal is what happened on a channel, 1 to 16. In all of it Last
// tells what the packet just before brought: there the S bit is 0.
type ChannelJournal struct {
	Channel  int
	Program  *ProgramLog
	Controls []ControlLog
	Wheel    *WheelLog
	Notes    []NoteLog // notes that are on
	Off      []byte    // notes that are off, ascending
	OffLast  bool
	Pressure *PressureLog
	Keys     []KeyLog
}

// ProgramLog is chapter P.
type ProgramLog struct {
	Program byte
	HasBank bool
	Bank    [2]byte // controllers 0 and 32 as they stood at the program change
	Last    bool
}

// Tool is how a ControlLog tells of a controller (appendix A.3, from memory;
// tshark reads the bits so).
type Tool byte

const (
	ByValue  Tool = iota // its value
	ByToggle             // how often it went from off to on or back, modulo 64
	ByCount              // how often it was sent, modulo 64
)

// ControlLog is one entry of chapter C.
type ControlLog struct {
	Number byte
	Tool   Tool
	Value  byte
	Last   bool
}

// WheelLog is chapter W: the two data octets of pitch bend.
type WheelLog struct {
	Data [2]byte
	Last bool
}

// NoteLog is an entry of chapter N for a note that is on.
type NoteLog struct {
	Note     byte
	Velocity byte // not 0
	Play     bool // a receiver that missed it should play it now
	Last     bool
}

// PressureLog is chapter T: the pressure of a channel.
type PressureLog struct {
	Value byte
	Last  bool
}

// KeyLog is an entry of chapter A: the pressure of one key. (Its bit X tells of
// a pressure that something has reset since, from memory; such a one is neither
// written nor heeded.)
type KeyLog struct {
	Note, Value byte
	Last        bool
}

// chapters are the bits of a channel journal's table of contents, in the order
// of the chapters.
const (
	chapterP = 0x80 >> iota
	chapterC
	chapterM
	chapterW
	chapterN
	chapterE
	chapterT
	chapterA
)

// append appends the journal.
func (j Journal) append(to []byte) []byte {
	start := len(to)
	flags := bit(len(j.Channels) > 0, 0x20|byte(max(len(j.Channels), 1)-1))
	to = append(to, 0x80|flags)
	to = binary.BigEndian.AppendUint16(to, j.Checkpoint)
	for _, c := range j.Channels {
		at := len(to)
		to = c.append(to)
		to[start] &= to[at] | 0x7F // S is 0 where it is 0 inside
	}
	return to
}

func (c ChannelJournal) append(to []byte) []byte {
	start := len(to)
	to = append(to, 0, 0, 0)
	toc := byte(0)
	if p := c.Program; p != nil {
		toc |= chapterP
		to = append(to, s(p.Last)|p.Program, bit(p.HasBank, 0x80)|p.Bank[0], p.Bank[1])
	}
	if len(c.Controls) > 0 {
		toc |= chapterC
		to = append(to, s(slices.ContainsFunc(c.Controls, ControlLog.last))|byte(len(c.Controls)-1))
		for _, l := range c.Controls {
			to = append(to, s(l.Last)|l.Number, l.octet())
		}
	}
	if w := c.Wheel; w != nil {
		toc |= chapterW
		to = append(to, s(w.Last)|w.Data[0], w.Data[1])
	}
	if len(c.Notes)+len(c.Off) > 0 {
		toc |= chapterN
		to = c.appendNotes(to)
	}
	if p := c.Pressure; p != nil {
		toc |= chapterT
		to = append(to, s(p.Last)|p.Value)
	}
	if len(c.Keys) > 0 {
		toc |= chapterA
		to = append(to, s(slices.ContainsFunc(c.Keys, KeyLog.last))|byte(len(c.Keys)-1))
		for _, k := range c.Keys {
			to = append(to, s(k.Last)|k.Note, k.Value)
		}
	}
	length := len(to) - start
	to[start] = s(c.last()) | byte(c.Channel-1)<<3 | byte(length>>8)
	to[start+1], to[start+2] = byte(length), toc
	return to
}

// last reports that the packet just before brought some of it.
func (c ChannelJournal) last() bool {
	return c.Program != nil && c.Program.Last || c.Wheel != nil && c.Wheel.Last || c.Pressure != nil && c.Pressure.Last || c.OffLast ||
		slices.ContainsFunc(c.Controls, ControlLog.last) || slices.ContainsFunc(c.Notes, NoteLog.last) || slices.ContainsFunc(c.Keys, KeyLog.last)
}

func (l ControlLog) last() bool { return l.Last }
func (n NoteLog) last() bool    { return n.Last }
func (k KeyLog) last() bool     { return k.Last }

// s is the S bit: 0 for what the packet just before brought.
func s(last bool) byte { return bit(!last, 0x80) }

func (l ControlLog) octet() byte {
	switch l.Tool {
	case ByToggle:
		return 0x80 | l.Value&0x3F
	case ByCount:
		return 0xC0 | l.Value&0x3F
	}
	return l.Value
}

// appendNotes appends chapter N: entries for notes that are on, and a bit for
// each that is off.
func (c ChannelJournal) appendNotes(to []byte) []byte {
	low, high := byte(15), byte(0)
	if len(c.Off) > 0 {
		low, high = c.Off[0]/8, c.Off[len(c.Off)-1]/8
	} else if len(c.Notes) == 127 {
		high = 1 // 15 and 0 with 127 would be 128 entries
	}
	to = append(to, s(c.OffLast)|byte(min(len(c.Notes), 127)), low<<4|high)
	for _, n := range c.Notes {
		to = append(to, s(n.Last)|n.Note, bit(n.Play, 0x80)|n.Velocity)
	}
	if len(c.Off) == 0 {
		return to
	}
	at := len(to)
	to = append(to, make([]byte, high-low+1)...)
	for _, note := range c.Off {
		to[at+int(note/8-low)] |= 0x80 >> (note % 8)
	}
	return to
}
