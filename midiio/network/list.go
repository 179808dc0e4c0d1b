package network

import "fmt"

// The MIDI list (RFC 6295 section 3): commands with the time between them, and
// running status within one list.

// appendList appends commands; z tells that the first one has its delta time.
func appendList(to []byte, commands []Command) (list []byte, z bool) {
	running := byte(0)
	for i, c := range commands {
		if i > 0 || c.Delta > 0 {
			z = z || i == 0
			to = appendDelta(to, c.Delta)
		}
		to = appendCommand(to, c.Bytes, &running)
	}
	return to, z
}

func appendCommand(to, command []byte, running *byte) []byte {
	status := command[0]
	if status == *running {
		return append(to, command[1:]...)
	}
	*running = runningAfter(status, *running)
	return append(to, command...)
}

// runningAfter is the running status after a status octet; 0 is none.
func runningAfter(status, before byte) byte {
	switch {
	case status < 0xF0:
		return status
	case status < 0xF8:
		return 0
	}
	return before
}

// appendDelta appends a delta time, of up to four octets of seven bits.
func appendDelta(to []byte, delta uint32) []byte {
	for shift := 21; shift > 0; shift -= 7 {
		if delta>>shift > 0 {
			to = append(to, 0x80|byte(delta>>shift))
		}
	}
	return append(to, byte(delta&0x7F))
}

// parseList reads a whole list.
func parseList(b []byte, z bool) ([]Command, error) {
	var commands []Command
	running := byte(0)
	for len(b) > 0 {
		var c Command
		if len(commands) > 0 || z {
			n := 0
			if c.Delta, n = parseDelta(b); n == 0 {
				return nil, fmt.Errorf("a delta time does not end")
			}
			// A list may end with a delta time and no command (section 3).
			if b = b[n:]; len(b) == 0 {
				break
			}
		}
		n, err := 0, error(nil)
		if c.Bytes, n, err = parseCommand(b, &running); err != nil {
			return nil, err
		}
		commands, b = append(commands, c), b[n:]
	}
	return commands, nil
}

// parseDelta reads a delta time of n octets; n is 0 when it does not end.
func parseDelta(b []byte) (delta uint32, n int) {
	for n < len(b) && n < 4 {
		delta = delta<<7 | uint32(b[n]&0x7F)
		n++
		if b[n-1] < 0x80 {
			return delta, n
		}
	}
	return 0, 0
}

// parseCommand reads a command with its status, of n octets in the list.
func parseCommand(b []byte, running *byte) (command []byte, n int, err error) {
	status := b[0]
	if status < 0x80 {
		if *running == 0 {
			return nil, 0, fmt.Errorf("data %02X without a status", status)
		}
		size := dataOctets(*running)
		if !allData(b, 0, size) {
			return nil, 0, errCommand(*running)
		}
		return append([]byte{*running}, b[:size]...), size, nil
	}
	*running = runningAfter(status, *running)
	if status == 0xF0 || status == 0xF7 {
		n, err = segmentLength(b)
		return b[:n], n, err
	}
	size := dataOctets(status)
	if !allData(b, 1, size) {
		return nil, 0, errCommand(status)
	}
	return b[:1+size], 1 + size, nil
}

func errCommand(status byte) error { return fmt.Errorf("a command %02X lacks data", status) }

// allData reports whether so many octets from a place on are there, all data.
func allData(b []byte, from, size int) bool {
	if len(b) < from+size {
		return false
	}
	for _, d := range b[from : from+size] {
		if d >= 0x80 {
			return false
		}
	}
	return true
}

// segmentLength is the length of a segment of system exclusive.
func segmentLength(b []byte) (int, error) {
	for i := 1; i < len(b); i++ {
		switch b[i] {
		case 0xF0, 0xF4, 0xF5, 0xF7:
			return i + 1, nil
		}
		if b[i] >= 0x80 {
			break
		}
	}
	return 0, fmt.Errorf("system exclusive does not end")
}

// dataOctets is how many data octets follow a status octet other than F0 and
// F7 (MIDI 1.0 table I; undefined ones have none).
func dataOctets(status byte) int {
	switch {
	case status < 0xC0, status >= 0xE0 && status < 0xF0, status == 0xF2:
		return 2
	case status < 0xF0, status == 0xF1, status == 0xF3:
		return 1
	}
	return 0
}
