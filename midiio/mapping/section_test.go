package mapping

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// However large an instrument is, its default map has a meaning and no
// collision; what has no channel left is told.
func TestTheDefaultMapOfAnyInstrument(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		keyboards, touches := rapid.IntRange(1, 20).Draw(t, "keyboards"), rapid.IntRange(1, 2).Draw(t, "touches")
		stops, shoes := rapid.IntRange(0, 600).Draw(t, "stops"), rapid.IntRange(0, 20).Draw(t, "shoes")
		buttons, crescendo := rapid.IntRange(0, 300).Draw(t, "buttons"), rapid.Bool().Draw(t, "crescendo")
		var b strings.Builder
		b.WriteString("format: 1\nkeyboards:\n")
		for i := range keyboards {
			fmt.Fprintf(&b, "  k%d: {kind: manual, keys: C2..C7, touches: %d}\n", i, touches)
		}
		b.WriteString("divisions: {d: {keyboard: k0, notes: C2..C7, chest: unit}}\nranks: {r: {division: d, feet: 8, pipes: 61}}\n")
		section := func(heading, indent string, n int, line string) {
			for i := range n {
				if i == 0 {
					b.WriteString(heading)
				}
				fmt.Fprintf(&b, indent+line, i)
			}
		}
		section("stops:\n", "  ", stops, "s%d: {division: d, feet: 8, rank: r}\n")
		if shoes > 0 {
			section("boxes:\n", "  ", shoes, "b%d: {stages: 4}\n")
			b.WriteString("shoes:\n")
			for i := range shoes {
				fmt.Fprintf(&b, "  h%d: {drives: [b%d]}\n", i, i)
			}
		}
		if crescendo && stops > 0 {
			b.WriteString("crescendo: {stages: [[s0]]}\n")
		}
		section("combination:\n  buttons:\n", "    ", buttons, "g%d: {kind: general}\n")
		in, found := console.Parse("organ.yaml", []byte(b.String()))
		require.NotNil(t, in, "%v", found)

		m, found := Load(in)
		require.NotNil(t, m, "%v\n%s", found, Section(in))
		require.Empty(t, found)
		written, found := console.Parse("organ.yaml", []byte(b.String()+"midi:\n"+m.Text()))
		require.NotNil(t, written, "%v", found)
		again, found := Load(written)
		require.NotNil(t, again, "%v\n%s", found, m.Text())
		require.False(t, again.Default)
		require.Equal(t, forms(m), forms(again), "the default map, written into the file, is the same map")
		channels := keyboards*touches + (stops+127)/128 + (buttons+127)/128
		require.Equal(t, channels <= 16 && shoes <= 16, len(m.Unmapped()) == 0 && seconds(m) == keyboards*(touches-1)*61, "%d channels wanted", channels)
	})
}

// seconds is how many second contacts are mapped.
func seconds(m *Map) (n int) {
	for _, e := range m.Entries {
		if e.Kind == Second {
			n++
		}
	}
	return n
}
