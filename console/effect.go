package console

import (
	"encoding/json"
	"sort"
	"strconv"
	"time"
)

// EffectKind is what changed at the console, or what it asks for; its text is
// the first word of the effect's line.
type EffectKind string

const (
	ValveEffect     EffectKind = "valve"     // Index valve, Value 0 shut, 1 open without wind, 2 open
	ControlEffect   EffectKind = "control"   // Index control, Value 1: it is on, whatever put it on
	LightEffect     EffectKind = "light"     // Index control, Value 1: the lamp of a lit one
	ShadesEffect    EffectKind = "shades"    // Index box, Value stage
	MagnetEffect    EffectKind = "magnet"    // Index box, Part magnet from 1, Value 1: energized
	SpeedEffect     EffectKind = "speed"     // Index tremulant, Value which of its speeds, from 1
	StageEffect     EffectKind = "stage"     // Value crescendo stage
	SequenceEffect  EffectKind = "sequence"  // Index of the crescendo's sequence
	TuttiEffect     EffectKind = "tutti"     // Value 0 or 1
	TransposeEffect EffectKind = "transpose" // Value semitones
	RefusedEffect   EffectKind = "refused"   // Text why nothing was done

	// Of the combination action.
	CoilEffect   EffectKind = "coil"   // Index control, Value 1: a pulse to draw it, 0: to push it in
	StuckEffect  EffectKind = "stuck"  // Index control, Value: two pulses did not bring it there
	LampEffect   EffectKind = "lamp"   // Index button, Value 0 or 1
	MemoryEffect EffectKind = "memory" // Value memory, from 1
	PlaceEffect  EffectKind = "place"  // Value memory and Index general where the sequencer stands
	SaveEffect   EffectKind = "save"   // Value number of the save, to be answered by a saved or save-failed event
	SaysEffect   EffectKind = "says"   // Text for the player
)

// Effect is one thing that changed. Which fields count depends on its kind.
type Effect struct {
	At                 time.Duration
	Kind               EffectKind
	Index, Part, Value int
	Text               string
}

var valveStates = []string{"shut", "windless", "open"}

// RankOf is the rank that a valve of the instrument belongs to.
func (in *Instrument) RankOf(valve int) int {
	return sort.Search(len(in.Ranks), func(r int) bool { return in.Ranks[r].First > valve }) - 1
}

// EffectWords is what an effect is about and what it came to, as text; either
// may be empty.
func (in *Instrument) EffectWords(e Effect) (item, to string) {
	switch e.Kind {
	case ValveEffect:
		rank := in.Ranks[in.RankOf(e.Index)]
		return rank.ID + ":" + strconv.Itoa(e.Index-rank.First+1), valveStates[e.Value]
	case ControlEffect, LightEffect, CoilEffect, StuckEffect:
		return in.Controls[e.Index].ID, switches[e.Value]
	case ShadesEffect:
		return in.Boxes[e.Index].ID, strconv.Itoa(e.Value)
	case MagnetEffect:
		return in.Boxes[e.Index].ID + ":" + strconv.Itoa(e.Part), switches[e.Value]
	case SpeedEffect:
		return in.Tremulants[e.Index].ID, strconv.Itoa(e.Value)
	case LampEffect:
		return in.Combination.Buttons[e.Index].ID, switches[e.Value]
	case SequenceEffect:
		return "", strconv.Itoa(e.Index + 1)
	case TuttiEffect:
		return "", switches[e.Value]
	case PlaceEffect:
		return "", in.SlotText(Slot{e.Value, e.Index})
	case StageEffect, TransposeEffect, MemoryEffect, SaveEffect:
		return "", strconv.Itoa(e.Value)
	}
	return "", e.Text
}

// AppendEffect appends the line of an effect: 1.25 valve bourdon:13 open.
func (in *Instrument) AppendEffect(log []byte, e Effect) []byte {
	log = append(append(AppendTime(log, e.At), ' '), e.Kind...)
	item, to := in.EffectWords(e)
	for _, word := range []string{item, to} {
		if word != "" {
			log = append(append(log, ' '), word...)
		}
	}
	return append(log, '\n')
}

// AppendEffectJSON appends the effect as a line of JSON, in the shape of
// schema trundle.effect/1.
func (in *Instrument) AppendEffectJSON(log []byte, e Effect) []byte {
	item, to := in.EffectWords(e)
	log = append(log, `{"schema":"trundle.effect/1","at":`...)
	log = AppendTime(log, e.At)
	for _, field := range [...][2]string{{"effect", string(e.Kind)}, {"item", item}, {"to", to}} {
		log = append(append(append(log, `,"`...), field[0]...), `":`...)
		text, _ := json.Marshal(field[1]) // text always marshals
		log = append(log, text...)
	}
	return append(log, '}', '\n')
}
