package wiring

import (
	"fmt"
	"path/filepath"
	"strings"

	"trundle/console"
	"trundle/console/finding"
)

func itemWiredTwice(r *Relay, in *console.Instrument) []finding.Finding {
	var found []finding.Finding
	told := map[finding.Place]bool{} // by the second of both rows
	for _, m := range mistakenRows(r, in) {
		row, twin := r.Plan[m.row], r.Plan[m.twin]
		f := fault(row.Place(ItemColumn), r.rewritten(row, in, m.item), "%s is wired already, and %s is on no pin", row.said(), Describe(in, []Item{m.item}))
		f.Related = []finding.Related{{Place: twin.Place(ItemColumn), Message: "here: " + twin.said()}}
		if !m.sure {
			f.Fix = fmt.Sprintf("either %s, or in %s:%d %s", f.Fix, filepath.Base(twin.At.File), twin.At.Line, r.rewritten(twin, in, m.item))
		}
		found = append(found, f)
		told[r.Plan[max(m.row, m.twin)].At] = true
	}
	return append(found, r.eachList(func(rows []Row) []finding.Finding {
		var found []finding.Finding
		first := make(map[Item]int, itemsOf(rows))
		for i, row := range rows {
			count, before := 0, i
			for _, item := range row.Items {
				j, wired := first[item]
				switch {
				case item.Index == console.None && item.Kind != StageKind, item.Kind == NoteKind && item.Note == 0:
				case !wired:
					first[item] = i
				case row.Group == "" || rows[j].Group != row.Group:
					if count++; count == 1 {
						before = j
					}
				}
			}
			if count > 0 && !told[row.At] {
				what := row.said()
				if count < len(row.Items) {
					what = fmt.Sprintf("%d of %s", count, what)
				}
				f := fault(row.Place(ItemColumn), "take one row out, or give both one group when the two are meant to work together",
					"%s %s wired already", what, areIs(count))
				f.Related = []finding.Related{{Place: rows[before].Place(ItemColumn), Message: "here: " + rows[before].said()}}
				found = append(found, f)
			}
		}
		return found
	})...)
}

// itemsOf is how many items rows hang up.
func itemsOf(rows []Row) int {
	count := 0
	for _, row := range rows {
		count += len(row.Items)
	}
	return count
}

func itemNotThere(r *Relay, in *console.Instrument) []finding.Finding {
	return r.eachList(func(rows []Row) []finding.Finding {
		var found []finding.Finding
		for _, row := range rows {
			if len(row.Items) == 0 || row.Items[0].Index == console.None {
				continue
			}
			if f, wrong := wrongSide(r, row); wrong {
				found = append(found, f)
			}
			item := row.Items[0]
			switch row.Kind {
			case NoteKind:
				if chest := in.Chests[item.Index]; !chest.HasNoteLines() {
					found = append(found, fault(row.Place(ItemColumn), "wire its valves", "%s is a unit chest: it has no note lines", chest.ID))
				}
			case ActionKind, ActionOnKind, ActionOffKind:
				if rank := in.Ranks[item.Index]; len(divisionsOf(in, item.Index)) == 0 {
					found = append(found, fault(row.Place(ItemColumn), "wire its valves", "%s stands on unit chests: it has no action", rank.ID))
				}
			case ValveKind:
				if chest := onNoteLines(in, row.Items); chest != console.None {
					found = append(found, fault(row.Place(ItemColumn), "wire the chest's note lines and the rank's action",
						"%s stands on %s, a %s chest: it has no magnets for its valves there", in.Ranks[item.Index].ID, in.Chests[chest].ID, in.Chests[chest].Kind))
				}
			}
		}
		return found
	})
}

// wrongSide is the finding on a row that hangs on an output what the console
// gives, or on an input what the relay drives.
func wrongSide(r *Relay, row Row) (finding.Finding, bool) {
	if len(row.Pins) == 0 || row.Pins[0].On >= len(r.Boards) {
		return finding.Finding{}, false
	}
	board := r.Boards[row.Pins[0].On]
	given := row.Items[0].Kind.given()
	switch {
	case given && board.Direction == Output:
		return fault(row.Place(BoardColumn), "wire it to an input board", "%s is an output board: it cannot read a %s", board.ID, row.Kind), true
	case !given && board.Direction == Input && row.Kind != LampKind:
		return fault(row.Place(BoardColumn), "wire it to an output board", "%s is an input board: it cannot drive a %s", board.ID, row.Kind), true
	}
	return finding.Finding{}, false
}

// onNoteLines is the first chest with note lines that one of the valves stands
// on, None without one.
func onNoteLines(in *console.Instrument, valves []Item) int {
	for _, v := range valves {
		for _, stand := range in.Ranks[v.Index].Stands {
			if stand.From <= v.Note && v.Note <= stand.To && in.Chests[stand.Chest].HasNoteLines() {
				return stand.Chest
			}
		}
	}
	return console.None
}

func controlKind(r *Relay, in *console.Instrument) []finding.Finding {
	return r.eachList(func(rows []Row) []finding.Finding {
		var found []finding.Finding
		for _, row := range rows {
			var fits string
			switch row.Kind {
			case StopKind:
				fits = "stop"
			case CouplerKind:
				fits = "coupler unison-off"
			case VentilKind:
				fits = "ventil"
			case TremulantKind:
				fits = "tremulant"
			}
			if fits == "" || len(row.Items) == 0 {
				continue
			}
			is := in.Controls[row.Items[0].Index].Kind
			if !strings.Contains(" "+fits+" ", " "+string(is)+" ") {
				found = append(found, warning(row.Place(KindColumn), "call it what it is, or `control`", "%s is a %s, not a %s", row.Item, is, row.Kind))
			}
		}
		return found
	})
}

func rangesDiffer(r *Relay, _ *console.Instrument) []finding.Finding {
	var found []finding.Finding
	differ := func(place finding.Place, a int, whatA string, b int, whatB string) {
		if a != b {
			found = append(found, fault(place, fmt.Sprintf("only the first %d count; make the ranges one length", min(a, b)),
				"%s for %s", counted(a, whatA), counted(b, whatB)))
		}
	}
	for _, rows := range r.lists() {
		for _, row := range rows {
			if row.Cells != nil && row.Cells[NotesColumn].Text != "" {
				differ(row.Place(NotesColumn), len(row.Items), "note", len(row.Pins), "pin")
			} else {
				differ(row.Place(PinsColumn), len(row.Pins), "pin", len(row.Items), string(row.Kind))
			}
			if row.Wires != nil {
				differ(row.Place(WiresColumn), len(row.Wires), "wire", len(row.Pins), "pin")
			}
		}
	}
	for _, j := range r.Joins {
		differ(j.Place(ToPinsColumn), len(j.To), "pin", len(j.From), "pin")
		if j.Wires != nil {
			differ(j.Place(JoinWiresColumn), len(j.Wires), "wire", len(j.From), "pin")
		}
	}
	for _, s := range r.Switch {
		switch {
		case r.Derived:
		case s.Kind == Couple:
			differ(s.Place(ToNotesColumn), len(s.ToNotes), "note", len(s.Notes), "note")
		case s.Line != "":
			differ(s.Place(SwitchPinsColumn), len(s.Pins), "pin", len(s.Notes), "note")
		}
	}
	return found
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
