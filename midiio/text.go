package midiio

import (
	"encoding/hex"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"trundle/console"
	"trundle/console/finding"
)

// The text form of a message is its name, its channel from 1 to 16 if it has
// one, and its numbers as they go over the wire:
//
//	note-on 1 60/C4 100
//	control-change 16 7 127
//	program-change 1 0
//	pitch-bend 1 8192
//	sysex 7E 7F 06 01
//	timing-clock
//
// Keys carry number and name; a program is the data byte, from 0; a bend and a
// song position are 14 bits, the bend's centre 8192.

// form is the text form of the messages of one status, or of one kind.
type form struct {
	name   string
	kind   Kind
	status byte
	args   string // of the arguments, one letter each: see words
}

// words are what an argument is called in messages, and how it may read.
var words = map[byte]string{
	'c': "a channel from 1 to 16",
	'k': "a key, like 60/C4, 60 or C4",
	'a': "a number from 0 to 127",
	'b': "a number from 0 to 127",
	'w': "a number from 0 to 16383",
	's': "a status byte in hex, like F4",
	'd': "a data byte in hex, 00 to 7F",
	'x': "data bytes in hex, 00 to 7F, without F0 and F7",
}

var forms = []form{
	{"note-off", Whole, noteOff, "ckb"},
	{"note-on", Whole, noteOn, "ckb"},
	{"key-pressure", Whole, keyPressure, "ckb"},
	{"control-change", Whole, controlChange, "cab"},
	{"program-change", Whole, programChange, "ca"},
	{"channel-pressure", Whole, channelPressure, "ca"},
	{"pitch-bend", Whole, pitchBend, "cw"},
	{"sysex", Whole, sysEx, "x"},
	{"quarter-frame", Whole, quarterFrame, "a"},
	{"song-position", Whole, songPosition, "w"},
	{"song-select", Whole, songSelect, "a"},
	{"tune-request", Whole, tuneRequest, ""},
	{"timing-clock", Whole, 0xF8, ""},
	{"start", Whole, 0xFA, ""},
	{"continue", Whole, 0xFB, ""},
	{"stop", Whole, 0xFC, ""},
	{"active-sensing", Whole, activeSensing, ""},
	{"system-reset", Whole, systemReset, ""},
	{"sysex-begin", Begin, sysEx, "x"},
	{"sysex-more", More, sysEx, "x"},
	{"sysex-end", End, sysEx, "x"},
	{"port-back", Back, sysEx, ""},
	{"port-overrun", Overrun, sysEx, ""},
	{"port-gone", Gone, sysEx, ""},
	{"no-status", NoStatus, 0, "d"},
	{"undefined", Undefined, 0, "s"},
	{"unfinished", Unfinished, 0, "sx"},
	{"sysex-cut", Cut, sysEx, "x"},
	{"sysex-stray-end", StrayEnd, sysExEnd, ""},
}

// Names are the first words of all text forms; those of faults come last.
func Names() []string {
	names := make([]string, len(forms))
	for i, f := range forms {
		names[i] = f.name
	}
	return names
}

// Name is the first word of the message's text.
func (m Message) Name() string { return m.form().name }

// form is that of the message; every message that a tokenizer makes has one.
func (m Message) form() form {
	for _, f := range forms {
		if f.kind == m.Kind && (f.status == 0 || f.status == m.Status || m.Status < sysEx && f.status == m.Status&0xF0) {
			return f
		}
	}
	return form{name: "undefined", args: "s"}
}

// String is the text form of a message.
func (m Message) String() string { return string(m.AppendText(nil)) }

// AppendText appends the text form of a message.
func (m Message) AppendText(to []byte) []byte {
	f := m.form()
	to = append(to, f.name...)
	for _, arg := range []byte(f.args) {
		switch arg {
		case 'c':
			to = appendNumber(to, m.Channel())
		case 'k':
			to = appendNumber(to, int(m.A))
			to = append(append(to, '/'), console.Note(m.A).String()...)
		case 'a':
			to = appendNumber(to, int(m.A))
		case 'b':
			to = appendNumber(to, int(m.B))
		case 'w':
			to = appendNumber(to, int(m.B)<<7|int(m.A))
		case 's':
			to = appendHex(to, m.Status)
		case 'd':
			to = appendHex(to, m.A)
		case 'x':
			for _, b := range m.Body {
				to = appendHex(to, b)
			}
		}
	}
	return to
}

func appendNumber(to []byte, n int) []byte { return strconv.AppendInt(append(to, ' '), int64(n), 10) }

func appendHex(to []byte, b byte) []byte {
	const digits = "0123456789ABCDEF"
	return append(to, ' ', digits[b>>4], digits[b&15])
}

// ParseMessage reads the text form of a message. Of a key one of number and
// name is enough. Errors are one line.
func ParseMessage(text string) (Message, error) {
	fields := strings.Fields(text)
	if len(fields) == 0 {
		return Message{}, fmt.Errorf("a message is missing; write one like note-on 1 60/C4 100")
	}
	name, rest := fields[0], fields[1:]
	for _, f := range forms {
		if f.name == name {
			m, err := f.parse(rest)
			if err != nil {
				return Message{}, fmt.Errorf("%s: %w", strings.Join(fields, " "), err)
			}
			return m, nil
		}
	}
	return Message{}, fmt.Errorf("no message %s; %s", name, meant(name))
}

// meant says which message a name may stand for: one that is written nearly so,
// whose words begin so (cc), or of whose words it is one (program).
func meant(name string) string {
	if fix := finding.DidYouMean(name, Names()); fix != "" {
		return fix
	}
	name = strings.ToLower(name)
	var near []string
	for _, known := range Names() {
		words, initials := strings.Split(known, "-"), ""
		for _, word := range words {
			initials += word[:1]
		}
		if len(name) > 1 && initials == name || slices.Contains(words, name) {
			near = append(near, known)
		}
	}
	if len(near) == 0 {
		return "write one like note-on 1 60/C4 100"
	}
	return "did you mean " + strings.Join(near, " or ") + "?"
}

func (f form) parse(fields []string) (Message, error) {
	m := Message{Kind: f.kind, Status: f.status}
	for _, arg := range []byte(f.args) {
		if arg == 'x' {
			for _, field := range fields {
				b, err := parseHex(field)
				if err != nil || b >= 0x80 {
					return m, fmt.Errorf("%s is not of %s", field, words[arg])
				}
				m.Body = append(m.Body, b)
			}
			fields = nil
			break
		}
		if len(fields) == 0 {
			return m, fmt.Errorf("%s is missing", words[arg])
		}
		if !m.set(arg, fields[0]) {
			return m, fmt.Errorf("%s is not %s", fields[0], words[arg])
		}
		fields = fields[1:]
	}
	if len(fields) > 0 {
		return m, fmt.Errorf("%s is one word too many", fields[0])
	}
	if m.Kind == Unfinished && (m.Status >= realTime || m.Status == sysEx || len(m.Body) >= dataBytes(m.Status)) {
		return m, fmt.Errorf("it is not one that lacks data")
	}
	return m, nil
}

// set gives the message an argument, or reports that it does not read as one.
func (m *Message) set(arg byte, field string) bool {
	switch arg {
	case 'c':
		n, ok := parseNumber(field, 1, 16)
		m.Status |= byte(n - 1)
		return ok
	case 'k':
		n, ok := parseKey(field)
		m.A = n
		return ok
	case 'a':
		n, ok := parseNumber(field, 0, 127)
		m.A = byte(n)
		return ok
	case 'b':
		n, ok := parseNumber(field, 0, 127)
		m.B = byte(n)
		return ok
	case 'w':
		n, ok := parseNumber(field, 0, 1<<14-1)
		m.A, m.B = byte(n&0x7F), byte(n>>7)
		return ok
	case 'd':
		b, err := parseHex(field)
		m.A = b
		return err == nil && b < 0x80
	}
	b, err := parseHex(field) // 's'
	m.Status = b
	return err == nil && b >= 0x80 && defined(b) != (m.Kind == Undefined)
}

func parseNumber(field string, from, to int) (int, bool) {
	n, err := strconv.ParseUint(field, 10, 16)
	return int(n), err == nil && from <= int(n) && int(n) <= to
}

// parseKey reads 60, C4 or 60/C4, where both must be the same key.
func parseKey(field string) (byte, bool) {
	number, name, both := strings.Cut(field, "/")
	key, err := console.ParseNote(number)
	if err != nil {
		return 0, false
	}
	if both {
		named, err := console.ParseNote(name)
		if err != nil || named != key {
			return 0, false
		}
	}
	return byte(key), true
}

func parseHex(field string) (byte, error) {
	b, err := hex.DecodeString(field)
	if err != nil || len(b) != 1 {
		return 0, fmt.Errorf("not a byte in hex")
	}
	return b[0], nil
}
