package circuit

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/contact"
	"trundle/sim/wiring"
)

// Rules of this package.
const (
	PinOver       = "pin-over"
	BoardOver     = "board-over"
	FuseOver      = "fuse-over"
	SupplyOver    = "supply-over"
	WireOver      = "wire-over"
	ReturnOver    = "return-over"
	PullInLow     = "pull-in-low"
	DropOver      = "drop-over"
	DutyOver      = "duty-over"
	DiodeMissing  = "diode-missing"
	DiodeReversed = "diode-reversed"
	NoReturn      = "no-return"
	ReturnMixed   = "return-mixed"
	ReturnFused   = "return-fused"
	ReturnShared  = "return-shared"
	Paralleled    = "supplies-paralleled"
	CableShort    = "cable-short"
	SparesFew     = "spares-few"
	TipsAlike     = "tips-alike"
	TouchVoltage  = "touch-voltage"
	Code6504      = "code-650-4"
	Code6505      = "code-650-5"
	Code6506      = "code-650-6"
	Code6508      = "code-650-8"
	Unchecked     = "electrical-unchecked"
)

// Rules are all of them.
var Rules = []string{PinOver, BoardOver, FuseOver, SupplyOver, WireOver, ReturnOver, PullInLow, DropOver, DutyOver,
	DiodeMissing, DiodeReversed, NoReturn, ReturnMixed, ReturnFused, ReturnShared, Paralleled, CableShort, SparesFew,
	TipsAlike, TouchVoltage, Code6504, Code6505, Code6506, Code6508, Unchecked}

// Check holds a relay against its limits and against the electrical code that
// it asks for, with the wiring as soldered. It finds nothing in a relay that
// says nothing of electricity.
func Check(r *wiring.Relay, in *console.Instrument) []finding.Finding {
	if !Given(r) {
		return nil
	}
	c, wrong := Read(r, in)
	if c == nil {
		_, said := contact.Returns(r, in) // which reads some of the same fields
		return slices.DeleteFunc(wrong, func(f finding.Finding) bool {
			return slices.ContainsFunc(said, func(s finding.Finding) bool { return s.Place == f.Place && s.Rule == f.Rule })
		})
	}
	s := NewReporter(c, r, in, OnePlayer)
	return s.Findings(s.Report())
}

// Findings are what is wrong with the circuit of a report.
func (s *Reporter) Findings(rep Report) []finding.Finding {
	k := &checker{c: s.c, s: s, relay: s.relay}
	k.lines(rep)
	k.pins()
	k.volts(rep)
	k.changes(rep)
	k.magnets()
	k.returns()
	k.supplies()
	k.cables()
	switch s.c.Settings.Code {
	case "us":
		k.us()
	case "iec":
		k.iec()
	}
	k.unchecked()
	return k.found
}

type checker struct {
	c     *Circuit
	s     *Reporter
	relay *wiring.Relay
	found []finding.Finding
}

func (k *checker) add(rule string, severity finding.Severity, at finding.Place, fix, format string, args ...any) {
	k.found = append(k.found, finding.Finding{Rule: rule, Severity: severity, Place: at, Message: fmt.Sprintf(format, args...), Fix: fix})
}

// lines finds places that carry more than they may. What a chord does is an
// error; what no search could exclude, a warning.
func (k *checker) lines(rep Report) {
	rules := map[string]string{"supply": SupplyOver, "fuse": FuseOver, "board": BoardOver, "return": ReturnOver}
	for _, line := range rep.Lines {
		switch rated := line.Rated; {
		case rated == 0:
		case line.Settled > rated:
			k.add(rules[line.Kind], finding.Error, line.At, lineFix(line.Kind),
				"%s %s carries %.2f A of its %.2f A while %s are held with all stops and couplers", line.Kind, line.ID, line.Settled, rated, k.s.Play(line.Chord.Keys))
		case line.Chord.Bound > rated:
			k.add(rules[line.Kind], finding.Warning, line.At, lineFix(line.Kind),
				"%s %s is not proven to keep within its %.2f A: at most %.2f A, and %.2f A in the worst chord found", line.Kind, line.ID, rated, line.Chord.Bound, line.Chord.Amps)
		}
	}
}

func lineFix(kind string) string {
	switch kind {
	case "supply":
		return "take a larger supply, or share the load between two"
	case "return":
		return "run a thicker return, or more wires"
	}
	return "share its magnets between two, or take magnets of more ohms"
}

// Play names keys as the flag --play takes them.
func (s *Reporter) Play(keys []console.Key) string { return strings.Join(PlayOf(s.in, keys), " ") }

// PlayOf is keys as the flag --play takes them, one word a keyboard.
func PlayOf(in *console.Instrument, keys []console.Key) []string {
	words := []string{}
	for m, keyboard := range in.Keyboards {
		var notes []string
		for _, key := range keys {
			if key.Keyboard != m {
				continue
			}
			note := key.Note.String()
			if keyboard.Touches > 1 {
				note += ":2"
			}
			notes = append(notes, note)
		}
		if notes != nil {
			words = append(words, keyboard.ID+":"+strings.Join(notes, ","))
		}
	}
	return words
}

// pins finds pins, and the wires behind them, that carry more than they may.
func (k *checker) pins() {
	amps := map[wiring.Terminal]float64{}
	var order []int
	for i, l := range k.c.Loads {
		if amps[l.Pin] == 0 {
			order = append(order, i)
		}
		amps[l.Pin] += k.s.nominal[i]
	}
	pins, wires := map[finding.Place]bool{}, map[int]bool{}
	for _, i := range order {
		l := k.c.Loads[i]
		if limit := k.c.Boards[l.Board].PinAmps; limit > 0 && amps[l.Pin] > limit && !pins[l.At] {
			pins[l.At] = true
			k.add(PinOver, finding.Error, l.At, "drive it by two pins or by a relay, or take magnets of more ohms",
				"%s carries %.3f A of its %.3f A, and others of this row may too", k.relay.Name(l.Pin), amps[l.Pin], limit)
		}
		for _, leg := range l.Legs {
			cable := k.c.Cables[leg.Cable]
			if !cable.Gauge.Known() || wires[leg.Cable] {
				continue
			}
			if limit, source, sure := cable.Gauge.ampacity(); amps[l.Pin] > limit {
				wires[leg.Cable] = true
				k.add(WireOver, severity(sure), cable.At, "take thicker wires, or two for each pin",
					"wire %d of %s, %v, carries %.2f A of %.2f A (%s)", leg.Wire, k.relay.Cables[leg.Cable].ID, cable.Gauge, amps[l.Pin], limit, source)
			}
		}
	}
	for i, board := range k.c.Boards {
		if board.Fuse == None || !board.Feed.Gauge.Known() {
			continue
		}
		limit, source, sure := board.Feed.Gauge.ampacity()
		if fuse := k.c.Fuses[board.Fuse]; fuse.Amps > limit*float64(board.Feed.Count) {
			k.add(WireOver, severity(sure), board.Feed.At, "take a smaller fuse or a thicker feed",
				"the feed of %s, %v, may carry %.2f A (%s), and its fuse lets %.2f A through", k.relay.Boards[i].ID, board.Feed.Gauge, limit*float64(board.Feed.Count), source, fuse.Amps)
		}
	}
}

func severity(sure bool) finding.Severity {
	if sure {
		return finding.Error
	}
	return finding.Warning
}
