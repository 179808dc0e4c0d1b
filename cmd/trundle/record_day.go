package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io/fs"
	"os"
	"slices"
	"time"
)

// The record of a day is a file of one entry a line, in JSON. Lines are added and
// never changed: each holds the SHA-256 of all that stands before it, so that a
// change shows. The digest of the whole is its seal: who signs writes it down.

// dayEntry is one line. Which fields it has depends on its kind.
type dayEntry struct {
	Schema string    `json:"schema"` // trundle.entry/1
	Kind   string    `json:"kind"`   // begin, identity, answer, note or end
	At     time.Time `json:"at"`
	Before string    `json:"before"`

	Begin    *dayBegin         `json:"begin,omitempty"`
	Answer   *dayAnswer        `json:"answer,omitempty"`
	Identity string            `json:"identity,omitempty"` // bytes of an identity reply (MIDI 1.0, universal system exclusive)
	Words    string            `json:"words,omitempty"`
	Who      string            `json:"who,omitempty"`
	Files    map[string]string `json:"files,omitempty"` // SHA-256 of what was read
}

// dayBegin is what a session was begun with.
type dayBegin struct {
	Instrument string `json:"instrument"`
	In         string `json:"in"` // ports, "" for none
	Out        string `json:"out"`
	Steps      int    `json:"steps"`
	Program    string `json:"program"`
}

// dayAnswer is what was found at a step.
type dayAnswer struct {
	Step    string   `json:"step"`
	Phase   string   `json:"phase"`
	Do      string   `json:"do"`
	Verdict string   `json:"verdict"`
	Good    bool     `json:"good"`
	Amps    *float64 `json:"amps"` // null when no meter was read
	Volts   *float64 `json:"volts"`
	Board   string   `json:"board"` // of what is not good
	Pins    []string `json:"pins"`
	Legs    []string `json:"legs"`
}

// dayLine is an entry as it is read back.
type dayLine struct {
	dayEntry
	Damaged bool // it is no entry, as when a program was killed while it wrote
	Broken  bool // what stands before it is not what stood there
}

const dayEntrySchema = "trundle.entry/1"

// readDay reads a record, and returns its seal.
func readDay(data []byte) (lines []dayLine, seal string) {
	sum := sha256.New()
	for line := range bytes.Lines(data) {
		var l dayLine
		err := json.Unmarshal(line, &l.dayEntry)
		l.Damaged = err != nil || l.Schema != dayEntrySchema || !bytes.HasSuffix(line, []byte("\n"))
		if !l.Damaged {
			l.Broken = l.Before != digest(sum.Sum(nil))
		}
		sum.Write(line)
		lines = append(lines, l)
	}
	return lines, digest(sum.Sum(nil))
}

func digest(sum []byte) string { return "sha256:" + hex.EncodeToString(sum) }

// dayBook is a record that is open to be written on.
type dayBook struct {
	file *os.File
	sum  hash.Hash // of all that it holds
	now  func() time.Time
}

// openDay opens a record, a new one where there is none, and reads what it holds.
func openDay(path string, now func() time.Time) (*dayBook, []dayLine, error) {
	data, err := os.ReadFile(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, nil, fmt.Errorf("%s: cannot be read: %w", path, reason(err))
	}
	lines, _ := readDay(data)
	if len(lines) > 0 && lines[0].Damaged {
		return nil, nil, complaint{path + ": is no record of a day", "name another file"}
	}
	if i := slices.IndexFunc(lines, func(l dayLine) bool { return l.Broken }); i >= 0 {
		return nil, nil, complaint{fmt.Sprintf("%s:%d: what stands before this line was changed after it was written", path, i+1), "keep the file as it is, and begin another"}
	}
	file, err := os.OpenFile(path, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: cannot be written: %w", path, reason(err))
	}
	b := &dayBook{file, sha256.New(), now}
	b.sum.Write(data)
	if len(data) > 0 && data[len(data)-1] != '\n' { // its writer was killed
		if err := b.write([]byte("\n")); err != nil {
			return nil, nil, errors.Join(err, file.Close())
		}
	}
	return b, lines, nil
}

// add adds an entry, which is on disk when it returns.
func (b *dayBook) add(e dayEntry) error {
	e.Schema, e.At, e.Before = dayEntrySchema, b.now().UTC().Truncate(time.Millisecond), b.seal()
	line, err := json.Marshal(e)
	if err != nil {
		return err
	}
	return b.write(append(line, '\n'))
}

func (b *dayBook) write(line []byte) error {
	if _, err := b.file.Write(line); err != nil {
		return fmt.Errorf("%s: cannot be written: %w", b.file.Name(), reason(err))
	}
	b.sum.Write(line)
	if err := b.file.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) {
		return fmt.Errorf("%s: cannot be written: %w", b.file.Name(), reason(err))
	}
	return nil
}

// seal is the digest of all that the record holds.
func (b *dayBook) seal() string { return digest(b.sum.Sum(nil)) }

func (b *dayBook) close() error { return b.file.Close() }
