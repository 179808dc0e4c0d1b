package main

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// From the middle: stops, shoes and the crescendo by the map, in whatever form
// it has them, then what stands of the rest; not what was never heard of.
func TestChasingOnAnInstrumentHasItStandAsItDidThere(t *testing.T) {
	const organ = `format: 1
instrument: Bench
keyboards: {manual: {kind: manual, keys: C4..E4}}
boxes: {box: {stages: 4}}
divisions: {manual: {keyboard: manual, notes: C4..E4, chest: unit, box: box}}
ranks: {flute: {division: manual, family: flute, feet: 8, from: C4, pipes: 5}}
stops:
  a: {division: manual, feet: 8, rank: flute}
  b: {division: manual, feet: 8, rank: flute}
  c: {division: manual, feet: 8, rank: flute}
  d: {division: manual, feet: 8, rank: flute, style: lit}
  e: {division: manual, feet: 8, rank: flute}
shoes: {swell: {drives: [box]}}
crescendo: {stages: [[a], [b]]}
midi:
  keys: {manual: channel 1}
  shoes: {swell: controller 4 on channel 1}
  crescendo: controller 16 on channel 1
  controls:
    a: note 0 on channel 15
    b: nrpn 300 on channel 1
    c: {on: program 1 on channel 2, off: program 2 on channel 2}
    d: {press: note 1 on channel 15}
    e: note 2 on channel 15
`
	in, found := console.Parse("organ.yaml", []byte(organ))
	require.NotNil(t, in, "%v", found)
	m, found := mapping.Load(in)
	require.NotNil(t, m, "%v", found)
	var file []midiio.Timed
	for i, text := range []string{
		"note-on 15 0 127", "note-on 1 60 100", // a, and a key that is over before
		"control-change 1 99 2", "control-change 1 98 44", "control-change 1 6 127", // b: 2 * 128 + 44
		"program-change 2 1", "note-off 1 60 64", "program-change 2 2", // c on and off
		"note-on 15 1 127", "note-on 15 1 0", // d turned over
		"control-change 1 4 20", "control-change 1 4 30", "control-change 1 16 2", "control-change 9 7 55", "control-change 9 7 56",
		"note-on 1 62 100", "note-off 1 62 64",
	} {
		message, err := midiio.ParseMessage(text)
		require.NoError(t, err)
		file = append(file, midiio.Timed{At: time.Duration(i) * time.Second, Message: message})
	}
	p := player{registration: newRegistration(in, m)}
	var got []string
	for _, each := range p.chase(file, 15*time.Second) {
		got = append(got, each.At.String()+" "+each.Message.String())
	}
	require.Equal(t, []string{
		"0s note-on 15 0/C-1 64",
		"0s control-change 1 99 2", "0s control-change 1 98 44", "0s control-change 1 6 127",
		"0s program-change 2 2",
		"0s note-on 15 1/C#-1 127", "0s note-off 15 1/C#-1 64",
		"0s control-change 1 4 30", "0s control-change 1 16 2",
		"0s control-change 9 7 56",
		"0s note-on 1 62/D4 100", "1s note-off 1 62/D4 64",
	}, got)
	var words []string
	for _, s := range p.registration.say() {
		words = append(words, s.words)
	}
	require.Equal(t, []string{"a on", "b on", "c off", "d turned over", "swell at 3840 of 16383", "crescendo stage 2"}, words)
}
