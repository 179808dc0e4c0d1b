package circuit

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Two magnets on one pin, each on a wire of its own: by Ohm's law each wire
// carries 12 V / 15 ohms = 0.8 A, and only the pin carries both.
func TestAWireCarriesWhatItFeedsAndNotWhatItsPinDoes(t *testing.T) {
	for name, c := range map[string]struct {
		first, second string
		want          []string
	}{
		"each within the 1 A of 28 AWG":        {"28", "28", nil},
		"the second beyond the 0.5 A of 30":    {"24", "30", []string{"warning wire-over"}},
		"both on the wires of one, beyond 1 A": {"28", "", []string{"warning wire-over"}},
	} {
		t.Run(name, func(t *testing.T) {
			p := right()
			p.electrical, p.magnets = "code: none", "kinds: [valve], ohms: 15, pull-in: 4, diode: magnet, cathode: return"
			p.board = "amps-per-pin: 5, amps: 500, supply: main, fuse: 500, switches: negative, drop: 0"
			p.supply = strings.Replace(p.supply, "amps: 20", "amps: 500", 1)
			p.returns = "of: [flute], gauge: 1, length: 1 ft, wires: 9, side: positive"
			p.cable = strings.Replace(strings.Replace(p.cable, "24", c.first, 1), "60 ft", "1 m", 1)
			second := "CX1"
			if c.second != "" {
				second = "CX2"
				p.cable += "}, CX2: {" + strings.Replace(p.cable, "gauge: "+c.first, "gauge: "+c.second, 1)
			}
			r, in := p.load(t)
			row := r.Plan[1]
			row.Cable = second
			r.Plan = append(r.Plan, row)
			found := Check(r, in)
			require.Equal(t, append([]string{}, c.want...), rules(found), "%v", found)
		})
	}
}
