package main

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/console/finding"
	"trundle/midiio/mapping"
	"trundle/sim/walk"
	"trundle/sim/wiring"
)

// entryOf is an answer as the record keeps it.
func entryOf(k *walker, s walk.Step, a walk.Answer) dayEntry {
	f := walk.Place{Pins: []string{}, Legs: []string{}}
	if !a.Verdict.IsGood() {
		f = walk.At(k.relay, k.in, s.Pins)
	}
	e := dayAnswer{Step: s.ID, Phase: s.Phase.String(), Do: s.Do, Sum: s.Sum,
		Verdict: string(a.Verdict), Good: a.Verdict.IsGood(), Amps: a.Amps, Volts: a.Volts, Board: f.Board, Pins: f.Pins, Legs: f.Legs}
	if a.Amps != nil {
		e.AmpsGood = s.AmpsGood()
	}
	if a.Volts != nil {
		e.VoltsGood = s.VoltsGood()
	}
	return dayEntry{Kind: "answer", Words: a.Words, Who: a.Who, Answer: &e}
}

// foundText is an answer in words, with what a meter showed and should have shown.
func foundText(verdict, words, readings string) string {
	if readings != "" {
		verdict += ", " + readings
	}
	if words != "" {
		verdict += ": " + words
	}
	return verdict
}

// foundAt is what was found at a step.
func foundAt(s walk.Step, a walk.Answer) string {
	return foundText(string(a.Verdict), a.Words, walk.Readings(a.Amps, a.Volts, s.AmpsGood(), s.VoltsGood()))
}

// tellDamage tells of lines that were cut off.
func tellDamage(cmd *cobra.Command, path string, lines []dayLine) {
	for i, l := range lines {
		if l.Damaged {
			fmt.Fprintf(cmd.ErrOrStderr(), "trundle: %s:%d: this line was cut off as it was written; what it said is asked again\n", path, i+1)
		}
	}
}

// answersTo are the answers of a record that are to an instrument.
func answersTo(instrument string, walks []*dayWalk) (answers []walk.Answer) {
	for _, w := range walks {
		if w.Instrument != instrument {
			continue
		}
		for _, l := range w.answers {
			a := l.Answer
			answers = append(answers, walk.Answer{Step: a.Step, Do: a.Do, Sum: a.Sum, Verdict: walk.Verdict(a.Verdict), Words: l.Words, Amps: a.Amps, Volts: a.Volts, Who: l.Who})
		}
	}
	return answers
}

// nameBefore is the name that an instrument had in a record before it was renamed, ""
// for none. A record of walks of which none is through it is refused.
func (f walkFlags) nameBefore(file, name string, walks []*dayWalk) (string, error) {
	if len(walks) == 0 || slices.ContainsFunc(walks, func(w *dayWalk) bool { return w.Instrument == name }) {
		return "", nil
	}
	was := walks[len(walks)-1].Instrument
	if f.renamed {
		return was, nil
	}
	return "", complaint{fmt.Sprintf("%s: is the record of %s, and %s is %s", f.to, was, file, name),
		"name another file with --to, or add --renamed if it is the same instrument under a new name"}
}

// filesRead is what was read, by name, and its SHA-256.
func filesRead(path, relayPath string, relay *wiring.Relay) map[string]string {
	digests := map[string]string{}
	add := func(file string) {
		file, _, _ = strings.Cut(file, "#") // the sheet of a spreadsheet
		if file == "" || digests[file] != "" {
			return
		}
		if data, err := os.ReadFile(file); err == nil {
			sum := sha256.Sum256(data)
			digests[file] = digest(sum[:])
		}
	}
	add(path)
	add(relayPath)
	if relay != nil {
		for _, row := range append(relay.Plan[:len(relay.Plan):len(relay.Plan)], relay.Wired...) {
			add(row.At.File)
		}
		for _, j := range relay.Joins {
			add(j.At.File)
		}
		for _, s := range relay.Switch {
			add(s.At.File)
		}
	}
	return digests
}

// answerThings reads what keys, buttons and knobs answer: good=great:C2.
func answerThings(in *console.Instrument, m *mapping.Map, flags []string, port string) (map[mapping.Thing]string, error) {
	answers := map[mapping.Thing]string{}
	var wrong []error
	for _, text := range flags {
		line, name, ok := strings.Cut(text, "=")
		_, unread := walk.Read(walk.Step{Good: walk.Good}, line)
		thing, unknown := thingCalled(in, name)
		entry, mapped := m.Find(thing)
		switch {
		case !ok || unread != nil:
			wrong = append(wrong, complaint{fmt.Sprintf("--answer %s: is no answer and a name", shellQuote(text)), "write it like good=general-1 or dead=great:C2"})
		case unknown != nil:
			wrong = append(wrong, fmt.Errorf("--answer %s: %w", shellQuote(text), unknown))
		case !mapped || !entry.Has(mapping.ToOrgan):
			wrong = append(wrong, complaint{fmt.Sprintf("--answer %s: the map has no message by which %s is heard", shellQuote(text), name), "trundle learn INSTRUMENT --table shows the map"})
		}
		answers[thing] = line
	}
	if len(answers) > 0 && port == "" {
		wrong = append(wrong, complaint{"--answer needs a port to hear it at", "name it with --in"})
	}
	return answers, errors.Join(wrong...)
}

// thingCalled is a key, control or button by its name.
func thingCalled(in *console.Instrument, name string) (mapping.Thing, error) {
	if id, note, isKey := strings.Cut(keyForm(name), ":"); isKey {
		k, err := findKeyboard(in, id)
		if err != nil {
			return mapping.Thing{}, err
		}
		n, err := console.ParseNote(note)
		if err != nil {
			return mapping.Thing{}, err
		}
		if !in.Keyboards[k].Keys.Has(n) {
			return mapping.Thing{}, fmt.Errorf("%s has no key %s: its keys are %s", id, n, in.Keyboards[k].Keys)
		}
		return mapping.Thing{Kind: mapping.Key, Index: k, Note: n}, nil
	}
	var names []string
	for c, control := range in.Controls {
		if names = append(names, control.ID); control.ID == name {
			return mapping.Thing{Kind: mapping.Control, Index: c}, nil
		}
	}
	if in.Combination != nil {
		for b, button := range in.Combination.Buttons {
			if names = append(names, button.ID); button.ID == name {
				return mapping.Thing{Kind: mapping.Button, Index: b}, nil
			}
		}
	}
	for _, keyboard := range in.Keyboards {
		if keyboard.ID == name {
			return mapping.Thing{}, complaint{name + " is a keyboard", fmt.Sprintf("name a key of it, like %s:%s", name, keyboard.Keys.From)}
		}
	}
	return mapping.Thing{}, complaint{"no key, control or button " + name, finding.DidYouMean(name, names)}
}
