package main

import (
	"math"
	"strconv"

	"trundle/console"
	"trundle/sim/circuit"
)

// currentAnswer is the currents of a relay, in the shape of schema
// trundle.current/1. Amps and volts are rounded to thousandths.
type currentAnswer struct {
	Schema   string          `json:"schema"`
	Caution  string          `json:"caution"`
	Draw     []string        `json:"draw"` // the registration of the worst chords, as --draw takes it
	Lines    []currentLine   `json:"lines"`
	Drop     *currentDrop    `json:"drop"`    // null when nothing is on in any worst chord
	Moving   *currentDrop    `json:"moving"`  // of the coils that move knobs; null without any
	Least    *currentFloor   `json:"least"`   // null where no class says what it needs
	Changes  []currentChange `json:"changes"` // of the knobs, a supply each
	Asked    *currentAsked   `json:"asked"`   // null when no state was asked for
	Findings []foundAnswer   `json:"findings"`
	Sizes    *currentSizes   `json:"sizes"`    // null when not asked for
	PowerUp  *currentPowerUp `json:"power_up"` // null when not asked for

	name, organ string // of the instrument, and its file
}

// currentLine is the current through one place.
type currentLine struct {
	Kind       string       `json:"kind"` // supply, fuse, board, return, cable
	ID         string       `json:"id"`
	Rated      *rounded     `json:"rated"` // null when the file does not say
	Everything rounded      `json:"everything"`
	Chord      currentWorst `json:"chord"`
	Cluster    currentWorst `json:"cluster"`
	Settled    *rounded     `json:"settled"` // of the network as a whole in the chord's state; null when not worked out
	Margin     *rounded     `json:"margin"`  // rated less bound and pulses
	One        rounded      `json:"one"`     // the largest single load
	Pulses     rounded      `json:"pulses"`  // of what is pulsed, while knobs move
}

type currentWorst struct {
	Play  []string `json:"play"`
	Amps  rounded  `json:"amps"`
	Bound rounded  `json:"bound"`
	Exact bool     `json:"exact"`
}

type currentDrop struct {
	Load       string       `json:"load"`
	Play       []string     `json:"play"`
	Volts      rounded      `json:"volts"`
	Needs      *rounded     `json:"needs"` // null when its class does not say
	Everything rounded      `json:"everything"`
	Hops       []currentHop `json:"hops"`
}

// currentFloor is the coil that is nearest to not being proven to pull in.
type currentFloor struct {
	Load  string  `json:"load"`
	Volts rounded `json:"volts"` // that no chord leaves it less than
	Needs rounded `json:"needs"`
}

type currentHop struct {
	Where string  `json:"where"`
	Volts rounded `json:"volts"`
}

type currentChange struct {
	Supply  string  `json:"supply"`
	Coils   int     `json:"coils"`
	AtOnce  rounded `json:"at_once"`
	Stepped rounded `json:"stepped"`
	Peak    rounded `json:"peak"` // while the worst chord is held besides
	Millis  rounded `json:"ms"`
}

// currentAsked is the state that was asked for: settled amps by line.
type currentAsked struct {
	Play []string    `json:"play"`
	Draw []string    `json:"draw"`
	Amps []askedLine `json:"amps"`
}

type askedLine struct {
	Kind string  `json:"kind"`
	ID   string  `json:"id"`
	Amps rounded `json:"amps"`
}

// rounded is printed to a thousandth.
type rounded float64

func (r rounded) MarshalJSON() ([]byte, error) {
	return strconv.AppendFloat(nil, r.thousandths(), 'f', -1, 64), nil
}

// thousandths is the number rounded to them, and nothing less than 0 when it is
// nearly 0.
func (r rounded) thousandths() float64 { return math.Round(float64(r)*1000)/1000 + 0 }

// given is a number that is null when it is 0.
func given(v float64) *rounded {
	if v == 0 {
		return nil
	}
	r := rounded(v)
	return &r
}

// bad reports whether something must be put right; of sizes that were asked
// for, whether they leave something.
func (a *currentAnswer) bad() bool {
	if a.Sizes != nil {
		return a.Sizes.bad()
	}
	return anyError(a.Findings)
}

func answerCurrent(c *circuit.Circuit, in *console.Instrument, s *circuit.Reporter, report circuit.Report) *currentAnswer {
	a := &currentAnswer{Schema: "trundle.current/1", Caution: circuit.Caution, name: in.Name, organ: in.File, Draw: drawnIDs(in, s.State(nil).Drawn),
		Lines: []currentLine{}, Changes: []currentChange{}}
	worst := func(w circuit.Worst) currentWorst {
		return currentWorst{circuit.PlayOf(in, w.Keys), rounded(w.Amps), rounded(w.Bound), w.Exact()}
	}
	for _, l := range report.Lines {
		line := currentLine{Kind: l.Kind, ID: l.ID, Rated: given(l.Rated), Everything: rounded(l.Everything),
			Chord: worst(l.Chord), Cluster: worst(l.Cluster), Settled: given(l.Settled), One: rounded(l.One), Pulses: rounded(l.Pulses)}
		if l.Rated > 0 {
			margin := rounded(l.Rated - l.Peak())
			line.Margin = &margin
		}
		a.Lines = append(a.Lines, line)
	}
	a.Drop, a.Moving, a.Least = answerDrop(in, s, report.Drop), answerDrop(in, s, report.Moving), answerLeast(s, report.Floors)
	for _, change := range report.Change {
		a.Changes = append(a.Changes, currentChange{c.Supplies[change.Supply].ID, change.Coils, rounded(change.AtOnce), rounded(change.Stepped), rounded(change.Peak), rounded(change.Millis)})
	}
	a.Findings = currentFindings(s.Findings(report))
	return a
}

func answerDrop(in *console.Instrument, s *circuit.Reporter, d *circuit.Drop) *currentDrop {
	if d == nil {
		return nil
	}
	drop := &currentDrop{s.Name(d.Load), circuit.PlayOf(in, d.Keys), rounded(d.Volts), given(d.Needs), rounded(d.Everything), []currentHop{}}
	for _, h := range d.Hops {
		drop.Hops = append(drop.Hops, currentHop{h.Where, rounded(h.Volts)})
	}
	return drop
}

func answerLeast(s *circuit.Reporter, floors []circuit.Floor) *currentFloor {
	var least *currentFloor
	for _, f := range floors {
		if f.Needs > 0 && (least == nil || f.Volts-f.Needs < float64(least.Volts-least.Needs)) {
			least = &currentFloor{s.Name(f.Load), rounded(f.Volts), rounded(f.Needs)}
		}
	}
	return least
}

func answerAsked(c *circuit.Circuit, in *console.Instrument, s *circuit.Reporter, report circuit.Report, state console.State) *currentAsked {
	flow := c.Flow(s.OnIn(state), false)
	var keys []console.Key
	for _, h := range state.Held {
		keys = append(keys, h.Key)
	}
	asked := &currentAsked{Play: circuit.PlayOf(in, keys), Draw: drawnIDs(in, in.On(state)), Amps: []askedLine{}}
	for _, l := range report.Lines {
		asked.Amps = append(asked.Amps, askedLine{l.Kind, l.ID, rounded(l.Through(flow))})
	}
	return asked
}
