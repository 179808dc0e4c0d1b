package main

import (
	"math"
	"strconv"
)

// soundAnswer is what sounds in one state, in the shape of schema
// trundle.sound/1.
type soundAnswer struct {
	Schema string      `json:"schema"`
	Valves []openValve `json:"valves"`
	Pipes  int         `json:"pipes"`              // that speak: on open valves, with wind
	Cut    bool        `json:"pathsCut,omitempty"` // couplers run in circles: there are more paths than were counted

	Relay *relayState `json:"relay,omitempty"` // nil without a relay
}

// openValve is one open valve, what stands on it, and why it is open.
type openValve struct {
	Rank    string  `json:"rank"`
	Number  int     `json:"number"` // in its rank, from 1
	Note    int     `json:"note"`   // MIDI key number
	Pipes   int     `json:"pipes"`  // 0 where it strikes something else
	Hz      []hertz `json:"hz"`
	Wind    bool    `json:"wind"`
	Paths   int     `json:"paths"`
	Because []way   `json:"because"` // minimal paths, at most 16
}

// way is one path from a key to a valve.
type way struct {
	Keyboard string   `json:"keyboard"`
	Key      int      `json:"key"` // MIDI key number
	Couplers []string `json:"couplers"`
	Stop     string   `json:"stop"`
}

// hertz is a pitch, printed to a thousandth.
type hertz float64

func (h hertz) MarshalJSON() ([]byte, error) {
	return strconv.AppendFloat(nil, math.Round(float64(h)*1000)/1000, 'f', -1, 64), nil
}
