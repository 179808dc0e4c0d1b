package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"regexp"
	"slices"
	"strings"

	"trundle/console/finding"
)

// kind is a sort of file that commands take or write.
type kind struct {
	name  string // with its article
	taken string // which command or flag takes it
}

var (
	instrumentKind = kind{"an instrument file", "check, sound, desk and most others take it first behind their name"}
	relayKind      = kind{"a relay design", "name it with --relay, or first with where"}
	memoryKind     = kind{"a memory file", "desk, replay, report and loudness take it with --memory"}
	logKind        = kind{"a log of the console", "replay takes it behind the instrument, desk with --script"}
	dayKind        = kind{"the record of a day", "day shows it, and report takes it with --day"}
	midiKind       = kind{"a MIDI file", "play takes it"}
	trafficKind    = kind{"traffic that watch printed", "play takes it"}

	wiringKind       = kind{"a table of wiring", "a relay design names it, like wiring: [wiring.csv]"}
	switchingKind    = kind{"a switching table", "a relay design names it, like switching: [switching.csv]"}
	joinsKind        = kind{"a table of joins", "a relay design names it, like joins: [joins.csv]"}
	combinationsKind = kind{"a table of combinations", "desk, replay, report and loudness take it with --memory"}
	workbookKind     = kind{"a workbook", "a relay design names it for its tables, and --memory takes one of combinations"}
	scriptKind       = kind{"a script of the bench", "bench takes it"}
	answerKind       = kind{"an answer in JSON", "other programs take it"}
	pageKind         = kind{"a page or drawing", "open it in a browser"}
	printKind        = kind{"a file to print", "open it with what shows PDF"}
)

// another complains of a file that is not of the kind that is meant, but of one
// that is known. What it is shows at its beginning.
func another(path string, meant ...kind) *finding.Finding {
	is, known := kindOf(beginning(path))
	if !known || slices.Contains(meant, is) {
		return nil
	}
	message := fmt.Sprintf("is %s, and not %s", is.name, meant[0].name)
	return &finding.Finding{Rule: finding.NoMeaning, Severity: finding.Error, Place: finding.Place{File: path}, Message: message, Fix: is.taken}
}

// notAnother is the error of such a file, for a command that needs it.
func notAnother(path string, meant ...kind) error {
	if f := another(path, meant...); f != nil {
		return complaint{path + ": " + f.Message, f.Fix}
	}
	return nil
}

// beginning is enough of a file to know it by; none of what is no file, for
// reading takes from a pipe.
func beginning(path string) []byte {
	const enough = 64 << 10
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() {
		return nil
	}
	file, err := os.Open(path)
	if err != nil {
		return nil
	}
	defer file.Close()
	data, _ := io.ReadAll(io.LimitReader(file, enough)) // what cannot be read is told by who needs it
	return data
}

var (
	topLevel   = regexp.MustCompile(`(?m)^([a-z-]+):`)
	logLine    = regexp.MustCompile(`^[0-9.]+ [a-z]`)
	watched    = regexp.MustCompile(`^[0-9.]+\s+\+[0-9.]+\s+[a-z]`)
	scriptLine = regexp.MustCompile(`^(ask|chord|draw|expect|include|press|push|release|repeat|wait|for) [^:,;]*$`)
	columns    = regexp.MustCompile(`[,;\t]`)
)

// kindOf says what a file is by its beginning.
func kindOf(data []byte) (is kind, known bool) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	starts := func(text string) bool { return bytes.HasPrefix(data, []byte(text)) }
	switch text := bytes.ToLower(bytes.TrimSpace(data)); {
	case starts("MThd"):
		return midiKind, true
	case starts("PK\x03\x04"):
		return workbookKind, true
	case starts("%PDF"):
		return printKind, true
	case starts(`{"schema":"` + dayEntrySchema + `"`):
		return dayKind, true
	case starts(`{"schema":"trundle.watch/`):
		return trafficKind, true
	case starts(`{"schema":"trundle.`):
		return answerKind, true
	case bytes.HasPrefix(text, []byte("<!doctype")), bytes.HasPrefix(text, []byte("<html")), bytes.HasPrefix(text, []byte("<svg")):
		return pageKind, true
	}
	lines := firstLines(data)
	switch {
	case len(lines) > 1 && lines[0] == "format: 1" && logLine.MatchString(lines[1]):
		return logKind, true
	case len(lines) > 0 && watched.MatchString(lines[0]):
		return trafficKind, true
	case len(lines) > 0 && scriptLine.MatchString(lines[0]):
		return scriptKind, true
	}
	if is, known := tableKind(lines); known {
		return is, true
	}
	var names []string
	for _, m := range topLevel.FindAllSubmatch(data, -1) {
		names = append(names, string(m[1]))
	}
	for _, file := range []struct {
		has string
		is  kind
	}{{"keyboards", instrumentKind}, {"boards", relayKind}, {"memories", memoryKind}} {
		if slices.Contains(names, file.has) {
			return file.is, true
		}
	}
	return kind{}, false
}

// firstLines is the first lines that are neither empty nor comments.
func firstLines(data []byte) (lines []string) {
	for line := range strings.Lines(string(data)) {
		if line = strings.TrimSpace(line); line != "" && line[0] != '#' {
			if lines = append(lines, line); len(lines) == 2 {
				break
			}
		}
	}
	return lines
}

// tableKind says what a CSV file is by the names of its columns.
func tableKind(lines []string) (kind, bool) {
	if len(lines) == 0 {
		return kind{}, false
	}
	var names []string
	for _, cell := range columns.Split(lines[0], -1) {
		names = append(names, strings.ToLower(strings.Trim(cell, `" `)))
	}
	for _, table := range []struct {
		has []string
		is  kind
	}{
		{[]string{"kind", "line", "control"}, switchingKind},
		{[]string{"from", "to", "pins"}, joinsKind},
		{[]string{"board", "pins", "kind"}, wiringKind},
		{[]string{"memory", "button"}, combinationsKind},
	} {
		if !slices.ContainsFunc(table.has, func(name string) bool { return !slices.Contains(names, name) }) {
			return table.is, true
		}
	}
	return kind{}, false
}
