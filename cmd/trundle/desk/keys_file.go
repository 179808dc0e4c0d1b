package desk

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"trundle/console/finding"
)

// KeysHead is the first line of a file of bindings. The lines behind it are a
// key each, and what it does; the keys that have no line do what they always
// do. Lines that begin with # and a blank are passed over.
//
//	format: 1
//	Delete let-go
//	a note c
//	x none
const KeysHead = "format: 1"

// unbound is what a key is given to do nothing.
const unbound Action = "none"

// ParseKeys reads a file of bindings; file is its name in findings, each of
// which is an error that leaves none.
func ParseKeys(file string, data []byte) (Bindings, []finding.Finding) {
	bindings := DefaultKeys()
	var findings []finding.Finding
	wrong := func(line, column int, rule, format string, args ...any) {
		findings = append(findings, finding.Finding{Rule: rule, Severity: finding.Error,
			Place: finding.Place{File: file, Line: line, Column: column}, Message: fmt.Sprintf(format, args...)})
	}
	if !utf8.Valid(data) {
		wrong(1, 1, finding.NoMeaning, "is no text in UTF-8")
		return nil, findings
	}
	number, headed := 0, false
	given := map[string]int{}
	for text := range strings.Lines(string(bytes.TrimPrefix(data, []byte("\ufeff")))) {
		number++
		key, does, _ := strings.Cut(strings.TrimSpace(text), " ")
		does = strings.Join(strings.Fields(does), " ")
		switch {
		case key == "" || key == "#" && Action(does) != unbound && !known(Action(does)):
		case !headed:
			headed = true
			if key+" "+does != KeysHead {
				wrong(number, 1, finding.OtherFormat, "this program reads keys that begin with the line %q", KeysHead)
				return nil, findings
			}
		case !isKey(key):
			wrong(number, 1, finding.NoMeaning, "no key %s; a key is one character or %s", key, strings.Join(names(), ", "))
		case given[key] > 0:
			wrong(number, 1, finding.NoMeaning, "%s has line %d already", key, given[key])
		case Action(does) == unbound:
			given[key] = number
			delete(bindings, key)
		case does == "":
			wrong(number, 1, finding.NoMeaning, "what %s does is missing; write it like Delete let-go, or %s none", key, key)
		case !known(Action(does)):
			fix := finding.DidYouMean(does, actionNames())
			if fix == "" {
				fix = "trundle desk --list-keys shows all that keys do"
			}
			wrong(number, strings.Index(text, key)+len(key)+2, finding.NoMeaning, "keys do no %s; %s", does, fix)
		default:
			given[key] = number
			bindings[key] = Action(does)
		}
	}
	switch {
	case findings != nil:
	case !headed:
		wrong(1, 1, finding.NoMeaning, "is empty; keys begin with the line %q", KeysHead)
	case len(bindings.of("quit")) == 0:
		wrong(1, 1, finding.NoMeaning, "no key is left to quit; give one, like F10 quit")
	}
	if findings != nil {
		return nil, findings
	}
	return bindings, nil
}

func actionNames() []string {
	var list []string
	for _, a := range Actions {
		list = append(list, string(a.Action))
	}
	for _, a := range notes {
		list = append(list, string(a))
	}
	return list
}

func known(a Action) bool { return slices.Contains(actionNames(), string(a)) }

// names are the keys that are no characters.
func names() []string {
	list := append(slices.Collect(maps.Values(keyNames)), "Space")
	slices.Sort(list)
	return slices.DeleteFunc(slices.Compact(list), func(name string) bool { return name == "Ctrl-C" })
}

func isKey(key string) bool {
	return utf8.RuneCountInString(key) == 1 || slices.Contains(names(), key)
}

// String is the bindings in the form of their file, in the order of the help.
func (b Bindings) String() string {
	text := KeysHead + "\n"
	for _, name := range actionNames() {
		for _, key := range b.of(Action(name)) {
			text += fmt.Sprintf("%s %s\n", key, name)
		}
	}
	return text
}
