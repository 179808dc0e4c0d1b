package listen

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/wiring"
)

func saltmarsh(t testing.TB) *Listener {
	in, _ := console.Load("../../cmd/trundle/examples/saltmarsh/organ.yaml")
	require.NotNil(t, in)
	r, _ := wiring.Load("../../cmd/trundle/examples/saltmarsh/relay.yaml", in)
	require.NotNil(t, r)
	return New(in, r)
}

// What each sentence means, counted by hand from the stop list: so many settings,
// and so many keys in the first of them.
func TestASentenceMeansWhatItSays(t *testing.T) {
	l := saltmarsh(t)
	for text, want := range map[string]struct {
		heard          string
		settings, keys int
	}{
		"great C#4 sounds D4":                          {"sounds D4", 9, 1},
		"great:C#4 sounds D4":                          {"sounds D4", 9, 1},
		"great dead C4..C5":                            {"dead", 9, 13},
		"great-principal-8 good":                       {"speaks", 1, 61},
		"Chimney Flute C4 dead":                        {"dead", 1, 1},
		"chimney flute above B6 silent":                {"dead", 1, 1},
		"flute dead above C5":                          {"dead", 4, 24}, // the pedal does not go so far
		"pedal flute dead":                             {"dead", 2, 32},
		"great-trumpet-8 dead below D2":                {"dead", 1, 2},
		"choir-sesquialtera all dead":                  {"dead", 1, 49}, // its pipes begin at C3
		"choir-to-great-8 C4 dead":                     {"dead", 9, 1},
		"choir-to-great-8 C4 dead with choir-viola-8":  {"dead", 1, 1},
		"great C4 wrong with choir-to-great-8, octave": {"wrong", 1, 1},
		"great C4 also sounds C#4":                     {"also sounds C#4", 9, 1},
		"great ciphers":                                {"ciphers", 9, 61}, // of each stop
		"great C4 ciphers":                             {"ciphers", 9, 1},
		"bourdon C4 dead":                              {"dead", 5, 1}, // the id of a rank
		"great c sharp 4 sounds D4":                    {"sounds D4", 9, 1},
		"Great C#4 plays a D":                          {"sounds D4", 9, 1},
		"great C4 sounds b flat":                       {"sounds A#3", 9, 1}, // the nearest
		"great B3 plays C":                             {"sounds C4", 9, 1},
		"no sound from flute above C5":                 {"dead", 4, 24},
		"nothing from great":                           {"dead", 9, 61},
		"the great is dead":                            {"dead", 9, 61},
		"great, C4: silent.":                           {"dead", 9, 1},
		"great C4 does not speak":                      {"dead", 9, 1},
		"cipher on pedal F2":                           {"ciphers", 10, 1},
		"great C4 ok":                                  {"speaks", 9, 1},
		"great to pedal adds nothing":                  {"adds nothing", 9, 32},
		"great to pedal 8 adds nothing at C3":          {"adds nothing", 9, 1},
		"trumpet adds nothing at C3":                   {"adds nothing", 2, 1},
		"great-octave adds nothing with great-flute-8": {"adds nothing", 1, 49},
		"great adds nothing":                           {"dead", 9, 61},
		"great C4 sounds nothing":                      {"dead", 9, 1},
		"great C4 gives no note":                       {"dead", 9, 1},
		"great C4 sounds with no key":                  {"ciphers", 9, 1},
		"great C4 plays without a key held":            {"ciphers", 9, 1},
		"great C4 stays on":                            {"ciphers", 9, 1}, // a key does not, so it ciphers
		"great C4 does not stop":                       {"ciphers", 9, 1},
		"great C4 is stuck":                            {"ciphers", 9, 1},
		"chimney flute stays on":                       {"stays on", 1, 61}, // a stop does
		"chimney flute C4 sounds with nothing drawn":   {"stays on", 1, 1},
		"great C4 wrong with nothing drawn":            {"stays on", 9, 1},
		"great C4 good with nothing drawn":             {"speaks", 9, 1},
		"choir-to-great-8 hangs with choir-viola-8":    {"stays on", 1, 61},
		"great C4 ciphers with nothing drawn":          {"ciphers", 9, 1},
		"great C4, D4 and E4..F4 dead":                 {"dead", 9, 4},
		"nothing from great C4 and D4":                 {"dead", 9, 2},
	} {
		t.Run(text, func(t *testing.T) {
			list, err := l.Read(text)
			require.NoError(t, err)
			require.Len(t, list, 1)
			require.Equal(t, want.heard, list[0].Heard.String())
			require.Len(t, list[0].cases, want.settings)
			require.Len(t, list[0].cases[0].tries, want.keys)
		})
	}
	list, err := l.Read("great C#4 sounds D4; flute dead above C5 ;")
	require.NoError(t, err)
	require.Len(t, list, 2)
	require.Equal(t, "flute dead above C5", list[1].Text)
	list, err = l.Read("great C4 dead, choir C4 good, pedal C3 wrong")
	require.NoError(t, err)
	require.Len(t, list, 3)
	require.Equal(t, "great C4 dead", list[0].Text)
	require.Equal(t, "choir C4 good", list[1].Text)
}

// A sentence of a key and nothing else is about what the one before is about, and what
// is drawn with it.
func TestASentenceGoesOnFromTheOneBefore(t *testing.T) {
	l := saltmarsh(t)
	for text, whole := range map[string]string{
		"pedal C2 dead, C#2 dead":                             "pedal C2 dead; pedal C#2 dead",
		"great E2 sounds F2; F2 sounds E2":                    "great E2 sounds F2; great F2 sounds E2",
		"great E2 sounds F2 with great-flute-8; F2 sounds E2": "great E2 sounds F2 with great-flute-8; great F2 sounds E2 with great-flute-8",
		"great C4 dead and D4 good; choir C4 good; D4 good":   "great C4 dead; great D4 good; choir C4 good; choir D4 good",
	} {
		short, err := l.Read(text)
		require.NoError(t, err, text)
		long, err := l.Read(whole)
		require.NoError(t, err)
		require.Len(t, short, len(long), text)
		for i := range long {
			require.Equal(t, long[i].Heard, short[i].Heard, text)
			require.Equal(t, long[i].cases, short[i].cases, text)
		}
	}
}

func TestASlipIsShownWhereItIs(t *testing.T) {
	l := saltmarsh(t)
	for text, want := range map[string]struct {
		column     int
		wrong, fix string
	}{
		"":                                       {1, "nothing is said", "write it like great C4 dead"},
		"grat C4 dead":                           {1, "nothing is called grat", "did you mean great?"},
		"great C4 dead; chimny flute dead":       {16, "nothing is called chimny flute", "did you mean chimney flute?"},
		"great C4 ded":                           {10, "no verdict: ded", "did you mean dead?"},
		"great C4":                               {9, "no verdict", "say speaks, dead, sounds NOTE, also sounds NOTE, adds nothing, wrong, ciphers or stays on, like great C4 dead"},
		"dead":                                   {1, "what is meant is missing", "name a keyboard or a stop, like great C4 dead"},
		"great C4 sounds":                        {16, "the note that sounds is missing", "write it like sounds D4"},
		"great C4 sounds H4":                     {17, `"H4" is no note: write it like C4 or F#3`, "name the key that should sound like that; or write wrong"},
		"great C4 sounds D4 wrong":               {20, "a second verdict: wrong", "put a semicolon between sentences"},
		"great C4 dead loudly":                   {15, "unexpected loudly", "behind a verdict stand keys, or with and what is drawn"},
		"great above dead":                       {13, `"dead" is no note: write it like C4 or F#3`, ""},
		"great C5..C4 dead":                      {7, "C5..C4 runs backwards: write C4..C5", ""},
		"great C8 dead":                          {7, "no such key: C8", "great has C2..C7"},
		"choir-sesquialtera C2 dead":             {1, "nothing should sound there", "see it: trundle sound"},
		"great C4 dead with":                     {19, "with what?", "name what is drawn, like with great-principal-8"},
		"great C4 dead with flute":               {20, "this may be great-flute-8 or great-flute-4", "name one"},
		"great C4 dead with great-octave-5":      {20, "nothing is called great-octave-5", "did you mean great-octave-4?"},
		"great c sharp 4":                        {16, "no verdict", "say speaks, dead, sounds NOTE, also sounds NOTE, adds nothing, wrong, ciphers or stays on, like great C4 dead"},
		"swell dead":                             {1, "nothing is called swell", "there are great, choir, pedal, and stops, couplers and ranks by their names"},
		"great plays a D":                        {15, "which D?", "write it like D4"},
		"great c sharp":                          {14, "no verdict", "say which c#, like c#4, and speaks, dead, sounds NOTE, also sounds NOTE, adds nothing, wrong, ciphers or stays on"},
		"great C4 howls":                         {10, "no verdict: howls", "say speaks, dead, sounds NOTE, also sounds NOTE, adds nothing, wrong, ciphers or stays on, like great C4 dead"},
		"great C4 cyphers":                       {10, "no verdict: cyphers", "did you mean ciphers?"},
		"pedal C5 dead":                          {7, "no such key: C5", "pedal has C2..G4"},
		"great C4 sounds C9":                     {17, "no such key: C9", "great has C2..C7; where it is none of its keys, say wrong"},
		"C#2 dead":                               {1, "what is meant is missing", "name a keyboard or a stop, like great C4 dead"},
		"cipher":                                 {1, "what is meant is missing", "name a keyboard or a stop, like great C4 ciphers"},
		"great sounds undrawn with choir-octave": {1, "which stop stays on?", "name it instead of great"},
		"great sounds D4":                        {1, "sounds tells of one key", "name the key that was pressed, like great C4 sounds D4"},
	} {
		t.Run(text, func(t *testing.T) {
			_, err := l.Read(text)
			require.Error(t, err)
			slip := err.(*Slip)
			require.Equal(t, want.wrong, slip.Wrong)
			require.Equal(t, want.fix, slip.Fix)
			require.Equal(t, want.column, slip.Column)
		})
	}
}

// An answer is a verdict on the key that was pressed; what stands behind a comma, and
// says nothing else, is no part of it.
func TestAnAnswer(t *testing.T) {
	for text, want := range map[string]string{
		"dead.": "dead", "ok": "speaks", "OK, faint": "speaks", "won't speak": "dead", "a semitone sharp": "sounds D4", "sounds C#4 and E4": "also sounds E4", "it plays a D, I think": "sounds D4", "also sounds c sharp 5": "also sounds C#5",
		"no sound": "dead", "adds nothing": "adds nothing", "sounds wrong": "wrong",
	} {
		heard, err := Answered(text, 61)
		require.NoError(t, err, text)
		require.Equal(t, want, heard.String())
	}
	for text, want := range map[string]string{"silent": "dead", "nothing": "dead", "ok": "speaks", "it sounds": "ciphers", "sounds C4": "ciphers", "yes": "ciphers", "ciphers": "ciphers", "sounds nothing": "dead"} {
		heard, err := Answered(text, -1) // no key is pressed
		require.NoError(t, err, text)
		require.Equal(t, want, heard.String(), text)
	}
	for text, want := range map[string]string{
		"D4": "say sounds D4, or also sounds D4", "hmm": "say " + CanSay + ", like dead", "ok, dead": "say " + CanSay,
	} {
		_, err := Answered(text, 61)
		require.Error(t, err, text)
		require.Equal(t, want, err.(*Slip).Fix)
	}
}
