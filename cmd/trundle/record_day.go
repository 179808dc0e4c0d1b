package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"
	"time"

	"trundle/sim/walk"
)

// The record of a day is a file of one entry a line, in JSON. Lines are added and
// never changed: each holds the SHA-256 of all that stands before it, and ends with
// that of itself, so that a change shows, and where. The digest of the whole is the
// record's seal: who signs writes it down, for only that holds who could write all
// of it anew.

// dayEntry is one line. Which fields it has depends on its kind.
type dayEntry struct {
	Schema string    `json:"schema"` // trundle.entry/1
	Kind   string    `json:"kind"`   // begin, identity, answer, round, test, note or end
	At     time.Time `json:"at"`
	Before string    `json:"before"`

	Begin    *dayBegin         `json:"begin,omitempty"`
	Answer   *dayAnswer        `json:"answer,omitempty"`
	Round    *dayRound         `json:"round,omitempty"`
	Test     *dayTest          `json:"test,omitempty"`
	Identity string            `json:"identity,omitempty"` // bytes of an identity reply (MIDI 1.0, universal system exclusive)
	Words    string            `json:"words,omitempty"`
	Who      string            `json:"who,omitempty"`
	Files    map[string]string `json:"files,omitempty"` // SHA-256 of what was read
}

// dayBegin is what a session was begun with.
type dayBegin struct {
	Instrument string         `json:"instrument"`
	In         string         `json:"in"` // ports, "" for none
	Out        string         `json:"out"`
	Steps      int            `json:"steps"`
	Phases     map[string]int `json:"phases,omitempty"` // the steps of each
	Program    string         `json:"program"`
	Was        string         `json:"was,omitempty"`   // the instrument's name before it was renamed
	Again      []string       `json:"again,omitempty"` // answered steps that are not what they were: they come again
	Gone       []string       `json:"gone,omitempty"`  // answered steps that are none any more
}

// dayAnswer is what was found at a step.
type dayAnswer struct {
	Step    string   `json:"step"`
	Phase   string   `json:"phase"`
	Do      string   `json:"do"`
	Sum     string   `json:"sum,omitempty"` // of what was tried, and where it hung
	Verdict string   `json:"verdict"`
	Good    bool     `json:"good"`
	Amps    *float64 `json:"amps"` // null when no meter was read
	Volts   *float64 `json:"volts"`

	AmpsGood  *walk.Limits `json:"amps_good,omitempty"` // what was expected of what was read
	VoltsGood *walk.Limits `json:"volts_good,omitempty"`

	Board string   `json:"board"` // of what is not good
	Pins  []string `json:"pins"`
	Legs  []string `json:"legs"`
}

// dayRound is a round of a test: what was moved, and which contacts were made
// then.
type dayRound struct {
	Test   string   `json:"test"`
	Round  int      `json:"round"` // from 1
	Do     string   `json:"do"`
	Moved  []string `json:"moved"`
	Made   []string `json:"made"`
	Unlike []string `json:"unlike"` // whose contacts were not as they should be
}

// dayTest is a test as a whole, and its verdict.
type dayTest struct {
	Test     string       `json:"test"` // like knobs, script, whole or time
	On       string       `json:"on"`   // the instrument, or the script
	In       string       `json:"in"`   // ports, "" for none
	Out      string       `json:"out"`
	Good     bool         `json:"good"`
	Found    []string     `json:"found"`    // what came of it, a line each
	Failures []dayFailure `json:"failures"` // what is not good
}

// dayFailure is one thing that is not good, and where to look.
type dayFailure struct {
	What  string   `json:"what"`
	Board string   `json:"board"` // "" where no pin is known
	Pins  []string `json:"pins"`
	Legs  []string `json:"legs"`
}

// dayLine is an entry as it is read back.
type dayLine struct {
	dayEntry
	Seal    string // of the record up to it
	Damaged bool   // it was cut off, as when a program is killed while it writes
	Changed bool   // it is not as it was written
	Broken  bool   // what stands before it is not what stood there
}

const dayEntrySchema = "trundle.entry/1"

// sealMark begins the digest of a line at its end, and sealEnd ends both.
const (
	sealMark = `,"seal":"`
	sealEnd  = `"}`
)

// sealed is a line with its digest, from the JSON of an entry less its last brace.
func sealed(content []byte) []byte {
	return append(content[:len(content):len(content)], sealMark+sha256Of(content)+sealEnd...)
}

// holds reports whether a line is what its digest says.
func holds(line []byte) bool {
	at := bytes.LastIndex(line, []byte(sealMark))
	return at >= 0 && bytes.Equal(line, sealed(line[:at]))
}

// readDay reads a record, and returns its seal.
func readDay(data []byte) (lines []dayLine, seal string) {
	sum := sha256.New()
	for line := range bytes.Lines(data) {
		text, ended := bytes.CutSuffix(line, []byte("\n"))
		var l dayLine
		switch err := json.Unmarshal(text, &l.dayEntry); {
		case err == nil && l.Schema == dayEntrySchema:
			l.Changed, l.Broken = !holds(text), l.Before != digest(sum.Sum(nil))
		case ended:
			l = dayLine{Changed: true}
		default:
			l = dayLine{Damaged: true}
		}
		if last := len(lines) - 1; !l.Broken && !l.Changed && !l.Damaged && last >= 0 && lines[last].Schema == "" {
			lines[last].Damaged, lines[last].Changed = true, false // it was so when the next was written
		}
		sum.Write(line)
		l.Seal = digest(sum.Sum(nil))
		lines = append(lines, l)
	}
	return lines, digest(sum.Sum(nil))
}

// isDay reports whether some line of a file is one of a record.
func isDay(lines []dayLine) bool {
	return slices.ContainsFunc(lines, func(l dayLine) bool { return l.Schema == dayEntrySchema })
}

func digest(sum []byte) string { return "sha256:" + hex.EncodeToString(sum) }

func sha256Of(data []byte) string {
	sum := sha256.Sum256(data)
	return digest(sum[:])
}
