package wiring

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/table"
)

// one is an item that hangs on a single pin.
func (rd *reader) one(t *table.Table, kind Kind, item, notes table.Cell, n *names) []Item {
	if notes.Text != "" {
		rd.refuse(t, notes, "leave the cell empty", "a "+n.what+" has no notes")
	}
	if i, known := rd.find(t, item, item.Text, n); known {
		return []Item{{kind, i, console.None, 0}}
	}
	return nil
}

// keys are keys of a keyboard: the whole compass where no notes are given.
func (rd *reader) keys(t *table.Table, kind Kind, item, notes table.Cell) []Item {
	k, known := rd.find(t, item, item.Text, rd.keyboards)
	if !known {
		return nil
	}
	keyboard := rd.in.Keyboards[k]
	if kind == Key2Kind && keyboard.Touches < 2 {
		rd.refuse(t, item, "give the keyboard `touches: 2`, or take the row out", keyboard.ID+" has one contact under a key")
	}
	list := rd.notesWithin(t, notes, keyboard.Keys, keyboard.ID, "key")
	return eachNote(Item{kind, k, console.None, 0}, list)
}

// notesWithin are the notes of a cell, all of a compass where it is empty. A
// note outside is noted.
func (rd *reader) notesWithin(t *table.Table, c table.Cell, compass console.Span, owner, what string) []console.Note {
	if c.Text == "" {
		return spread(compass)
	}
	list := rd.notes(t, c)
	for _, n := range list {
		if !compass.Has(n) {
			rd.refuse(t, c, fmt.Sprintf("it has %s", compass), fmt.Sprintf("%s has no %s %s", owner, what, n))
			return nil
		}
	}
	return list
}

func eachNote[N int | console.Note](item Item, list []N) []Item {
	items := make([]Item, len(list))
	for i, n := range list {
		items[i] = item
		items[i].Note = int(n)
	}
	return items
}

// numbersUpTo are the numbers of a cell; a higher one than the last is noted.
func (rd *reader) numbersUpTo(t *table.Table, c table.Cell, last int, owner, what string) []int {
	list := rd.numbers(t, c)
	for _, n := range list {
		if n > last {
			rd.refuse(t, c, fmt.Sprintf("it has 1..%d", last), fmt.Sprintf("%s has no %s %d", owner, what, n))
			return nil
		}
	}
	return list
}

// valves are valves of a rank: all of them where no numbers are given.
func (rd *reader) valves(t *table.Table, item, notes table.Cell) []Item {
	r, known := rd.find(t, item, item.Text, rd.ranks)
	if !known {
		return nil
	}
	rank := rd.in.Ranks[r]
	if notes.Text == "" {
		notes.Text = fmt.Sprintf("1..%d", rank.Pipes)
	}
	return eachNote(Item{ValveKind, r, console.None, 0}, rd.numbersUpTo(t, notes, rank.Pipes, rank.ID, "valve"))
}

// stages are stages of a crescendo or magnets of a box's shades: all of them where
// no numbers are given, on one pin one item of no stage.
func (rd *reader) stages(t *table.Table, kind Kind, item, notes table.Cell, pins int, n *names, last func(int) int) []Item {
	i, known := rd.find(t, item, item.Text, n)
	switch {
	case !known:
		return nil
	case notes.Text == "" && (pins <= 1 || last(i) == 0):
		return []Item{{kind, i, console.None, 0}}
	case notes.Text == "":
		notes.Text = fmt.Sprintf("1..%d", last(i))
	}
	what := "stage"
	if kind == ShadeKind {
		what = "shade magnet"
	}
	return eachNote(Item{kind, i, console.None, 0}, rd.numbersUpTo(t, notes, last(i), item.Text, what))
}

// crescendoStages is the number of stages of a sequence, or of the longest.
func (rd *reader) crescendoStages(sequence int) int {
	if sequence != console.None {
		return len(rd.in.Crescendo[sequence].Stages)
	}
	longest := 0
	for _, s := range rd.in.Crescendo {
		longest = max(longest, len(s.Stages))
	}
	return longest
}

// noteLines are note lines of a chest: all of them where no notes are given.
// A unit chest has none; a rule says so, and the pins lead nowhere.
func (rd *reader) noteLines(t *table.Table, item, notes table.Cell, pins int) []Item {
	name, of, divided := strings.Cut(item.Text, "/")
	c, known := rd.find(t, item, name, rd.chests)
	if !known {
		return nil
	}
	chest := rd.in.Chests[c]
	if !chest.HasNoteLines() {
		return slices.Repeat([]Item{{NoteKind, c, console.None, 0}}, pins)
	}
	division, known := rd.playedBy(t, item, name, of, divided, chest.Plays)
	if !known {
		return nil
	}
	list := rd.notesWithin(t, notes, chest.Notes, chest.ID, "note line")
	return eachNote(Item{NoteKind, c, division, 0}, list)
}

// action is the action of a rank, of one division where several play it. A
// rank that stands on unit chests only has none; a rule says so.
func (rd *reader) action(t *table.Table, kind Kind, item, notes table.Cell) []Item {
	name, of, divided := strings.Cut(item.Text, "/")
	if notes.Text != "" {
		rd.refuse(t, notes, "leave the cell empty", "an action has no notes")
	}
	r, known := rd.find(t, item, name, rd.ranks)
	if !known {
		return nil
	}
	plays := divisionsOf(rd.in, r)
	if len(plays) == 0 {
		return []Item{{kind, r, console.None, 0}}
	}
	division, known := rd.playedBy(t, item, name, of, divided, plays)
	if !known {
		return nil
	}
	return []Item{{kind, r, division, 0}}
}

// playedBy is the division of an item written item/division: None where only
// one plays it, with or without its name.
func (rd *reader) playedBy(t *table.Table, c table.Cell, item, of string, divided bool, plays []int) (division int, known bool) {
	var ids []string
	for _, d := range plays {
		ids = append(ids, rd.in.Divisions[d].ID)
	}
	at := slices.Index(ids, of)
	switch {
	case divided && at < 0:
		rd.found = append(rd.found, finding.Finding{Rule: finding.UnknownID, Severity: finding.Error, Place: t.Place(c),
			Message: fmt.Sprintf("%s is not played by a division %s", item, of), Fix: "write " + item + "/" + strings.Join(ids, " or "+item+"/")})
		return 0, false
	case len(plays) == 1:
		return console.None, true
	case !divided:
		rd.refuse(t, c, "write "+item+"/"+strings.Join(ids, " or "+item+"/"), item+" is played by "+strings.Join(ids, " and "))
		return 0, false
	}
	return plays[at], true
}
