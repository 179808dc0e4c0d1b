package mapping

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The default map by its own rule, worked out by hand: keyboards from channel 1
// up, the second contacts behind; foot controllers (4 in MIDI 1.0 table III);
// controls on 16, buttons on 15; valves are non-registered parameters on 16.
func TestTheTableOfTheDefaultMap(t *testing.T) {
	_, m := load(t, "")
	var got []string
	for _, r := range m.Table() {
		got = append(got, fmt.Sprintf("%s %s | %s | %s", r.What, r.Name, r.ToOrgan, r.ToConsole))
	}
	require.Equal(t, `keys great C2..C4 | notes 36 to 60 on channel 1 | 
second contacts great C2..C4 | notes 36 to 60 on channel 4 | 
keys choir C2..C4 | notes 36 to 60 on channel 2 | 
keys pedal C2..G3 | notes 36 to 55 on channel 3 | 
valves all ranks |  | nrpns 0 to 272 on channel 16
shoe swell | controller 4 on channel 1 | controller 4 on channel 1
shoe crescendo | controller 4 on channel 2 | controller 4 on channel 2
stop principal-8 | note 0 on channel 16 | note 0 on channel 16
stop flute-8 | note 1 on channel 16 | note 1 on channel 16
stop flute-4 | note 2 on channel 16 | note 2 on channel 16
stop trumpet-8 | note 3 on channel 16 | note 3 on channel 16
coupler choir-to-great | note 4 on channel 16 | note 4 on channel 16
unison off choir-off | note 5 on channel 16 | note 5 on channel 16
ventil reeds | note 6 on channel 16 | note 6 on channel 16
tremulant tremulant | note 7 on channel 16 | note 7 on channel 16
button general-1 | note 0 on channel 15 | note 0 on channel 15
button general-2 | note 1 on channel 15 | note 1 on channel 15
button great-1 | note 2 on channel 15 | note 2 on channel 15
button set | note 3 on channel 15 | note 3 on channel 15
button toe-1 | note 4 on channel 15 | note 4 on channel 15`, strings.Join(got, "\n"))
}

func TestTheTableShowsWhatIsNotMapped(t *testing.T) {
	_, m := load(t, "  valves: {flute: {channel: 5, first: 7}}\n  controls: {stops: notes from 0 on channel 1}\n")
	rows := m.Table()
	require.Equal(t, Row{"valves", "flute:1..120", "notes 7 to 126 on channel 5", ""}, rows[0])
	require.Contains(t, rows, Row{"keys", "pedal C2..G3", "not mapped", "not mapped"})
	require.Contains(t, rows, Row{"coupler", "choir-to-great", "not mapped", "not mapped"})
}
