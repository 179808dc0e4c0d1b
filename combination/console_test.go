package combination_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/combination"
	"trundle/console"
)

// small is two divisions with two stops each, and one of every button.
const small = `format: 1
instrument: Small
keyboards:
  great: {kind: manual, keys: C2..C7}
  pedal: {kind: pedal, keys: C2..G4}
divisions:
  great: {keyboard: great, chest: unit}
  pedal: {keyboard: pedal, chest: unit}
ranks:
  principal: {division: great, family: principal, feet: 8, pipes: 61}
  octave: {division: great, family: principal, feet: 4, pipes: 61}
  subbass: {division: pedal, family: flute, feet: 16, pipes: 32}
stops:
  principal-8: {division: great, feet: 8, rank: principal}
  octave-4: {division: great, feet: 4, rank: octave}
  subbass-16: {division: pedal, feet: 16, rank: subbass}
couplers:
  great-to-pedal: {division: great, keyboard: pedal}
follows:
  pedal-with-great: {division: great, with: pedal}
crescendo: {stages: [[principal-8], [octave-4], [subbass-16]]}
tutti: {adds: [principal-8, subbass-16]}
combination:
  memories: 2
  travel: 200
  buttons:
    set: {kind: set}
    cancel: {kind: cancel}
    great-cancel: {kind: cancel, division: great}
    general-1: {kind: general}
    general-2: {kind: general, leaves: [great-to-pedal]}
    general-3: {kind: general}
    general-1-toe: {repeats: general-1, toe: true}
    full: {kind: general, sets: [principal-8, octave-4]}
    great-1: {kind: divisional, division: great}
    great-2: {kind: divisional, division: great}
    pedal-1: {kind: divisional, division: pedal}
    reverse: {kind: reversible, control: great-to-pedal}
    tutti: {kind: tutti}
    tutti-as-built: {kind: tutti, fixed: true}
    crescendo: {kind: crescendo}
    next: {kind: next}
    previous: {kind: previous}
    memory-up: {kind: memory-up}
    memory-down: {kind: memory-down}
`

func parse(t require.TestingT, text string) *console.Instrument {
	in, findings := console.Parse("organ.yaml", []byte(text))
	require.NotNil(t, in, "%v", findings)
	return in
}

// after is the effects of the last event of a log, as text without the time.
// A save is answered at once unless the log does.
func after(t *testing.T, text string, lines ...string) []string {
	t.Helper()
	in := parse(t, text)
	log, findings := console.ParseLog(in, "log", []byte(console.LogHead+"\n"+strings.Join(lines, "\n")))
	require.Empty(t, findings)
	c := combination.New(in, nil)
	var last []string
	for _, e := range log {
		last = nil
		for _, effect := range c.Do(e.At, e.Event) {
			line := string(in.AppendEffect(nil, effect))
			_, what, _ := strings.Cut(strings.TrimSpace(line), " ")
			if effect.Kind != console.ValveEffect && effect.Kind != console.ControlEffect {
				last = append(last, what)
			}
		}
	}
	return last
}

// obeying begins a log in which knobs follow their coils, general-1 has
// principal-8 and great-1 has octave-4 alone.
var obeying = []string{
	"0 obey on",
	"0 draw principal-8", "0 press set", "0 press general-1", "0 saved 1", "0 release set",
	"0 push principal-8", "0 draw octave-4", "0 press set", "0 press great-1", "0 saved 2", "0 release set", "0 press cancel",
}

func TestWhatPressingDoes(t *testing.T) {
	for name, c := range map[string]struct{ log, want []string }{
		"a general sets everything in its scope and lights": {
			[]string{"1 draw subbass-16", "1 press general-1"},
			[]string{"place 1/general-1", "coil subbass-16 off", "coil principal-8 on", "lamp general-1 on"},
		},
		"a divisional moves its division only": {
			[]string{"1 draw subbass-16", "1 draw principal-8", "1 press great-1"},
			[]string{"coil principal-8 off", "coil octave-4 on", "lamp great-1 on"},
		},
		"a toe stud does what its thumb piston does": {
			[]string{"1 press general-1-toe"},
			[]string{"place 1/general-1", "coil principal-8 on", "lamp general-1 on"},
		},
		"a button never set moves nothing and says so": {
			[]string{"1 draw subbass-16", "1 press general-3"},
			[]string{"place 1/general-3", "says general-3 was never set in memory 1: nothing moves"},
		},
		"one captured empty draws all off": {
			[]string{"1 press set", "1 press general-3", "1 saved 3", "1 release set", "1 draw subbass-16", "1 draw great-to-pedal", "1 press general-3"},
			[]string{"coil subbass-16 off", "coil great-to-pedal off", "place 1/general-3", "lamp general-3 on", "lamp reverse off"},
		},
		"what a general leaves alone stays as it is": {
			[]string{"1 press set", "1 press general-2", "1 saved 3", "1 release set", "1 draw great-to-pedal", "1 draw octave-4", "1 press general-2"},
			[]string{"place 1/general-2", "coil octave-4 off", "lamp general-2 on"},
		},
		"a fixed general draws what the builder chose": {
			[]string{"1 draw subbass-16", "1 press full"},
			[]string{"place 1/full", "coil subbass-16 off", "coil principal-8 on", "coil octave-4 on", "lamp full on"},
		},
		"a fixed general captures nothing": {
			[]string{"1 press set", "1 press full"},
			[]string{"says full is fixed: it captures nothing"},
		},
		"cancel draws all off and drops the tutti": {
			[]string{"1 draw subbass-16", "1 press tutti", "1 press cancel"},
			[]string{"coil subbass-16 off", "tutti off", "lamp tutti off", "lamp tutti-as-built off"},
		},
		"the cancel of a division leaves the rest": {
			[]string{"1 draw subbass-16", "1 draw octave-4", "1 press great-cancel"},
			[]string{"coil octave-4 off"},
		},
		"a reversible toggles what stands": {
			[]string{"1 draw great-to-pedal", "1 press reverse"},
			[]string{"coil great-to-pedal off", "lamp reverse off"},
		},
		"a divisional takes the other division's of its number along when a follow is drawn": {
			[]string{"1 draw subbass-16", "1 press set", "1 press pedal-1", "1 saved 3", "1 release set", "1 push subbass-16",
				"1 draw pedal-with-great", "1 press great-1"},
			[]string{"coil octave-4 on", "lamp great-1 on", "coil subbass-16 on", "lamp pedal-1 on"},
		},
		"a lamp goes out when a knob in its scope changes": {
			[]string{"1 press great-1", "2 draw principal-8"},
			[]string{"lamp great-1 off"},
		},
		"a lamp stays when a knob out of its scope changes": {
			[]string{"1 press great-1", "2 draw subbass-16"},
			nil,
		},
		"the piston pressed next puts the lamp of the last out": {
			[]string{"1 press set", "1 press general-3", "1 saved 3", "1 release set", "1 press general-1", "2 press general-3"},
			[]string{"place 1/general-3", "coil principal-8 off", "lamp general-1 off", "lamp general-3 on"},
		},
		"changing the memory moves no knob": {
			[]string{"1 press general-1", "2 press memory-up"},
			[]string{"memory 2"},
		},
		"the crescendo moves no knob, and is not captured": {
			[]string{"1 stage 3", "1 press set", "1 press general-3", "1 saved 3", "1 release set", "1 stage 0", "1 draw subbass-16", "1 press general-3"},
			[]string{"coil subbass-16 off", "place 1/general-3", "lamp general-3 on"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			require.ElementsMatch(t, c.want, after(t, small, append(obeying[:len(obeying):len(obeying)], c.log...)...))
		})
	}
}

func TestRealKnobs(t *testing.T) {
	set := []string{"0 draw principal-8", "0 press set", "0 press general-1", "0 saved 1", "0 release set", "0 push principal-8"}
	for name, c := range map[string]struct{ log, want []string }{
		"nothing sounds before the contact answers": {
			[]string{"1 press general-1"}, []string{"coil principal-8 on", "lamp general-1 on", "place 1/general-1"},
		},
		"a knob that arrives is done with": {
			[]string{"1 press general-1", "1.1 draw principal-8", "9 tick"}, nil,
		},
		"a knob that fails to arrive is pulsed once more": {
			[]string{"1 press general-1", "1.2 tick"}, []string{"coil principal-8 on"},
		},
		"and then listed": {
			[]string{"1 press general-1", "1.2 tick", "1.4 tick"}, []string{"stuck principal-8 on"},
		},
		"and pulsed no more": {
			[]string{"1 press general-1", "1.2 tick", "1.4 tick", "9 tick"}, nil,
		},
		"a later press overrides a knob that has not moved": {
			[]string{"1 press general-1", "1.1 press cancel", "9 tick"}, nil,
		},
		"a later press sends a knob back once it has arrived": {
			[]string{"1 press general-1", "1.1 press cancel", "1.15 draw principal-8"}, []string{"coil principal-8 off"},
		},
		"and puts its lamp out at once": {
			[]string{"1 press general-1", "1.1 press cancel"}, []string{"lamp general-1 off"},
		},
		"a knob that does not answer gets there when it is told to obey": {
			[]string{"1 press general-1", "1.1 obey on", "9 tick"}, nil,
		},
		"a capture that waits is made when the knob is given up": {
			[]string{"1 press general-1", "1.1 press set", "1.1 press general-2", "9 key great C4 down"},
			[]string{"coil principal-8 on", "stuck principal-8 on", "save 2"},
		},
		"a capture that waits is of the memory in which it was asked for": {
			[]string{"1 press general-1", "1.1 press set", "1.1 press general-2", "1.1 memory 2", "1.15 draw principal-8", "1.2 saved 2"},
			[]string{"says captured 1/general-2"},
		},
		"and of the crescendo's stage that stood open": {
			[]string{"1 press general-1", "1.1 stage 1", "1.1 press set", "1.1 press crescendo", "1.1 stage 0", "1.15 draw principal-8"},
			[]string{"save 2"},
		},
		"set during a move waits for the knobs": {
			[]string{"1 press general-1", "1.1 press set", "1.1 press general-2"}, nil,
		},
		"and captures when they have arrived": {
			[]string{"1 press general-1", "1.1 press set", "1.1 press general-2", "1.15 draw principal-8"}, []string{"save 2"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			require.ElementsMatch(t, c.want, after(t, small, append(set[:len(set):len(set)], c.log...)...))
		})
	}
}

func TestCapturing(t *testing.T) {
	for name, c := range map[string]struct{ log, want []string }{
		"nothing is said before it is saved": {
			[]string{"0 draw principal-8", "0 press set", "0 press general-1"}, []string{"save 1"},
		},
		"lamp and message come when it is": {
			[]string{"0 draw principal-8", "0 press set", "0 press general-1", "1 saved 1"}, []string{"says captured 1/general-1", "lamp general-1 on"},
		},
		"a save that failed changes nothing": {
			[]string{"0 obey on", "0 draw principal-8", "0 press set", "0 press general-1", "1 save-failed 1 disk full", "1 release set", "1 press general-1"},
			[]string{"place 1/general-1", "says general-1 was never set in memory 1: nothing moves"},
		},
		"and says why": {
			[]string{"0 press set", "0 press general-1", "1 save-failed 1 disk full"}, []string{"says not saved, nothing changed: disk full"},
		},
		"the next capture waits for the answer to the last": {
			[]string{"0 press set", "0 press general-1", "0 press general-2"}, nil,
		},
		"and then asks": {
			[]string{"0 press set", "0 press general-1", "0 press general-2", "0 saved 1"}, []string{"says captured 1/general-1", "lamp general-1 on", "save 2"},
		},
		"an answer nobody waits for is refused": {
			[]string{"0 saved 7"}, []string{"refused no save 7 is waiting for an answer"},
		},
		"a locked memory refuses": {
			[]string{"0 lock 1 on", "0 saved 1", "0 press set", "0 press general-1"},
			[]string{"says memory 1 is locked: nothing captured; unlock it or take another"},
		},
		"one that is being locked refuses too": {
			[]string{"0 press set", "0 lock 1 on", "0 press general-1", "0 saved 1"},
			[]string{"says locked memory 1", "says memory 1 is locked: nothing captured; unlock it or take another"},
		},
		"one that is being unlocked does not": {
			[]string{"0 press set", "0 lock 1 on", "0 saved 1", "0 lock 1 off", "0 press general-1", "0 saved 2"},
			[]string{"says unlocked memory 1", "save 3"},
		},
		"the tutti is captured": {
			[]string{"0 obey on", "0 draw octave-4", "0 press set", "0 press tutti", "0 saved 1", "0 release set", "0 push octave-4", "1 press tutti", "2 press cancel"},
			[]string{"tutti off", "lamp tutti off", "lamp tutti-as-built off"},
		},
		"a tutti as built is not": {
			[]string{"0 press set", "0 press tutti-as-built"}, []string{"says tutti-as-built is fixed: it captures nothing"},
		},
		"a crescendo stage is captured, and later stages go on from it": {
			[]string{"0 draw octave-4", "0 stage 1", "0 press set", "0 press crescendo", "0 saved 1", "0 release set", "0 stage 0", "0 push octave-4", "1 stage 3"},
			[]string{"stage 3"},
		},
		"a closed crescendo has no stage to capture": {
			[]string{"0 press set", "0 press crescendo"}, []string{"says open the crescendo to the stage to be captured"},
		},
		"a reversible takes the one control that is drawn": {
			[]string{"0 obey on", "0 draw octave-4", "0 press set", "0 press reverse", "0 saved 1", "0 release set", "1 press reverse"},
			[]string{"coil octave-4 off", "lamp reverse off"},
		},
		"a reversible takes no two": {
			[]string{"0 draw octave-4", "0 draw principal-8", "0 press set", "0 press reverse"},
			[]string{"says draw the one control that reverse should reverse, and no other"},
		},
		"undo takes the last back": {
			[]string{"0 obey on", "0 press set", "0 press general-1", "0 saved 1", "0 undo", "0 saved 2", "0 release set", "1 press general-1"},
			[]string{"place 1/general-1", "says general-1 was never set in memory 1: nothing moves"},
		},
		"what was undone is said, and a piston that holds nothing any more is dark": {
			[]string{"0 press set", "0 press general-1", "0 saved 1", "0 release set", "0 undo", "0 saved 2"},
			[]string{"says undone: captured 1/general-1", "lamp general-1 off"},
		},
		"a piston that holds what is drawn stays lit": {
			[]string{"0 draw octave-4", "0 press set", "0 press general-1", "0 saved 1", "0 press general-1", "0 saved 2", "0 release set", "0 undo", "0 saved 3"},
			[]string{"says undone: captured 1/general-1"},
		},
		"nothing to undo": {[]string{"0 undo"}, []string{"says there is nothing to undo"}},
		"a copy of what was never set is refused": {
			[]string{"0 copy 1/general-1 2/general-2"}, []string{"says 1/general-1 was never set: nothing to copy"},
		},
		"a copy": {
			[]string{"0 obey on", "0 draw octave-4", "0 press set", "0 press general-1", "0 saved 1", "0 release set", "0 press cancel",
				"0 copy 1/general-1 2/general-2", "0 saved 2", "0 memory 2", "0 press general-2"},
			[]string{"place 2/general-2", "coil octave-4 on", "lamp general-2 on"},
		},
		"a swap": {
			[]string{"0 obey on", "0 draw octave-4", "0 press set", "0 press general-1", "0 saved 1", "0 release set", "0 press cancel",
				"0 swap 1 2", "0 saved 2", "0 memory 2", "0 press general-1"},
			[]string{"place 2/general-1", "coil octave-4 on", "lamp general-1 on"},
		},
		"a clear": {
			[]string{"0 press set", "0 press general-1", "0 saved 1", "0 release set", "0 clear 1/general-1", "0 saved 2", "0 press general-1"},
			[]string{"place 1/general-1", "says general-1 was never set in memory 1: nothing moves"},
		},
		"an insert moves the rest up": {
			[]string{"0 obey on", "0 draw octave-4", "0 press set", "0 press general-1", "0 saved 1", "0 release set", "0 press cancel",
				"0 insert 1/general-1", "0 saved 2", "0 press general-2"},
			[]string{"place 1/general-2", "coil octave-4 on", "lamp general-2 on"},
		},
		"an insert loses nothing": {
			[]string{"0 press set", "0 press general-3", "0 saved 1", "0 release set", "0 insert 1/general-1"},
			[]string{"says 1/general-3 is set and would be lost: clear it first"},
		},
		"nor what is still being saved": {
			[]string{"0 press set", "0 press general-3", "0 insert 1/general-1", "0 saved 1"},
			[]string{"says captured 1/general-3", "lamp general-3 on", "says 1/general-3 is set and would be lost: clear it first"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			require.ElementsMatch(t, c.want, after(t, small, c.log...))
		})
	}
}
