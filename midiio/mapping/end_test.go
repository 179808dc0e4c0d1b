package mapping

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
)

const knobs = `  keys: {great: {channel: 1, second: 2}, choir: channel 3}
  shoes: {swell: {message: controller 4 on channel 1, fine: true}}
  crescendo: controller 16 on channel 4
  controls:
    stops: notes from 36 on channel 10
    choir-to-great: controller 80 on channel 10
    choir-off: {press: note 1 on channel 11}
    reeds: {on: program 1 on channel 10, off: program 2 on channel 10}
    tremulant: nrpn 300 on channel 10
  buttons:
    general-1: program 0 on channel 11
    set: note 5 on channel 12
`

// What messages mean is the MIDI 1.0 specification's: a note on of velocity 0
// is a note off, a switch is on from 64 up (table III), the low bits of a
// controller are 0 when the high ones come, 101 and 100 end a non-registered
// parameter.
func TestWhatTheOrgansEndHears(t *testing.T) {
	for name, c := range map[string]struct{ messages, want string }{
		"a key and its release by velocity 0":     {"note-on 1 36 1\nnote-on 1 36 0", "key great C2 down far\nkey great C2 up far"},
		"a second contact":                        {"note-on 1 36 9\nnote-on 2 36 9\nnote-off 2 36 0", "key great C2 down far\nkey great C2 deep far\nkey great C2 down far"},
		"a stop":                                  {"note-on 10 37 100\nnote-off 10 37 64", "draw flute-8\npush flute-8"},
		"a switch is on from 64 up":               {"control-change 10 80 64\ncontrol-change 10 80 63", "draw choir-to-great\npush choir-to-great"},
		"a press turns over, its release nothing": {"note-on 11 1 1\nnote-off 11 1 1", "touch choir-off"},
		"on and off apart":                        {"program-change 10 1\nprogram-change 10 2", "draw reeds\npush reeds"},
		"a non-registered parameter":              {"control-change 10 99 2\ncontrol-change 10 98 44\ncontrol-change 10 6 127\ncontrol-change 10 6 0", "draw tremulant\npush tremulant"},
		"the low bits of a switch say nothing":    {"control-change 10 99 2\ncontrol-change 10 98 44\ncontrol-change 10 6 127\ncontrol-change 10 38 0\ncontrol-change 10 6 0\ncontrol-change 10 38 127", "draw tremulant\npush tremulant"},
		"data of a registered one means nothing":  {"control-change 10 99 2\ncontrol-change 10 98 44\ncontrol-change 10 101 0\ncontrol-change 10 6 127", ""},
		"a button that nothing lets go of":        {"program-change 11 0", "press general-1\nrelease general-1"},
		"Set is held":                             {"note-on 12 5 1", "press set"},
		"fourteen bits":                           {"control-change 1 4 64\ncontrol-change 1 36 1\ncontrol-change 1 4 65", "shoe swell 8192\nshoe swell 8193\nshoe swell 8320"},
		"a stage":                                 {"control-change 4 16 2", "stage 2"},
		"reset all controllers moves no shoe":     {"control-change 1 4 64\ncontrol-change 1 121 0", "shoe swell 8192"},
		"all notes off lets go of its channel":    {"note-on 1 36 1\nnote-on 3 40 1\ncontrol-change 1 123 0", "key great C2 down far\nkey choir E2 down far\nkey great C2 up far"},
		"all sound off draws no stop off":         {"note-on 10 36 1\ncontrol-change 10 120 0", "draw principal-8"},
		"system reset lets go of every key":       {"note-on 3 40 1\nsystem-reset", "key choir E2 down far\nkey choir E2 up far"},
		"a port that goes lets go of Set, too":    {"note-on 12 5 1\nport-gone", "press set\nrelease set"},
		"all notes off lets go of Set":            {"note-on 12 5 1\ncontrol-change 11 123 0\ncontrol-change 12 123 0", "press set\nrelease set"},
		"what was let go of is not let go again":  {"note-on 12 5 1\nnote-off 12 5 0\nsystem-reset", "press set\nrelease set"},
	} {
		t.Run(name, func(t *testing.T) {
			in, m := load(t, knobs)
			end := m.End(AtOrgan, "far")
			var got []string
			for _, message := range messages(t, c.messages) {
				h := end.Hear(midiio.Timed{Message: message})
				for _, e := range h.Events {
					got = append(got, string(in.AppendEvent(nil, e)))
				}
			}
			require.Equal(t, c.want, strings.Join(got, "\n"))
		})
	}
}

func TestWhatIsNotMappedIsToldApart(t *testing.T) {
	in, m := load(t, knobs)
	end := m.End(AtOrgan, "far")
	for _, message := range messages(t, "note-on 16 36 1\ncontrol-change 1 7 1\nprogram-change 10 9\npitch-bend 1 0\nsysex 7D 01\ncontrol-change 10 6 1") {
		require.False(t, end.Hear(midiio.Timed{Message: message}).Known, message)
		require.Empty(t, end.Words(message))
	}
	for _, message := range messages(t, "timing-clock\ncontrol-change 1 121 0\ncontrol-change 10 99 2") {
		require.True(t, end.Hear(midiio.Timed{Message: message}).Known, message)
	}
	var names []string
	for _, thing := range m.Unmapped() {
		names = append(names, thing.Name(in))
	}
	require.Equal(t, []string{"pedal C2", "crescendo", "general-2", "great-1", "toe-1"}, names)
}

// The hysteresis and the rate limit of a shoe: a tremble says nothing, the last
// position is said when the time is over.
func TestAShoeIsToldNoOftenerThanItNeeds(t *testing.T) {
	_, m := load(t, "  shoes: {swell: {message: controller 4 on channel 1, every: 10ms}}\n")
	end := m.End(AtConsole, "")
	var out []midiio.Message
	move := func(ms, position int) {
		at := time.Duration(ms) * time.Millisecond
		out = end.Tick(out, at)
		out = end.Did(out, at, "hand", console.MoveShoe(0, position))
	}
	move(0, 640)   // 5
	move(1, 767)   // still 5
	move(2, 790)   // 6, by less than a quarter of a step
	move(3, 801)   // 6, but too soon
	move(4, 12800) // 100, too soon too
	due, waits := end.Next()
	require.True(t, waits)
	require.Equal(t, 10*time.Millisecond, due)
	move(9, 12801)
	out = end.Tick(out, 10*time.Millisecond)
	_, waits = end.Next()
	require.False(t, waits)
	require.Equal(t, messages(t, "control-change 1 4 5\ncontrol-change 1 4 100"), out)
}
