package circuit

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console/finding"
	"trundle/sim/contact"
	"trundle/sim/wiring"
)

// lacks are what is missing for a full check, and of what.
type lacks struct {
	what []string
	of   map[string][]string
}

// add notes that something is missing of one thing.
func (l *lacks) add(missing bool, what, of string) {
	if !missing || slices.Contains(l.of[what], of) {
		return
	}
	if l.of[what] == nil {
		l.what = append(l.what, what)
	}
	l.of[what] = append(l.of[what], of)
}

// words are what is missing, each with the first things that it is missing of.
func (l *lacks) words() string {
	const named = 3
	var words []string
	for _, what := range l.what {
		ids, more := l.of[what], ""
		if n := len(ids) - named; n > 0 {
			ids, more = ids[:named], fmt.Sprintf(" and %d more", n)
		}
		words = append(words, what+" ("+strings.Join(ids, ", ")+more+")")
	}
	return strings.Join(words, ", ")
}

// unchecked says once what is missing for a full check.
func (k *checker) unchecked() {
	l := &lacks{of: map[string][]string{}}
	k.lackOhms(l)
	for _, load := range k.c.Loads {
		k.lackOfLoad(l, load)
	}
	for _, input := range k.c.Inputs {
		board, id := k.c.Boards[input.Board], k.relay.Boards[input.Board].ID
		l.add(board.Threshold == 0, "threshold of input boards", id)
		l.add(board.Threshold > 0 && board.Ohms == 0, "ohms of input boards", id)
		l.add(len(k.c.suppliesOf(input.Board)) == 0, "supply of boards", id)
		k.lackOfWires(l, input.Legs, id)
	}
	for _, link := range k.c.Links {
		l.add(link.OnLoss == "", "on-loss of links", link.ID)
	}
	switch k.c.Settings.Code {
	case "":
		l.add(true, "an electrical code", "electrical: {code: us}, iec or none")
	case "us":
		k.lackOfUS(l)
	case "iec":
		for _, s := range k.c.Supplies {
			l.add(s.Separation == "", "separation of supplies", s.ID)
			l.add(s.Ripple == 0, "ripple of supplies", s.ID)
		}
	}
	if l.what != nil {
		k.add(Unchecked, finding.Note, finding.Place{File: k.relay.File}, "trundle explain electrical-unchecked lists what can be said", "not checked, for want of data: %s", l.words())
	}
}

// lackOfLoad notes what is missing on the way of a load.
func (k *checker) lackOfLoad(l *lacks, load Load) {
	board, id := k.c.Boards[load.Board], k.relay.Boards[load.Board].ID
	m := k.c.Magnets[load.Magnet]
	l.add(len(k.c.suppliesOf(load.Board)) == 0, "supply of boards", id)
	l.add(board.Fuse == None, "fuse of boards", id)
	l.add(board.Amps == 0, "amps of boards", id)
	l.add(board.PinAmps == 0, "amps-per-pin of boards", id)
	k.lackOfWires(l, load.Legs, id)
	if load.Return == None {
		l.add(len(k.c.Returns) == 0, "returns of magnets", m.ID)
	} else {
		back := k.c.Returns[load.Return]
		l.add(!back.Known(), "gauge and length of returns", back.ID)
	}
	l.add(m.PullIn == 0, "pull-in of magnets", m.ID)
	l.add(m.Diode == "" || m.Diode != "none" && m.Cathode == "", "diode and cathode of magnets", m.ID)
}

// lackOfWires notes what is missing of the wires on a way to a board.
func (k *checker) lackOfWires(l *lacks, legs []Leg, board string) {
	l.add(len(legs) == 0, "cables from boards", board)
	for _, leg := range legs {
		l.add(!k.c.Cables[leg.Cable].Known(), "gauge and length of cables", k.relay.Cables[leg.Cable].ID)
	}
}

// lackOfUS notes what article 650 asks for and nothing is said of.
func (k *checker) lackOfUS(l *lacks) {
	for _, s := range k.c.Supplies {
		l.add(s.Listed == NotSaid, "listed of supplies", s.ID)
		l.add(s.Grounding == "", "grounding of supplies", s.ID)
	}
	for i, c := range k.c.Cables {
		id := k.relay.Cables[i].ID
		l.add(c.Insulation == "", "insulation of cables", id)
		l.add(c.Covering == "", "covering of cables", id)
		l.add(c.Protection == "", "protection of cables", id)
		l.add(c.Fastened == NotSaid, "fastened of cables", id)
	}
	for _, place := range k.c.Places {
		l.add(place.Enclosed == NotSaid, "enclosed of places", place.ID)
	}
	for _, load := range k.c.Loads {
		l.add(k.c.placeOf(load.Board) == None, "places of boards", k.relay.Boards[load.Board].ID)
	}
}

// lackOhms notes pins with something that magnets are behind and of which no
// class gives the ohms.
func (k *checker) lackOhms(l *lacks) {
	driven := map[wiring.Terminal]bool{}
	for _, load := range k.c.Loads {
		driven[load.Pin] = true
	}
	nets := wiring.Nets(k.relay)
	rows := k.relay.Soldered()
	for net := range nets.Len() {
		pin, found := nets.Pin(net, wiring.Output)
		if !found || driven[pin] {
			continue
		}
		for _, h := range nets.Hung(net) {
			l.add(contact.IsMagnet(rows[h.Row].Kind), "ohms of what hangs on boards", k.relay.Boards[pin.On].ID)
		}
	}
}
