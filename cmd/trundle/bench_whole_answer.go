package main

import (
	"fmt"
	"io"
	"strings"

	"trundle/sim/fault"
)

// wholeAnswer is what a whole relay is like; in JSON it is schema trundle.whole/1.
type wholeAnswer struct {
	Schema    string          `json:"schema"`
	Verdict   string          `json:"verdict"` // equal, different, not-run
	Why       string          `json:"why"`     // why it was not run to its end
	Left      string          `json:"left"`    // why something may be left sounding, "" when it is silent
	Presses   int             `json:"presses"` // planned
	OneByOne  int             `json:"oneByOne"`
	Pressed   int             `json:"pressed"`
	Late      int             `json:"late"`     // chords that were answered otherwise at first, and alike with patience
	Unsteady  int             `json:"unsteady"` // chords that were answered now so, now otherwise
	Foretold  float64         `json:"foretold"` // seconds
	Seconds   float64         `json:"seconds"`
	Most      string          `json:"most"` // amps of the worst chord, "" where nothing is known of them
	Mistakes  []mistakeAnswer `json:"mistakes"`
	Leftover  []string        `json:"leftover"`  // valves of which the mistakes do not account for all
	Disturbed []chordAnswer   `json:"disturbed"` // the unsteady chords, from which nothing was concluded
	Valves    []valveAnswer   `json:"valves"`
	Smallest  *smallestAnswer `json:"smallest"` // nil where no mistake was found
	Loop      *loopAnswer     `json:"loop"`     // nil where valves are reported
}

// chordAnswer is a chord.
type chordAnswer struct {
	Play []string `json:"play"`
	Draw []string `json:"draw"`
}

// mistakeAnswer is what one of the mistakes may be that together account for what
// was seen.
type mistakeAnswer struct {
	Class  string   `json:"class"`
	Where  string   `json:"where"`
	Pins   []string `json:"pins"`
	Wiring bool     `json:"wiring"` // it is one of the wiring, not of the relay's own table
	Part   int      `json:"part"`   // which of the mistakes it may be, from 1
	fault  fault.Fault
}

func (m mistakeAnswer) String() string { return m.Class + ": " + m.Where }

// valveAnswer is a valve that does not open as it should.
type valveAnswer struct {
	Valve  string   `json:"valve"`  // or the looped output
	Item   string   `json:"item"`   // what the plan has on a looped output
	LetGo  bool     `json:"letGo"`  // it is wrong when the chord is let go, not while it is held
	Opens  bool     `json:"opens"`  // in the smallest chord where it is wrong
	Chords int      `json:"chords"` // in which it is wrong
	Play   []string `json:"play"`   // the smallest of them
	Draw   []string `json:"draw"`
}

// before says what is to come.
func (a *wholeAnswer) before(w io.Writer) {
	if a.Loop != nil {
		a.Loop.before(w)
	}
	fmt.Fprintf(w, "%d chords, where one key at a time would take %d presses\n", a.Presses, a.OneByOne)
	if a.Foretold < 60 {
		fmt.Fprintf(w, "about %.0f s on the link\n", a.Foretold)
	} else {
		fmt.Fprintf(w, "about %.1f minutes on the link\n", a.Foretold/60)
	}
	if a.Most != "" {
		fmt.Fprintf(w, "the worst chord draws at most %s, each magnet cold and as if alone\n", a.Most)
	}
}

// found is what came of it, a line each.
func (a *wholeAnswer) found() []string {
	if a.Verdict == "not-run" {
		return []string{fmt.Sprintf("not finished, after %d of %d chords: %s", a.Pressed, a.Presses, a.Why)}
	}
	list := []string{fmt.Sprintf("%d chords in %.1f s", a.Pressed, a.Seconds)}
	if a.Late > 0 {
		list = append(list, count(a.Late, "chord")+" answered otherwise at first, and alike three times after: the relay or this machine was late, or a contact is loose now and then")
	}
	if a.Unsteady > 0 {
		list = append(list, count(a.Unsteady, "chord")+" answered now so, now otherwise: a contact is loose, or the relay late now and then")
	}
	verdict := fmt.Sprintf("it does not do what its files say; one of %d mistakes does, which this test cannot tell apart", len(a.Mistakes))
	switch {
	case a.Verdict == "equal":
		verdict = "the relay does in all of them what its files say"
	case len(a.Valves) == 0:
		verdict = "in the end the relay did in all of them what its files say"
	case len(a.Mistakes) == 0 || len(a.Leftover) > 0:
		verdict = "it does not do what its files say, and no few mistakes account for it"
		if parts := a.parts(); len(parts) > 0 {
			verdict = fmt.Sprintf("it does not do what its files say; %s for %d of %d wrong valves; left: %s",
				counted(len(parts), "mistake accounts", "mistakes account"), len(a.Valves)-len(a.Leftover), len(a.Valves), someOf(a.Leftover))
		}
		if a.Late+a.Unsteady > 0 {
			verdict += "; where it may have been late for more, --settle 200ms waits longer for each chord"
		}
	case len(a.parts()) > 1:
		verdict = fmt.Sprintf("it does not do what its files say; %d mistakes together account for all of it", len(a.parts()))
	case len(a.Mistakes) == 1:
		verdict = "it does not do what its files say; one mistake accounts for all of it"
	}
	if list = append(list, verdict); a.Loop != nil {
		list = append(list, a.Loop.only())
	}
	return list
}

func (v valveAnswer) String() string {
	if v.Item != "" {
		return v.looped()
	}
	does := "does not open and should"
	if v.Opens {
		does = "opens and should not"
	}
	return fmt.Sprintf("%s %s, in %s", v.Valve, does, count(v.Chords, "chord"))
}

// mostValves is how many valves are listed.
const mostValves = 20

// parts are the mistakes that are made together, each with all that it may be.
func (a *wholeAnswer) parts() (list [][]mistakeAnswer) {
	for _, m := range a.Mistakes {
		if m.Part > len(list) {
			list = append(list, nil)
		}
		list[m.Part-1] = append(list[m.Part-1], m)
	}
	return list
}

// after says what was found.
func (a *wholeAnswer) after(w io.Writer) {
	for _, line := range a.found() {
		fmt.Fprintln(w, line)
	}
	if a.Loop != nil && a.Verdict != "not-run" {
		fmt.Fprintf(w, "and of that not all: %s not tried, see above\n", count(len(a.Loop.NotTried), "thing"))
	}
	for _, c := range a.Disturbed[:min(mostValves, len(a.Disturbed))] {
		fmt.Fprintf(w, "  unsteady, and nothing was concluded from it:%s\n", flagsOf(c.Draw, c.Play))
	}
	if len(a.Valves) == 0 {
		return
	}
	parts := a.parts()
	for i, ways := range parts {
		if len(parts) > 1 && len(ways) > 1 {
			fmt.Fprintf(w, "  %d. one of %d, which this test cannot tell apart:\n", i+1, len(ways))
		}
		for _, m := range ways {
			switch {
			case len(parts) == 1:
				fmt.Fprintf(w, "  %s\n", m)
			case len(ways) == 1:
				fmt.Fprintf(w, "  %d. %s\n", i+1, m)
			default:
				fmt.Fprintf(w, "     %s\n", m)
			}
		}
	}
	what := "valve"
	if a.Loop != nil {
		what = "looped output"
	}
	fmt.Fprintf(w, "%s wrong\n", count(len(a.Valves), what))
	for _, v := range a.Valves[:min(mostValves, len(a.Valves))] {
		fmt.Fprintf(w, "  %v\n", v)
	}
	if more := len(a.Valves) - mostValves; more > 0 {
		fmt.Fprintf(w, "  and %d more\n", more)
	}
	if s := a.Smallest; s != nil {
		fmt.Fprintf(w, "the smallest case:%s\n", flagsOf(s.Draw, s.Play))
	} else {
		v := a.Valves[0]
		fmt.Fprintf(w, "the smallest chord of the first that was tried:%s\n", flagsOf(v.Draw, v.Play))
	}
}

// flagsOf are the flags of a command that shows a state.
func flagsOf(draw, play []string) string {
	flags := ""
	if len(draw) > 0 {
		flags = " --draw " + strings.Join(draw, ",")
	}
	for _, p := range play {
		flags += " --play " + shellQuote(p)
	}
	return flags
}
