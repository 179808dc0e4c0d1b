package circuit

import (
	"slices"

	"trundle/console/yamldoc"
	"trundle/sim/contact"
	"trundle/sim/wiring"
)

func (rd *reader) magnets() {
	for _, p := range rd.ByID(rd.relay.Sections["magnets"], yamldoc.CapitalID) {
		f := rd.Fields(p.Value, "a class of magnets", []string{"of", "kinds", "ohms", "hot", "pull-in", "pulse", "duty", "count", "diode", "cathode", "series-diodes"})
		if f.Node("of") == nil && f.Node("kinds") == nil {
			rd.Wrong(p.Key, "give it `of` or `kinds`", "nothing says which magnets are %s", p.Key.Text)
		}
		f.Need("ohms")
		m := Magnet{ID: p.Key.Text, At: rd.Place(p.Key), of: contact.ReadScope(rd.Source, f, rd.in),
			Ohms:   f.Number("ohms", 0.1, 1e6, 1),
			Hot:    f.Number("hot", 0, 200, 60),
			PullIn: f.Number("pull-in", 0.01, 1000, 0),
			Duty:   f.Number("duty", 0.0001, 1, 1),
			Count:  f.Int("count", 1, 99, 1),
			Diode:  f.Choice("diode", "", "magnet", "board", "none"), Cathode: f.Choice("cathode", "", "pin", "return")}
		if n := f.Node("pulse"); n != nil {
			ms, err := parseTime(rd.Text(n))
			if err != nil {
				rd.Wrong(n, "", "%v", err)
			}
			m.Pulse = ms
		}
		rd.c.Magnets = append(rd.c.Magnets, m)
	}
}

func (rd *reader) returns() {
	var ids, supplies []string
	for _, s := range rd.c.Supplies {
		supplies = append(supplies, s.ID)
	}
	var into []*yamldoc.Node
	for _, p := range rd.ByID(rd.relay.Sections["returns"], yamldoc.CapitalID) {
		f := rd.Fields(p.Value, "a return", []string{"of", "kinds", "wires", "switch", "gauge", "length", "strands", "coated", "side", "into", "supply", "joined", "fuse", "logic"})
		back := Return{ID: p.Key.Text, Wire: rd.wire(f, p.Key), Into: None, Supply: None, of: contact.ReadScope(rd.Source, f, rd.in),
			Side:   Side(f.Choice("side", "", string(Positive), string(Negative))),
			Joined: f.Bool("joined"), Logic: f.Bool("logic"), Fuse: f.Number("fuse", 0.01, 10_000, 0)}
		if n := f.Node("supply"); n != nil {
			back.Supply = rd.name(n, "supply", supplies)
		}
		ids, into = append(ids, back.ID), append(into, f.Node("into"))
		rd.c.Returns = append(rd.c.Returns, back)
	}
	for i, up := range rd.chain("return", ids, into, "runs into itself", "let one of them run to the supply") {
		rd.c.Returns[i].Into = up
	}
}

// loads finds what hangs on output pins, class by class. What has no class has
// no ohms, and is left out.
func (rd *reader) loads() {
	for _, h := range rd.hung(wiring.Output) {
		class := slices.IndexFunc(rd.c.Magnets, func(m Magnet) bool { return m.of.Has(h.item) })
		if class < 0 {
			continue
		}
		rd.c.Loads = append(rd.c.Loads, Load{Item: h.item, Pin: h.pin, Board: h.pin.On, Magnet: class,
			Return: slices.IndexFunc(rd.c.Returns, func(back Return) bool { return back.of.Has(h.item) }), Legs: h.legs, At: h.at})
	}
}
