package mapping

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
)

// lesson teaches a learner: what it asks, what is worked or said, and what it
// answers, a line each. `<` is a message, `!` a word of the player.
func lesson(t *testing.T, section, names, knobs, script string) *Learner {
	t.Helper()
	in, m := load(t, section)
	var things []Thing
	for name := range strings.SplitSeq(names, ",") {
		list, err := Things(in, name)
		require.NoError(t, err)
		things = append(things, list...)
	}
	l := NewLearner(m, things, Knobs(knobs))
	var said []string
	for line := range strings.Lines(script) {
		line = strings.TrimSpace(line)
		sign, rest, _ := strings.Cut(line, " ")
		switch sign {
		case "?":
			require.Empty(t, said, "it said more")
			ask, _, _ := l.Ask()
			require.Equal(t, rest, strings.TrimSpace(ask))
		case "<":
			message, err := midiio.ParseMessage(rest)
			require.NoError(t, err)
			said = append(said, l.Hear(message)...)
		case "!":
			switch rest {
			case "skip":
				l.Skip()
			case "back":
				l.Back()
			case "only":
				lines, ok := l.Only()
				require.True(t, ok)
				said = append(said, lines...)
			case "rule":
				require.True(t, l.TakeRule())
			}
		case "*":
			require.Equal(t, rest, l.Rule())
		case ">":
			require.NotEmpty(t, said, "it does not say: %s", rest)
			require.Equal(t, rest, said[0])
			said = said[1:]
		}
	}
	require.Empty(t, said, "it said more")
	return l
}

func TestLearningKeyboards(t *testing.T) {
	l := lesson(t, "", "keys", "stay", `
		? press the lowest key of great, C2
		< note-on 3 24 90
		< note-off 3 24 0
		? press the highest key of great, C4
		< note-on 3 47 90
		> C2 is heard as note 24 on channel 3 and C4 as note 47 on channel 3: they should be 24 notes apart on one channel; begin with the lowest again
		? press the lowest key of great, C2
		< note-on 3 24 90
		< note-on 3 48 90
		? press the lowest key of great again, to its second contact
		< note-on 3 24 90
		< note-on 4 24 90
		> great C2..C4: channel 3, second contacts channel 4
		? press the lowest key of choir, C2
		< note-on 3 24 90
		> note 24 on channel 3 is great C2 already
		< control-change 1 7 3
		> controller 7 on channel 1 is no key: keys are notes
		! skip
		? press the lowest key of pedal, C2
		< note-on 2 36 1
		< note-on 2 55 1
		> pedal C2..G3: notes 36 to 55 on channel 2
		?`)
	require.Equal(t, "  keys:\n    great: {channel: 3, second: 4, lowest: 24}\n    pedal: channel 2\n", l.Map().Text())
}

func TestLearningShoes(t *testing.T) {
	l := lesson(t, "", "shoes", "stay", `
		? move the shoe swell from end to end
		< pitch-bend 1 300
		> pitch-bend has no place in a map
		< control-change 1 4 1
		< control-change 1 36 1
		< control-change 1 4 2
		< control-change 1 4 2
		< control-change 1 4 3
		< control-change 1 4 4
		< control-change 1 4 5
		< control-change 1 4 6
		< control-change 1 4 7
		< control-change 1 4 8
		> swell: controller 4 on channel 1, fine
		? move the shoe crescendo from end to end
		< control-change 1 4 9
		< control-change 1 99 1
		< control-change 1 98 2
		< control-change 1 6 9
		< control-change 1 6 8
		< control-change 1 6 7
		< control-change 1 6 6
		< control-change 1 6 5
		< control-change 1 6 4
		< control-change 1 6 3
		< control-change 1 6 2
		> crescendo: nrpn 130 on channel 1
		?`)
	require.Equal(t, "  shoes:\n    swell: {message: controller 4 on channel 1, fine: true}\n    crescendo: nrpn 130 on channel 1\n", l.Map().Text())
}

func TestLearningAShoeOfFewStages(t *testing.T) {
	l := lesson(t, "", "shoes", "stay", `
		? move the shoe swell from end to end
		< control-change 1 4 0
		< control-change 1 4 127
		< control-change 1 4 64
		> swell: controller 4 on channel 1
		? move the shoe crescendo from end to end
		< control-change 1 5 7
		< control-change 1 5 64
		< control-change 1 5 127
		< control-change 1 5 6
		> crescendo: controller 5 on channel 1
		?`)
	require.Equal(t, "  shoes:\n    swell: controller 4 on channel 1\n    crescendo: controller 5 on channel 1\n", l.Map().Text())
}

func TestLearningKnobsThatStay(t *testing.T) {
	l := lesson(t, "  keys: {great: channel 1}\n", "stops,choir-to-great", "stay", `
		? turn on principal-8
		< note-off 10 36 64
		> note 36 on channel 10 says off: turn it on
		< note-on 10 36 64
		? turn off principal-8
		< note-off 10 36 64
		> principal-8: note 36 on channel 10
		? turn on flute-8
		< note-on 10 36 64
		> note 36 on channel 10 is principal-8 already
		< note-on 1 36 64
		> note 36 on channel 1 is great C2 already
		< program-change 1 4
		? turn off flute-8
		! back
		? turn on flute-8
		< program-change 1 4
		< program-change 1 4
		> on and off are both program 4 on channel 1: if it springs back, learn with --knobs spring
		< sysex 7D 05 7F
		< sysex 7D 05 00
		> flute-8: bytes F0 7D 05 .. F7
		? turn on flute-4
		< control-change 3 80 0
		> controller 80 on channel 3 says off: turn it on
		< control-change 3 80 127
		< control-change 3 81 127
		> flute-4: on: bytes B2 50 7F, off: bytes B2 51 7F
		! back
		? turn on flute-4
		! back
		? turn on flute-8
		! skip
		! skip
		? turn on trumpet-8
		< control-change 3 80 127
		< control-change 3 80 0
		> trumpet-8: controller 80 on channel 3
		? turn on choir-to-great
		< control-change 3 99 4
		< control-change 3 98 4
		< control-change 3 6 127
		< control-change 3 38 0
		? turn off choir-to-great
		< control-change 3 6 0
		> choir-to-great: nrpn 516 on channel 3
		?`)
	require.Equal(t, `  keys:
    great: channel 1
  controls:
    principal-8: note 36 on channel 10
    trumpet-8: controller 80 on channel 3
    choir-to-great: nrpn 516 on channel 3
`, l.Map().Text())
}

func TestARuleIsProposedAndTried(t *testing.T) {
	l := lesson(t, "", "stops", "spring", `
		< note-on 10 36 64
		< note-off 10 36 64
		> principal-8: press: note 36 on channel 10
		* 
		< note-on 10 38 64
		> flute-8: press: note 38 on channel 10
		< note-on 10 40 64
		> flute-4: press: note 40 on channel 10
		* principal-8 to flute-4 are notes from 36/2 on channel 10; the rule goes on with trumpet-8
		! rule
		? to make sure, turn on the last of them, trumpet-8
		< note-on 10 41 64
		> note 41 on channel 10 is heard, and the rule has note 42 on channel 10: it is left
		* 
		? press trumpet-8
		! back
		< note-on 10 40 64
		> flute-4: press: note 40 on channel 10
		! rule
		< note-off 10 41 64
		< note-on 10 42 64
		> trumpet-8: by the rule
		?`)
	require.Equal(t, "  controls:\n    stops: {press: notes from 36/2 on channel 10}\n", l.Map().Text())
}

func TestARuleOfSystemExclusiveIsTried(t *testing.T) {
	const taught = `
		< sysex 7D 01 7F
		< sysex 7D 01 00
		> principal-8: bytes F0 7D 01 .. F7
		< sysex 7D 02 7F
		< sysex 7D 02 00
		> flute-8: bytes F0 7D 02 .. F7
		< sysex 7D 03 7F
		< sysex 7D 03 00
		> flute-4: bytes F0 7D 03 .. F7
		* principal-8 to flute-4 are bytes F0 7D nn .. F7 from 1; the rule goes on with trumpet-8
		! rule
		? to make sure, turn on the last of them, trumpet-8`
	l := lesson(t, "", "stops", "stay", taught+`
		< sysex 7D 04 7F
		> trumpet-8: by the rule
		?`)
	require.Equal(t, "  controls:\n    stops: bytes F0 7D nn .. F7 from 1\n", l.Map().Text())
	lesson(t, "", "stops", "stay", taught+`
		< sysex 7D 05 7F
		> bytes F0 7D 05 .. F7 is heard, and the rule has bytes F0 7D 04 .. F7: it is left
		? turn on trumpet-8`)
	lesson(t, "", "stops", "stay", `
		< sysex 7D 01 01
		< sysex 7D 01 02
		> principal-8: on: bytes F0 7D 01 01 F7, off: bytes F0 7D 01 02 F7
		< sysex 7D 02 01
		< sysex 7D 02 02
		> flute-8: on: bytes F0 7D 02 01 F7, off: bytes F0 7D 02 02 F7
		< sysex 7D 03 01
		< sysex 7D 03 02
		> flute-4: on: bytes F0 7D 03 01 F7, off: bytes F0 7D 03 02 F7
		! rule
		< sysex 7D 04 01
		> trumpet-8: by the rule
		?`)
}

// A file may have collisions already; they are no reason to refuse others.
func TestLearningBesideWhatCollidesAlready(t *testing.T) {
	in := parse(t, "  controls: {principal-8: note 1 on channel 1, flute-8: note 1 on channel 1, flute-4: note 2 on channel 1}\n")
	m, found := Load(in)
	require.Len(t, found, 1)
	l := NewLearner(m, []Thing{{Kind: Control, Index: 3}, {Kind: Control, Index: 3}}, Pulse)
	var said []string
	for _, message := range messages(t, "note-on 1 2 1\nnote-on 1 5 1\nnote-off 1 5 0\nnote-on 1 6 1\nnote-off 1 6 0") {
		said = append(said, l.Hear(message)...)
	}
	require.Equal(t, []string{"note 2 on channel 1 is flute-4 already", "trumpet-8: on: note 5 on channel 1, off: note 6 on channel 1"}, said)
	ask, _, of := l.Ask()
	require.Empty(t, ask)
	require.Equal(t, 1, of)
}

// What collides only where an open place of one has the byte of another is found
// when it is learned.
func TestLearningWhatWouldCollide(t *testing.T) {
	lesson(t, "  controls: {principal-8: {on: bytes B0 50 05, off: bytes B0 50 06}, flute-8: note 1 on channel 1}\n", "flute-4", "stay", `
		< control-change 1 80 127
		< control-change 1 80 0
		> principal-8 and flute-4 would both be controller 80 on channel 1; work it again, or skip it
		? turn on flute-4
		< control-change 1 81 127
		< control-change 1 81 0
		> flute-4: controller 81 on channel 1
		?`)
}

func TestLearningButtons(t *testing.T) {
	l := lesson(t, "", "buttons", "stay", `
		? press general-1
		< note-off 1 1 1
		< note-on 1 1 1
		? let go of general-1
		< note-off 1 1 1
		> general-1: note 1 on channel 1
		? press general-2
		< program-change 5 9
		> general-2: program 9 on channel 5
		? press great-1
		< sysex 7D 01
		? let go of great-1
		! only
		> great-1: bytes F0 7D 01 F7
		? press set
		< program-change 5 10
		> set is held while another is pressed: it must say when it is let go of
		< control-change 5 10 127
		< control-change 5 10 0
		> set: controller 10 on channel 5
		? press toe-1
		< control-change 9 80 3
		? let go of toe-1
		! only
		> toe-1: bytes B8 50 03
		?`)
	require.Equal(t, "  buttons:\n    general-1: note 1 on channel 1\n    general-2: program 9 on channel 5\n    great-1: bytes F0 7D 01 F7\n    set: controller 10 on channel 5\n    toe-1: bytes B8 50 03\n", l.Map().Text())
}

// Whatever messages a console sends, they are learned as they are: it says by
// some map what is asked for, and that map comes out.
func TestWhatAConsoleSendsIsLearned(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, sent := load(t, sections().Draw(t, "section"))
		hardware := sent.End(AtConsole, "")
		learned := NewLearner(mapOf(t, in), nil, Stay).Map()
		at := time.Duration(0)
		for _, thing := range Workable(in) {
			if _, mapped := sent.Find(thing); !mapped {
				continue
			}
			l := NewLearner(learned, []Thing{thing}, knobsOf(sent, thing))
			for _, signal := range working(sent, thing) {
				at += time.Second
				for _, message := range tellAt(hardware, at, signal) {
					l.Hear(message)
				}
			}
			learned = l.Map()
		}
		require.Equal(t, toTheOrgan(sent), toTheOrgan(learned))
	})
}

// mapOf is a map of nothing.
func mapOf(t *rapid.T, in *console.Instrument) *Map {
	m, _ := Load(in)
	m.Entries = nil
	return m
}

// knobsOf is what a thing's messages are like.
func knobsOf(m *Map, t Thing) Knobs {
	e, _ := m.Find(t)
	switch f := e.forms[ToOrgan]; {
	case f.manner == press:
		return Spring
	case f.manner == apart && (f.on.status&0xF0 == noteOn || f.off.status&0xF0 == noteOn):
		return Pulse
	}
	return Stay
}

// working is how a thing is worked when it is asked for.
func working(m *Map, t Thing) (list []Signal) {
	switch t.Kind {
	case Key:
		keys := m.in.Keyboards[t.Index].Keys
		for _, note := range []console.Note{keys.From, keys.To} {
			list = append(list, Signal{Thing{Key, t.Index, note}, 1}, Signal{Thing{Key, t.Index, note}, 0})
		}
		if m.in.Keyboards[t.Index].Touches > 1 {
			list = append(list, Signal{t, 1}, Signal{Thing{Second, t.Index, keys.From}, 1})
		}
	case Shoe:
		for step := range 17 {
			list = append(list, Signal{t, step * console.ShoeMost / 16})
		}
	default:
		list = append(list, Signal{t, 1}, Signal{t, 0})
	}
	return list
}

// tellAt has an end tell how a thing stands.
func tellAt(e *End, at time.Duration, s Signal) []midiio.Message {
	if s.Kind == Shoe {
		return e.Did(nil, at, "hand", console.MoveShoe(s.Index, s.Value))
	}
	return e.Tell(nil, s)
}

// toTheOrgan are the messages to the organ of all that can be worked.
func toTheOrgan(m *Map) map[string]string {
	all := map[string]string{}
	for _, e := range m.Entries {
		if e.Kind != Line && e.Kind != Valve && e.Kind != Stage {
			all[e.Name(m.in)] = e.forms[ToOrgan].String()
		}
	}
	return all
}
