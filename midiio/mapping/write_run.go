package mapping

import (
	"fmt"
	"strconv"
	"strings"
)

// phrases are the messages of a run as phrases, those to the organ first, nil
// when the entries are no run.
func phrases(run []Entry) (texts []string) {
	for _, way := range []Way{ToOrgan, ToConsole} {
		var on, off []shape
		for _, e := range run {
			f, first := e.forms[way], run[0].forms[way]
			if (f == nil) != (first == nil) {
				return nil
			}
			if f == nil {
				continue
			}
			if f.manner != first.manner {
				return nil
			}
			on = append(on, f.on)
			if f.manner == apart {
				off = append(off, f.off)
			}
		}
		for _, shapes := range [][]shape{on, off} {
			if shapes == nil {
				continue
			}
			text := runText(shapes)
			if text == "" {
				return nil
			}
			texts = append(texts, text)
		}
	}
	return texts
}

// runText is a run of shapes as a phrase, "" when they are none.
func runText(shapes []shape) string {
	first := shapes[0]
	if len(shapes) == 1 {
		return first.String()
	}
	if first.status == sysEx {
		return bodiesText(shapes)
	}
	step := shapes[1].number - first.number
	if first.value != open {
		return valuesText(shapes)
	}
	for n, s := range shapes {
		parameter := s.number >= firstNRPN
		s.number -= n * step
		if s != first || step < 1 || parameter != (first.number >= firstNRPN) {
			return ""
		}
	}
	return runFrom(first, step)
}

// runFrom is a run from a shape on that counts by a step.
func runFrom(first shape, step int) string {
	kind, number, rest := inParts(first)
	return fmt.Sprintf("%ss from %d%s%s", kind, number, slash(step), rest)
}

// inParts are the kind, the number and the channel of a shape's text.
func inParts(s shape) (kind string, number int, rest string) {
	words := strings.SplitN(s.String(), " ", 3)
	number, _ = strconv.Atoi(words[1])
	return words[0], number, " " + words[2]
}

// valuesText is a run of control changes with values of their own: either the
// controllers or the values rise.
func valuesText(shapes []shape) string {
	first := shapes[0]
	controllers, values := shapes[1].number-first.number, shapes[1].value-first.value
	for n, s := range shapes {
		s.number, s.value = s.number-n*controllers, s.value-n*values
		if s != first || controllers < 0 || values < 0 {
			return ""
		}
	}
	text := fmt.Sprintf("bytes %02X ", first.status)
	switch {
	case controllers > 0 && values == 0:
		return text + fmt.Sprintf("nn %02X from %d%s", first.value, first.number, slash(controllers))
	case controllers == 0 && values > 0:
		return text + fmt.Sprintf("%02X nn from %d%s", first.number, first.value, slash(values))
	}
	return ""
}

func slash(step int) string {
	if step == 1 {
		return ""
	}
	return "/" + strconv.Itoa(step)
}

// bodiesText is a run of system exclusive messages in which one byte rises.
func bodiesText(shapes []shape) string {
	first := shapes[0]
	at, step := -1, 0
	for i := range first.body {
		if len(shapes[1].body) == len(first.body) && shapes[1].body[i] != first.body[i] {
			if at >= 0 {
				return ""
			}
			at, step = i, int(shapes[1].body[i])-int(first.body[i])
		}
	}
	if at < 0 || step < 1 {
		return ""
	}
	for n, s := range shapes {
		body := []byte(s.body)
		if len(body) != len(first.body) {
			return ""
		}
		body[at] -= byte(n * step)
		s.body = string(body)
		if s != first {
			return ""
		}
	}
	words := strings.Fields(first.String())
	words[at+2] = "nn"
	return strings.Join(words, " ") + fmt.Sprintf(" from %d", first.body[at]) + slash(step)
}
