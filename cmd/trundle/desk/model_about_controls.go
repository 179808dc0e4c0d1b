package desk

import (
	"fmt"
	"strings"

	"trundle/console"
)

// aboutControl is what a control does, whether it is on or not.
func (m *Model) aboutControl(c int) []line {
	var lines []line
	if by := m.blindly(c); by != "" {
		lines = append(lines, line{text: by, ink: Blind})
	}
	switch control := m.in.Controls[c]; control.Kind {
	case console.StopControl:
		return append(lines, plain(m.aboutStop(m.in.Stops[control.Index])...)...)
	case console.CouplerControl:
		return append(lines, plain(m.aboutCoupler(m.in.Couplers[control.Index])...)...)
	default:
		return append(lines, line{text: m.aboutOther(control)})
	}
}

// aboutOther is what a control does that is neither stop nor coupler.
func (m *Model) aboutOther(control console.Control) string {
	i := control.Index
	switch control.Kind {
	case console.UnisonOffControl:
		name := m.divisionName(m.in.UnisonOffs[i].Division)
		switch m.in.UnisonOffs[i].Cuts {
		case console.CutsLine:
			return "cuts the " + name + " off from its own keys and from couplers of other keyboards; its own couplers still play it"
		case console.CutsAll:
			return "cuts the " + name + " off from its own keys and from all couplers"
		}
		return "cuts the " + name + " off from its own keys; couplers still play it"
	case console.VentilControl:
		if v := m.in.Ventils[i]; v.Admits != nil {
			return "lets wind to " + m.rankNames(v.Admits) + " while it is on"
		}
		return "keeps the wind from " + m.rankNames(m.in.Ventils[i].Cuts) + " while it is on"
	case console.TransferControl:
		k := m.in.Transfers[i].Keyboards
		return "exchanges the keys of " + m.keyboardName(k[0]) + " and " + m.keyboardName(k[1])
	case console.DivideControl:
		d := m.in.Divides[i]
		return fmt.Sprintf("divides the %s at %s: keys below it reach no other division's stops, those from it up not their own", m.keyboardName(d.Keyboard), m.signs.note(d.Split))
	case console.SostenutoControl:
		return "keeps down, while it is on, the keys that were held when it came on"
	case console.GatheringControl:
		return "puts every box on the " + m.itemName(Item{ShoeItem, m.in.Gatherings[i].Shoe, 0})
	case console.FollowControl:
		f := m.in.Follows[i]
		return "a piston of the " + m.divisionName(f.Division) + " presses that of the " + m.divisionName(f.With) + " of the same number"
	}
	return "shakes the wind, and opens no pipe" // a tremulant
}

func (m *Model) divisionName(d int) string {
	return m.signs.name(m.in.Divisions[d].ID, m.in.Divisions[d].Name)
}

func (m *Model) rankNames(ranks []int) string {
	var names []string
	for _, r := range ranks {
		names = append(names, m.signs.text(m.in.Ranks[r].Name))
	}
	return strings.Join(names, ", ")
}
