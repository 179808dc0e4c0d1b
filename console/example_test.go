package console_test

import (
	"fmt"

	"trundle/console"
)

// An instrument of one stop, one of its keys, and the pipe that speaks.
func ExampleSounding() {
	in, findings := console.Parse("organ.yaml", []byte(`
format: 1
keyboards: {great: {kind: manual, keys: C2..C7}}
divisions: {great: {keyboard: great, chest: unit}}
ranks: {flute: {division: great, feet: 4, pipes: 61}}
stops: {flute-4: {division: great, feet: 4, rank: flute}}
`))
	if in == nil {
		fmt.Println(findings)
		return
	}
	a4 := console.Key{Keyboard: 0, Note: 69}
	sounding := console.NewSounding(in)
	sounding.Apply(console.TurnOn(in.Stops[0].Control))
	for _, valve := range sounding.Apply(console.KeyDown(a4)) {
		rank := in.RankOf(valve)
		number := valve - in.Ranks[rank].First + 1
		fmt.Println(in.Ranks[rank].ID, number, in.Hz(rank, number))
	}
	// Output: flute 34 [880]
}
