package main

import (
	"math"
	"strconv"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/circuit"
)

// currentAnswer is the currents of a relay, in the shape of schema
// trundle.current/1. Amps and volts are rounded to thousandths.
type currentAnswer struct {
	Schema   string           `json:"schema"`
	Caution  string           `json:"caution"`
	Draw     []string         `json:"draw"` // the registration of the worst chords, as --draw takes it
	Lines    []currentLine    `json:"lines"`
	Drop     *currentDrop     `json:"drop"`    // null when nothing is on in any worst chord
	Changes  []currentChange  `json:"changes"` // of the knobs, a supply each
	Asked    *currentAsked    `json:"asked"`   // null when no state was asked for
	Findings []currentFinding `json:"findings"`

	name string
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
	Margin     *rounded     `json:"margin"`  // rated less bound
	One        rounded      `json:"one"`     // the largest single load
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

type currentHop struct {
	Where string  `json:"where"`
	Volts rounded `json:"volts"`
}

type currentChange struct {
	Supply  string  `json:"supply"`
	Coils   int     `json:"coils"`
	AtOnce  rounded `json:"at_once"`
	Stepped rounded `json:"stepped"`
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

type currentFinding struct {
	Rule     string `json:"rule"`
	Severity string `json:"severity"`
	File     string `json:"file"`
	Line     int    `json:"line"`
	Column   int    `json:"column"`
	Message  string `json:"message"`
	Fix      string `json:"fix"`
}

// rounded is printed to a thousandth.
type rounded float64

func (r rounded) MarshalJSON() ([]byte, error) {
	return strconv.AppendFloat(nil, math.Round(float64(r)*1000)/1000, 'f', -1, 64), nil
}

// given is a number that is null when it is 0.
func given(v float64) *rounded {
	if v == 0 {
		return nil
	}
	r := rounded(v)
	return &r
}

// bad reports whether something must be put right.
func (a *currentAnswer) bad() bool {
	for _, f := range a.Findings {
		if f.Severity == string(finding.Error) {
			return true
		}
	}
	return false
}

func answerCurrent(c *circuit.Circuit, in *console.Instrument, s *circuit.Reporter, report circuit.Report) *currentAnswer {
	a := &currentAnswer{Schema: "trundle.current/1", Caution: circuit.Caution, name: in.Name, Draw: drawnIDs(in, s.State(nil).Drawn),
		Lines: []currentLine{}, Changes: []currentChange{}, Findings: []currentFinding{}}
	worst := func(w circuit.Worst) currentWorst {
		return currentWorst{circuit.PlayOf(in, w.Keys), rounded(w.Amps), rounded(w.Bound), w.Exact()}
	}
	for _, l := range report.Lines {
		line := currentLine{Kind: l.Kind, ID: l.ID, Rated: given(l.Rated), Everything: rounded(l.Everything),
			Chord: worst(l.Chord), Cluster: worst(l.Cluster), Settled: given(l.Settled), One: rounded(l.One)}
		if l.Rated > 0 {
			margin := rounded(l.Rated - l.Chord.Bound)
			line.Margin = &margin
		}
		a.Lines = append(a.Lines, line)
	}
	if d := report.Drop; d != nil {
		a.Drop = &currentDrop{s.Name(d.Load), circuit.PlayOf(in, d.Keys), rounded(d.Volts), given(d.Needs), rounded(d.Everything), []currentHop{}}
		for _, h := range d.Hops {
			a.Drop.Hops = append(a.Drop.Hops, currentHop{h.Where, rounded(h.Volts)})
		}
	}
	for _, change := range report.Change {
		a.Changes = append(a.Changes, currentChange{c.Supplies[change.Supply].ID, change.Coils, rounded(change.AtOnce), rounded(change.Stepped), rounded(change.Millis)})
	}
	found := s.Findings(report)
	finding.Sort(found)
	for _, f := range found {
		a.Findings = append(a.Findings, currentFinding{f.Rule, string(f.Severity), f.File, f.Line, f.Column, f.Message, f.Fix})
	}
	return a
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
