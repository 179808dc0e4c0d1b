package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"trundle/midiio"
)

// isTraffic reports a file of what watch printed, as text or as JSON.
func isTraffic(data []byte) bool {
	begin := bytes.TrimLeft(data, " \t\r\n")
	return utf8.Valid(data) && len(begin) > 0 && strings.IndexByte("0123456789{#", begin[0]) >= 0
}

// parseTraffic reads what watch printed: lines of a time in seconds and a
// message. What it says of faults, of the port and behind # is passed over.
func parseTraffic(path string, data []byte) ([]midiio.Timed, time.Duration, error) {
	var list []midiio.Timed
	var wrong []error
	number, last := 0, time.Duration(0)
	for line := range strings.Lines(string(data)) {
		number++
		at, text, err := parseTrafficLine(strings.TrimSpace(line))
		m := midiio.Message{}
		if err == nil && text != "" {
			m, err = midiio.ParseMessage(text)
		}
		switch {
		case err != nil:
			wrong = append(wrong, fmt.Errorf("%s:%d:1: %w", path, number, err))
		case text == "" || m.OfPort():
		case at < last:
			wrong = append(wrong, fmt.Errorf("%s:%d:1: a message at %.6f s follows one at %.6f s; put them in their order", path, number, at.Seconds(), last.Seconds()))
		default:
			list, last = append(list, midiio.Timed{At: at, Message: m}), at
		}
	}
	return list, last, errors.Join(wrong...)
}

var (
	trafficLine = regexp.MustCompile(`^([0-9.]+)\s+(?:\+[0-9.]+\s+)?([a-z!].*)$`)
	trafficEnd  = regexp.MustCompile(`^[0-9]+ messages?, [0-9]+ faults?$`)
)

// parseTrafficLine is the time and the text of the message of a line, "" where
// it has none.
func parseTrafficLine(line string) (at time.Duration, text string, err error) {
	var seconds float64
	switch parts := trafficLine.FindStringSubmatch(line); {
	case line == "" || line[0] == '#' || trafficEnd.MatchString(line):
		return 0, "", nil
	case line[0] == '{':
		var a watchAnswer
		if err := json.Unmarshal([]byte(line), &a); err != nil {
			return 0, "", fmt.Errorf("no line of JSON: %w", err)
		}
		seconds, text = a.At, a.Message
	case parts == nil:
		return 0, "", fmt.Errorf("%q is no time and message; write it like 1.25 note-on 1 60/C4 100", line)
	default:
		if seconds, err = strconv.ParseFloat(parts[1], 64); err != nil {
			return 0, "", fmt.Errorf("%q is no time in seconds", parts[1])
		}
		if text, _, _ = strings.Cut(parts[2], " # "); text[0] == '!' {
			text = ""
		}
	}
	if seconds < 0 || seconds > 1e9 {
		return 0, "", fmt.Errorf("%v is no time in seconds", seconds)
	}
	return time.Duration(math.Round(seconds * float64(time.Second))), text, nil
}
