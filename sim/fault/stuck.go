package fault

import (
	"strings"

	"trundle/console"
	"trundle/sim/wiring"
)

// Stuck are the places where something is on whatever is held and drawn: a contact
// that does not open, or a pin, wire or output that has found a supply. They stand
// apart from Sites since they are in no table: what was soldered is as planned.
func Stuck(r *wiring.Relay, in *console.Instrument) []Site {
	m := &maker{r: r, in: in}
	var sites []Site
	for _, row := range r.Soldered() {
		if n := min(len(row.Pins), len(row.Items)); n > 0 && m.matters(row) {
			sites = append(sites, Site{Class: stuckClass(row.Items[0].Kind), In: Soldered, Count: n, r: r,
				Items: func(i int) []wiring.Item { return row.Items[i : i+1] },
				Edit:  func(i int) Edit { return Edit{Row: console.None, Stuck: []wiring.Row{one(row, i)}} },
				name: func(i int) (string, []wiring.Terminal) {
					_, item, note := row.Items[i].Words(in)
					return m.name(row.Pins[i]) + " stuck on, " + strings.TrimSuffix(item+":"+note, ":"), row.Pins[i : i+1]
				}})
		}
	}
	return sites
}

func stuckClass(kind wiring.Kind) string {
	switch kind {
	case wiring.KeyKind, wiring.Key2Kind:
		return "key-stuck"
	case wiring.ControlKind:
		return "stop-stuck"
	}
	return "output-stuck"
}
