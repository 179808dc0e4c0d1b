package main

import (
	"fmt"
	"io"
	"strings"

	"trundle/console"
	"trundle/sim/circuit"
	"trundle/sim/listen"
)

// listenAnswer is what to play; in JSON it is schema trundle.listen/1.
type listenAnswer struct {
	Schema    string         `json:"schema"`
	Presses   int            `json:"presses"`
	OneByOne  int            `json:"oneByOne"` // of every stop, coupler and unison off by every key
	Mistakes  int            `json:"mistakes"`
	Heard     int            `json:"heard"`
	Silent    []silentAnswer `json:"silent"`
	Undecided []silentAnswer `json:"undecided"`
	Steps     []listenStep   `json:"steps"`
	in        *console.Instrument
}

type listenStep struct {
	Draw []string   `json:"draw"`
	Play [][]string `json:"play"` // one after the other; none to listen to the silence
	Keys string     `json:"keys"` // the same in short
	Most int        `json:"most"` // valves that should sound at a time
	Loud bool       `json:"loud"`
}

type silentAnswer struct {
	Class string `json:"class"`
	Count int    `json:"count"`
	Where string `json:"where"` // of one of them
}

func answerListen(in *console.Instrument, p listen.Plan) listenAnswer {
	a := listenAnswer{Schema: "trundle.listen/1", Presses: p.Presses(), OneByOne: p.OneByOne, Mistakes: p.Mistakes, Heard: p.Heard,
		Silent: silentOf(p.Silent), Undecided: silentOf(p.Undecided), Steps: []listenStep{}, in: in}
	for _, s := range p.Steps {
		step := listenStep{Draw: controlIDs(in, s.Draw), Play: [][]string{}, Keys: keysInShort(in, s.Held), Most: s.Most, Loud: s.Loud}
		for _, held := range s.Held {
			step.Play = append(step.Play, playOf(in, held))
		}
		a.Steps = append(a.Steps, step)
	}
	return a
}

// playOf is what to press; empty for no key.
func playOf(in *console.Instrument, held []console.Held) []string {
	return append([]string{}, circuit.PlayOf(in, keysOfChord(held))...)
}

func silentOf(list []listen.Unheard) []silentAnswer {
	a := []silentAnswer{}
	for _, u := range list {
		a = append(a, silentAnswer{u.Class, u.Count, u.Where})
	}
	return a
}

// keysInShort are presses one after the other: single keys as runs, chords with +.
func keysInShort(in *console.Instrument, presses [][]console.Held) string {
	var parts []string
	keyboard := console.None
	for i := 0; i < len(presses); i++ {
		held := presses[i]
		if len(held) == 0 {
			parts = append(parts, "no key")
			continue
		}
		text := ""
		if held[0].Keyboard != keyboard {
			keyboard = held[0].Keyboard
			text = in.Keyboards[keyboard].ID + " "
		}
		last := i
		for last+1 < len(presses) && len(held) == 1 && follows(presses[last], presses[last+1]) {
			last++
		}
		if last > i {
			parts = append(parts, text+held[0].Note.String()+".."+presses[last][0].Note.String())
			i = last
			continue
		}
		var names []string
		for _, h := range held {
			name := h.Note.String()
			if h.Keyboard != keyboard {
				name = in.Keyboards[h.Keyboard].ID + " " + name
			}
			names = append(names, name)
		}
		parts = append(parts, text+strings.Join(names, "+"))
	}
	return strings.Join(parts, ", ")
}

// follows reports whether a press is the next key up.
func follows(a, b []console.Held) bool {
	return len(b) == 1 && a[0].Keyboard == b[0].Keyboard && b[0].Note == a[0].Note+1
}

func (a listenAnswer) writeText(w io.Writer) error {
	b := &strings.Builder{}
	fmt.Fprintf(b, "%s, %s; every stop, coupler and unison off by every key would be %d\n",
		count(len(a.Steps), "registration"), pressWords(a.Presses), a.OneByOne)
	fmt.Fprintf(b, "hears %d of %d single mistakes\n", a.Heard, a.Mistakes)
	writeSilent(b, "cannot be heard at all, whatever is played", a.Silent)
	writeSilent(b, "undecided: they may be heard, and are not by this", a.Undecided)
	fmt.Fprintln(b, "play single keys as runs; each should sound its own pipes and no others, and stop")
	for i, s := range a.Steps {
		loud := ""
		if s.Loud {
			loud = "  (a reed: loud; hearing protection, and nobody beside the pipes)"
		}
		draw := "draw "
		if len(s.Draw) == 0 {
			draw = ""
		}
		fmt.Fprintf(b, "\n%d. %s%s%s\n   %s\n", i+1, draw, drawnInShort(s.Draw), loud, s.Keys)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func writeSilent(b *strings.Builder, title string, list []silentAnswer) {
	if len(list) == 0 {
		return
	}
	all := 0
	for _, s := range list {
		all += s.Count
	}
	fmt.Fprintf(b, "%d %s:\n", all, title)
	for _, s := range list {
		fmt.Fprintf(b, "  %d %s, such as %s\n", s.Count, s.Class, s.Where)
	}
}

// drawnInShort is what is drawn; of very much, with how many it is.
func drawnInShort(ids []string) string {
	if len(ids) > 8 {
		return fmt.Sprintf("%d: %s", len(ids), strings.Join(ids, ", "))
	}
	return drawnWords(ids)
}

func pressWords(n int) string {
	if n == 1 {
		return "1 press"
	}
	return fmt.Sprintf("%d presses", n)
}

func (a listenAnswer) rows() [][]string {
	rows := [][]string{{"step", "draw", "keys", "presses", "loud", "heard"}}
	for i, s := range a.Steps {
		loud := ""
		if s.Loud {
			loud = "loud"
		}
		rows = append(rows, []string{fmt.Sprint(i + 1), strings.Join(s.Draw, " "), s.Keys, fmt.Sprint(len(s.Play)), loud, ""})
	}
	return rows
}
