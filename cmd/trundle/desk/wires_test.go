package desk

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/circuit"
	"trundle/sim/wiring"
)

const chapel = `format: 1
instrument: Chapel
keyboards: {great: {kind: manual, keys: C2..C7}}
divisions: {great: {keyboard: great, chest: unit}}
ranks: {flute: {division: great, family: flute, feet: 8, pipes: 61}}
stops: {flute-8: {name: Flute, division: great, feet: 8, rank: flute}}
`

// 120 ohms on 12 volts without a drop: each magnet draws 0.1 A (Ohm's law).
const chapelRelay = `format: 1
boards:
  K1: {kind: input, pins: 62}
  X1: {kind: output, pins: 61, amps: 0.25, supply: main, switches: negative, drop: 0}
wiring: wiring.csv
supplies: {main: {volts: 12, amps: 20}}
magnets: {small: {kinds: [valve], ohms: 120}}
`

const chapelWiring = `board,pins,kind,item,notes
K1,1..61,key,great,C2..C7
K1,62,stop,flute-8,
X1,1..61,valve,flute,1..61
`

// Two valves are soldered the other way round.
const chapelWired = `board,pins,kind,item,notes
K1,1..61,key,great,C2..C7
K1,62,stop,flute-8,
X1,1..24 26 25 27..61,valve,flute,1..61
`

// relayDesk is the desk of the chapel with a relay.
func relayDesk(t *testing.T, more string) *Model {
	t.Helper()
	in, findings := console.Parse("organ.yaml", []byte(chapel))
	require.NotNil(t, in, "%v", findings)
	dir := t.TempDir()
	for name, text := range map[string]string{"relay.yaml": chapelRelay + more, "wiring.csv": chapelWiring, "wired.csv": chapelWired} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	relay, findings := wiring.Load(filepath.Join(dir, "relay.yaml"), in)
	require.NotNil(t, relay, "%v", findings)
	c, findings := circuit.Read(relay, in)
	require.NotNil(t, c, "%v", findings)
	return New(in, Options{Relay: NewRelay(in, relay, c)})
}

func TestWiresShowPinsAndCurrents(t *testing.T) {
	d := drive(t, relayDesk(t, ""), Outside{}).press("4").see("contacts made: 0", "pins driven: 0")
	d.find("flute").press("Enter").see("Flute 8 (flute-8): K1.62", "contacts made: 1")
	d.press("a", "q", "w").see("contacts made: 4", "K1  25..26 28 62", "pins driven: 3", "X1  25..26 28", "the relay opens just the valves it should")
	d.see("supply main          0.30 A of 20", "board X1             0.30 A of 0.25")
	d.press("Backspace").see("pins driven: 0", "supply main          0.00 A")
}

func TestWiresTellOfWhatIsSolderedWrong(t *testing.T) {
	d := drive(t, relayDesk(t, "wired: wired.csv\n"), Outside{}).find("flute").press("Enter", "4", "a")
	d.see("1 valve does not open", "flute:25", "1 valve opens and should not", "flute:26")
	d.press("q").see("the relay opens just the valves it should") // both are open
}

// A crescendo is wired stage by stage, a box by its shades; the demonstration
// instrument's are A1.1..12 and X8.31..38 in its own wiring.csv.
func TestWiresOfAShoeAreThoseOfWhatItWorks(t *testing.T) {
	const dir = "../examples/saltmarsh/"
	in := instrument(t, dir+"organ.yaml")
	relay, findings := wiring.Load(dir+"relay.yaml", in)
	require.NotNil(t, relay, "%v", findings)
	d := drive(t, New(in, Options{Relay: NewRelay(in, relay, nil)}), Outside{}).press("4")
	d.find("crescendo shoe").see("Crescendo shoe: stages A1.1..12")
	d.find("choir shoe").see("Choir shoe: A1.13, shades X8.31..38")
	d.find("reeds").see("Reeds On (reeds-on): S2.13, on coil N1.29,", "coil N2.29", "magnet X2.21")
}
