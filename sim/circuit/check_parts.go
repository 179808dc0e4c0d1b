package circuit

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console/finding"
)

// magnets finds coils on beyond their duty, and diodes that are missing or the
// wrong way round. A diode across a coil blocks while the coil is on: its
// cathode is at the positive end, which is the pin of a board that switches the
// positive side, and the return of one that switches the negative.
func (k *checker) magnets() {
	said := map[int]bool{}
	for _, l := range k.c.Loads {
		m, board := k.c.Magnets[l.Magnet], k.c.Boards[l.Board]
		if said[l.Magnet] {
			continue
		}
		right := "pin"
		if board.Switches == Negative {
			right = "return"
		}
		if m.Diode != "none" && m.Cathode != "" && m.Cathode != right {
			said[l.Magnet] = true
			if at := k.mixedOf(l); at > 0 && k.c.Returns[l.Return].Side == board.Switches {
				k.found[at-1].Related = append(k.found[at-1].Related, finding.Related{Place: m.At, Message: fmt.Sprintf(
					"the diodes of %s are made for such a return too: is it %s that switches the wrong side?", m.ID, k.relay.Boards[l.Board].ID)})
				continue
			}
			k.add(DiodeReversed, finding.Error, m.At, k.turnRound(l.Magnet, right),
				"the diodes of %s conduct when %s switches its %s side: a dead short", m.ID, k.relay.Boards[l.Board].ID, board.Switches)
		}
	}
	for i, m := range k.c.Magnets {
		if m.Diode == "none" {
			k.add(DiodeMissing, finding.Error, m.At, k.putDiode(i),
				"nothing takes up the kick of %s: coils cut off without a diode raise hundreds of volts", m.ID)
		}
		held := slices.ContainsFunc(k.c.Loads, func(l Load) bool { return l.Magnet == i && !k.c.pulsed(l) })
		if m.Duty < 1 && held {
			k.add(DutyOver, finding.Error, m.At, "take coils for continuous duty (duty: 1), or pulse them, where what they move stays when they let go (pulse: 200 ms)",
				"%s may be on for %g%% of the time, and is on as long as it is played or drawn", m.ID, 100*m.Duty)
		}
	}
}

// returns finds magnets without a return, once for each class, returns with
// magnets of both polarities, with a fuse, or with electronics on them.
func (k *checker) returns() {
	without := map[int]int{} // by class of magnets: how many have no return
	var first []Load         // of each
	pole := map[int]Side{}   // by return
	for _, l := range k.c.Loads {
		if l.Return == None {
			if without[l.Magnet]++; without[l.Magnet] == 1 {
				first = append(first, l)
			}
		}
		side := k.c.Boards[l.Board].Switches.Other()
		for r := l.Return; r != None; r = k.c.Returns[r].Into {
			back := k.c.Returns[r]
			if pole[r] == "" {
				if pole[r] = back.Side; back.Side == "" {
					pole[r] = side
				}
			}
			if pole[r] != side && k.mixed[r] == 0 {
				k.mixed[r] = len(k.found) + 1
				k.add(ReturnMixed, finding.Error, back.At, k.onePole(r, side),
					"the return %s is %s, and %s on it needs a %s one", back.ID, pole[r], k.s.name(l), side)
			}
		}
	}
	for _, l := range first {
		if n := without[l.Magnet]; len(k.c.Returns) > 0 {
			k.add(NoReturn, finding.Warning, l.At, k.ownReturn(l.Magnet), "%s has no return%s; it is reckoned to go straight home",
				k.s.name(l), orMore(n-1, k.c.Magnets[l.Magnet].ID))
		}
	}
	for i, back := range k.c.Returns {
		if back.Fuse > 0 {
			k.add(ReturnFused, finding.Warning, back.At, "take the fuse out (no fuse: in it), and fuse the feeds of its boards",
				"the return %s has a fuse; when it blows, its magnets find each other", back.ID)
		}
		if back.Logic && slices.ContainsFunc(k.c.Loads, func(l Load) bool { return k.c.under(l.Return, i) }) {
			lifts := ""
			if volts := k.lift(i); volts > 0 {
				lifts = fmt.Sprintf(", up to %.2f V", volts)
			}
			k.add(ReturnShared, finding.Warning, back.At, "give the electronics a return of their own up to the supply (no logic: in it)",
				"the return %s carries magnets and electronics: what magnets lose on it%s, the electronics see", back.ID, lifts)
		}
	}
}

// orMore counts what lacks as the one named does.
func orMore(n int, class string) string {
	if n <= 0 {
		return ""
	}
	return fmt.Sprintf(", nor have %d more of %s", n, class)
}

// lift is the most volts that magnets raise the far end of a return by, those
// that move knobs among them.
func (k *checker) lift(r int) float64 {
	volts, most := 0.0, 0.0
	if supply, _, known := k.c.Home(r); known {
		most = k.c.Supplies[supply].Idle
	}
	for _, line := range k.rep.Lines {
		if line.Kind == "return" && k.c.under(r, line.index) {
			volts += line.Peak() * k.c.Returns[line.index].Ohms(k.c.Settings.WiresAt)
		}
	}
	return min(volts, most)
}

// supplies finds supplies side by side that are not made for it, once for
// those that feed several boards together.
func (k *checker) supplies() {
	said := map[string]bool{}
	for i, board := range k.c.Boards {
		var names, alone []string
		for _, s := range board.Supplies {
			names = append(names, k.c.Supplies[s].ID)
			if !k.c.Supplies[s].Shares {
				alone = append(alone, k.c.Supplies[s].ID)
			}
		}
		set := strings.Join(names, " and ")
		if len(names) < 2 || alone == nil || said[set] {
			continue
		}
		said[set] = true
		k.add(Paralleled, finding.Error, board.At, "take supplies that are made to share the load (shares: true), or feed every board by one that carries it alone",
			"%s is fed by %s together, and %s not made to share", k.relay.Boards[i].ID, set, areNot(alone))
	}
}

func areNot(names []string) string {
	if len(names) == 1 {
		return names[0] + " is"
	}
	return strings.Join(names, " and ") + " are"
}

// links finds data links whose loss leaves sounding what sounds.
func (k *checker) links() {
	for _, link := range k.c.Links {
		if link.OnLoss != "hold" {
			continue
		}
		var ids []string
		for _, on := range link.To {
			ids = append(ids, k.on(on))
		}
		k.add(LinkHolds, finding.Error, link.At, "let the boards let go of all when nothing comes, within a fraction of a second (on-loss: silence)",
			"when the link %s breaks, %s what was on: notes sound and coils stay hot until the power is cut", link.ID, keepOn(ids))
	}
}

func keepOn(ids []string) string {
	if len(ids) == 1 {
		return ids[0] + " keeps on"
	}
	return strings.Join(ids, ", ") + " keep on"
}

// on is the id of a board or a strip.
func (k *checker) on(on int) string {
	if on < len(k.relay.Boards) {
		return k.relay.Boards[on].ID
	}
	return k.relay.Strips[on-len(k.relay.Boards)].ID
}

// poles are the ends, pin or return, where cathodes of a class belong: both
// where boards that switch either side drive it.
func (k *checker) poles(class int) (ends []string) {
	for _, l := range k.c.Loads {
		end := "pin"
		if k.c.Boards[l.Board].Switches == Negative {
			end = "return"
		}
		if l.Magnet == class && !slices.Contains(ends, end) {
			ends = append(ends, end)
		}
	}
	return ends
}

// turnRound says how diodes are put right.
func (k *checker) turnRound(class int, right string) string {
	fix := fmt.Sprintf("turn the diodes round: the cathode belongs to the %s (cathode: %s)", right, right)
	if len(k.poles(class)) > 1 {
		fix += "; boards of either polarity drive " + k.c.Magnets[class].ID + ", so first give each polarity a class of its own"
	}
	return fix
}

// putDiode says how diodes are put where there are none.
func (k *checker) putDiode(class int) string {
	end, more := "pin", ""
	switch ends := k.poles(class); len(ends) {
	case 1:
		end = ends[0]
	case 2:
		more = "; boards of either polarity drive it, so first give each polarity a class of its own"
	}
	return fmt.Sprintf("put a diode across each coil (diode: magnet) or at the board (diode: board), its cathode at the %s (cathode: %s)%s", end, end, more)
}

// onePole says how a return is put on one pole: of what hangs on it something
// needs this side.
func (k *checker) onePole(r int, side Side) string {
	for _, l := range k.c.Loads {
		if k.c.under(l.Return, r) && k.c.Boards[l.Board].Switches.Other() != side {
			return "boards of either polarity drive what hangs on it: give each polarity a return of its own"
		}
	}
	return fmt.Sprintf("let the return run to the other pole (side: %s), or let its boards switch the other side (switches: %s)", side, side)
}

// ownReturn says which return takes the magnets of a class that have none.
func (k *checker) ownReturn(class int) string {
	var kinds []string
	sides := map[Side]bool{}
	for _, l := range k.c.Loads {
		if l.Return == None && l.Magnet == class {
			sides[k.c.Boards[l.Board].Switches] = true
			if kind := string(l.Item.Kind); !slices.Contains(kinds, kind) {
				kinds = append(kinds, kind)
			}
		}
	}
	id := "rest"
	for slices.ContainsFunc(k.c.Returns, func(back Return) bool { return back.ID == id }) {
		id += "-2"
	}
	fix := fmt.Sprintf("give them one, the last in the list: returns: {..., %s: {kinds: [%s]}}", id, strings.Join(kinds, ", "))
	if len(sides) > 1 {
		fix += ", and one for each polarity"
	}
	return fix
}
