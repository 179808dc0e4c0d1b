package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"os"
	"slices"
	"time"
)

// dayBook is a record that is open to be written on. Several programs may write on
// one at a time: each holds a lock while it adds a line, and first reads what the
// others have added.
type dayBook struct {
	file *os.File
	sum  hash.Hash // of all that it holds, as far as it was read
	size int64     // of that
	torn bool      // its last line has no end: its writer was killed
	full error     // what was not written, after which nothing is
	now  func() time.Time
}

// openDay opens a record, a new one where there is none, and reads what it holds.
// One that was changed is refused.
func openDay(path string, now func() time.Time) (book *dayBook, lines []dayLine, err error) {
	if err := readable(path, "*.jsonl"); err != nil && !errors.Is(err, os.ErrNotExist) {
		return nil, nil, err
	}
	file, err := os.OpenFile(path, os.O_APPEND|os.O_CREATE|os.O_RDWR, 0o644)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: cannot be written: %w", path, reason(err))
	}
	defer func() {
		if err != nil {
			file.Close()
		}
	}()
	b := &dayBook{file: file, sum: sha256.New(), now: now}
	unlock, err := b.lock()
	if err != nil {
		return nil, nil, err
	}
	defer unlock()
	data, err := b.catchUp()
	if err != nil {
		return nil, nil, err
	}
	lines, _ = readDay(data)
	if len(lines) > 0 && !isDay(lines) {
		return nil, nil, complaint{path + ": is no record of a day", "name another file"}
	}
	if i := slices.IndexFunc(lines, func(l dayLine) bool { return l.Changed || l.Broken }); i >= 0 {
		what := "this line was changed after it was written"
		if !lines[i].Changed {
			what = "what stands before this line was changed after it was written"
		}
		return nil, nil, complaint{fmt.Sprintf("%s:%d: %s", path, i+1, what), "keep the file as it is, and begin another"}
	}
	return b, lines, nil
}

// add adds an entry, which is on disk when it returns.
func (b *dayBook) add(e dayEntry) error {
	if b.full != nil {
		return b.full
	}
	unlock, err := b.lock()
	if err != nil {
		return err
	}
	defer unlock()
	if _, err := b.catchUp(); err != nil {
		return err
	}
	var text []byte
	if b.torn {
		text = []byte("\n")
		b.sum.Write(text)
	}
	e.Schema, e.At, e.Before = dayEntrySchema, b.now().UTC().Truncate(time.Millisecond), b.seal()
	line, err := json.Marshal(e)
	if err != nil {
		return err
	}
	line = append(sealed(bytes.TrimSuffix(line, []byte("}"))), '\n')
	b.sum.Write(line)
	return b.write(append(text, line...))
}

// catchUp reads what was written since it was last read.
func (b *dayBook) catchUp() ([]byte, error) {
	info, err := b.file.Stat()
	if err == nil && info.Size() < b.size {
		return nil, complaint{b.file.Name() + ": became shorter while it was written on", "keep the file as it is, and begin another"}
	}
	var more []byte
	if err == nil {
		more, err = io.ReadAll(io.NewSectionReader(b.file, b.size, info.Size()-b.size))
	}
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", b.file.Name(), reason(err))
	}
	if b.sum.Write(more); len(more) > 0 {
		b.torn = more[len(more)-1] != '\n'
	}
	b.size += int64(len(more))
	return more, nil
}

func (b *dayBook) write(text []byte) error {
	n, err := b.file.Write(text)
	b.size, b.torn = b.size+int64(n), false
	if err == nil {
		err = b.file.Sync()
	}
	if err != nil && !errors.Is(err, errors.ErrUnsupported) {
		b.full = fmt.Errorf("%s: cannot be written: %w", b.file.Name(), reason(err))
		return b.full
	}
	return nil
}

// lock keeps others from writing until unlock.
func (b *dayBook) lock() (unlock func(), err error) {
	if err := lockDay(b.file); err != nil {
		return nil, fmt.Errorf("%s: cannot be locked: %w", b.file.Name(), reason(err))
	}
	return func() { _ = unlockDay(b.file) }, nil // the system does it at the latest when the file is closed
}

// seal is the digest of all that the record holds.
func (b *dayBook) seal() string { return digest(b.sum.Sum(nil)) }

func (b *dayBook) close() error { return b.file.Close() }

// keepTest adds a test that is over to a record, and the SHA-256 of the files that
// it was made with, by name.
func keepTest(path, who string, files map[string]string, t dayTest) error {
	book, _, err := openDay(path, time.Now)
	if err != nil {
		return err
	}
	return errors.Join(book.test(who, files, t), book.close())
}

func (b *dayBook) test(who string, files map[string]string, t dayTest) error {
	t.Found, t.Failures = append([]string{}, t.Found...), append([]dayFailure{}, t.Failures...)
	for i := range t.Failures {
		f := &t.Failures[i]
		f.Pins, f.Legs = append([]string{}, f.Pins...), append([]string{}, f.Legs...)
	}
	return b.add(dayEntry{Kind: "test", Who: who, Files: files, Test: &t})
}
