package fault

import (
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// Example is a class with one of the ways in which a relay can have it.
type Example struct {
	Class string
	Ways  int
	Fault string // as Find takes it
}

// Examples are the classes of mistakes that can be made in a relay.
func Examples(r *wiring.Relay, in *console.Instrument) []Example {
	var list []Example
	for _, s := range Sites(r, in) {
		i := slices.IndexFunc(list, func(e Example) bool { return e.Class == s.Class })
		if i < 0 {
			i = len(list)
			list = append(list, Example{Class: s.Class, Fault: s.Class + ":" + base(s.Named(s.Count/2).Where)})
		}
		list[i].Ways += s.Count
	}
	return list
}

// shown is how many mistakes an error names.
const shown = 4

// way is one of the ways of a site.
type way struct {
	Site
	i int
}

// Find is the one mistake that CLASS:WHERE names. WHERE is pins (X3.13,X3.14 or
// X3.13..14) that are those of the mistake, or what Fault.Where begins with, or
// the board of its first pin; a
// part of that may stand behind a =, as in switching.csv:77=great. Of a file the
// last part of its name is enough. Pins alone are those of the wiring, where the
// mistake can be made there.
func Find(r *wiring.Relay, in *console.Instrument, text string) (Fault, error) {
	class, where, _ := strings.Cut(text, ":")
	where, with, _ := strings.Cut(where, "=")
	pins := pinsOf(r, where)
	var classes []string
	var other string // a mistake of the class, where none is found
	var found []way
	seen := map[string]bool{}
	for _, s := range Sites(r, in) {
		if s.Class != class {
			classes = append(classes, s.Class)
			continue
		}
		if other == "" {
			other = class + ":" + base(s.Named(0).Where)
		}
		if len(pins) > 0 && s.Among != nil && !slices.Contains(s.Among, pins[0]) {
			continue
		}
		for i := range s.Count {
			f := s.Named(i)
			if !f.at(where, pins) || !says(f.Where, with) {
				continue
			}
			if f.Where == where || base(f.Where) == where || s.In == Soldered && len(pins) > 0 {
				return s.Way(i), nil
			}
			if !seen[f.Where] {
				found = append(found, way{s, i})
			}
			seen[f.Where] = true
		}
	}
	switch {
	case len(found) == 1:
		return found[0].Way(found[0].i), nil
	case len(found) > 1:
		var list []string
		for _, w := range found[:min(shown, len(found))] {
			list = append(list, strconv.Quote(class+":"+base(w.Named(w.i).Where)))
		}
		return Fault{}, fmt.Errorf("%s may be any of %d mistakes: name one, like %s", text, len(found), strings.Join(list, ", "))
	case other != "":
		return Fault{}, fmt.Errorf("no mistake %s can be made in this relay; one is %s", text, strconv.Quote(other))
	}
	slices.Sort(classes)
	classes = slices.Compact(classes)
	wrong := "no class of mistakes " + class
	if fix := finding.DidYouMean(class, classes); fix != "" {
		return Fault{}, fmt.Errorf("%s; %s", wrong, fix)
	}
	return Fault{}, fmt.Errorf("%s; they are %s", wrong, strings.Join(classes, ", "))
}

// at reports whether a mistake is made at a place.
func (f Fault) at(where string, pins []wiring.Terminal) bool {
	if len(pins) > 0 && slices.Equal(f.sorted(), pins) {
		return true
	}
	for _, name := range []string{f.Where, base(f.Where)} {
		rest, is := strings.CutPrefix(name, where)
		board := strings.HasPrefix(rest, ".") && !strings.Contains(where, ".")
		if is && (where == "" || rest == "" || rest[0] == ' ' || board) {
			return true
		}
	}
	return false
}

func (f Fault) sorted() []wiring.Terminal {
	pins := slices.Clone(f.Pins)
	slices.SortFunc(pins, inOrder)
	return pins
}

// says reports whether a text has all of some words in it, before what it says
// of how it should be.
func says(text, words string) bool {
	text, _, _ = strings.Cut(text, ", ")
	has := strings.Fields(text)
	for _, w := range strings.Fields(words) {
		if !slices.Contains(has, w) {
			return false
		}
	}
	return true
}

// base is a place in a file under the last part of the file's name.
func base(where string) string {
	name, rest, more := strings.Cut(where, " ")
	if name = path.Base(strings.ReplaceAll(name, `\`, "/")); more {
		name += " " + rest
	}
	return name
}

// pinsOf reads pins, ascending: X3.13,X3.14, or X3.13..14, or X3.13,14; none
// when they are no pins.
func pinsOf(r *wiring.Relay, text string) []wiring.Terminal {
	var pins []wiring.Terminal
	board := ""
	for part := range strings.SplitSeq(text, ",") {
		if b, numbers, found := strings.Cut(part, "."); found && !strings.HasPrefix(numbers, ".") {
			board, part = b, numbers
		}
		first, last, isRun := strings.Cut(part, "..")
		if !isRun {
			last = first
		}
		from, err1 := strconv.Atoi(strings.TrimSpace(first))
		to, err2 := strconv.Atoi(strings.TrimSpace(last))
		on := named(r, strings.TrimSpace(board))
		if err1 != nil || err2 != nil || on < 0 || from < 1 || to >= 1<<16 {
			return nil
		}
		for pin := from; pin <= to; pin++ {
			pins = append(pins, wiring.Terminal{On: on, Pin: pin})
		}
	}
	slices.SortFunc(pins, inOrder)
	return pins
}

// named is the board or strip of a name, by Terminal.On; -1 for none.
func named(r *wiring.Relay, id string) int {
	for on := range len(r.Boards) + len(r.Strips) {
		if r.Board(on) == id {
			return on
		}
	}
	return -1
}
