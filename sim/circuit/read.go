package circuit

import (
	"slices"
	"strconv"

	"trundle/console"
	"trundle/console/finding"
	"trundle/console/yamldoc"
	"trundle/sim/wiring"
)

// Given reports whether a relay file says anything of electricity that this
// package checks.
func Given(r *wiring.Relay) bool {
	for _, name := range []string{"electrical", "supplies", "fuses", "magnets", "links"} {
		if n := r.Sections[name]; n != nil && (n.Kind != yamldoc.Map || len(n.Pairs) > 0) {
			return true
		}
	}
	return false
}

// Read reads what a relay file says of electricity. The circuit is nil when
// something in it has no meaning.
//
//	electrical: {code: us, edition: 2020, wires-at: 20, drop: 0.1, group: 8, gap: 50 ms}
//	supplies:
//	  main: {volts: {idle: 15, full: 13.5}, amps: 30, listed: true, grounding: bonded, shares: false, from: other,
//	         separation: selv, ripple: 0.05}
//	  small: {volts: 5, amps: 3, from: main, efficiency: 0.8}   # without it, the amps pass on
//	fuses:
//	  F1: {amps: 6}                       # where several boards share one; `fuse: 6` at a board is its own
//	boards:
//	  K1: {kind: input, pins: 61, supply: logic, drop: 0.7, threshold: 3.5, ohms: 10000}
//	  X1: {kind: output, pins: 61, amps-per-pin: 0.5, amps: 10, supply: main, fuse: F1, switches: negative,
//	       drop: 1, feed: {gauge: 14, length: 3 m}}
//	cables:
//	  CX1: {wires: 64, gauge: 24, length: 60 ft, strands: 7, coated: true, banded: both, insulation: thermoplastic,
//	        covering: overall, protection: flame-rated, fastened: true, tag: to the loft}
//	magnets:
//	  small: {of: [flute], kinds: [valve], ohms: 150, hot: 60, pull-in: 8, pulse: 200 ms, duty: 0.1, count: 1,
//	          diode: magnet, cathode: return}
//	returns:
//	  flute-common: {of: [flute], kinds: [valve], wires: 1, gauge: 14, length: 60 ft, side: positive,
//	                 into: trunk, supply: main, joined: true, fuse: 6, logic: true}
//
//	places: {loft: {of: [X1, J1], enclosed: true}}   # boards and strips
//	links: {console: {to: [X1], on-loss: silence}}   # or hold: what boards do when it breaks
//
// `of` names chests, for their note lines, and ranks, for their valves and
// actions; `kinds` are kinds of wiring rows; with both, both must hold. Of
// several classes the first that has a magnet is its own. Gauges are AWG
// numbers or mm2, lengths carry their unit, ripple is a share of the volts. `wires` and `series-diodes` are
// those of package contact.
func Read(r *wiring.Relay, in *console.Instrument) (*Circuit, []finding.Finding) {
	rd := &reader{Source: &yamldoc.Source{File: r.File}, relay: r, in: in, c: &Circuit{}}
	rd.settings()
	rd.supplies()
	rd.fuses()
	rd.boards()
	rd.cables()
	rd.magnets()
	rd.returns()
	rd.places()
	rd.links()
	if len(rd.Findings) > 0 {
		return nil, rd.Findings
	}
	rd.loads()
	rd.inputs()
	return rd.c, nil
}

type reader struct {
	*yamldoc.Source
	relay *wiring.Relay
	in    *console.Instrument
	c     *Circuit
}

func (rd *reader) settings() {
	n := rd.relay.Sections["electrical"]
	s := &rd.c.Settings
	*s = Settings{Edition: 2020, WiresAt: 20, Drop: 0.1, At: rd.Place(n)}
	if n == nil {
		return
	}
	f := rd.Fields(n, "what is electrical", []string{"code", "edition", "wires-at", "drop", "group", "gap"})
	s.Code = f.Choice("code", "", "us", "iec", "none")
	if edition := f.Choice("edition", "2020", "2017", "2020", "2023"); edition != "2020" {
		s.Edition = map[string]int{"2017": 2017, "2023": 2023}[edition]
	}
	s.WiresAt = f.Number("wires-at", -40, 120, 20)
	s.Drop = f.Number("drop", 0.001, 1, 0.1)
	s.Group = f.Int("group", 1, 9999, 0)
	if n := f.Node("gap"); n != nil {
		ms, err := parseTime(rd.Text(n))
		if err != nil {
			rd.Wrong(n, "", "%v", err)
		}
		s.Gap = ms
	}
	if s.Group > 0 && s.Gap == 0 {
		f.Need("gap")
	}
}

func (rd *reader) supplies() {
	var ids []string
	var from []*yamldoc.Node
	for _, p := range rd.ByID(rd.relay.Sections["supplies"], yamldoc.CapitalID) {
		f := rd.Fields(p.Value, "a supply", []string{"volts", "amps", "listed", "grounding", "separation", "ripple", "shares", "from", "efficiency"})
		f.Need("volts")
		s := Supply{ID: p.Key.Text, At: rd.Place(p.Key), From: None, Shares: f.Bool("shares"),
			Grounding: f.Choice("grounding", "", "double-insulated", "bonded", "none"), Listed: rd.said(f, "listed"),
			Separation: f.Choice("separation", "", "selv", "pelv", "felv"), Ripple: f.Number("ripple", 0, 1, 0)}
		if n := f.Node("volts"); n != nil && n.Kind == yamldoc.Scalar {
			s.Idle = rd.Number(n, "volts", 0.1, 1000, 12)
			s.Full = s.Idle
		} else if n != nil {
			v := rd.Fields(n, "volts", []string{"idle", "full"})
			v.Need("idle")
			v.Need("full")
			s.Idle, s.Full = v.Number("idle", 0.1, 1000, 12), v.Number("full", 0.1, 1000, 12)
			if v.OK() && s.Full > s.Idle {
				rd.Wrong(n, "idle is without load, full is at its amps", "a supply does not gain volts under load")
			}
		}
		s.Amps = f.Number("amps", 0.001, 100_000, 0)
		if s.Full < s.Idle {
			if f.Need("amps") == nil {
				s.Amps = 1
			}
		}
		if s.Efficiency = f.Number("efficiency", 0.1, 1, 0); s.Efficiency > 0 {
			f.Need("from")
		}
		ids, from = append(ids, s.ID), append(from, f.Node("from"))
		rd.c.Supplies = append(rd.c.Supplies, s)
	}
	for i, up := range rd.chain("supply", ids, from, "feeds itself", "let one of them be fed by the mains") {
		rd.c.Supplies[i].From = up
	}
}

// chain are the things that others name as the next one up, None for none. One
// that comes back to itself is a mistake and has none; does says what it does.
func (rd *reader) chain(what string, ids []string, named []*yamldoc.Node, does, fix string) []int {
	ups := make([]int, len(named))
	for i, n := range named {
		if ups[i] = None; n != nil {
			ups[i] = rd.name(n, what, ids)
		}
	}
	for i, n := range named {
		if n != nil && loops(i, func(i int) int { return ups[i] }) {
			rd.Wrong(n, fix, "%s %s %s, by way of %s", what, ids[i], does, n.Text)
			ups[i] = None
		}
	}
	return ups
}

// name is the index of an id, None (and a finding) for one that is not there.
func (rd *reader) name(n *yamldoc.Node, what string, ids []string) int {
	i := slices.Index(ids, rd.Text(n))
	if i < 0 {
		rd.Unknown(n, what, n.Text, ids)
	}
	return i
}

// loops reports whether going up from i comes back to i.
func loops(i int, up func(int) int) bool {
	seen := map[int]bool{}
	for at := up(i); at != None && !seen[at]; at = up(at) {
		if at == i {
			return true
		}
		seen[at] = true
	}
	return false
}

func (rd *reader) fuses() {
	for _, p := range rd.ByID(rd.relay.Sections["fuses"], yamldoc.CapitalID) {
		f := rd.Fields(p.Value, "a fuse", []string{"amps"})
		f.Need("amps")
		rd.c.Fuses = append(rd.c.Fuses, Fuse{p.Key.Text, f.Number("amps", 0.01, 10_000, 1), rd.Place(p.Key)})
	}
}

func (rd *reader) boards() {
	var supplies, fuses []string
	for _, s := range rd.c.Supplies {
		supplies = append(supplies, s.ID)
	}
	for _, f := range rd.c.Fuses {
		fuses = append(fuses, f.ID)
	}
	for _, board := range rd.relay.Boards {
		b := Board{Fuse: None, Switches: Positive, Drop: 1, At: board.At, Feed: Wire{Count: 1, At: board.At}}
		if board.Node != nil {
			f := rd.Fields(board.Node, "a board", wiring.BoardFields)
			b.PinAmps, b.Amps = f.Number("amps-per-pin", 0.001, 1000, 0), f.Number("amps", 0.001, 10_000, 0)
			b.Switches = Side(f.Choice("switches", string(Positive), string(Positive), string(Negative)))
			b.Drop = f.Number("drop", 0, 10, usualDrop(board))
			if scan := f.Node("scan"); scan != nil && scan.Get("columns") != nil {
				b.Columns, _ = strconv.Atoi(scan.Get("columns").Text) // package contact says what is wrong there
			}
			b.Threshold, b.Ohms = f.Number("threshold", 0.01, 1000, 0), f.Number("ohms", 1, 1e9, 0)
			for _, n := range f.Texts("supply") {
				if i := rd.name(n, "supply", supplies); i >= 0 && !slices.Contains(b.Supplies, i) {
					b.Supplies = append(b.Supplies, i)
				}
			}
			if n := f.Node("fuse"); n != nil {
				if i := slices.Index(fuses, n.Text); i >= 0 {
					b.Fuse = i
				} else if _, err := positive(n.Text); n.Kind == yamldoc.Scalar && err != nil && !looksNumber(n.Text) {
					rd.Unknown(n, "fuse", n.Text, fuses)
				} else {
					b.Fuse = len(rd.c.Fuses)
					rd.c.Fuses = append(rd.c.Fuses, Fuse{board.ID, rd.Number(n, "fuse", 0.01, 10_000, 1), rd.Place(n)})
				}
			}
			if n := f.Node("feed"); n != nil {
				b.Feed = rd.wire(rd.Fields(n, "a feed", []string{"gauge", "length", "wires", "strands", "coated"}), n)
			}
		}
		rd.c.Boards = append(rd.c.Boards, b)
	}
}

// usualDrop is what a driver loses, and what the diode of a scanned contact
// does, in volts: 1 and 0.7, of silicon. Common practice, no source.
func usualDrop(board wiring.Board) float64 {
	if board.Direction == wiring.Output {
		return 1
	}
	if scan := board.Node.Get("scan"); scan == nil || scan.Get("diodes") != nil && scan.Get("diodes").Text == "none" {
		return 0
	}
	return 0.7
}

func looksNumber(text string) bool {
	return text != "" && (text[0] == '-' || text[0] >= '0' && text[0] <= '9')
}

// wire reads gauge, length, wires and what they are made of.
func (rd *reader) wire(f yamldoc.Fields, n *yamldoc.Node) Wire {
	w := Wire{Count: f.Int("wires", 0, 999, 1), At: rd.Place(n)}
	if g := f.Node("gauge"); g != nil {
		gauge, err := parseGauge(rd.Text(g))
		if err != nil {
			rd.Wrong(g, "", "%v", err)
		}
		w.Gauge = gauge.Made(f.Int("strands", 1, 9999, 1), f.Bool("coated"))
	}
	if l := f.Node("length"); l != nil {
		metres, err := parseLength(rd.Text(l))
		if err != nil {
			rd.Wrong(l, "", "%v", err)
		}
		w.Metres = metres
	}
	return w
}

func (rd *reader) cables() {
	for _, cable := range rd.relay.Cables {
		c := Cable{Wire: Wire{Count: 1, At: cable.At}}
		if cable.Node != nil {
			f := rd.Fields(cable.Node, "a cable", wiring.CableFields)
			c.Wire = rd.wire(f, cable.Node)
			c.Count, c.At = 1, cable.At // `wires` of a cable are its ways
			c.Banded = f.Choice("banded", "", "both", "ring-only")
			c.Insulation = f.Choice("insulation", "", "thermoplastic", "thermosetting", "other")
			c.Covering = f.Choice("covering", "", "overall", "groups", "tape", "none")
			c.Protection = f.Choice("protection", "", "flame-rated", "metal-raceway", "fireproof-tape", "none")
			c.Fastened, c.Tag = rd.said(f, "fastened"), f.Text("tag")
		}
		rd.c.Cables = append(rd.c.Cables, c)
	}
}
