package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// partsOf says what may stand behind the name of a rank or a keyboard; for a note of
// a rank, which valve that is.
func partsOf(in *console.Instrument, name, part string) string {
	for _, rank := range in.Ranks {
		if rank.ID != name {
			continue
		}
		text := fmt.Sprintf("its valves are 1..%d", rank.Pipes)
		if note, err := console.ParseNote(part); err == nil && note >= rank.From && note < rank.From+console.Note(rank.Pipes) {
			text += fmt.Sprintf("; that of %s is %s:%d", note, name, note-rank.From+1)
		}
		return text
	}
	for _, keyboard := range in.Keyboards {
		if keyboard.ID == name {
			return "its keys are " + keyboard.Keys.String()
		}
	}
	return "ask for " + name + " alone"
}

// firstOf is the first of what one id stands for: flute:1, great:C2.
func firstOf(in *console.Instrument, id string) string {
	for _, item := range wiring.Every(in) {
		if _, name, note := item.Words(in); name == id && note != "" {
			return id + ":" + note
		}
	}
	return id
}

// firstValve is a valve that a division takes, to show how one is named.
func firstValve(in *console.Instrument, division int) string {
	for _, stop := range in.Stops {
		if stop.Division == division && len(stop.Takes) > 0 {
			return in.Ranks[stop.Takes[0].Rank].ID + ":1"
		}
	}
	return "bourdon:1"
}

// unknownThing complains of a text that names nothing, with what comes near.
func unknownThing(in *console.Instrument, r *wiring.Relay, text string, noteless bool) error {
	if noteless {
		return complaint{text + " has many pins", "name one of them, like " + firstOf(in, text)}
	}
	name, part := text, ""
	if i := strings.IndexAny(text, ":."); i > 0 {
		name, part = text[:i], text[i:]
	}
	if text == "" {
		return complaint{"what to look for is missing", "name a pin like X3.14, a valve like bourdon:26, a key like great:C4 or a control"}
	}
	var known []string
	for _, item := range wiring.Every(in) {
		_, id, _ := item.Words(in)
		known = append(known, id)
	}
	var pinned []string
	for _, b := range r.Boards {
		pinned = append(pinned, b.ID)
	}
	for _, s := range r.Strips {
		pinned = append(pinned, s.ID)
	}
	known = append(known, pinned...)
	for _, c := range r.Cables {
		known = append(known, c.ID)
	}
	slices.Sort(known)
	known = slices.Compact(known)
	switch {
	case slices.Contains(pinned, name):
		return complaint{fmt.Sprintf("%s is a board or strip", name), fmt.Sprintf("name a pin with a point, like %s.%s", name, cmp.Or(strings.Trim(part, ":"), "1"))}
	case slices.ContainsFunc(r.Cables, func(c wiring.Cable) bool { return c.ID == name }):
	case slices.Contains(known, name) && strings.Trim(part, ":.") == "":
		return complaint{"behind " + text + " something is missing", partsOf(in, name, "")}
	case slices.Contains(known, name) && part[0] == '.':
		return complaint{name + " has no pins of its own", "write a key or valve with a colon, like " + firstOf(in, name)}
	case slices.Contains(known, name):
		return complaint{fmt.Sprintf("%s has no %s", name, part[1:]), partsOf(in, name, part[1:])}
	}
	for _, cable := range r.Cables {
		if cable.ID == name {
			return complaint{name + " is a cable", fmt.Sprintf("it has wires %s:1 to %s:%d", name, name, cable.Wires)}
		}
	}
	for d, division := range in.Divisions {
		if division.ID == name {
			return complaint{name + " is a division, and on no pin itself", reachedBy(in, d) + "; or name a valve, like " + firstValve(in, d)}
		}
	}
	near := finding.Nearest(name, known)
	if strings.HasPrefix(part, ".") && !strings.EqualFold(near, name) { // X9 differs from X1 in a letter, and means another board
		return complaint{"no board or strip " + name, "they are " + someOf(pinned)}
	}
	fix := "did you mean " + near + part + "?"
	if near == "" {
		fix = "name a pin like X3.14, a valve like bourdon:26, a key like great:C4 or a control"
	}
	return complaint{"nothing is called " + text, fix}
}
