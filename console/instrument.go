// Package console is a pipe organ seen from its console: the instrument as data,
// its file and the rules that check it, what sounds, and the keys, knobs and shoes
// as a machine. It does no I/O but for the file, and knows no wiring, no MIDI and
// no screen.
//
// Load reads a file into an Instrument, and WriteYAML writes one. Of one state
// package plain says which valves are open; Sounding says the same for a player,
// change by change, and why. Machine is all that needs a history as well: events
// in, effects out, both with a text form. The combination action stands around
// it, in a package of its own.
package console

import (
	"trundle/console/finding"
	"trundle/console/yamldoc"
)

// None marks an index that refers to nothing: a division that floats, a
// division without a box.
const None = -1

// Instrument is one instrument file, with every name resolved: a field called
// Division, Rank and so on is an index into the slice of that name.
// Slices keep the order of the file.
type Instrument struct {
	File  string
	Name  string
	Pitch Pitch

	Keyboards  []Keyboard
	Boxes      []Box
	Divisions  []Division
	Chests     []Chest // those the divisions imply first, then those under `chests`
	Ranks      []Rank
	Stops      []Stop
	Couplers   []Coupler
	UnisonOffs []UnisonOff
	Ventils    []Ventil
	Tremulants []Tremulant
	Transfers  []Transfer
	Divides    []Divide
	Sostenutos []Sostenuto
	Gatherings []Gathering
	Follows    []Follow
	Shoes      []Shoe

	// Every knob, in the order stops, couplers and unison offs as written,
	// ventils, tremulants, transfers, divides, sostenutos, gatherings, follows.
	Controls []Control

	Transposer  Reach        // semitones the transposer may shift; zero when there is none
	Crescendo   []Sequence   // several sequences of stages; empty when there is none
	Tutti       Blind        // what the tutti adds and drops
	Combination *Combination // nil when the file has none

	Voices []Voice       // the programs by which a synthesizer plays families of pipes
	MIDI   *yamldoc.Node // the field `midi` as it stands, nil when the file has none

	Valves int // valves of all ranks together; Rank.First is where a rank's begin
}

// Reach is how far something may be shifted down and up, in semitones.
type Reach struct{ Low, High int }

// Pitch says how high the instrument is tuned.
type Pitch struct {
	A4          float64     // Hz of A4
	Temperament [12]float64 // cents by which each of C, C#, ... B departs from equal temperament
}

// KeyboardKind is manual or pedal.
type KeyboardKind string

const (
	Manual KeyboardKind = "manual"
	Pedal  KeyboardKind = "pedal"
)

// Keyboard is a row of keys: a manual or the pedal.
type Keyboard struct {
	ID, Name string
	Kind     KeyboardKind
	Keys     Span
	Touches  int // contacts under a key: 1, or 2 where a second touch exists
	At       finding.Place
}

// Box is a swell box whose shades open in stages, from 0, closed, to Stages.
type Box struct {
	ID, Name string
	Stages   int
	Code     BoxCode // Thermometer when empty
	Rest     BoxRest // RestClosed when empty
	Table    [][]int // magnets, from 1, energized at stage 0, 1 and so on; of the code Table
	Softens  float64 // dB that the closed box takes away, 0 when not given
	At       finding.Place
}

// Division is a group of stops played together.
type Division struct {
	ID, Name string
	Keyboard int // the home keyboard, None when the division floats
	Notes    Span
	Chest    int // the chest implied by `chest:`, None without one
	Box      int // None when it stands in the open
	At       finding.Place
}

// ChestKind is how a chest's valves are reached.
type ChestKind string

const (
	Unit   ChestKind = "unit"   // a magnet for every valve
	Slider ChestKind = "slider" // a note line for every note, an action for every rank
	Pitman ChestKind = "pitman" // wired as a slider chest is
)

// Chest is what ranks stand on.
type Chest struct {
	ID    string
	Kind  ChestKind
	Notes Span  // note lines of a slider or pitman chest
	Plays []int // divisions whose note lines it has
	At    finding.Place
}

// HasNoteLines reports whether the chest is wired by note lines and actions.
func (c Chest) HasNoteLines() bool { return c.Kind != Unit }

// Stand is the part of a rank that stands on one chest, by valve number.
type Stand struct {
	Chest    int
	From, To int // valve numbers, from 1, both included
}

// Row is one row of pipes of a compound rank: its pitch as a ratio to the
// pitch of an 8-foot pipe on the same key.
type Row struct {
	Text     string // as the file writes it: 19, or 1 1/3
	Num, Den int
}

// Break is the zone of a compound rank that begins at a key.
type Break struct {
	From Note
	Rows []Row
	At   finding.Place
}

// Rank is a row of valves, one a note, each with its pipe, or with one pipe a
// row where the rank is compound.
type Rank struct {
	ID, Name string
	Division int // None when only its chest is given
	Family   string
	Feet     Feet // zero when the rank has breaks
	From     Note // the key whose note valve 1 sounds
	Pipes    int  // valves
	Cents    float64
	Breaks   []Break // empty for a plain rank
	Stands   []Stand // where its valves stand; every valve stands somewhere, once
	Sounds   string  // "pipes", or what else it strikes or rings: not counted as pipes
	Strikes  string  // "" or "once"
	First    int     // index of valve 1 among all valves of the instrument
	At       finding.Place
}

// Valve is the index of valve number v among all valves of the instrument.
func (r Rank) Valve(v int) int { return r.First + v - 1 }

// Note is the note at which valve number v stands.
func (r Rank) Note(v int) Note { return r.From + Note(v-1) }

// Beyond says what a take does past an end of its rank.
type Beyond string

const (
	Silent Beyond = "silent"
	Fold   Beyond = "fold" // by octaves, until inside
)

// Take is what a stop draws from one rank.
type Take struct {
	Rank         int
	Feet         Feet // zero from a rank with breaks
	Shift        int  // semitones from line note to rank note
	Notes        Span // line notes it answers to; AllNotes when not given
	Above, Below Beyond
	At           finding.Place
}

// Stop is a control that lets ranks sound on its division's line.
type Stop struct {
	ID, Name string
	Division int
	Feet     Feet // zero when the file gives none
	Notes    Span // AllNotes when not given
	Touch    int  // 1, or 2 when it reads the second contact
	Takes    []Take
	Level    *float64 // dB beside the others, nil when not given
	Control  int
	At       finding.Place
}

// Carries says how far a coupler's notes go.
type Carries string

const (
	CarriesNone Carries = "none" // they reach the division's line
	CarriesOwn  Carries = "own"  // and pass its own couplers
	CarriesAll  Carries = "all"  // and pull down the other keyboard's keys, whose couplers follow
)

// Picks says which of the held keys a coupler passes.
type Picks string

const (
	PicksAll     Picks = ""
	PicksLowest  Picks = "lowest"
	PicksHighest Picks = "highest"
)

// Coupler passes the keys of a keyboard, or a division's own keys, to a
// division's line.
type Coupler struct {
	ID, Name string
	Division int
	Keyboard int // None for an own coupler, also when the file names the division's home
	Shift    int // semitones
	Carries  Carries
	Picks    Picks
	Keys     Span // AllNotes when not given
	Touch    int  // 1, or 2 when it reads the second contact
	Pulse    int  // milliseconds that a stroke sounds (pizzicato); 0 as long as the key is held
	Control  int
	At       finding.Place
}

// Cuts says which paths to a division's line a unison off cuts.
type Cuts string

const (
	CutsKeys Cuts = "keys" // the home keys
	CutsLine Cuts = "line" // and the couplers from other keyboards
	CutsAll  Cuts = "all"  // and the own couplers
)

// UnisonOff silences a division on its home keys.
type UnisonOff struct {
	ID, Name string
	Division int
	Cuts     Cuts
	Control  int
	At       finding.Place
}

// Ventil lets wind to ranks while it is on, or keeps it from them.
type Ventil struct {
	ID, Name string
	Admits   []int // ranks that have wind only while it is on
	Cuts     []int // ranks that have none while it is on; exactly one of the two is not empty
	Control  int
	At       finding.Place
}

// Tremulant shakes the wind of divisions.
type Tremulant struct {
	ID, Name  string
	Divisions []int
	Speeds    []float64 // beats a second to choose from; empty when it has one only
	Control   int
	At        finding.Place
}

// Transfer exchanges two keyboards while it is on.
type Transfer struct {
	ID, Name  string
	Keyboards [2]int
	Control   int
	At        finding.Place
}

// Divide splits a keyboard while it is on: the keys below Split do not reach
// couplers to other divisions, those from Split up do not reach the home line.
type Divide struct {
	ID, Name string
	Keyboard int
	Split    Note
	Control  int
	At       finding.Place
}

// Voice is the program of General MIDI, from 1, that stands for a family of pipes.
type Voice struct {
	Family  string
	Program int
}

// Shoe is a balanced pedal that drives boxes, or the crescendo.
type Shoe struct {
	ID, Name  string
	Boxes     []int
	Crescendo bool
	At        finding.Place
}

// Blind is a set of controls that something adds and drops without moving a knob.
type Blind struct{ Adds, Drops []int } // controls

// Sequence is one order in which the crescendo adds controls. Stage n has on
// what stages 1 to n add, less what they drop.
type Sequence struct {
	Name   string
	Stages []Stage
}

// Stage is one step of a crescendo sequence.
type Stage struct {
	Blind
	At finding.Place
}

// ControlKind is what a control belongs to.
type ControlKind string

const (
	StopControl      ControlKind = "stop"
	CouplerControl   ControlKind = "coupler"
	UnisonOffControl ControlKind = "unison-off"
	VentilControl    ControlKind = "ventil"
	TremulantControl ControlKind = "tremulant"
	TransferControl  ControlKind = "transfer"
	DivideControl    ControlKind = "divide"
	SostenutoControl ControlKind = "sostenuto"
	GatheringControl ControlKind = "gathering"
	FollowControl    ControlKind = "follow"
)

// Style is how a control shows that it is on.
type Style string

const (
	Moving Style = "moving" // a contact and two coils
	Fixed  Style = "fixed"  // a contact without coils: only the player moves it
	Lit    Style = "lit"    // the console remembers it and lights its lamp
)

// Control is a knob, tablet or key that is on or off.
type Control struct {
	ID, Name string
	Kind     ControlKind
	Index    int // into the slice of its kind
	Style    Style
	At       finding.Place
}
