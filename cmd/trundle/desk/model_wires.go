package desk

// Relay is a relay to be watched.
type Relay struct{}

// wiresLines are the pins that are on, and the currents.
func (m *Model) wiresLines() []line {
	return []line{{text: "no relay is given: begin with --relay FILE", ink: Dim}}
}
