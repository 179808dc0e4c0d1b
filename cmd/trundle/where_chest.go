package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"trundle/console"
	"trundle/sim/wiring"
)

// met is what opens a valve that has no magnet of its own, like great-principal:26
// on a slider chest: for each division that plays it there, the note line of the
// chest that meets the rank's action. why says so, "" where the text names no such
// valve.
func met(in *console.Instrument, text string) (items []wiring.Item, why string) {
	id, number, _ := strings.Cut(text, ":")
	r := slices.IndexFunc(in.Ranks, func(r console.Rank) bool { return r.ID == id })
	valve, err := strconv.Atoi(number)
	if r < 0 || err != nil {
		return nil, ""
	}
	rank := in.Ranks[r]
	var ways []string
	for _, stand := range rank.Stands {
		chest := in.Chests[stand.Chest]
		if valve < stand.From || valve > stand.To || !chest.HasNoteLines() {
			continue
		}
		for _, d := range chest.Plays {
			note := rank.Note(valve)
			if !chest.Notes.Cut(in.Divisions[d].Notes).Has(note) {
				continue
			}
			line := wiring.Item{Kind: wiring.NoteKind, Index: stand.Chest, Of: wiring.NoteOf(chest, d), Note: int(note)}
			action := wiring.Item{Kind: wiring.ActionKind, Index: r, Of: wiring.ActionOf(in, r, d)}
			ways = append(ways, fmt.Sprintf("%s meets %s", wiring.Describe(in, []wiring.Item{line}), wiring.Describe(in, []wiring.Item{action})))
			for _, kind := range []wiring.Kind{wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind} {
				action.Kind = kind
				items = append(items, line, action)
			}
		}
	}
	if ways == nil {
		return nil, ""
	}
	return items, fmt.Sprintf("%s:%d has no magnet of its own: it opens where %s", id, valve, strings.Join(ways, ", or "))
}
