package console

import (
	"slices"

	"trundle/console/finding"
	"trundle/console/yamldoc"
)

// readCouplers reads couplers and unison offs, which stand under one heading.
func (l *loader) readCouplers() {
	for _, entry := range l.under["couplers"] {
		if silences(entry.Value) {
			l.readUnisonOff(entry)
			continue
		}
		f, name := l.entry(entry, "coupler")
		c := Coupler{
			ID:       entry.Key.Text,
			Name:     name,
			Division: l.divisions.find(l.Source, f.Need("division")),
			Keyboard: l.keyboards.find(l.Source, f.Node("keyboard")),
			Shift:    f.Int("shift", -127, 127, 0),
			Carries:  Carries(f.Choice("carries", string(CarriesNone), string(CarriesNone), string(CarriesOwn), string(CarriesAll))),
			Picks:    Picks(f.Choice("picks", string(PicksAll), string(PicksLowest), string(PicksHighest))),
			Keys:     l.span(f.Node("keys")),
			Touch:    f.Int("touch", 1, 2, 1),
			Pulse:    f.Int("pizzicato", 1, 10_000, 0),
			At:       l.Place(entry.Key),
		}
		own := f.Node("keyboard") == nil
		if c.Division != None && c.Keyboard != None && l.in.Divisions[c.Division].Keyboard == c.Keyboard {
			own, c.Keyboard = true, None
		}
		if own && c.Carries != CarriesNone {
			l.Wrong(f.Node("carries"), "take `carries` away, or say from which keyboard", "an own coupler carries nothing further")
		}
		if own && c.Picks != PicksAll {
			l.Wrong(f.Node("picks"), "take `picks` away, or say from which keyboard", "an own coupler picks no key")
		}
		if c.Picks != PicksAll && c.Carries != CarriesNone && !own {
			l.Wrong(f.Node("picks"), "keep one of the two", "a coupler that carries %s cannot pick a key", c.Carries)
		}
		if c.Pulse > 0 && (own || c.Picks != PicksAll || c.Touch != 1) {
			l.Wrong(f.Node("pizzicato"), "couple another keyboard's first contacts, all of them",
				"a pizzicato coupler comes from another keyboard, picks no key and has no second touch")
		}
		c.Control = l.control(entry.Key, name, CouplerControl, len(l.in.Couplers), f)
		l.in.Couplers = append(l.in.Couplers, c)
	}
}

// silences reports whether an entry is a unison off, however its field is spelt.
func silences(entry *yamldoc.Node) bool {
	known := slices.Concat(fieldsOf["coupler"], fieldsOf["unison-off"])
	return slices.ContainsFunc(entry.Pairs, func(p yamldoc.Pair) bool {
		return finding.Nearest(p.Key.Text, known) == "silences"
	})
}

func (l *loader) readUnisonOff(entry yamldoc.Pair) {
	f, name := l.entry(entry, "unison-off")
	u := UnisonOff{
		ID:       entry.Key.Text,
		Name:     name,
		Division: l.divisions.find(l.Source, f.Node("silences")),
		Cuts:     Cuts(f.Choice("cuts", string(CutsKeys), string(CutsKeys), string(CutsLine), string(CutsAll))),
		At:       l.Place(entry.Key),
	}
	u.Control = l.control(entry.Key, name, UnisonOffControl, len(l.in.UnisonOffs), f)
	l.in.UnisonOffs = append(l.in.UnisonOffs, u)
}
