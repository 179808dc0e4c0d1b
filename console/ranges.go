package console

import (
	"fmt"
	"strconv"
	"strings"
)

// MaxMembers is the most notes or numbers that one list of ranges may have.
const MaxMembers = 4096

// highestNumber bounds pins, wires and valves.
const highestNumber = 99999

// ParseSpan reads a range of a compass, which only ascends: C2..C7, or one
// note. A range of bare numbers from below C1, 1..61, is refused: it counts
// keys, and no console has one down there.
func ParseSpan(s string) (Span, error) {
	from, to, isRange := strings.Cut(s, "..")
	if !isRange {
		n, err := ParseNote(s)
		if err != nil {
			return Span{}, fmt.Errorf("%q is no range of notes: write it like C2..C7", s)
		}
		return Span{n, n}, nil
	}
	span, err := noteEnds(from, to)
	if err == nil && span.To < span.From {
		err = fmt.Errorf("%s runs backwards: write %s..%s", s, strings.TrimSpace(to), strings.TrimSpace(from))
	}
	return span, err
}

// ParseNotes reads notes and ranges of them, separated by blanks or
// semicolons, in the order they stand: C2..C7, C7..C2, C2..A#6/2 C#2..B6/2.
// A step that passes by the end of its range is an error.
func ParseNotes(s string) ([]Note, error) {
	return members(s, "note", ParseNote, noteEnds)
}

// ParseNumbers reads numbers of pins, wires or valves, which count from 1, and
// ranges of them, as ParseNotes reads notes: 1..25 27..62, 61..1, 1..61/2.
func ParseNumbers(s string) ([]int, error) {
	numbers, err := members(s, "number", parseNumber, func(from, to string) (span Span, err error) {
		if span.From, err = parseNumber(from); err == nil {
			span.To, err = parseNumber(to)
		}
		return span, err
	})
	if err != nil {
		return nil, err
	}
	list := make([]int, len(numbers))
	for i, n := range numbers {
		list[i] = int(n)
	}
	return list, nil
}

// parseNumber reads a number as a Note, so that both sorts of range are one.
func parseNumber(s string) (Note, error) {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	switch {
	case err != nil:
		return 0, fmt.Errorf("%q is no number: pins, wires and valves are counted 1, 2, 3, and a run is like 1..61", s)
	case n < 1 || n > highestNumber:
		return 0, fmt.Errorf("%s is out of range: pins, wires and valves count from 1 to %d", s, highestNumber)
	}
	return Note(n), nil
}

// noteEnds reads both ends of a range of notes.
func noteEnds(from, to string) (Span, error) {
	low, err := ParseNote(from)
	if err != nil {
		return Span{}, err
	}
	high, err := ParseNote(to)
	if err != nil {
		return Span{}, err
	}
	if bare(from) && bare(to) && min(low, high) < 24 {
		count := Span{low + 35, high + 35}
		return Span{}, fmt.Errorf("%s..%s counts keys; name notes instead: %s if the lowest is C2", from, to, count)
	}
	return Span{low, high}, nil
}

func bare(note string) bool {
	note = strings.TrimSpace(note)
	return note != "" && note[0] >= '0' && note[0] <= '9'
}

// members expands a list of single members and ranges.
func members(s, what string, one func(string) (Note, error), ends func(from, to string) (Span, error)) ([]Note, error) {
	var list []Note
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\t' || r == ';' || r == '\u00a0' }) {
		from, to, isRange := strings.Cut(word, "..")
		if meant, dashed := withDots(word, ends); dashed {
			return nil, fmt.Errorf("%s is no range: write %s", word, meant)
		}
		if !isRange {
			n, err := one(word)
			if err != nil {
				return nil, err
			}
			list = append(list, n)
		} else {
			to, by, stepped := strings.Cut(to, "/")
			if from == "" || to == "" {
				return nil, fmt.Errorf("%.40s: an end of the range is missing; no blanks stand beside its dots", s)
			}
			span, err := ends(from, to)
			if err != nil {
				return nil, err
			}
			step := 1
			if stepped {
				if step, err = strconv.Atoi(by); err != nil || step < 1 {
					return nil, fmt.Errorf("%s: a step is a whole number from 1, not %q", word, by)
				}
			}
			run, err := expand(word, span, step)
			if err != nil {
				return nil, err
			}
			list = append(list, run...)
		}
		if len(list) > MaxMembers {
			return nil, fmt.Errorf("%.40s: more than %d %ss", s, MaxMembers, what)
		}
	}
	if list == nil {
		return nil, fmt.Errorf("a %s or a range is missing", what)
	}
	return list, nil
}

// dashes are what a range is written with elsewhere: three dots, in one sign or
// two, and the hyphen, the dashes and the minus sign.
var dashes = strings.NewReplacer("...", "..", "…", "..", "‥", "..", "-", "..", "‐", "..", "–", "..", "—", "..", "−", "..")

// withDots is a range that is written with a dash as it should be written.
func withDots(word string, ends func(from, to string) (Span, error)) (meant string, dashed bool) {
	meant = dashes.Replace(word)
	from, to, isRange := strings.Cut(meant, "..")
	if meant == word || !isRange || strings.Count(meant, "..") > 1 {
		return "", false
	}
	to, _, _ = strings.Cut(to, "/")
	_, err := ends(from, to)
	return meant, err == nil
}

// expand lists a range, up or down, by its step.
func expand(word string, span Span, step int) ([]Note, error) {
	width := int(span.To - span.From)
	if width < 0 {
		width, step = -width, -step
	}
	size := max(step, -step)
	if width%size != 0 {
		return nil, fmt.Errorf("%s: steps of %d pass by the end of the range", word, size)
	}
	if width/size >= MaxMembers {
		return nil, fmt.Errorf("%s: more than %d members", word, MaxMembers)
	}
	run := make([]Note, 0, width/size+1)
	for i := range width/size + 1 {
		run = append(run, span.From+Note(i*step))
	}
	return run, nil
}
