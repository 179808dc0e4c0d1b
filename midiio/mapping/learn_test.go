package mapping

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

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
		< control-change 3 80 5
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
		! skip
		? press set
		< program-change 5 10
		> program 10 on channel 5 says nothing of letting go, and set is held while another is pressed
		< control-change 5 10 127
		< control-change 5 10 0
		> set: controller 10 on channel 5
		! skip
		?`)
	require.Equal(t, "  buttons:\n    general-1: note 1 on channel 1\n    general-2: program 9 on channel 5\n    set: controller 10 on channel 5\n", l.Map().Text())
}
