package listen

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/wiring"
)

// What ciphers, or stays on, is named with the pin; by hand from the example's
// stop list and wiring: the great is a slider chest, so that note line and key sound
// with any stop drawn, the choir a unit chest, where each valve is one pipe's.
func TestWhatIsStuckIsNamed(t *testing.T) {
	l := saltmarsh(t)
	for text, classes := range map[string][]string{
		"great C4 ciphers":                            {"key-stuck"}, // with stops of two chests
		"great-flute-8 C4 ciphers":                    {"key-stuck", "output-stuck"},
		"choir-viola-8 C4 sounds with no key":         {"key-stuck", "output-stuck"},
		"choir-viola-8 C4 ciphers with nothing drawn": {"output-stuck"},
		"great-flute-8 stays on":                      {"stop-stuck", "output-stuck"},
		"choir-octave stays on with choir-viola-8":    {"stop-stuck"},
	} {
		symptoms, err := l.Read(text)
		require.NoError(t, err, text)
		q := l.Explain(symptoms)
		require.True(t, q.Whole, text)
		var found []string
		for _, c := range q.Causes {
			if c.Weight == q.Causes[0].Weight && !slices.Contains(found, c.Fault.Class) {
				found = append(found, c.Fault.Class)
			}
		}
		require.ElementsMatch(t, classes, found, text)
	}
}

// What a relay does with a contact that is stuck is what it does without, with that
// key held or that knob drawn besides.
func TestAContactThatIsStuckIsOneThatIsHeldOrDrawn(t *testing.T) {
	l := saltmarsh(t)
	for _, site := range l.sites() {
		if site.Class != "key-stuck" && site.Class != "stop-stuck" {
			continue
		}
		i := site.Count / 2
		item := site.Items(i)[0]
		draw := []int{}
		for c := 0; c < len(l.in.Controls); c += 2 {
			draw = append(draw, c)
		}
		try, as := Try{Draw: draw}, Try{Draw: draw}
		if item.Kind == wiring.KeyKind {
			as.Held = l.press(item.Index, console.Note(item.Note))
		} else if !slices.Contains(draw, item.Index) {
			as.Draw = with(draw, item.Index)
		}
		require.Equal(t, plain.Open(l.in, as.State(l.in)), wiring.Run(site.Way(i).Relay, l.in, try.State(l.in)).Open, site.Named(i).Where)
	}
}
