package mapping

import (
	"encoding/hex"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"trundle/console"
	"trundle/console/finding"
)

// phrase is a message as a map writes it, or a run of them, one a thing:
//
//	note 36 on channel 10            notes from 36 on channel 10
//	controller 80 on channel 10      controllers from 80/2 on channel 10
//	nrpn 300 on channel 10           nrpns from 300 on channel 10
//	program 5 on channel 10          programs from 0 on channel 10
//	bytes F0 7D 01 .. F7             bytes F0 7D nn .. F7 from 0
//	bytes B9 50 nn from 1
//
// The open place .. carries 00 for off, 7F for on, or a position. A run
// counts by one, or by the number behind the slash; nn is where it counts.
type phrase struct {
	shape
	run   bool
	step  int
	count []int // where nn stands: 0 in the body or in the first data byte, and so on
}

// statuses are the kinds of messages that a phrase may name, by the singular.
var statuses = map[string]byte{"note": noteOn, "controller": controlChange, "nrpn": controlChange, "program": programChange}

const example = "write it like note 36 on channel 10, or notes from 36 on channel 10"

// parsePhrase reads a phrase. Its errors are one line.
func parsePhrase(text string) (phrase, error) {
	words := strings.Fields(text)
	if len(words) == 0 {
		return phrase{}, fmt.Errorf("a message is missing; %s", example)
	}
	if words[0] == "bytes" {
		return parseBytes(words[1:])
	}
	p := phrase{shape: shape{value: open, hole: open}}
	kind := strings.TrimSuffix(words[0], "s")
	status, known := statuses[kind]
	if !known {
		fix := finding.DidYouMean(words[0], []string{"note", "notes", "controller", "controllers", "nrpn", "nrpns", "program", "programs", "bytes"})
		if fix == "" {
			fix = example
		}
		return p, fmt.Errorf("no message %s; %s", words[0], fix)
	}
	words = words[1:]
	if len(words) > 0 && words[0] == "from" {
		p.run, words = true, words[1:]
	}
	if len(words) != 4 || words[1] != "on" || words[2] != "channel" {
		return p, fmt.Errorf("%q is no message; %s", text, example)
	}
	channel, err := parseChannel(words[3])
	if err != nil {
		return p, err
	}
	if err := p.from(words[0], kind == "note", mostOf(kind)); err != nil {
		return p, err
	}
	p.status = status | byte(channel-1)
	if kind == "nrpn" {
		p.number += firstNRPN
	}
	return p, nil
}

// mostOf is the highest number of a kind of message.
func mostOf(kind string) int {
	switch kind {
	case "controller":
		return modes - 1
	case "nrpn":
		return mostNRPN
	}
	return fully
}

// from reads the first number, and behind a slash by how much a run counts.
func (p *phrase) from(text string, key bool, most int) error {
	first, step, stepped := strings.Cut(text, "/")
	p.step = 1
	var err error
	if key {
		var n console.Note
		n, err = console.ParseNote(first)
		p.number = int(n)
	} else if p.number, err = strconv.Atoi(first); err != nil || p.number < 0 || p.number > most {
		err = fmt.Errorf("%q is no number from 0 to %d", first, most)
	}
	if err != nil {
		return err
	}
	if stepped {
		if p.step, err = strconv.Atoi(step); err != nil || p.step < 1 || p.step > mostNRPN || !p.run {
			return fmt.Errorf("%q: a run, `from 36/2`, counts by a whole number from 1", text)
		}
	}
	return nil
}

func parseChannel(text string) (int, error) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > 16 {
		return 0, fmt.Errorf("%q is no channel: they are 1 to 16", text)
	}
	return n, nil
}

// parseBytes reads a message in hex, behind the word `bytes`.
func parseBytes(words []string) (p phrase, err error) {
	p.shape = shape{value: open, hole: open}
	p.step = 1
	if i := slices.Index(words, "from"); i >= 0 {
		p.run = true
		if i != len(words)-2 {
			return p, fmt.Errorf("a number and nothing else stands behind `from`")
		}
		if err := p.from(words[i+1], false, fully); err != nil {
			return p, err
		}
		words = words[:i]
	}
	first := p.number
	var bytes []byte
	for i, word := range words {
		switch b, err := hex.DecodeString(word); {
		case word == "..":
			if p.hole != open {
				return p, fmt.Errorf("a message has one open place `..`")
			}
			p.hole = i - 1
			bytes = append(bytes, 0)
		case word == "nn":
			p.count = append(p.count, i-1)
			bytes = append(bytes, byte(first))
		case err != nil || len(b) != 1:
			return p, fmt.Errorf("%q is no byte in hex, nor `..` for on and off, nor `nn` for the number", word)
		default:
			bytes = append(bytes, b[0])
		}
	}
	if p.run != (p.count != nil) {
		return p, fmt.Errorf("`nn` and `from` go together: bytes F0 7D nn .. F7 from 0")
	}
	return p, p.take(bytes)
}

// take makes the shape of bytes in which open places and numbers are filled.
func (p *phrase) take(bytes []byte) error {
	if len(bytes) < 3 {
		return fmt.Errorf("that is no whole message")
	}
	last := len(bytes) - 1
	data := bytes[1:]
	if bytes[0] == sysEx {
		if bytes[last] != 0xF7 {
			return fmt.Errorf("system exclusive ends with F7")
		}
		data = bytes[1:last]
	} else if bytes[0]&0xF0 != controlChange || len(bytes) != 3 {
		return fmt.Errorf("bytes are system exclusive, F0 to F7, or a control change, B0 to BF with two data bytes; other messages have names")
	}
	if slices.ContainsFunc(data, func(b byte) bool { return b > 0x7F }) || p.hole == len(data) || p.hole == open-1 {
		return fmt.Errorf("data bytes are 00 to 7F")
	}
	p.status = bytes[0]
	if p.status == sysEx {
		p.body, p.number = string(data), 0
		return nil
	}
	if data[0] >= modes {
		return fmt.Errorf("%02X is a channel mode message, which moves no control", data[0])
	}
	if p.hole == 0 {
		return fmt.Errorf("the open place of a control change is its last byte")
	}
	p.number = int(data[0])
	if p.hole == open {
		p.value = int(data[1])
	}
	p.hole = open
	return nil
}

// nth is the message of the nth thing of a run, from 0; of the only one where
// the phrase is none.
func (p phrase) nth(n int) (shape, error) {
	s := p.shape
	if !p.run {
		if n > 0 {
			return s, fmt.Errorf("one message for several things; write `from` before the number")
		}
		return s, nil
	}
	by := n * p.step
	over := func(number, most int) error {
		if number <= most {
			return nil
		}
		return fmt.Errorf("the run is over after %d of them", n)
	}
	switch {
	case p.status == sysEx:
		body := []byte(p.body)
		for _, at := range p.count {
			number := int(body[at]) + by
			if err := over(number, fully); err != nil {
				return s, err
			}
			body[at] = byte(number)
		}
		s.body = string(body)
		return s, nil
	case p.count != nil:
		for _, at := range p.count {
			if at == 0 {
				s.number += by
			} else {
				s.value += by
			}
		}
		if err := over(s.value, fully); err != nil {
			return s, err
		}
		return s, over(s.number, modes-1)
	case s.number >= firstNRPN:
		s.number += by
		return s, over(s.number-firstNRPN, mostNRPN)
	}
	s.number += by
	if s.status&0xF0 == controlChange {
		return s, over(s.number, modes-1)
	}
	return s, over(s.number, fully)
}
