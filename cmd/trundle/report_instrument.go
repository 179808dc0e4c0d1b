package main

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"trundle/cmd/trundle/paper"
	"trundle/combination"
	"trundle/console"
)

// tablePart is a table as a part of a section.
func tablePart(t paper.Table) paper.Part { return paper.Part{Table: &t} }

// titled is a name with a capital, for one that the file has not given.
func titled(name string) string {
	r, size := utf8.DecodeRuneInString(name)
	return string(unicode.ToUpper(r)) + name[size:]
}

func stopSections(a sheetAnswer) []paper.Section {
	sections := []paper.Section{{ID: "stops", Title: "Stops", Text: []string{"In all: " + a.Totals.String() + "."}}}
	for _, d := range a.Divisions {
		s := paper.Section{ID: "stops-" + d.Division, Title: titled(d.Name), Inside: true, Text: []string{d.Totals.String() + "."}}
		for _, group := range []struct {
			name, caption string
			stops         []stopPaper
		}{{"stops-" + d.Division, "Stops of " + titled(d.Name), d.Stops}, {"percussions-" + d.Division, "Percussions of " + titled(d.Name) + ", which have no pipes", d.Percussions}} {
			if len(group.stops) > 0 {
				t := paper.Table{Name: group.name, Caption: group.caption, Head: stopHeader}
				for _, stop := range group.stops {
					t.Rows = append(t.Rows, stop.Cells())
				}
				s.Parts = append(s.Parts, tablePart(t))
			}
		}
		sections = append(sections, s)
	}
	return sections
}

func compassSection(in *console.Instrument) paper.Section {
	keyboards := paper.Table{Name: "keyboards", Caption: "Keyboards", Head: []string{"keyboard", "name", "kind", "keys", "count", "contacts"}}
	for _, k := range in.Keyboards {
		keyboards.Rows = append(keyboards.Rows, []string{k.ID, k.Name, string(k.Kind), k.Keys.String(), strconv.Itoa(k.Keys.Len()), strconv.Itoa(k.Touches)})
	}
	divisions := paper.Table{Name: "divisions", Caption: "Divisions", Head: []string{"division", "name", "keyboard", "notes", "count", "box"}}
	for _, d := range in.Divisions {
		home, box := "none: it floats", ""
		if d.Keyboard != console.None {
			home = in.Keyboards[d.Keyboard].ID
		}
		if d.Box != console.None {
			box = fmt.Sprintf("%s, %d stages", in.Boxes[d.Box].ID, in.Boxes[d.Box].Stages)
		}
		divisions.Rows = append(divisions.Rows, []string{d.ID, d.Name, home, d.Notes.String(), strconv.Itoa(d.Notes.Len()), box})
	}
	return paper.Section{ID: "compasses", Title: "Compasses", Parts: []paper.Part{tablePart(keyboards), tablePart(divisions)},
		Text: []string{"C4 is middle C, MIDI key 60; C2 is the lowest key of a manual."}}
}

func couplerSection(in *console.Instrument) paper.Section {
	s := paper.Section{ID: "couplers", Title: "Couplers"}
	if len(in.Couplers) > 0 {
		for _, d := range couplerDrawings(in) {
			s.Parts = append(s.Parts, paper.Part{Drawing: d})
		}
	}
	couplers := paper.Table{Name: "couplers", Caption: "Couplers", Head: []string{"coupler", "name", "played from", "plays", "interval", "carries", "picks", "keys"}}
	for _, c := range in.Couplers {
		keys := ""
		if c.Keys != console.AllNotes {
			keys = c.Keys.String()
		}
		couplers.Rows = append(couplers.Rows, []string{c.ID, c.Name, playedFrom(in, c), in.Divisions[c.Division].ID, interval(c.Shift), string(c.Carries), string(c.Picks), keys})
	}
	offs := paper.Table{Name: "unison-offs", Caption: "Unison offs", Head: []string{"unison off", "name", "silences", "cuts"}}
	cuts := map[console.Cuts]string{console.CutsKeys: "its home keys", console.CutsLine: "its home keys, and couplers from other keyboards", console.CutsAll: "its home keys, and all couplers"}
	for _, u := range in.UnisonOffs {
		offs.Rows = append(offs.Rows, []string{u.ID, u.Name, in.Divisions[u.Division].ID, cuts[u.Cuts]})
	}
	for _, t := range []paper.Table{couplers, offs} {
		if len(t.Rows) > 0 {
			s.Parts = append(s.Parts, tablePart(t))
		}
	}
	if len(s.Parts) == 0 {
		s.Text = []string{"There are none."}
	}
	return s
}

// playedFrom is the keyboard that plays a coupler.
func playedFrom(in *console.Instrument, c console.Coupler) string {
	k := c.Keyboard
	if k == console.None {
		k = in.Divisions[c.Division].Keyboard
	}
	if k == console.None {
		return "whatever plays " + in.Divisions[c.Division].ID
	}
	return in.Keyboards[k].ID
}

// interval is a shift in words.
func interval(shift int) string {
	switch shift {
	case 0:
		return "unison"
	case 12:
		return "octave up"
	case -12:
		return "octave down"
	}
	if shift < 0 {
		return fmt.Sprintf("%d semitones down", -shift)
	}
	return fmt.Sprintf("%d semitones up", shift)
}

func rankSection(in *console.Instrument) paper.Section {
	ranks := paper.Table{Name: "ranks", Caption: "Ranks", Head: []string{"rank", "name", "family", "feet", "from", "valves", "pipes", "lowest, Hz", "highest, Hz", "stands on", "taken by"}}
	pipeList := paper.Table{Name: "pipes", Caption: "Pipes", Head: []string{"rank", "valve", "note", "pitches, Hz"}, Apart: true}
	breaks := paper.Table{Name: "breaks", Caption: "Rows of compound ranks", Head: []string{"rank", "from", "rows"}}
	for r, rank := range in.Ranks {
		feet, standing, takers, count := "", []string{}, []string{}, 0
		if !rank.Feet.IsZero() {
			feet = rank.Feet.String()
		}
		for _, stand := range rank.Stands {
			standing = append(standing, fmt.Sprintf("%s %d..%d", in.Chests[stand.Chest].ID, stand.From, stand.To))
		}
		for _, stop := range in.Stops {
			if slices.ContainsFunc(stop.Takes, func(t console.Take) bool { return t.Rank == r }) {
				takers = append(takers, stop.ID)
			}
		}
		low, high := 0.0, 0.0
		for v := 1; v <= rank.Pipes; v++ {
			count += rank.PipesOn(v)
			var pitches []string
			for _, hz := range in.Hz(r, v) {
				if low == 0 || hz < low {
					low = hz
				}
				high = max(high, hz)
				pitches = append(pitches, fmt.Sprintf("%.2f", hz))
			}
			pipeList.Rows = append(pipeList.Rows, []string{rank.ID, strconv.Itoa(v), rank.Note(v).String(), strings.Join(pitches, " ")})
		}
		ranks.Rows = append(ranks.Rows, []string{rank.ID, rank.Name, rank.Family, feet, rank.From.String(), strconv.Itoa(rank.Pipes), strconv.Itoa(count),
			fmt.Sprintf("%.2f", low), fmt.Sprintf("%.2f", high), strings.Join(standing, ", "), strings.Join(takers, ", ")})
		for _, b := range rank.Breaks {
			var rows []string
			for _, row := range b.Rows {
				rows = append(rows, row.Text)
			}
			breaks.Rows = append(breaks.Rows, []string{rank.ID, b.From.String(), strings.Join(rows, " ")})
		}
	}
	s := paper.Section{ID: "ranks", Title: "Pipes by rank", Parts: []paper.Part{tablePart(ranks)},
		Text: []string{fmt.Sprintf("Pitches are those of equal temperament at A4 = %g Hz, but where the instrument has another. Every pipe stands in the table pipes, beside this page.", in.Pitch.A4)}}
	if len(breaks.Rows) > 0 {
		s.Parts = append(s.Parts, tablePart(breaks))
	}
	s.Parts = append(s.Parts, tablePart(pipeList))
	return s
}

func buttonSection(in *console.Instrument, a sheetAnswer, memories *combination.Memories) paper.Section {
	buttons := paper.Table{Name: "pistons", Caption: "Pistons and toe studs", Head: buttonHeader}
	for i, b := range a.Buttons {
		cells := b.Cells()
		if b.Repeats == "" {
			cells[len(cells)-1] = takesOf(a.Buttons, i)
		}
		buttons.Rows = append(buttons.Rows, cells)
	}
	s := paper.Section{ID: "pistons", Title: "Combination action", Parts: []paper.Part{tablePart(buttons)},
		Text: []string{fmt.Sprintf("Memories: %d. A piston takes the controls listed with it, and touches no other.", in.Combination.Memories)}}
	if memories == nil {
		return s
	}
	held := paper.Table{Name: "combinations", Caption: "What is captured", Head: []string{"memory", "piston", "draws"}}
	for _, slot := range memories.Set() {
		var draws []string
		for _, c := range memories.Combination(slot).On {
			draws = append(draws, in.Controls[c].ID)
		}
		held.Rows = append(held.Rows, []string{strconv.Itoa(slot.Memory), in.Combination.Buttons[slot.Button].ID, strings.Join(draws, ", ")})
	}
	s.Parts = append(s.Parts, tablePart(held))
	return s
}

// takesOf is what a button takes, by an earlier one where that takes the same, or
// little more.
func takesOf(buttons []buttonPaper, button int) string {
	const little = 8
	b := buttons[button]
	if len(b.Takes) < 2 {
		return strings.Join(b.Takes, ", ")
	}
	most := 0 // that a general takes: all there is
	for _, other := range buttons {
		if other.Kind == string(console.General) {
			most = max(most, len(other.Takes))
		}
	}
	for _, earlier := range buttons[:button] {
		without := slices.DeleteFunc(slices.Clone(earlier.Takes), func(id string) bool { return slices.Contains(b.Takes, id) })
		switch {
		case len(earlier.Takes)-len(without) != len(b.Takes) || len(without) > min(little, len(b.Takes)):
		case len(without) == 0:
			return "as " + earlier.Button
		default:
			return "as " + earlier.Button + " without " + strings.Join(without, ", ")
		}
	}
	if b.Kind == string(console.General) && len(b.Takes) == most {
		return "all stops, couplers, unison offs and tremulants"
	}
	return strings.Join(b.Takes, ", ")
}

func crescendoSection(in *console.Instrument) paper.Section {
	stages := paper.Table{Name: "crescendo", Caption: "Stages of the crescendo", Head: []string{"sequence", "stage", "adds", "drops", "stops on"}}
	ids := func(controls []int) string {
		var list []string
		for _, c := range controls {
			list = append(list, in.Controls[c].ID)
		}
		return strings.Join(list, ", ")
	}
	for i, sequence := range in.Crescendo {
		counts := stopsByStage(in, i)
		for stage, x := range sequence.Stages {
			stages.Rows = append(stages.Rows, []string{sequence.Name, strconv.Itoa(stage + 1), ids(x.Adds), ids(x.Drops), strconv.Itoa(counts[stage+1])})
		}
	}
	return paper.Section{ID: "crescendo", Title: "Crescendo", Parts: []paper.Part{{Drawing: crescendoDrawing(in)}, tablePart(stages)}}
}

// stopsByStage is how many stops are on at each stage of a sequence, from 0.
func stopsByStage(in *console.Instrument, sequence int) []int {
	counts := make([]int, len(in.Crescendo[sequence].Stages)+1)
	for stage := range counts {
		for c, on := range in.On(console.State{Sequence: sequence, Stage: stage}) {
			if on && in.Controls[c].Kind == console.StopControl {
				counts[stage]++
			}
		}
	}
	return counts
}

// signSection is where the papers are signed, and the records with them.
func signSection(days []*dayAnswers) paper.Section {
	s := paper.Section{ID: "signed", Title: "Seen and agreed", Text: []string{"These papers say what the files say whose digests they list, and nothing of others."}}
	for _, a := range days {
		s.Text = append(s.Text, fmt.Sprintf("With them, the record %s, whose seal is %s.", a.File, a.Seal))
	}
	s.Parts = []paper.Part{{Sign: []string{"for the client, name and date", "for the builder, name and date"}}}
	return s
}

// filesTable is what was read, by SHA-256.
func filesTable(files map[string]string) paper.Table {
	t := paper.Table{Name: "files", Caption: "The files that were read, by their SHA-256", Head: []string{"file", "digest"}}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		t.Rows = append(t.Rows, []string{name, strings.TrimPrefix(files[name], "sha256:")})
	}
	return t
}
