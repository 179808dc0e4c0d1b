package console_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// small is two manuals and a pedal, with one of every modifier.
const small = `format: 1
keyboards:
  great: {kind: manual, keys: C2..C7}
  swell: {kind: manual, keys: C2..C7}
  pedal: {kind: pedal, keys: C2..G4}
  solo: {kind: manual, keys: C2..C7, touches: 2}
boxes:
  swell-box: {stages: 3}
  choir-box: {stages: 5, code: weighted, rest: open}
  echo-box: {stages: 2, code: table, table: [[], [2], [1, 3]]}
divisions:
  great: {keyboard: great, chest: unit}
  swell: {keyboard: swell, chest: unit, box: swell-box}
  pedal: {keyboard: pedal, chest: unit}
  solo: {keyboard: solo, chest: unit}
ranks:
  principal: {division: great, family: principal, feet: 8, pipes: 61}
  flute: {division: swell, family: flute, feet: 8, pipes: 61}
  subbass: {division: pedal, family: flute, feet: 16, pipes: 32}
stops:
  principal-8: {division: great, feet: 8, rank: principal}
  flute-8: {division: swell, feet: 8, rank: flute, style: lit}
  subbass-16: {division: pedal, feet: 16, rank: subbass}
  solo-8: {division: solo, feet: 8, rank: flute, touch: 2}
couplers:
  plucked: {name: Swell to Great Pizzicato, division: swell, keyboard: great, pizzicato: 100}
tremulants:
  shake: {division: swell, speeds: [4.5, 6]}
sostenutos:
  sostenuto: {keyboard: great}
  solo-sostenuto: {keyboard: solo}
gatherings:
  all-swells: {shoe: swell-shoe}
shoes:
  swell-shoe: {drives: [swell-box]}
  choir-shoe: {drives: [choir-box, echo-box]}
  crescendo-shoe: {drives: crescendo}
transposer: {low: -2, high: 2}
crescendo: {stages: [[flute-8], [principal-8], [subbass-16], {drops: [flute-8]}]}
tutti: {adds: [principal-8, subbass-16]}
`

func parse(t *testing.T, text string) *console.Instrument {
	t.Helper()
	in, findings := console.Parse("organ.yaml", []byte(text))
	require.NotNil(t, in, "%v", findings)
	return in
}

// played is what the machine does with a log, as text; lines that only ticks
// brought about stand there too.
func machined(t *testing.T, in *console.Instrument, lines ...string) string {
	t.Helper()
	log, findings := console.ParseLog(in, "log", []byte(console.LogHead+"\n"+strings.Join(lines, "\n")))
	require.Empty(t, findings)
	m := console.NewMachine(in)
	var out []byte
	for _, e := range log {
		for _, effect := range m.Do(nil, e.At, e.Event) {
			out = in.AppendEffect(out, effect)
		}
	}
	return strings.TrimSpace(string(out))
}

func TestWhatTheMachineDoes(t *testing.T) {
	in := parse(t, small)
	for name, c := range map[string]struct{ log, want []string }{
		"a key sounds when its stop is drawn, and names only what changes": {
			[]string{"0 draw principal-8", "1 key great C2 down", "2 key great C2 down", "3 key great C2 up"},
			[]string{"0 control principal-8 on", "1 valve principal:1 open", "3 valve principal:1 shut"},
		},
		"a key held by two sources lets go when both do": {
			[]string{"0 draw principal-8", "1 key great C2 down a", "2 key great C2 down b", "3 key great C2 up a", "4 key great C2 up a", "5 key great C2 up b"},
			[]string{"0 control principal-8 on", "1 valve principal:1 open", "5 valve principal:1 shut"},
		},
		"a sostenuto keeps what was held when it came on, and nothing else": {
			[]string{"0 draw principal-8", "0 key great C2 down", "1 draw sostenuto", "2 key great C2 up", "3 key great D2 down", "4 key great D2 up", "5 push sostenuto"},
			[]string{"0 control principal-8 on", "0 valve principal:1 open", "1 control sostenuto on",
				"3 valve principal:3 open", "4 valve principal:3 shut", "5 control sostenuto off", "5 valve principal:1 shut"},
		},
		"a sostenuto that goes off leaves a key to the hand on it": {
			[]string{"0 draw principal-8", "0 key great C2 down", "1 draw sostenuto", "5 push sostenuto"},
			[]string{"0 control principal-8 on", "0 valve principal:1 open", "1 control sostenuto on", "5 control sostenuto off"},
		},
		"a sostenuto keeps the second contact too": {
			[]string{"0 draw solo-8", "0 key solo C4 deep", "1 draw solo-sostenuto", "2 key solo C4 up", "3 push solo-sostenuto"},
			[]string{"0 control solo-8 on", "0 valve flute:25 open", "1 control solo-sostenuto on", "3 control solo-sostenuto off", "3 valve flute:25 shut"},
		},
		"pizzicato sounds for its pulse, and again at the next stroke": {
			[]string{"0 draw flute-8", "0 draw plucked", "1 key great C2 down", "1.05 tick", "2 key great C2 up", "3 key great C2 down", "3.1 key great C2 up"},
			[]string{"0 light flute-8 on", "0 control flute-8 on", "0 control plucked on",
				"1 valve flute:1 open", "1.1 valve flute:1 shut", "3 valve flute:1 open", "3.1 valve flute:1 shut"},
		},
		"pizzicato struck again within its pulse sounds on from there": {
			[]string{"0 draw flute-8", "0 draw plucked", "1 key great C2 down", "1.05 key great C2 up", "1.075 key great C2 down", "2 tick"},
			[]string{"0 light flute-8 on", "0 control flute-8 on", "0 control plucked on", "1 valve flute:1 open", "1.175 valve flute:1 shut"},
		},
		"pizzicato drawn under a held key waits for a stroke": {
			[]string{"0 draw flute-8", "1 key great C2 down", "2 draw plucked"},
			[]string{"0 light flute-8 on", "0 control flute-8 on", "2 control plucked on"},
		},
		"a thermometer has a magnet a stage": {
			[]string{"0 shoe swell-shoe 16383", "1 shoe swell-shoe 8192"},
			[]string{"0 magnet swell-box:1 on", "0 magnet swell-box:2 on", "0 magnet swell-box:3 on", "0 shades swell-box 3", "1 magnet swell-box:3 off", "1 shades swell-box 2"},
		},
		// Open at rest with five stages: closed is 5 = 4 + 1, stage 1 is 4, stage 2 is 3 = 2 + 1.
		"weighted magnets of a box that rests open say how far to close, a table says what it lists": {
			[]string{"0 shoe choir-shoe 2731", "1 shoe choir-shoe 5462"},
			[]string{"0 magnet choir-box:1 off", "0 shades choir-box 1",
				"1 magnet choir-box:1 on", "1 magnet choir-box:2 on", "1 magnet choir-box:3 off", "1 shades choir-box 2", "1 magnet echo-box:2 on", "1 shades echo-box 1"},
		},
		"all swells to one shoe, and back to their own": {
			[]string{"0 shoe choir-shoe 16383", "1 draw all-swells", "2 push all-swells"},
			[]string{"0 magnet choir-box:1 off", "0 magnet choir-box:3 off", "0 shades choir-box 5", "0 magnet echo-box:1 on", "0 magnet echo-box:3 on", "0 shades echo-box 2",
				"1 control all-swells on", "1 magnet choir-box:1 on", "1 magnet choir-box:3 on", "1 shades choir-box 0", "1 magnet echo-box:1 off", "1 magnet echo-box:3 off", "1 shades echo-box 0",
				"2 control all-swells off", "2 magnet choir-box:1 off", "2 magnet choir-box:3 off", "2 shades choir-box 5", "2 magnet echo-box:1 on", "2 magnet echo-box:3 on", "2 shades echo-box 2"},
		},
		// Four stages: stage 2 begins at 2/5 of 16384 = 6553.6 and ends half a stage below, at 4915.2.
		"the crescendo goes back half a stage late": {
			[]string{"0 shoe crescendo-shoe 6554", "1 shoe crescendo-shoe 6553", "2 shoe crescendo-shoe 4916", "3 shoe crescendo-shoe 4915", "4 shoe crescendo-shoe 0"},
			[]string{"0 stage 2", "0 control principal-8 on", "0 control flute-8 on", "3 stage 1", "3 control principal-8 off", "4 stage 0", "4 control flute-8 off"},
		},
		"a stage drops what is drawn, and gives it back": {
			[]string{"0 draw flute-8", "1 stage 4", "2 stage 3"},
			[]string{"0 light flute-8 on", "0 control flute-8 on", "1 stage 4", "1 control principal-8 on", "1 control flute-8 off", "1 control subbass-16 on", "2 stage 3", "2 control flute-8 on"},
		},
		"the tutti adds blind and takes away only what it added": {
			[]string{"0 draw principal-8", "1 tutti on", "2 tutti off"},
			[]string{"0 control principal-8 on", "1 tutti on", "1 control subbass-16 on", "2 tutti off", "2 control subbass-16 off"},
		},
		"tremulants change speed": {
			[]string{"0 speed shake 2", "1 speed shake 2", "2 speed shake 3"},
			[]string{"0 speed shake 2", "2 refused shake has 2 speeds to choose from, not a speed 3"},
		},
		"what makes no sense is refused": {
			[]string{"0 key pedal C7 down", "0 transpose 3", "0 stage 9", "0 shoe swell-shoe 16384", "0 undo"},
			[]string{"0 refused pedal has no key C7: its keys are C2..G4", "0 refused the transposer reaches from -2 to 2, not 3", "0 refused no stage 9: the crescendo has 0 to 4",
				"0 refused a shoe stands at 0 to 16383, not 16384", "0 refused undo needs a combination action"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, c.want, strings.Split(machined(t, in, c.log...), "\n"))
		})
	}
}

// Seven bits v of MIDI are stage floor(v * (n + 1) / 128) of n (common practice,
// no source).
func TestAShoeAnswersSevenBitsAsTheTradeMapsThem(t *testing.T) {
	in := parse(t, small)
	m := console.NewMachine(in)
	for v := range 128 {
		m.Do(nil, 0, console.MoveShoe(0, v<<7))
		require.Equal(t, v*4/128, m.BoxStage(0))
	}
}

func TestAnEventInThePastHappensNow(t *testing.T) {
	in := parse(t, small)
	m := console.NewMachine(in)
	m.Do(nil, time.Second, console.Draw(0))
	effects := m.Do(nil, 0, console.Push(0))
	require.Equal(t, time.Second, effects[0].At)
}
