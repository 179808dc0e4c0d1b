package wiring

import (
	"path/filepath"

	"trundle/console"
	"trundle/console/finding"
)

func otherInstrument(r *Relay, in *console.Instrument) []finding.Finding {
	if r.Instrument == "" || in.File == "" || samePath(r.Instrument, in.File) {
		return nil
	}
	return []finding.Finding{warning(r.At.Instrument, "give the instrument file that the relay names, or change the name",
		"the relay was made for %s and is checked against %s", r.Instrument, in.File)}
}

func samePath(a, b string) bool {
	fullA, errA := filepath.Abs(a)
	fullB, errB := filepath.Abs(b)
	return errA == nil && errB == nil && fullA == fullB
}

func pinUsedTwice(r *Relay, _ *console.Instrument) []finding.Finding {
	return append(joinedTwice(r), r.eachList(func(rows []Row) []finding.Finding {
		var found []finding.Finding
		used := r.byPin() // 1 + the row
		for i, row := range rows {
			var again []Terminal
			before := 0
			for _, t := range row.Pins {
				if t.Pin >= len(used[t.On]) {
					continue
				}
				if use := &used[t.On][t.Pin]; *use == 0 {
					*use = i + 1
				} else if again = append(again, t); len(again) == 1 {
					before = *use - 1
				}
			}
			if len(again) > 0 {
				f := fault(row.Place(PinsColumn), "wire one of the two elsewhere", "%s %s wired already", r.run(again), areIs(len(again)))
				f.Related = []finding.Related{{Place: rows[before].Place(PinsColumn), Message: "here: " + rows[before].said()}}
				found = append(found, f)
			}
		}
		return found
	})...)
}

// byPin has a number for each terminal, by Terminal.On and Terminal.Pin.
func (r *Relay) byPin() [][]int {
	numbers := make([][]int, len(r.Boards)+len(r.Strips))
	for on := range numbers {
		numbers[on] = make([]int, r.pins(on)+1)
	}
	return numbers
}

// said is what a row hangs on its pins, in its own words.
func (r Row) said() string {
	text := string(r.Kind)
	for _, word := range []string{r.Item, r.Notes} {
		if word != "" {
			text += " " + word
		}
	}
	return text
}

func pinOffBoard(r *Relay, _ *console.Instrument) []finding.Finding {
	var found []finding.Finding
	pins := func(terminals []Terminal, place finding.Place) {
		var off []Terminal
		for _, t := range terminals {
			if t.Pin > r.pins(t.On) {
				off = append(off, t)
			}
		}
		if len(off) > 0 {
			found = append(found, fault(place, "write pins that it has, or correct its `pins`", "%s %s off its end: %s has %d",
				r.run(off), areIs(len(off)), r.Board(off[0].On), r.pins(off[0].On)))
		}
	}
	wires := r.wiresOf()
	cable := func(name string, used []int, place finding.Place) {
		var off []int
		for _, w := range used {
			if most := wires[name]; most > 0 && w > most {
				off = append(off, w)
			}
		}
		if len(off) > 0 {
			found = append(found, fault(place, "use a wire that is in it, take a second cable or a larger one, or correct `wires`", "cable %s has %d wires, no %s", name, wires[name], FormatNumbers(off)))
		}
	}
	for _, rows := range r.lists() {
		for _, row := range rows {
			pins(row.Pins, row.Place(PinsColumn))
			cable(row.Cable, row.Wires, row.Place(WiresColumn))
		}
	}
	for _, j := range r.Joins {
		pins(j.From, j.Place(FromPinsColumn))
		pins(j.To, j.Place(ToPinsColumn))
		cable(j.Cable, j.Wires, j.Place(JoinWiresColumn))
	}
	if !r.Derived {
		for _, s := range r.Switch {
			pins(s.Pins[:min(len(s.Pins), s.Len())], s.Place(SwitchPinsColumn)) // of more pins than notes another rule speaks
		}
	}
	return found
}

// wiresOf is how many wires each cable has, where that is said.
func (r *Relay) wiresOf() map[string]int {
	wires := map[string]int{}
	for _, c := range r.Cables {
		wires[c.ID] = c.Wires
	}
	return wires
}

// pinUnlisted leaves out pins of which itemNotWired says what should hang there.
func pinUnlisted(r *Relay, in *console.Instrument) []finding.Finding {
	var listed [][][]int // by list, board and pin
	list := func(in [][]int, terminals []Terminal) {
		for _, t := range terminals {
			if t.Pin < len(in[t.On]) {
				in[t.On][t.Pin] = 1
			}
		}
	}
	for l, rows := range r.lists() {
		pins := r.byPin()
		for _, row := range rows {
			list(pins, row.Pins)
		}
		for _, j := range r.Joins {
			list(pins, j.From)
			list(pins, j.To)
		}
		if l > 0 {
			for _, lack := range Lacks(r, in) {
				list(pins, lack.Pins)
			}
		}
		listed = append(listed, pins)
	}
	var found []finding.Finding
	for b, board := range r.Boards {
		var open []Terminal
		where := "" // they are in no row
		end := func() {
			if len(open) > 0 {
				found = append(found, warning(board.At, "if unused, add the row "+r.Filed(r.Home(r.Plan, b), board.ID, FormatNumbers(pinsOf(open)), string(SpareKind)), "%s %s in no row%s", r.run(open), areIs(len(open)), where))
				open = nil
			}
		}
		for pin := 1; pin <= board.Pins; pin++ {
			inPlan, inWired := listed[0][b][pin] == 1, len(listed) > 1 && listed[1][b][pin] == 1
			now := ""
			switch {
			case inPlan && (inWired || r.Wired == nil):
				end()
				continue
			case r.Wired == nil:
			case inPlan:
				now = " of what was soldered"
			case inWired:
				now = " of the plan"
			default:
				now = " of the plan, nor of what was soldered"
			}
			if now != where {
				end()
			}
			where = now
			open = append(open, Terminal{b, pin})
		}
		end()
	}
	return found
}

func netOpen(r *Relay, _ *console.Instrument) []finding.Finding {
	var found []finding.Finding
	for l, rows := range r.lists() {
		nets := NetsOf(r, rows)
		for _, row := range rows {
			var open []Terminal
			for _, t := range row.Pins {
				if t.On >= len(r.Boards) && led(row.Kind) && nets.Of(t) >= 0 && !r.onBoard(nets.Terminals(nets.Of(t))) {
					open = append(open, t)
				}
			}
			if len(open) > 0 {
				found = append(found, fault(row.Place(PinsColumn), "join it to a board", "no join leads from %s to a board", r.run(open)))
			}
		}
		if l > 0 {
			continue // the joins are the same
		}
		for _, j := range r.Joins {
			var open []Terminal
			for i := range min(len(j.From), len(j.To)) {
				if net := nets.Of(j.To[i]); net >= 0 && nets.Of(j.From[i]) >= 0 && len(nets.hung.of(net)) == 0 {
					open = append(open, j.To[i])
				}
			}
			if len(open) > 0 {
				found = append(found, fault(j.Place(ToPinsColumn), "give it a row, of kind spare when nothing is meant to hang there",
					"nothing hangs on %s", r.run(open)))
			}
		}
	}
	return found
}

// led reports whether joins must lead what hangs on a strip to a board. Scan
// wires, returns and feeds are no pins of one.
func led(k Kind) bool {
	switch k {
	case SpareKind, RowKind, ColumnKind, CommonKind, ReturnKind, FeedKind, BlowerKind:
		return false
	}
	return true
}

func (r *Relay) onBoard(terminals []Terminal) bool { return terminals[0].On < len(r.Boards) }
