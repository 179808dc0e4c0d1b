package circuit

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

const organ = `
format: 1
instrument: Saltmarsh Hall
keyboards:
  great: {kind: manual, keys: C2..C7}
divisions:
  great: {keyboard: great, notes: C2..C7, chest: unit}
ranks:
  flute: {division: great, family: flute, feet: 8, pipes: 61}
stops:
  great-flute-8: {name: Flute, division: great, feet: 8, rank: flute}
`

// parts are those of a relay that is right: 61 magnets of 150 ohms on one board.
type parts struct{ electrical, supply, keys, lines, board, cable, magnets, returns, more string }

func right() parts {
	return parts{
		electrical: "code: us",
		supply:     "volts: 12, amps: 20, listed: true, grounding: bonded, separation: selv, ripple: 0.05",
		keys:       "threshold: 8, ohms: 2200",
		lines:      "wires: 75, gauge: 28, length: 60 ft, insulation: thermoplastic, covering: overall, protection: flame-rated, fastened: true",
		board:      "amps-per-pin: 0.5, amps: 6, supply: main, fuse: 6, switches: negative, drop: 0",
		cable:      "wires: 75, gauge: 24, length: 60 ft, insulation: thermoplastic, covering: overall, protection: flame-rated, fastened: true",
		magnets:    "kinds: [valve], ohms: 150, pull-in: 7, diode: magnet, cathode: return",
		returns:    "of: [flute], gauge: 14, length: 60 ft, side: positive",
		more:       "places: {console: {of: [K1], enclosed: true}, loft: {of: [X1], enclosed: true}}",
	}
}

func (p parts) text() string {
	return fmt.Sprintf(`format: 1
wiring: wiring.csv
boards:
  K1: {kind: input, pins: 61, %s}
  X1: {kind: output, pins: 61, %s}
cables: {CX1: {%s}, CK1: {%s}}
electrical: {%s}
supplies: {main: {%s}}
magnets: {small: {%s}}
returns: {chamber: {%s}}
%s
`, p.keys, p.board, p.cable, p.lines, p.electrical, p.supply, p.magnets, p.returns, p.more)
}

func (p parts) load(t testing.TB) (*wiring.Relay, *console.Instrument) {
	dir := t.TempDir()
	return load(t, dir, p.text())
}

func load(t testing.TB, dir, relay string) (*wiring.Relay, *console.Instrument) {
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	in, found := console.Load(write("organ.yaml", organ))
	require.NotNil(t, in, "%v", found)
	write("joins.csv", "from,pins,to,pins,cable,wires\nX1,1..2,J1,1..2,CX2,\nX1,3..4,J1,3..4,CX2,\n")
	write("loose.csv", "from,pins,to,pins,cable,wires\nX1,1..2,J1,1..2,,\n")
	write("wiring.csv", "board,pins,kind,item,notes,cable,wires,group\nK1,1..61,key,great,C2..C7,CK1,1..61,\nX1,1..61,valve,flute,1..61,CX1,1..61,\n")
	r, found := wiring.Load(write("relay.yaml", relay), in)
	require.NotNil(t, r, "%v", found)
	return r, in
}

func rules(found []finding.Finding) []string {
	list := []string{}
	for _, f := range found {
		list = append(list, string(f.Severity)+" "+f.Rule)
	}
	return list
}
