package main

// diffAnswer is what a comparison says, in the shape of schema trundle.diff/1.
type diffAnswer struct {
	Schema      string             `json:"schema"`
	Verdict     string             `json:"verdict"` // equal, different or not-decided
	Reason      string             `json:"reason"`
	Differences []differenceAnswer `json:"differences"`
	Iron        *[]ironAnswer      `json:"iron,omitempty"` // nil without a relay
	Switching   *[]entryAnswer     `json:"switching,omitempty"`
}

type differenceAnswer struct {
	What    string       `json:"what"` // added, removed or changed
	Kind    string       `json:"kind"`
	ID      string       `json:"id"`
	Name    string       `json:"name"`
	Detail  string       `json:"detail"`
	Count   int          `json:"count"`
	Example *diffExample `json:"example"`        // null where nothing sounds differently by it
	Also    *diffExample `json:"also,omitempty"` // what the example leaves out of something that moved
}

// diffExample is the smallest state that lets a difference be heard; Play and
// Draw are what the flags of those names take.
type diffExample struct {
	Play   []string `json:"play"`
	Draw   []string `json:"draw"`
	Before []string `json:"before"` // valves that opened and do not any more
	After  []string `json:"after"`  // valves that now open
}

// ironAnswer is a run of wires with which the same is to be done.
type ironAnswer struct {
	Do    string `json:"do"` // remove, move, add, re-tag or write
	Board string `json:"board"`
	Pins  string `json:"pins"`
	Kind  string `json:"kind"`
	Item  string `json:"item"`
	Notes string `json:"notes"`
	From  string `json:"from"`
	Was   string `json:"was"`
	To    string `json:"to"`
	Cable string `json:"cable"`
	Wires string `json:"wires"`
}

// entryAnswer is a row of the relay's own table.
type entryAnswer struct {
	Do   string `json:"do"`             // remove, write or add
	Row  string `json:"row"`            // by the columns as documented
	File string `json:"file,omitempty"` // of the row to remove or to write over
	Line int    `json:"line,omitempty"`
}
