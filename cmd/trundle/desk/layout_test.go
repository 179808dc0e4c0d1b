package desk

import (
	"fmt"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/gen"
)

// items are all that a console has.
func items(in *console.Instrument) []Item {
	var list []Item
	for k, keyboard := range in.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			list = append(list, Item{KeyItem, k, n})
		}
	}
	for c := range in.Controls {
		list = append(list, Item{ControlItem, c, 0})
	}
	if in.Combination != nil {
		for b := range in.Combination.Buttons {
			list = append(list, Item{ButtonItem, b, 0})
		}
	}
	for s := range in.Shoes {
		list = append(list, Item{ShoeItem, s, 0})
	}
	return list
}

func TestEveryThingOfAConsoleHasOnePlaceOfItsOwn(t *testing.T) {
	for seed := range uint64(6) {
		for name, size := range map[string]gen.Size{"small": gen.Small, "large": gen.Large} {
			in := gen.Instrument(seed, size)
			for _, w := range []int{80, 111, 160, 240} {
				l := NewLayout(in, SignsFor(false), w, 24)
				places := map[Item]int{}
				taken := map[[2]int]bool{}
				for _, s := range l.Spots {
					places[s.Item]++
					fits := s.X >= 0 && s.Y < l.H && (s.Kind == KeyItem || s.X+s.W <= w)
					for x := s.X; x < s.X+s.W; x++ {
						fits = fits && !taken[[2]int{x, s.Y}]
						taken[[2]int{x, s.Y}] = true
					}
					if !fits {
						require.Fail(t, "does not fit, or lies over another", "%s %d, %d columns: %v", name, seed, w, s)
					}
				}
				for _, i := range items(in) {
					if places[i] != 1 {
						require.Equal(t, 1, places[i], "places of %v in %s %d", i, name, seed)
					}
				}
			}
		}
	}
}

// rows is where rows with a text stand on a screen.
func rows(m *Model, text string) []int {
	var list []int
	for y, row := range strings.Split(screenOf(m), "\n") {
		if strings.Contains(row, text) {
			list = append(list, y)
		}
	}
	return list
}

func screenOf(m *Model) string {
	g := NewGrid(m.w, m.h)
	Draw(m, g)
	return g.String()
}

func TestAThreeManualConsoleIsWhollyInSightAt160By50(t *testing.T) {
	in := threeManuals(t)
	m := New(in, Options{})
	m.Resize(160, 50)
	require.LessOrEqual(t, m.layout.H, m.frame().console.h)
	require.Zero(t, m.top)

	// The highest manual on top, the pedal below: the file names them from below.
	var order []int
	for _, name := range []string{"─ Swell ─", "─ Great ─", "─ Positive ─", "─ Pedal ─"} {
		found := rows(m, name)
		require.Len(t, found, 1, name)
		order = append(order, found[0])
	}
	require.IsIncreasing(t, order)

	// What belongs to a keyboard stands between its heading and the next.
	for text, band := range map[string]int{"Clairon 4": 0, "Trumpet 8": 1, "Sostenuto": 1, "Swell to Great 4": 1, "Swell Octave 4": 0, "Swell Unison Off": 0,
		"Larigot 1⅓": 2, "Quint 10⅔": 3, "Great to Pedal 8": 3, "[Great 4]": 1, "[Swell 1]": 0, "[Pedal 3]": 3, "0/16": 3} {
		found := rows(m, text)
		require.Len(t, found, 1, text)
		require.Greater(t, found[0], order[band], text)
		if band < 3 {
			require.Less(t, found[0], order[band+1], text)
		}
	}
}

// Without a mouse: from where the cursor stands at first, by arrows and Tab.
func TestEverythingIsReachedByArrowsAndTab(t *testing.T) {
	for name, in := range map[string]*console.Instrument{"three manuals": threeManuals(t), "large": gen.Instrument(1, gen.Large)} {
		for _, size := range [][2]int{{80, 24}, {160, 50}} {
			m := New(in, Options{})
			m.Resize(size[0], size[1])
			reached := map[Item]bool{m.cursor: true}
			for queue := []Item{m.cursor}; len(queue) > 0; queue = queue[1:] {
				for _, a := range []Action{"left", "right", "up", "down", "next-group", "last-group"} {
					m.moveTo(queue[0])
					m.act(a)
					if !reached[m.cursor] {
						reached[m.cursor] = true
						queue = append(queue, m.cursor)
					}
				}
			}
			for _, s := range m.layout.Spots {
				require.True(t, reached[s.Item], "%s at %v: %v", name, size, s)
			}
		}
	}
}

// The cursor is always on the screen.
func TestTheCursorStaysInSight(t *testing.T) {
	m := New(gen.Instrument(3, gen.Large), Options{})
	for _, size := range [][2]int{{80, 24}, {100, 30}, {160, 50}} {
		m.Resize(size[0], size[1])
		for _, s := range m.layout.Spots {
			m.moveTo(s.Item)
			g := NewGrid(m.w, m.h)
			Draw(m, g)
			seen := 0
			for _, c := range g.Cells {
				if c.Cursor {
					seen++
				}
			}
			require.Positive(t, seen, "%v: %v", size, s)
		}
	}
}

func TestAScreenThatIsTooSmallSaysWhatIsNeeded(t *testing.T) {
	m := New(threeManuals(t), Options{})
	for _, size := range [][2]int{{79, 24}, {80, 23}, {20, 6}} {
		m.Resize(size[0], size[1])
		words := strings.Join(strings.Fields(screenOf(m)), " ")
		require.Equal(t, fmt.Sprintf("The desk needs a screen of 80 columns and 24 rows; this one has %d and %d.", size[0], size[1]), words)
	}
	m.Resize(1, 1)
	require.Equal(t, "T\n", screenOf(m))
	m.Resize(0, 0)
	require.Empty(t, screenOf(m))
}

func TestNamesCannotSteerTheTerminal(t *testing.T) {
	in := threeManuals(t)
	in.Name = "\x1b[2JOrgan\u202e\u200b\ttwo\x9b"
	in.Controls[in.Stops[0].Control].Name, in.Stops[0].Name = "a\x07b", "a\x07b"
	m := New(in, Options{})
	m.Resize(160, 50)
	text := screenOf(m)
	require.True(t, strings.HasPrefix(text, "[2JOrgan two "), text[:40])
	require.Contains(t, text, "· ab 8 ")
	for _, r := range text {
		require.True(t, r == '\n' || unicode.IsPrint(r), "%q", r)
	}
}

func TestASCIIIsEnough(t *testing.T) {
	in := threeManuals(t)
	in.Name = "Flötenwerk № 2⅔ ♭♯"
	m := New(in, Options{ASCII: true})
	for _, key := range []string{"a", "q", "1", "2", "3", "4", "?", "Esc"} {
		m.Key(0, key)
		for _, size := range [][2]int{{80, 24}, {160, 50}} {
			m.Resize(size[0], size[1])
			for _, r := range screenOf(m) {
				require.Less(t, r, rune(0x80), "%q", r)
			}
		}
	}
	m.Resize(160, 50)
	m.Key(0, "Right")
	text := screenOf(m)
	require.True(t, strings.HasPrefix(text, "Flotenwerk No 2 2/3 b# "), text[:40])
	for _, want := range []string{"Nazard 2 2/3", "Koppelflote 4", "C#4", "O"} {
		require.Contains(t, text, want)
	}
}

// Colour only repeats what shapes say.
func TestWhatStandsInOnePlaceDiffersByShape(t *testing.T) {
	for _, s := range []*Signs{SignsFor(false), SignsFor(true)} {
		for _, alike := range [][]string{
			{s.natural, s.held, s.mute, s.deep, s.moved, s.coupled},
			{s.sharp, s.held, s.mute, s.deep, s.moved, s.coupled},
			{s.drawn, s.off, s.blind, s.dropped, s.stuck},
			{s.lamp, s.off},
			{s.full, s.empty},
		} {
			seen := map[string]bool{}
			for _, sign := range alike {
				require.False(t, seen[sign], sign)
				require.Equal(t, 1, width(sign))
				seen[sign] = true
			}
		}
		for _, more := range []string{s.above, s.below} { // stands in places of the others, and in no legend
			require.NotContains(t, []string{s.natural, s.sharp, s.held, s.mute, s.deep, s.moved, s.coupled, s.drawn, s.off, s.blind, s.dropped, s.stuck, s.lamp}, more)
		}
	}
}
