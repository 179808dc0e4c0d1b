package bench

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/fault"
)

// script reads one that has no errors.
func (c *cable) script(text string) *Run {
	m, _ := mapping.Load(c.in)
	script, found := ReadScript("a.bench", files(map[string]string{"a.bench": text}), c.in, m)
	require.Empty(c.t, found)
	return NewRun(script, c.in, m)
}

func files(of map[string]string) func(string) ([]byte, error) {
	return func(path string) ([]byte, error) {
		if text, ok := of[path]; ok {
			return []byte(text), nil
		}
		return nil, os.ErrNotExist
	}
}

// do runs a script against the stand-in, in virtual time; meanwhile is called
// before each instant.
func (c *cable) do(r *Run, meanwhile func()) []Result {
	for !r.Done() {
		meanwhile()
		for _, m := range r.Tick(nil, c.now) {
			c.organ.Hear(midiio.Timed{At: c.now, Message: m})
		}
		next, due := r.Next()
		if at, organ := c.organ.Next(); organ && (!due || at < next) {
			next, due = at, true
		}
		if !due {
			return r.Results
		}
		c.now = max(c.now, next)
		for _, m := range c.organ.Tick(nil, c.now) {
			r.Hear(midiio.Timed{At: c.now, Message: m})
		}
	}
	return r.Results
}

func nothing() {}

func verdicts(list []Result) (words string) {
	for _, r := range list {
		words += " " + r.Text + " " + string(r.Verdict) + ": " + r.Why + "\n"
	}
	return words
}

// Flute 8 and 4 are one rank: a key opens its valve and the one an octave up.
const clean = `
draw flute-8
draw flute-4
for key in C2..C7
  press manual $key
  expect note-on 2 * 64 within 20ms
  expect note-on 2 * 64 within 20ms
  expect nothing for 10ms
  release manual $key
  expect note-on 2 * 0 within 20ms
  expect note-on 2 * 0 within 20ms
end
push flute-4
wait 20ms
repeat 3
  press manual C4 E4 G4
  expect flute:25 on within 20ms
  expect flute:32 on within 20ms
  expect flute:29 on within 20ms
  expect nothing for 50ms
  release manual C4..G4
  wait 15ms
  expect flute:25 off within 20ms
end
`

func TestAScriptPassesOnARelayThatIsRight(t *testing.T) {
	c := plug(t, Timing{Debounce: 5 * ms, Bounce: 3 * ms, Seed: 1})
	results := c.do(c.script(clean), nothing)
	require.Len(t, results, 61*5+3*5)
	for _, r := range results {
		require.Equal(t, Passed, r.Verdict, "%s: %s", r.Text, r.Why)
		if r.Sort == Expect {
			require.GreaterOrEqual(t, r.After, 5*ms, "no sooner than a contact is believed")
		}
	}
}

func TestAScriptFailsWhereARelayIsWrong(t *testing.T) {
	for name, x := range map[string]struct {
		timing Timing
		fault  string
		text   string
		want   string
	}{
		"exchanged": {Timing{}, "pins-swapped:X1.1,X1.2", "draw flute-8\npress manual C2\nexpect flute:1 on within 20ms\nexpect nothing for 20ms",
			" expect flute:1 on within 20ms failed: flute:2 on came instead\n expect nothing for 20ms failed: flute:2 on came\n"},
		"open": {Timing{}, "pin-open:X1.1", "draw flute-8\npress manual C2\nexpect flute:1 on within 20ms\nexpect nothing for 20ms",
			" expect flute:1 on within 20ms failed: nothing came\n expect nothing for 20ms passed: \n"},
		"late": {Timing{Late: 30 * ms}, "", "draw flute-8\npress manual C2\nexpect flute:1 on within 20ms\nexpect flute:1 on within 40ms\npress manual D2\nwait 50ms\nexpect flute:3 on within 20ms",
			" expect flute:1 on within 20ms failed: nothing came\n expect flute:1 on within 40ms passed: \n expect flute:3 on within 20ms failed: it came late, after 31.0 ms\n"},
		"stuck": {Timing{Stuck: []mapping.Thing{{Kind: mapping.Key, Note: 36}}}, "", "draw flute-8\nexpect nothing for 50ms",
			" expect nothing for 50ms failed: flute:1 on came\n"},
	} {
		t.Run(name, func(t *testing.T) {
			c := plug(t, x.timing)
			if x.fault != "" {
				f, err := fault.Find(c.relay, c.in, x.fault)
				require.NoError(t, err)
				m, _ := mapping.Load(c.in)
				c.organ = NewStandIn(c.in, m, f.Relay, x.timing)
			}
			require.Equal(t, x.want, verdicts(c.do(c.script(x.text), nothing)))
		})
	}
}

// What happens to the cable in the middle is told, and nothing more is sent.
func TestWhatGoesWrongOnTheCable(t *testing.T) {
	message := func(text string) midiio.Message {
		m, err := midiio.ParseMessage(text)
		require.NoError(t, err)
		return m
	}
	const text = "draw flute-8\nexpect nothing for 100ms\npress manual C2\nexpect flute:1 on within 20ms\nask \"does it speak?\""
	for name, x := range map[string]struct {
		come  []string
		times int
		want  string
	}{
		"it goes away": {[]string{"port-gone"}, 1, " expect nothing for 100ms failed: the port went away\n expect flute:1 on within 20ms not-run: the port went away\n ask \"does it speak?\" not-run: the port went away\n"},
		"garbage": {[]string{"no-status 3C", "undefined F4"}, 1,
			" expect nothing for 100ms failed: 2 times what came is no message: no-status 3C, undefined F4\n expect flute:1 on within 20ms passed: \n"},
		"a flood": {[]string{"note-on 2 1 1"}, often, " expect nothing for 100ms failed: it is flooded: note-on 2 1/C#-1 1 came 1000 times within a second\n expect flute:1 on within 20ms not-run: it is flooded: note-on 2 1/C#-1 1 came 1000 times within a second\n ask \"does it speak?\" not-run: it is flooded: note-on 2 1/C#-1 1 came 1000 times within a second\n"},
		"a flood of all sorts": {[]string{"note-on 2 1 1", "note-on 2 2 1", "note-on 2 3 1", "note-on 2 4 1", "note-on 2 1 2", "note-on 2 2 2", "note-on 2 3 2", "note-on 2 4 2",
			"note-on 3 1 1", "note-on 3 2 1", "note-on 3 3 1", "note-on 3 4 1", "note-on 3 1 2", "note-on 3 2 2", "note-on 3 3 2", "note-on 3 4 2",
			"note-on 4 1 1", "note-on 4 2 1", "note-on 4 3 1", "note-on 4 4 1", "note-on 4 1 2"}, often - 1, " expect nothing for 100ms failed: it is flooded: 10000 messages came that nothing expects\n expect flute:1 on within 20ms not-run: it is flooded: 10000 messages came that nothing expects\n ask \"does it speak?\" not-run: it is flooded: 10000 messages came that nothing expects\n"},
		"many a message":     {[]string{"note-on 2 1 1"}, often - 1, " expect nothing for 100ms failed: flute:2 on, flute:2 on, flute:2 on, flute:2 on and 995 more came\n expect flute:1 on within 20ms passed: \n"},
		"a clock is nothing": {[]string{"timing-clock", "active-sensing"}, 1, " expect nothing for 100ms passed: \n expect flute:1 on within 20ms passed: \n"},
	} {
		t.Run(name, func(t *testing.T) {
			c := plug(t, Timing{})
			r := c.script(text)
			came := false
			got := verdicts(c.do(r, func() {
				if c.now > listening && !came {
					came = true
					for range x.times {
						for _, m := range x.come {
							r.Hear(midiio.Timed{At: c.now, Message: message(m)})
						}
					}
				}
			}))
			require.Equal(t, x.want, got)
		})
	}
}

func TestAQuestionIsAnswered(t *testing.T) {
	for answer, want := range map[string]string{"y": "passed: ", "Yes ": "passed: ", "n": "failed: the answer is no", "": "failed: the answer is no", "it ciphers": "failed: it ciphers"} {
		c := plug(t, Timing{})
		r := c.script("ask \"does it speak?\"\nexpect nothing for 10ms")
		require.Empty(t, c.do(r, nothing))
		question, asks := r.Asks()
		require.True(t, asks)
		require.Equal(t, "does it speak?", question)
		r.Answer(c.now, answer)
		require.Equal(t, " ask \"does it speak?\" "+want+"\n expect nothing for 10ms passed: \n", verdicts(c.do(r, nothing)))
	}
}

func TestWhatAScriptDrewIsPushedIn(t *testing.T) {
	c := plug(t, Timing{})
	r := c.script("draw flute-8\ndraw principal-4\npush flute-8\npress manual C4\nexpect principal:25 on within 20ms")
	c.do(r, nothing)
	require.Equal(t, []midiio.Message{midiio.NoteOn(16, 2, 0)}, r.Rest(nil, c.now))
}

func TestErrorsOfAScriptHaveTheirPlace(t *testing.T) {
	c := plug(t, Timing{})
	m, _ := mapping.Load(c.in)
	for text, want := range map[string]string{
		"":                                     "a.bench:1:1: has no step",
		"  drw flute-8":                        "a.bench:1:3: no step drw; did you mean draw?",
		"draw flut-8":                          "a.bench:1:6: no control flut-8; did you mean flute-8?",
		"wait":                                 "a.bench:1:1: wait needs one time: write it like wait 20ms",
		"wait 20":                              `a.bench:1:6: "20" is no time: write it like 20ms, 1.5s or 2m`,
		"\n press manual H2":                   "a.bench:2:15: ",
		"press manual C1":                      "a.bench:1:14: manual has keys C2..C7, not C1",
		"press great C4":                       "a.bench:1:7: no keyboard great",
		"press":                                "a.bench:1:1: press needs keys or a button",
		"note-on 17 1 1":                       "a.bench:1:1: ",
		"expect flute:1 on":                    "a.bench:1:1: expect is not complete",
		"expect flute:99 on within 2ms":        "a.bench:1:8: flute has valves 1..73, not 99",
		"expect flute:9 open within 2ms":       "a.bench:1:16: write on or off behind flute:9 open",
		"expect note-on 2 200 1 within 2ms":    "a.bench:1:8: ",
		"expect lamp flute-8 on within 2ms":    "a.bench:1:8: what is expected stands without its kind: write expect flute-8",
		"expect key manual C4 on within 2ms":   "a.bench:1:8: what is expected stands without its kind: write expect manual C4",
		"expect nothing for ever":              "a.bench:1:20: ",
		"repeat 3\nwait 1ms":                   "a.bench:1:1: repeat has no end",
		"end":                                  "a.bench:1:1: end has no repeat or for before it",
		"repeat x\nend":                        `a.bench:1:8: "x" is no number from 1 to 100000`,
		"repeat 100000\nwait 0s\nwait 0s\nend": "a.bench:1:1: the script has more than 100000 steps",
		"for key C2\nend":                      "a.bench:1:1: for is not complete",
		"press manual $key":                    "a.bench:1:14: $key stands for nothing here",
		"include b.bench":                      "a.bench:1:9: b.bench: cannot be read: file does not exist",
		"include a.bench":                      "a.bench:1:1: files include each other more than 16 deep",
		"ask does it speak":                    "a.bench:1:1: ask needs a question in quotes",
		"general on":                           "a.bench:1:1: no step general",
		"tutti on":                             "a.bench:1:1: tutti is not sent over a cable",
		"port-gone":                            "a.bench:1:1: port-gone is what a port tells of itself",
	} {
		_, found := ReadScript("a.bench", files(map[string]string{"a.bench": text}), c.in, m)
		require.NotEmpty(t, found, text)
		require.True(t, strings.HasPrefix(found[0].Place.String()+": "+found[0].Message, want), "%s: %s: %s", text, found[0].Place, found[0].Message)
	}
}

func TestALoopWithoutAnEndHidesNoOtherError(t *testing.T) {
	c := plug(t, Timing{})
	m, _ := mapping.Load(c.in)
	_, found := ReadScript("a.bench", files(map[string]string{"a.bench": "drw flute-8\nend\npress manual X4\nrepeat 3\nwait long"}), c.in, m)
	var lines []int
	for _, f := range found {
		lines = append(lines, f.Place.Line)
	}
	require.ElementsMatch(t, []int{1, 2, 3, 4, 5}, lines)
}

func TestWhatIsNoScriptIsToldOnce(t *testing.T) {
	_, found := ReadScript("organ.yaml", files(map[string]string{"organ.yaml": practice}), nil, nil)
	require.Len(t, found, 1)
	require.Equal(t, "organ.yaml:1:1: is no script: none of its 18 lines begins like a step", found[0].Place.String()+": "+found[0].Message)
	_, found = ReadScript("a.bench", files(map[string]string{"a.bench": strings.Repeat("draw flute-8\nkey great C4 up\n", 30)}), nil, nil)
	require.Len(t, found, 60, "every line of a script that is wrong is told")
}

func FuzzReadScript(f *testing.F) {
	f.Add(clean)
	f.Add("repeat 2\nfor x in C4..C2\ninclude a\nend\nend\nexpect note-on 1 * * within 1s")
	f.Fuzz(func(t *testing.T, text string) {
		c := plug(t, Timing{})
		m, _ := mapping.Load(c.in)
		if len(text) < 1000 && strings.Count(text, "repeat")+strings.Count(text, "for")+strings.Count(text, "include") < 3 {
			ReadScript("a", files(map[string]string{"a": text}), c.in, m)
		}
	})
}

func TestLoopsAndIncludesAreWrittenOut(t *testing.T) {
	c := plug(t, Timing{})
	m, _ := mapping.Load(c.in)
	script, found := ReadScript("dir/a.bench", files(map[string]string{
		"dir/a.bench": "for key in C2..D2\nrepeat 2\ninclude b.bench # twice each\nend\nend",
		"dir/b.bench": "press manual $key",
	}), c.in, m)
	require.Empty(t, found)
	var texts []string
	for _, s := range script.Steps {
		texts = append(texts, s.At.String()+" "+s.Text)
	}
	require.Equal(t, []string{
		"dir/b.bench:1:1 press manual C2", "dir/b.bench:1:1 press manual C2", "dir/b.bench:1:1 press manual C#2",
		"dir/b.bench:1:1 press manual C#2", "dir/b.bench:1:1 press manual D2", "dir/b.bench:1:1 press manual D2",
	}, texts)
}
