package mapping_test

import (
	"fmt"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// A console plays a relay over a cable. What the console does becomes messages
// at its end, and events of a console at the other.
func ExampleEnd() {
	in, _ := console.Load("../../cmd/trundle/examples/smallest/organ.yaml")
	m, _ := mapping.Load(in) // the default map, since the file has none

	player, desk := console.NewMachine(in), m.End(mapping.AtConsole, "relay")
	organ, relay := console.NewMachine(in), m.End(mapping.AtOrgan, "console")

	cable := desk.Connect(nil, 0, player) // on connection: controls and shoes
	for _, event := range []console.Event{console.Draw(0), console.KeyMoved(console.Key{Note: 60}, 1, "")} {
		cable = desk.Did(cable, 0, "player", event)
		for _, effect := range player.Do(nil, 0, event) {
			cable = desk.Say(cable, effect)
		}
	}
	for _, message := range cable {
		heard := relay.Hear(midiio.Timed{Message: message})
		fmt.Printf("%-22s %s\n", message, relay.Words(message))
		for _, event := range heard.Events {
			for _, effect := range organ.Do(nil, 0, event) {
				fmt.Printf("%s", in.AppendEffect(nil, effect))
			}
		}
	}
	// Output:
	// note-on 16 0/C-1 0     flute-8 off
	// note-on 16 1/C#-1 0    flute-4 off
	// note-on 16 2/D-1 0     principal-4 off
	// note-on 16 0/C-1 64    flute-8 on
	// 0 control flute-8 on
	// note-on 1 60/C4 64     manual C4 on
	// 0 valve flute:25 open
}
