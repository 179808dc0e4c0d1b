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
	Code6507      = "code-650-7"
	Code6508      = "code-650-8"
	Code6509      = "code-650-9"
	InputLow      = "input-low"
	LinkHolds     = "link-holds"
	Unchecked     = "electrical-unchecked"
)

// Rules are all of them.
var Rules = []string{PinOver, BoardOver, FuseOver, SupplyOver, WireOver, ReturnOver, PullInLow, DropOver, DutyOver,
	DiodeMissing, DiodeReversed, NoReturn, ReturnMixed, ReturnFused, ReturnShared, Paralleled, CableShort, SparesFew,
	TipsAlike, TouchVoltage, Code6504, Code6505, Code6506, Code6507, Code6508, Code6509, InputLow, LinkHolds, Unchecked}

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
	k := newChecker(s, rep)
	k.rules()
	for _, mend := range k.mends {
		mend()
	}
	return k.found
}

type checker struct {
	c     *Circuit
	s     *Reporter
	relay *wiring.Relay
	rep   Report
	lines map[Part]Line
	found []finding.Finding
	mends []func()                // that give some of them their fixes
	mixed map[int]int             // returns with magnets of both polarities: the finding, and 1
	heavy map[wiring.Terminal]int // pins that carry too much: the finding, and 1
	hot   map[int]bool            // cables of which a wire carries too much
}

func newChecker(s *Reporter, rep Report) *checker {
	return &checker{c: s.c, s: s, relay: s.relay, rep: rep, lines: rep.byPart(),
		mixed: map[int]int{}, heavy: map[wiring.Terminal]int{}, hot: map[int]bool{}}
}

// rules are all rules, without the fixes that take trying.
func (k *checker) rules() {
	k.returns()
	k.pins()
	k.feeds()
	k.places()
	k.magnets()
	k.volts()
	k.changes()
	k.supplies()
	k.cables()
	k.inputs()
	k.links()
	switch k.c.Settings.Code {
	case "us":
		k.us()
	case "iec":
		k.iec()
	}
	k.unchecked()
}

func (k *checker) add(rule string, severity finding.Severity, at finding.Place, fix, format string, args ...any) {
	k.found = append(k.found, finding.Finding{Rule: rule, Severity: severity, Place: at, Message: fmt.Sprintf(format, args...), Fix: fix})
}

// Play names keys as the flag --play takes them, or says that there are none.
func (s *Reporter) Play(keys []console.Key) string {
	if len(keys) == 0 {
		return "no keys"
	}
	return strings.Join(PlayOf(s.in, keys), " ")
}

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
