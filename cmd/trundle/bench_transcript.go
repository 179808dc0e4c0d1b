package main

import (
	"bufio"
	"fmt"
	"os"

	"trundle/midiio"
	"trundle/midiio/mapping"
)

// transcript keeps what goes over a cable: what was sent as lines that play
// takes, what came, and what was done, as comments between them. Nil keeps
// nothing.
type transcript struct {
	file    *os.File
	to      *bufio.Writer
	console *listener // nil without a map
	failed  error
}

// newTranscript begins one in a new file; nil for no path.
func newTranscript(path string, m *mapping.Map) (*transcript, error) {
	if path == "" {
		return nil, nil
	}
	if err := writeNew(path, nil); err != nil {
		return nil, err
	}
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be written: %w", path, reason(err))
	}
	t := &transcript{file: file, to: bufio.NewWriter(file)}
	if m != nil {
		t.console = newListener(m)
	}
	return t, nil
}

// message keeps a message.
func (t *transcript) message(m midiio.Timed, sent bool) {
	if t == nil {
		return
	}
	words := ""
	if t.console != nil {
		if w, _ := t.console.words(m); w != "" {
			words = "  # " + w
		}
	}
	if sent {
		t.line("%.6f %s%s", m.At.Seconds(), m.Message, words)
	} else {
		t.line("# %.6f came %s%s", m.At.Seconds(), m.Message, words)
	}
}

// line keeps a line, and has it on its way to the disk.
func (t *transcript) line(format string, args ...any) {
	if t == nil {
		return
	}
	fmt.Fprintf(t.to, format+"\n", args...)
	if err := t.to.Flush(); err != nil && t.failed == nil {
		t.failed = fmt.Errorf("%s: cannot be written: %w", t.file.Name(), reason(err))
	}
}

func (t *transcript) close() error {
	if t == nil {
		return nil
	}
	if err := t.file.Close(); err != nil && t.failed == nil {
		t.failed = fmt.Errorf("%s: cannot be written: %w", t.file.Name(), reason(err))
	}
	return t.failed
}
