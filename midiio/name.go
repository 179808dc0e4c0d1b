package midiio

import (
	"fmt"
	"strconv"
	"strings"
)

// numbered are names of which none occurs twice: the second of a name has #2
// behind it.
func numbered(names []string) []string {
	seen := map[string]int{}
	list := make([]string, len(names))
	for i, name := range names {
		seen[name]++
		list[i] = name
		if n := seen[name]; n > 1 {
			list[i] += "#" + strconv.Itoa(n)
		}
	}
	return list
}

// pick is which of the numbered names of a kind of ports, like midi, a name
// means: the one that it is, or else the only one that holds it, whatever the
// case of its letters. Otherwise the error lists those that it may mean.
func pick(kind, name string, names []string) (int, error) {
	var holding []int
	var candidates []string
	for i, known := range names {
		if known == name {
			return i, nil
		}
		if strings.Contains(strings.ToLower(known), strings.ToLower(name)) {
			holding = append(holding, i)
			candidates = append(candidates, kind+":"+known)
		}
	}
	switch len(holding) {
	case 1:
		return holding[0], nil
	case 0:
		if len(names) == 0 {
			return 0, fmt.Errorf("no MIDI port %s:%s: there are none", kind, name)
		}
		return 0, fmt.Errorf("no MIDI port %s:%s; there are %s:%s", kind, name, kind, strings.Join(names, ", "+kind+":"))
	}
	return 0, fmt.Errorf("%s:%s may be any of %s; name one of them", kind, name, strings.Join(candidates, ", "))
}
