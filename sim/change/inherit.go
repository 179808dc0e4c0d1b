package change

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// inherit keeps the pins that something was taken off for what is new of its kind
// and division, in the order of both: the knob of a new stop goes where that of
// the stop was whose place it takes, whatever else is new.
func (l *list) inherit(needs []thing) {
	type family struct {
		kind wiring.Kind
		of   string
	}
	left := map[family][]wiring.Terminal{}
	for _, s := range l.soldered {
		pin, f := l.relay.Soldered()[s.row].Pins[s.at], family{s.kind, familyOf(l.old, s.thing)}
		if f.of != "" && !l.taken[pin] && pin.On < len(l.relay.Boards) && !slices.Contains(left[f], pin) {
			left[f] = append(left[f], pin)
		}
	}
	for _, t := range needs {
		f := family{t.kind, familyOf(l.new, t)}
		if _, planned := l.planned[t]; planned || l.hung[t] || len(left[f]) == 0 {
			continue
		}
		l.inherited[t], l.taken[left[f][0]] = left[f][0], true
		left[f] = left[f][1:]
	}
}

// familyOf is what a thing with one pin shares with others of its kind: what its
// control is and the division of that, or the division of its rank; "" of all else.
func familyOf(in *console.Instrument, t thing) string {
	if acts(t.kind) {
		for _, rank := range in.Ranks {
			if rank.ID == t.id && rank.Division != console.None {
				return in.Divisions[rank.Division].ID
			}
		}
	}
	switch t.kind {
	case wiring.ControlKind, wiring.KnobOnKind, wiring.KnobOffKind, wiring.LampKind:
	default:
		return ""
	}
	for _, control := range in.Controls {
		if control.ID != t.id {
			continue
		}
		division := ""
		switch i := control.Index; control.Kind {
		case console.StopControl:
			division = in.Divisions[in.Stops[i].Division].ID
		case console.CouplerControl:
			division = in.Divisions[in.Couplers[i].Division].ID
		case console.UnisonOffControl:
			division = in.Divisions[in.UnisonOffs[i].Division].ID
		}
		return string(control.Kind) + " " + division
	}
	return ""
}
