package listen

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/wiring"
)

// What a tuner says, in plain English, and what it means: by hand.
func TestAPlainSentenceIsUnderstood(t *testing.T) {
	l := saltmarsh(t)
	great := "great "
	for text, want := range map[string][]string{
		"great C4 won't speak":                            {great + "C4 dead"},
		"great C4 won’t speak":                            {great + "C4 dead"},
		"great C4 not sounding":                           {great + "C4 dead"},
		"great C4 doesnt speak":                           {great + "C4 dead"},
		"great C4 no longer plays":                        {great + "C4 dead"},
		"great C4 never sounds":                           {great + "C4 dead"},
		"great C4 is missing":                             {great + "C4 dead"},
		"great C2 to C3 dead":                             {great + "C2..C3 dead"},
		"great dead from C2 to C3":                        {great + "C2..C3 dead"},
		"great from C6 up dead":                           {great + "C6..C7 dead"},
		"pedal C4 and above dead":                         {"pedal C4..G4 dead"},
		"great C3 and below dead":                         {great + "C2..C3 dead"},
		"great below C3 dead":                             {great + "below C3 dead"},
		"bottom octave of great silent":                   {great + "C2..B2 dead"},
		"top octave of the pedal dead":                    {"pedal G#3..G4 dead"},
		"middle C on the great is dead":                   {great + "C4 dead"},
		"great tenor F dead":                              {great + "F3 dead"},
		"bottom C of the pedal does not speak":            {"pedal C2 dead"},
		"great top C dead":                                {great + "C7 dead"},
		"great-flute-8 does not come on":                  {"great-flute-8 adds nothing"},
		"great to pedal has no effect":                    {"great-to-pedal-8 adds nothing"},
		"great to pedal does not couple":                  {"great-to-pedal-8 adds nothing"},
		"great to pedal does not work":                    {"great-to-pedal-8 adds nothing"},
		"great does not work":                             {"great dead"},
		"great-flute-8 will not go off":                   {"great-flute-8 stays on"},
		"great-flute-8 never comes off":                   {"great-flute-8 stays on"},
		"great C4 won't stop":                             {great + "C4 ciphers"},
		"there is a cipher on great F3":                   {great + "F3 ciphers"},
		"great C4 is a semitone sharp":                    {great + "C4 sounds C#4"},
		"great C4 a tone flat":                            {great + "C4 sounds A#3"},
		"great C4 plays an octave too high":               {great + "C4 sounds C5"},
		"great C4 sounds a fifth too high":                {great + "C4 sounds G4"},
		"every note of great-flute-8 is a semitone sharp": {"great-flute-8 sounds a semitone too high"},
		"great C4 plays C4 and E4":                        {great + "C4 also sounds E4"},
		"great C4 sounds also D4":                         {great + "C4 also sounds D4"},
		"great C4 D4 sounds as well":                      {great + "C4 also sounds D4"},
		"great C3 sounds C4 instead of C3":                {great + "C3 sounds C4"},
		"great sounds C4 instead of C3":                   {great + "C3 sounds C4"},
		"great C2 speaks C3":                              {great + "C2 sounds C3"},
		"great-flute-8 sounds 12 semitones too low":       {"great-flute-8 sounds 12 semitones too low"},
		"great C4 dead but choir C4 good":                 {great + "C4 dead", "choir C4 speaks"},
		"great C4 and C#4 are swapped":                    {great + "C4 sounds C#4", great + "C#4 sounds C4"},
	} {
		list, err := l.Read(text)
		require.NoError(t, err, text)
		var got []string
		for _, s := range list {
			got = append(got, s.Meaning)
		}
		require.Equal(t, want, got, text)
	}
}

// A dead note is never taken for a good one: what denies is understood, or refused where it stands.
func TestWhatIsNotUnderstoodIsRefusedAtItsWord(t *testing.T) {
	l := saltmarsh(t)
	for text, want := range map[string]struct {
		column     int
		wrong, fix string
	}{
		"great C4 is not good":                     {10, "not understood: not good", "say what is heard: " + canSay},
		"great C4 dosnt speak":                     {16, "no verdict: speak", "say " + canSay + ", like great C4 dead"},
		"great dosnt C4 speaks":                    {7, "nothing is called dosnt", "there are great, choir, pedal, and stops, couplers and ranks by their names"},
		"great C4 sharp":                           {10, "sharp is a matter of tuning, outside what listen models", outsideFix},
		"great C4 hardly speaks":                   {10, "hardly is a matter of wind, pipe or magnet, outside what listen models", outsideFix},
		"great C4 is faint":                        {13, "faint is a matter of wind, pipe or magnet, outside what listen models", outsideFix},
		"great C4 speaks slowly":                   {17, "slowly is a matter of wind, pipe or magnet, outside what listen models", outsideFix},
		"choir tremulant does nothing":             {1, "choir-tremulant is there, and outside what listen models", "say which pipes sound, of keyboards, stops, couplers and ranks"},
		"general 1 does nothing":                   {1, "general-1 is there, and outside what listen models", "say which pipes sound, of keyboards, stops, couplers and ranks"},
		"great H3 dead":                            {7, "nothing is called H3", "there are great, choir, pedal, and stops, couplers and ranks by their names"},
		"great c# dead":                            {7, "which c#?", "write it like c#4"},
		"choir to great 8 sounds C4 instead of C3": {39, "instead of C3?", "name the key that was pressed, like choir-to-great-8 C3 sounds C4"},
		"great C4 swapped":                         {17, "which two keys?", "name two, like great C4 and C#4 swapped; of stops, say what a key of each sounds"},
		"great C4 sounds D4 and E4":                {24, "two notes besides the key", "say wrong"},
		"great upmost flute dead":                  {7, "nothing is called upmost", "there are great, choir, pedal, and stops, couplers and ranks by their names"},
	} {
		_, err := l.Read(text)
		require.Error(t, err, text)
		slip := err.(*Slip)
		require.Equal(t, want.wrong, slip.Wrong, text)
		require.Equal(t, want.fix, slip.Fix, text)
		require.Equal(t, want.column, slip.Column, text)
	}
	in, _ := console.Load("../../cmd/trundle/examples/smallest/organ.yaml") // it has no buttons
	_, err := (&Listener{in: in}).Read("flut dead")
	require.ErrorContains(t, err, "nothing is called flut")
	_, err = Answered("not good", 60)
	require.Error(t, err)
	_, err = Answered("faint", 60)
	require.Error(t, err)
}

const outsideFix = "look there; or say what else is heard: dead, sounds NOTE, also sounds NOTE, adds nothing, wrong, ciphers or stays on"

// What is drawn is looked for on the keyboard that is played; one that sounds without what
// silences it says that this does nothing.
func TestWhatIsDrawnBelongsToTheKeyboard(t *testing.T) {
	l := saltmarsh(t)
	for text, want := range map[string]string{
		"great C4 dead with trumpet":                                           "great C4 dead with great-trumpet-8",
		"pedal C3 dead with trumpet":                                           "pedal C3 dead with pedal-trumpet-8",
		"great speaks with great-unison-off":                                   "great-unison-off adds nothing",
		"great C4 sounds C4 with great unison off drawn":                       "great-unison-off C4 adds nothing",
		"great-trumpet-8 C4 good with great-unison-off":                        "great-unison-off C4 adds nothing with great-trumpet-8",
		"great C4 good with great-unison-off, choir to great 8, choir-viola-8": "great C4 speaks with great-unison-off, choir-to-great-8, choir-viola-8",
	} {
		list, err := l.Read(text)
		require.NoError(t, err, text)
		require.Equal(t, want, list[0].Meaning)
	}
}

// A rank that ciphers does so by its own valves, or those of a key.
func TestACipherIsOfWhatIsNamed(t *testing.T) {
	in, _ := console.Load("../../cmd/trundle/examples/smallest/organ.yaml")
	relay, _ := wiring.Load("../../cmd/trundle/examples/smallest/relay.yaml", in)
	l := New(in, relay)
	list, err := l.Read("flute-8 ciphers")
	require.NoError(t, err)
	q := l.Explain(list)
	require.True(t, q.Whole)
	of := 0
	for _, c := range q.Causes {
		if c.Fault.Class == "output-stuck" {
			require.Contains(t, c.Fault.Where, "flute")
			of++
		}
	}
	require.Positive(t, of)
	_, is := q.Unnamed()
	require.True(t, is)
}

// Every note of a stop a semitone sharp is one mistake: its valves are one pin off.
func TestAStopThatIsSharpIsShifted(t *testing.T) {
	in, _ := console.Load("../../cmd/trundle/examples/smallest/organ.yaml")
	relay, _ := wiring.Load("../../cmd/trundle/examples/smallest/relay.yaml", in)
	l := New(in, relay)
	list, err := l.Read("flute-8 is a semitone flat")
	require.NoError(t, err)
	q := l.Explain(list)
	require.True(t, q.Whole)
	for _, c := range q.Causes {
		require.Contains(t, c.Fault.Class, "shifted")
	}
}
