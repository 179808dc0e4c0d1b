package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"trundle/console"
	"trundle/console/finding"
	"trundle/midiio/mapping"
	"trundle/sim/starter"
	"trundle/sim/wiring"
)

// loadInstrument reads an instrument file for a command that needs it whole:
// a broken file is an error that lists everything wrong in it.
func loadInstrument(path string) (*console.Instrument, []finding.Finding, error) {
	if err := readable(path); err != nil {
		return nil, nil, err
	}
	in, _, findings := readInstrument(path)
	if in == nil || finding.Broken(findings) {
		return nil, nil, broken{findings, checkCommandFor(path, "")}
	}
	return in, findings, nil
}

// readInstrument reads an instrument file and its map of MIDI messages. Both
// are nil when either has no meaning.
func readInstrument(path string) (*console.Instrument, *mapping.Map, []finding.Finding) {
	if f := another(path, instrumentKind, relayKind); f != nil { // of a relay more is said, with its line
		return nil, nil, []finding.Finding{*f}
	}
	in, findings := console.Load(path)
	if in == nil {
		return nil, nil, findings
	}
	m, found := mapping.Load(in)
	findings = append(findings, found...)
	finding.Sort(findings)
	if m == nil {
		return nil, nil, findings
	}
	return in, m, findings
}

// loadRelay reads a relay for a command that needs it whole; nil for no path.
func loadRelay(path string, in *console.Instrument) (*wiring.Relay, error) {
	if path == "" {
		return nil, nil
	}
	if err := readable(path); err != nil {
		return nil, err
	}
	r, found := readRelay(path, in)
	if r == nil || finding.Broken(found) {
		found = append(found, brokenSections(path, in)...)
		finding.Sort(found)
		return nil, broken{found, checkCommandFor(in.File, path)}
	}
	return r, nil
}

// readRelay reads a relay with its tables, unless the file is of another kind.
func readRelay(path string, in *console.Instrument) (*wiring.Relay, []finding.Finding) {
	if f := another(path, relayKind, instrumentKind); f != nil {
		return nil, []finding.Finding{*f}
	}
	return wiring.Load(path, in)
}

// checkCommandFor is the command that shows what is wrong in files.
func checkCommandFor(instrument, relay string) string {
	command := "trundle check " + shellQuote(instrument)
	if relay != "" {
		command += " --relay " + shellQuote(relay)
	}
	return command
}

// readable complains of a path that names no file to read; "" names none to
// complain of. In a directory files of the pattern are what may be meant, the relay
// without one.
func readable(path string, like ...string) error {
	if path == "" {
		return nil
	}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist) && nearFile(path) != "":
		return fmt.Errorf("%s: cannot be read: %w; %s", path, reason(err), nearFile(path))
	case err != nil:
		return fmt.Errorf("%s: cannot be read: %w", path, reason(err))
	case info.IsDir():
		fix := "name a file in it"
		if relay := filepath.Join(path, starter.RelayFile); len(like) == 0 && absent(relay) != nil {
			fix += ", like " + relay
		}
		for _, pattern := range like {
			if in, _ := filepath.Glob(filepath.Join(path, pattern)); len(in) > 0 {
				fix += ", like " + in[0]
			}
		}
		return complaint{path + ": is a directory", fix}
	case !info.Mode().IsRegular():
		return nil // opening a pipe only to look would take from it
	}
	file, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("%s: cannot be read: %w", path, reason(err))
	}
	return file.Close()
}

// nearFile says which file may be meant by a path at which there is none: one of
// nearly its name beside it, or of its name in a directory there.
func nearFile(path string) string {
	dir := filepath.Dir(path)
	entries, err := os.ReadDir(dir)
	if err != nil {
		return ""
	}
	var names []string
	for _, entry := range entries {
		if below := filepath.Join(dir, entry.Name(), filepath.Base(path)); entry.IsDir() && absent(below) != nil {
			return "did you mean " + below + "?"
		}
		names = append(names, filepath.Join(dir, entry.Name()))
	}
	return finding.DidYouMean(filepath.Clean(path), names)
}
