package bench

import (
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"trundle/console"
	"trundle/console/finding"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// Limits of a script, so that one with a slip in it ends.
const (
	mostSteps    = 100_000
	mostIncludes = 16 // one in another
)

// steps are the words that steps begin with, beside those of a console log and
// the names of messages.
var steps = []string{"wait", "expect", "ask", "repeat", "for", "include", "end", "press", "release", "draw", "push"}

// noScript is how many lines must begin like no step, and none like one, for a
// file to be something else; that is told once.
const noScript = 4

// ReadScript reads a script; read reads the files it includes, by their path.
// The instrument and its map may be nil: then it speaks of messages alone.
func ReadScript(file string, read func(path string) ([]byte, error), in *console.Instrument, m *mapping.Map) (Script, []finding.Finding) {
	r := &scriptReader{in: in, m: m, read: read, script: Script{File: file}}
	r.file(finding.Place{File: file}, file, 0, nil)
	if n := len(r.found); n >= noScript && r.steps == 0 {
		r.found = nil
		r.wrong(finding.Place{File: file, Line: 1, Column: 1}, "name a script; an instrument is tried by bench --whole and bench --time", "is no script: none of its %d lines begins like a step", n)
	}
	if len(r.found) == 0 && len(r.script.Steps) == 0 {
		r.wrong(finding.Place{File: file, Line: 1, Column: 1}, "write steps, one a line (trundle bench --help)", "has no step")
	}
	return r.script, r.found
}

type scriptReader struct {
	in     *console.Instrument
	m      *mapping.Map
	read   func(path string) ([]byte, error)
	script Script
	steps  int // lines that begin like one
	found  []finding.Finding
}

// word is a word of a line and where it begins.
type word struct {
	text   string
	column int
}

// scriptLine is a line that is not blank.
type scriptLine struct {
	at    finding.Place
	text  string
	words []word
	end   int // of a line that opens a block: the line that closes it
}

// file reads a file, with $key filled in.
func (r *scriptReader) file(from finding.Place, path string, depth int, keys map[string]string) {
	data, err := r.read(path)
	switch {
	case err != nil:
		r.wrong(from, "", "%s: cannot be read: %v", path, err)
		return
	case !utf8.Valid(data):
		r.wrong(finding.Place{File: path, Line: 1, Column: 1}, "save it as UTF-8", "is no text in UTF-8")
		return
	}
	var lines []scriptLine
	number := 0
	for text := range strings.Lines(strings.TrimPrefix(string(data), "\ufeff")) {
		number++
		if words := split(text); len(words) > 0 {
			lines = append(lines, scriptLine{at: finding.Place{File: path, Line: number, Column: words[0].column}, text: text, words: words})
		}
	}
	r.lines(r.blocks(lines), depth, keys)
}

// split is a line in words, up to a comment.
func split(line string) (list []word) {
	column, inWord := 0, false
	for _, c := range line {
		column++
		space := strings.ContainsRune(" \t\r\n", c)
		switch {
		case space:
			inWord = false
		case inWord:
			list[len(list)-1].text += string(c)
		case c == '#':
			return list
		default:
			inWord = true
			list = append(list, word{string(c), column})
		}
	}
	return list
}

// blocks finds the ends of loops. One without an end goes to the last line, and an end
// without a loop is left out, so that the other lines are read all the same.
func (r *scriptReader) blocks(lines []scriptLine) (kept []scriptLine) {
	var open []int
	for _, l := range lines {
		switch l.words[0].text {
		case "repeat", "for":
			open = append(open, len(kept))
		case "end":
			if len(open) == 0 {
				r.wrong(l.at, "take it away", "end has no repeat or for before it")
				continue
			}
			kept[open[len(open)-1]].end = len(kept)
			open = open[:len(open)-1]
		}
		kept = append(kept, l)
	}
	for _, i := range open {
		r.wrong(kept[i].at, "write end behind its last step", "%s has no end", kept[i].words[0].text)
		kept[i].end = len(kept)
	}
	return kept
}

// lines does lines, and loops as often as they say. After an error it goes on,
// but not round.
func (r *scriptReader) lines(lines []scriptLine, depth int, keys map[string]string) {
	for i := 0; i < len(lines); i++ {
		l := lines[i]
		if first := l.words[0].text; slices.Contains(steps, first) || slices.Contains(midiio.Names(), first) {
			r.steps++
		}
		inside := func() []scriptLine {
			body := slices.Clone(lines[i+1 : l.end])
			for k := range body {
				body[k].end -= i + 1
			}
			return body
		}
		switch l.words[0].text {
		case "repeat":
			for range r.times(l) {
				if errors := len(r.found); !r.room(l) {
					return
				} else if r.lines(inside(), depth, keys); len(r.found) > errors {
					break
				}
			}
			i = l.end
		case "for":
			name, notes := r.each(l)
			for _, n := range notes {
				with := map[string]string{name: n.String()}
				for k, v := range keys {
					if k != name {
						with[k] = v
					}
				}
				errors := len(r.found)
				if r.lines(inside(), depth, with); len(r.found) > errors {
					break
				}
			}
			i = l.end
		case "include":
			r.include(l, depth, keys)
		default:
			if !r.room(l) {
				return
			}
			r.step(l, keys)
		}
	}
}

func (r *scriptReader) room(l scriptLine) bool {
	if len(r.script.Steps) < mostSteps {
		return true
	}
	if len(r.found) == 0 {
		r.wrong(l.at, "repeat less", "the script has more than %d steps", mostSteps)
	}
	return false
}

func (r *scriptReader) times(l scriptLine) int {
	if len(l.words) != 2 {
		r.wrong(l.at, "write it like repeat 10", "repeat needs one number")
		return 0
	}
	n, err := strconv.Atoi(l.words[1].text)
	if err != nil || n < 1 || n > mostSteps {
		r.wrong(at(l, 1), "", "%q is no number from 1 to %d", l.words[1].text, mostSteps)
		return 0
	}
	return n
}

// each is the name and the keys of a loop.
func (r *scriptReader) each(l scriptLine) (string, []console.Note) {
	if len(l.words) < 4 || l.words[2].text != "in" {
		r.wrong(l.at, "write it like for key in C2..C7", "for is not complete")
		return "", nil
	}
	var notes []console.Note
	for i := 3; i < len(l.words); i++ {
		some, err := keys(l.words[i].text)
		if err != nil {
			r.wrong(at(l, i), "", "%v", err)
			return "", nil
		}
		notes = append(notes, some...)
	}
	return l.words[1].text, notes
}

// keys are those of C4, or of C2..C7 in either direction.
func keys(text string) ([]console.Note, error) {
	first, last, isRun := strings.Cut(text, "..")
	if !isRun {
		last = first
	}
	from, err := console.ParseNote(first)
	if err != nil {
		return nil, err
	}
	to, err := console.ParseNote(last)
	if err != nil {
		return nil, err
	}
	list := []console.Note{from}
	for n := from; n != to; list = append(list, n) {
		if n < to {
			n++
		} else {
			n--
		}
	}
	return list, nil
}

func (r *scriptReader) include(l scriptLine, depth int, keys map[string]string) {
	switch {
	case len(l.words) != 2:
		r.wrong(l.at, "write it like include knobs.bench", "include needs one file")
	case depth == mostIncludes:
		r.wrong(l.at, "", "files include each other more than %d deep", mostIncludes)
	default:
		path := l.words[1].text
		if !filepath.IsAbs(path) {
			path = filepath.Join(filepath.Dir(l.at.File), path)
		}
		r.file(at(l, 1), path, depth+1, keys)
	}
}

// at is the place of a word.
func at(l scriptLine, i int) finding.Place {
	p := l.at
	p.Column = l.words[min(i, len(l.words)-1)].column
	return p
}

func (r *scriptReader) wrong(at finding.Place, fix, format string, args ...any) {
	r.found = append(r.found, finding.Finding{Rule: finding.NoMeaning, Severity: finding.Error, Place: at, Message: fmt.Sprintf(format, args...), Fix: fix})
}
