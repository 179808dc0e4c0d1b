package circuit

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// How sure a limit of the electrical code is: by what could be read of it.
// Every limit checked here is the same in 2017, 2020 and 2023 as far as could
// be seen.
const (
	reprint   = "read in a reprint of 2020"
	quotation = "read in a quotation"
	summary   = "read in summaries of 2020"
	memory    = "from memory"
)

// us holds the circuit against article 650 of the National Electrical Code
// (NFPA 70), by sections. What is known from memory only is a warning.
func (k *checker) us() {
	k.usSupplies()
	k.usSizes()
	k.usFuses()
	k.usCables()
	k.usPlaces()
}

// nec adds a finding of a section: 650.6(B) is of the rule code-650-6.
func (k *checker) nec(section string, at finding.Place, sure, fix, format string, args ...any) {
	severity := finding.Error
	if sure == memory {
		severity = finding.Warning
	}
	rule := "code-" + strings.ReplaceAll(section[:len("650.N")], ".", "-")
	k.add(rule, severity, at, fix, "NEC %d, %s: %s (%s)", k.c.Settings.Edition, section, fmt.Sprintf(format, args...), sure)
}

func (k *checker) usSupplies() {
	for _, s := range k.c.Supplies {
		if s.Idle > 30 {
			k.nec("650.4", s.At, summary, "take a supply of 30 V or less, without load too (volts: 24)", "supply %s has %g V without load, more than 30 V", s.ID, s.Idle)
		}
		if s.Listed == No {
			sure := summary
			if k.c.Settings.Edition < 2020 {
				sure = memory // when it came in is not known
			}
			k.nec("650.4", s.At, sure, "take a listed supply (listed: true)", "supply %s is not listed", s.ID)
		}
		if s.Grounding == "none" {
			k.nec("650.5", s.At, summary, "bond its case to the equipment grounding conductor (grounding: bonded), or take a double-insulated one (grounding: double-insulated)",
				"supply %s is neither double-insulated nor bonded", s.ID)
		}
	}
}

// usSizes finds wires that are thinner than those of their kind may be.
func (k *checker) usSizes() {
	var feeds, signals [][]Leg
	for _, l := range k.c.Loads {
		feeds = append(feeds, l.Legs)
	}
	for _, i := range k.c.Inputs {
		signals = append(signals, i.Legs)
	}
	for _, kind := range []struct {
		awg  int
		ways [][]Leg
		what string
	}{{26, feeds, "magnets are fed by %s, thinner than 26 AWG"}, {28, signals, "signals run in %s, thinner than 28 AWG"}} {
		var parts []Part
		cables := k.thinner(kind.awg, kind.ways)
		for _, i := range cables {
			parts = append(parts, Part{"cable", i})
		}
		if k.necCables("650.6(A)", cables, reprint, "", kind.what); cables != nil {
			k.mend(fmt.Sprintf("take %d AWG or thicker, and put no more than 6 A before it", kind.awg), k.thicker(parts...))
		}
	}
	for _, back := range k.c.Returns {
		if back.Into == None && back.Gauge.Known() && back.Gauge.thinner(14) {
			k.nec("650.6(A)", back.At, "the size "+summary, "take 14 AWG or thicker", "the main return %s is %v, thinner than 14 AWG", back.ID, back.Gauge)
		}
	}
}

// thinner are the cables on some ways that are thinner than an AWG number.
func (k *checker) thinner(awg int, ways [][]Leg) (cables []int) {
	for _, way := range ways {
		for _, leg := range way {
			if g := k.c.Cables[leg.Cable].Gauge; g.Known() && g.thinner(awg) && !slices.Contains(cables, leg.Cable) {
				cables = append(cables, leg.Cable)
			}
		}
	}
	return cables
}

// behind are the cables behind some fuses of which fine wire may not be there.
func (k *checker) behind(fuses []int) (parts []Part) {
	way := func(board int, legs []Leg) {
		fuse := k.c.Boards[board].Fuse
		if !slices.Contains(fuses, fuse) {
			return
		}
		for _, leg := range legs {
			p, g := Part{"cable", leg.Cable}, k.c.Cables[leg.Cable].Gauge
			if g.Known() && g.mostBehind() < k.c.Fuses[fuse].Amps && !slices.Contains(parts, p) {
				parts = append(parts, p)
			}
		}
	}
	for _, l := range k.c.Loads {
		way(l.Board, l.Legs)
	}
	for _, i := range k.c.Inputs {
		way(i.Board, i.Legs)
	}
	return parts
}

// necCables adds one finding of a section for all the cables that it is about.
func (k *checker) necCables(section string, cables []int, sure, fix, format string) {
	if len(cables) == 0 {
		return
	}
	var ids []string
	for _, i := range cables {
		ids = append(ids, k.relay.Cables[i].ID)
	}
	k.nec(section, k.c.Cables[cables[0]].At, sure, fix, format, strings.Join(ids, ", "))
}

// mostBehind is the largest fuse before a wire, by NEC 650.8: 6 A
// for 26 and 28 AWG, for others what they may carry. For those from 20 to 24
// AWG nothing says what that is, but 18 AWG may carry 7 A.
func (g Gauge) mostBehind() float64 {
	limit, _, sure := g.ampacity()
	switch {
	case g.thinner(24):
		return 6
	case !sure:
		limit, _, _ = AWG(18).ampacity()
	}
	return limit
}

// usFuses finds fuses that let more through than the cables behind them may
// carry: once for those that let as much into wires of the same limit.
func (k *checker) usFuses() {
	limits, worst := k.behindFuses()
	type alike struct{ amps, limit float64 }
	more, like := map[alike][]string{}, map[alike][]int{}
	var firsts []int
	for i, fuse := range k.c.Fuses {
		limit, over := limits[i]
		if !over {
			continue
		}
		group := alike{fuse.Amps, limit}
		if more[group] == nil {
			firsts = append(firsts, i)
		}
		more[group], like[group] = append(more[group], fuse.ID), append(like[group], i)
	}
	for _, i := range firsts {
		cable, limit, sure, also := worst[i], limits[i], quotation, ""
		if limit != 6 {
			sure = "what it may carry is that of 18 AWG or more, 725.43 and 240.4(D)"
		}
		if ids := more[alike{k.c.Fuses[i].Amps, limit}]; len(ids) > 1 {
			also = "; the same of fuses " + strings.Join(ids[1:], ", ")
		}
		k.nec("650.8", k.c.Fuses[i].At, sure, "",
			"%s of %v is behind fuse %s of %g A, more than %g A%s", k.relay.Cables[cable].ID, k.c.Cables[cable].Gauge, k.c.Fuses[i].ID, k.c.Fuses[i].Amps, limit, also)
		alike := like[alike{k.c.Fuses[i].Amps, limit}]
		k.mend(fmt.Sprintf("fuse it at %g A or less; its magnets take up to %.2f A, so share them among several boards first", limit, k.lines[Part{"fuse", i}].Peak()),
			func(at int) string { return cmp.Or(k.smaller(limit, alike...)(at), k.ownFuses(alike...)(at)) },
			k.thicker(k.behind(alike)...))
	}
}

// behindFuses are, by fuse that is larger than a cable behind it allows, the
// least that one allows, and which it is: of magnets and of contacts, whose
// wires are as thin.
func (k *checker) behindFuses() (limits map[int]float64, worst map[int]int) {
	limits, worst = map[int]float64{}, map[int]int{}
	way := func(board int, legs []Leg) {
		fuse := k.c.Boards[board].Fuse
		if fuse == None {
			return
		}
		for _, leg := range legs {
			gauge := k.c.Cables[leg.Cable].Gauge
			if !gauge.Known() || gauge.thinner(28) {
				continue
			}
			limit := gauge.mostBehind()
			if least, met := limits[fuse]; k.c.Fuses[fuse].Amps > limit && (!met || limit < least) {
				limits[fuse], worst[fuse] = limit, leg.Cable
			}
		}
	}
	for _, l := range k.c.Loads {
		way(l.Board, l.Legs)
	}
	for _, i := range k.c.Inputs {
		way(i.Board, i.Legs)
	}
	return limits, worst
}

func (k *checker) usCables() {
	of := func(is func(i int, c Cable) bool) (cables []int) {
		for i, c := range k.c.Cables {
			if is(i, c) {
				cables = append(cables, i)
			}
		}
		return cables
	}
	used, _ := k.used()
	k.necCables("650.6(B)", of(func(_ int, c Cable) bool { return c.Insulation == "other" }), summary,
		"take wires with thermoplastic or thermosetting insulation (insulation: thermoplastic)", "something else than plastic insulates the wires of %s")
	k.necCables("650.6(D)", of(func(_ int, c Cable) bool { return c.Covering == "none" }), memory,
		"give it a covering, over all or over each group (covering: overall); tape will do", "nothing covers %s")
	k.necCables("650.6(D)", of(func(_ int, c Cable) bool { return c.Protection == "none" }), summary,
		"wind it with listed fireproof tape (protection: fireproof-tape), or run it in a metal raceway (protection: metal-raceway)", "nothing keeps flame from spreading along %s")
	k.necCables("650.7", of(func(_ int, c Cable) bool { return c.Fastened == No }), summary,
		"fasten it (fastened: true); straight to the organ's frame will do", "nothing fastens %s")
	k.necCables("650.7", of(func(i int, c Cable) bool { return used[i] == 0 && c.Tag == "" }), summary,
		"tag it, and say so (tag: what stands on it)", "nothing is connected to %s, nor does a tag say why")
	if len(k.c.Places) == 0 {
		return
	}
	for _, join := range k.relay.Joins {
		for i := range min(len(join.From), len(join.To)) {
			from, to := k.c.placeOf(join.From[i].On), k.c.placeOf(join.To[i].On)
			if join.Cable == "" && from != None && to != None && from != to {
				k.nec("650.6(C)", join.At, memory, "name the cable, or run one", "wires run from %s to %s in no cable", k.c.Places[from].ID, k.c.Places[to].ID)
				break
			}
		}
	}
}

// placeOf is where a board or a strip stands, None when that is not said.
func (c *Circuit) placeOf(on int) int {
	return slices.IndexFunc(c.Places, func(p Place) bool { return slices.Contains(p.On, on) })
}

// usPlaces finds the wiring of pipes where anybody may touch it.
func (k *checker) usPlaces() {
	said := map[int]bool{}
	for _, l := range k.c.Loads {
		switch l.Item.Kind {
		case wiring.NoteKind, wiring.ValveKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind:
		default:
			continue
		}
		if p := k.c.placeOf(l.Board); p != None && k.c.Places[p].Enclosed == No && !said[p] {
			said[p] = true
			k.nec("650.9", k.c.Places[p].At, memory, "enclose it so that it can be locked (enclosed: true); pipes may be part of the enclosure",
				"magnets of pipes are wired in %s, which is not enclosed", k.c.Places[p].ID)
		}
	}
}

// iec holds the supplies against the limits of extra-low voltage. Those of
// direct current hold as long as its ripple is a tenth or less, rms; of a
// supply with more, those of alternating current are taken.
func (k *checker) iec() {
	for _, s := range k.c.Supplies {
		most, dry, elsewhere, current := 120.0, 60.0, 30.0, "DC free of ripple"
		if s.Ripple > 0.1 {
			most, dry, elsewhere, current = 50, 25, 12, "AC, for its ripple is more than a tenth"
		}
		say := func(severity finding.Severity, fix, format string, args ...any) {
			k.add(TouchVoltage, severity, s.At, fix, "supply %s has %g V without load: %s", s.ID, s.Idle, fmt.Sprintf(format, args...))
		}
		volts, kind := fmt.Sprintf("take a supply of %g V or less (volts: %g)", elsewhere, elsewhere), ""
		if s.Separation == "felv" {
			kind = "take a supply of the kinds selv or pelv (separation: selv)"
			if s.Idle > elsewhere {
				kind += fmt.Sprintf(", of %g V or less (volts: %g)", elsewhere, elsewhere)
			}
		}
		out := fmt.Sprintf("; of up to %g V a note is left, and it is to be touched in the dry only", dry)
		away := "; or keep everything out of reach, and waive this"
		switch {
		case s.Idle > most:
			say(finding.Error, cmp.Or(kind, volts+out), "no extra-low voltage, which ends at %g V %s (IEC 61140, IEC 60364-4-41)", most, current)
		case s.Separation == "felv":
			say(finding.Error, kind+away,
				"a supply without safe separation from the mains must not be touched at any voltage (IEC 61140, IEC 60364-4-41, secondary sources)")
		case s.Idle > dry:
			say(finding.Error, volts+out+away, "more than the %g V %s that may be touched where it is dry (secondary sources)", dry, current)
		case s.Idle > elsewhere:
			say(finding.Note, volts+"; or keep it where it is dry, and waive this", "more than the %g V %s that may be touched elsewhere than in the dry (IEC 60364-4-41, 414.4.5, from memory)", elsewhere, current)
		}
	}
}
