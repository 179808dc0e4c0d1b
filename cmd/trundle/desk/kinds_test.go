package desk

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// parsed is an instrument of a few lines.
func parsed(t *testing.T, text string) *console.Instrument {
	t.Helper()
	in, findings := console.Parse("organ.yaml", []byte("format: 1\n"+text))
	require.NotNil(t, in, "%v", findings)
	return in
}

func TestAKeyWithASecondContactGoesThereFirst(t *testing.T) {
	in := parsed(t, `
keyboards: {solo: {kind: manual, keys: C2..C7, touches: 2}}
divisions: {solo: {keyboard: solo, chest: unit}}
ranks: {flute: {division: solo, family: flute, feet: 8, pipes: 61}}
stops: {flute-8: {division: solo, feet: 8, rank: flute}, second-8: {division: solo, feet: 8, rank: flute, touch: 2}}
`)
	d := drive(t, New(in, Options{}), Outside{})
	d.press("a").count("●", 1).press("a").count("◉", 1).find("second").press("Enter").see("1 path, 1 pipe")
	d.press("a").count("◉", 0).count("●", 0)
}

// The stroke of a pizzicato coupler sounds for its time, and ends while nobody
// touches anything.
func TestAPulseEndsByItself(t *testing.T) {
	in := parsed(t, `
keyboards: {great: {kind: manual, keys: C2..C7}, choir: {kind: manual, keys: C2..C7}}
divisions: {great: {keyboard: great, chest: unit}, choir: {keyboard: choir, chest: unit}}
ranks: {flute: {division: choir, family: flute, feet: 8, pipes: 61}}
stops: {flute-8: {division: choir, feet: 8, rank: flute}}
couplers: {plucked: {name: Plucked, division: choir, keyboard: great, pizzicato: 300}}
`)
	d := drive(t, New(in, Options{}), Outside{}).find("flute").press("Enter").find("plucked").press("Enter", "a")
	d.see("1 path, 1 pipe").see("nothing sounds").count("●", 1)
}

// 88 keys have 52 naturals: more than fit in 80 columns.
func TestAKeyboardThatIsTooWideFollowsTheCursor(t *testing.T) {
	in := parsed(t, `
keyboards: {wide: {kind: manual, keys: A0..C8}}
divisions: {wide: {keyboard: wide, notes: A0..C8, chest: unit}}
ranks: {flute: {division: wide, family: flute, feet: 8, from: A0, pipes: 88}}
stops: {flute-8: {division: wide, feet: 8, rank: flute}}
`)
	m := New(in, Options{})
	for _, key := range []string{"End", "Home", "End"} {
		m.Key(0, key)
		rows := strings.Split(screenOf(m), "\n")
		require.Equal(t, "keys    "+strings.Repeat("│ ", 36), rows[4]+" ")
		require.Equal(t, key == "End", strings.HasSuffix(rows[5], "C8"), rows[5])
		require.Equal(t, key == "Home", strings.Contains(rows[5], " C1 "), rows[5])
	}
	m.Key(0, "Enter")
	require.True(t, m.console.Machine().Held(console.Key{Note: 108}))

	// The mouse finds the keys where they are shown.
	s, _ := m.layout.Spot(Item{KeyItem, 0, 107})
	f := m.frame()
	m.Point(0, Mouse{X: m.left(s), Y: f.console.y + s.Y - m.top, Down: true})
	require.True(t, m.console.Machine().Held(console.Key{Note: 107}))
}

func TestAScriptAnswersNoSaves(t *testing.T) {
	in := threeManuals(t)
	m := New(in, Options{Script: log(t, in, "0 press set", "0 press general-1", "0 saved 1", "1 release set")})
	m.Tick(time.Second)
	require.Len(t, m.console.Memories().Set(), 1)
	require.NotContains(t, m.message, "no save")
}

func TestWhatTheEnvironmentSaysOfTheTerminal(t *testing.T) {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		t.Setenv(name, "")
	}
	require.True(t, ASCII())
	t.Setenv("LANG", "de_DE.UTF-8")
	require.False(t, ASCII())
	t.Setenv("LC_ALL", "C")
	require.True(t, ASCII())
	for value, light := range map[string]bool{"": false, "15;0": false, "0;15": true, "0;default;15": true, "12;8": false, "0;7": true} {
		t.Setenv("COLORFGBG", value)
		require.Equal(t, light, Light(), value)
	}
}

// Every action can be given to another key, and the list of keys reads back.
func TestTheListOfKeysReadsBack(t *testing.T) {
	keys, findings := ParseKeys("keys", []byte(DefaultKeys().String()))
	require.Empty(t, findings)
	require.Equal(t, DefaultKeys(), keys)
	require.Len(t, DefaultKeys(), len(strings.Split(strings.TrimSpace(DefaultKeys().String()), "\n"))-1, "a key that does two things")
}
