package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/console/finding"
)

// stateFlags are the flags that say what is drawn and held.
type stateFlags struct {
	draw, play           []string
	crescendo, transpose int
	tutti                bool
}

func addStateFlags(cmd *cobra.Command) *stateFlags {
	f := &stateFlags{}
	flags := cmd.Flags()
	flags.StringArrayVar(&f.draw, "draw", nil, "draw these stops and other controls: `IDS` with commas between them")
	flags.StringArrayVar(&f.play, "play", nil, "hold `KEYS` of one keyboard, like great:C4,E4 or great:C2..C7; C4:2 is pressed to its second touch")
	flags.IntVar(&f.crescendo, "crescendo", 0, "open the crescendo to stage `N`")
	flags.BoolVar(&f.tutti, "tutti", false, "put the tutti on")
	flags.IntVar(&f.transpose, "transpose", 0, "shift the keys by `N` semitones")
	return f
}

// state is what the flags ask of an instrument, or everything in them that it
// does not have.
func (f *stateFlags) state(in *console.Instrument) (console.State, error) {
	drawn, wrong := f.drawn(in)
	s := console.State{Drawn: drawn, Stage: f.crescendo, Tutti: f.tutti, Transpose: f.transpose}
	for _, text := range f.play {
		held, err := parsePlay(in, text)
		s.Held, wrong = append(s.Held, held...), append(wrong, err)
	}
	s.Held = deepest(s.Held)
	wrong = append(wrong, f.checkCrescendo(in), f.checkTranspose(in))
	if f.tutti && len(in.Tutti.Adds) == 0 {
		wrong = append(wrong, fmt.Errorf("--tutti: %s has no tutti", in.File))
	}
	return s, errors.Join(wrong...)
}

func (f *stateFlags) drawn(in *console.Instrument) (drawn []bool, wrong []error) {
	drawn = make([]bool, len(in.Controls))
	for _, list := range f.draw {
		for id := range strings.SplitSeq(list, ",") {
			c, err := findControl(in, strings.TrimSpace(id))
			if fix := noKnob[strings.TrimSpace(id)]; err != nil && fix != "" {
				err = complaint{"--draw: " + strings.TrimSpace(id) + " has no knob", fix}
			}
			if err != nil {
				wrong = append(wrong, err)
				continue
			}
			drawn[c] = true
		}
	}
	return drawn, wrong
}

// noKnob says how what no knob draws is put on.
var noKnob = map[string]string{
	"tutti":     "sound and current put it on with --tutti",
	"crescendo": "sound and current open it with --crescendo N",
}

func findControl(in *console.Instrument, id string) (int, error) {
	ids := make([]string, len(in.Controls))
	for c, control := range in.Controls {
		if control.ID == id {
			return c, nil
		}
		ids[c] = control.ID
	}
	if id == "" {
		return 0, complaint{"--draw: a name is missing", "write them with a comma between, like great-principal-8,great-octave-4"}
	}
	fix := finding.DidYouMean(id, ids)
	if called := calledLike(in, id); fix == "" && len(called) > 0 {
		fix = "so are called " + someOf(called)
	} else if fix == "" {
		fix = "trundle sheet " + shellQuote(in.File) + " lists them"
	}
	return 0, complaint{fmt.Sprintf("--draw: no stop, coupler or other control %q", id), fix}
}

// calledLike are the controls whose id or name has a word in it, and the stops
// that take the rank of that id.
func calledLike(in *console.Instrument, word string) (ids []string) {
	has := func(text string) bool { return strings.Contains(strings.ToLower(text), strings.ToLower(word)) }
	for _, control := range in.Controls {
		if has(control.ID) || has(control.Name) {
			ids = append(ids, control.ID)
		}
	}
	for _, stop := range in.Stops {
		takes := slices.ContainsFunc(stop.Takes, func(t console.Take) bool { return in.Ranks[t.Rank].ID == word })
		if takes && !slices.Contains(ids, stop.ID) {
			ids = append(ids, stop.ID)
		}
	}
	return ids
}

// parsePlay reads keys held on one keyboard: great:C4,E4:2,C5..C6.
func parsePlay(in *console.Instrument, text string) ([]console.Held, error) {
	id, keys, found := strings.Cut(text, ":")
	if !found {
		return nil, complaint{fmt.Sprintf("--play: %q names no keys", text), "write it like great:C4,E4 or great:C2..C7"}
	}
	keyboard, err := findKeyboard(in, strings.TrimSpace(id))
	if err != nil {
		return nil, fmt.Errorf("--play: %w", err)
	}
	var held []console.Held
	var wrong []error
	for part := range strings.SplitSeq(keys, ",") {
		list, err := parseKeys(in.Keyboards[keyboard], part)
		if err != nil {
			wrong = append(wrong, fmt.Errorf("--play: %w", err))
		}
		for _, h := range list {
			h.Keyboard = keyboard
			held = append(held, h)
		}
	}
	return held, errors.Join(wrong...)
}

func findKeyboard(in *console.Instrument, id string) (int, error) {
	ids := make([]string, len(in.Keyboards))
	for k, keyboard := range in.Keyboards {
		if keyboard.ID == id {
			return k, nil
		}
		ids[k] = keyboard.ID
	}
	for d, division := range in.Divisions {
		if division.ID == id {
			return 0, complaint{id + " is a division and no keyboard", reachedBy(in, d)}
		}
	}
	fix := finding.DidYouMean(id, ids)
	if fix == "" {
		fix = "the keyboards are " + strings.Join(ids, ", ")
	}
	return 0, complaint{fmt.Sprintf("no keyboard %q", id), fix}
}

// reachedBy is how a division is played: by its own keyboard, or else by the
// couplers of others.
func reachedBy(in *console.Instrument, division int) string {
	if home := in.Divisions[division].Keyboard; home != console.None {
		return "play " + in.Keyboards[home].ID + ", its keyboard"
	}
	var ways []string
	for _, c := range in.Couplers {
		if c.Division == division && c.Keyboard != console.None {
			ways = append(ways, fmt.Sprintf("play %s with %s drawn", in.Keyboards[c.Keyboard].ID, c.ID))
		}
	}
	if len(ways) == 0 {
		return "it floats, and no coupler leads to it"
	}
	return "it floats: " + strings.Join(ways, ", or ")
}

// parseKeys reads one key or a range of them, with :2 behind it when they go to
// their second touch.
func parseKeys(keyboard console.Keyboard, text string) ([]console.Held, error) {
	name, touch, deep := strings.Cut(text, ":")
	notes, err := parseSome(name)
	if err != nil {
		return nil, err
	}
	switch out := slices.IndexFunc(notes, func(n console.Note) bool { return !keyboard.Keys.Has(n) }); {
	case out >= 0:
		return nil, complaint{
			fmt.Sprintf("%s has no key %v", keyboard.ID, notes[out]), fmt.Sprintf("its keys are %v", keyboard.Keys)}
	case deep && touch != "2":
		return nil, complaint{fmt.Sprintf("%q is no touch", touch), "only the second, :2, is ever written"}
	case deep && keyboard.Touches < 2:
		return nil, complaint{keyboard.ID + " has no second touch", "play " + name}
	}
	held := make([]console.Held, len(notes))
	for i, n := range notes {
		held[i] = console.Held{Key: console.Key{Note: n}, Deep: deep}
	}
	return held, nil
}

// parseSome reads a note, or a range of notes as scripts and schedules have it.
func parseSome(text string) ([]console.Note, error) {
	if strings.Contains(text, "..") {
		return console.ParseNotes(text)
	}
	note, err := console.ParseNote(text)
	if err == nil {
		return []console.Note{note}, nil
	}
	if from, to, dashed := strings.Cut(strings.TrimSpace(text), "-"); dashed && isNote(from) && isNote(to) {
		err = complaint{fmt.Sprintf("%q is no note", text), "write a range as " + from + ".." + to}
	} else if words := strings.Fields(text); len(words) > 1 && isNote(words[0]) {
		err = complaint{fmt.Sprintf("%q is no note", text), "write keys with commas between, like " + strings.Join(words, ",")}
	}
	return nil, err
}

func isNote(text string) bool {
	_, err := console.ParseNote(text)
	return err == nil
}

// deepest is held with every key once, as deep as it is pressed anywhere.
func deepest(held []console.Held) []console.Held {
	at := make(map[console.Key]int, len(held))
	var once []console.Held
	for _, h := range held {
		i, seen := at[h.Key]
		if !seen {
			at[h.Key] = len(once)
			once = append(once, h)
			continue
		}
		once[i].Deep = once[i].Deep || h.Deep
	}
	return once
}

func (f *stateFlags) checkCrescendo(in *console.Instrument) error {
	stages := 0
	if len(in.Crescendo) > 0 {
		stages = len(in.Crescendo[0].Stages)
	}
	switch {
	case f.crescendo == 0:
		return nil
	case stages == 0:
		return fmt.Errorf("--crescendo: %s has no crescendo", in.File)
	case f.crescendo < 0 || f.crescendo > stages:
		return fmt.Errorf("--crescendo: no stage %d; the stages are 0..%d", f.crescendo, stages)
	}
	return nil
}

func (f *stateFlags) checkTranspose(in *console.Instrument) error {
	reach := in.Transposer
	switch {
	case f.transpose == 0:
		return nil
	case reach == console.Reach{}:
		return fmt.Errorf("--transpose: %s has no transposer", in.File)
	case f.transpose < reach.Low || f.transpose > reach.High:
		return fmt.Errorf("--transpose: %s semitones is too far; the transposer reaches %s..%s",
			signed(f.transpose), signed(reach.Low), signed(reach.High))
	}
	return nil
}

// signed is a shift as it is written: +2, -12, 0.
func signed(n int) string {
	if n > 0 {
		return "+" + strconv.Itoa(n)
	}
	return strconv.Itoa(n)
}
