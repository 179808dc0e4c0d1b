package alsa

import "strings"

// Port is a port of the sequencer that others may connect.
type Port struct {
	Address Address
	Name    string // its own; the client's and a colon before it where that does not begin with the client's
	Sends   bool   // MIDI comes from it
	Takes   bool   // MIDI can be sent to it
	Device  bool   // it is a device's, not a program's
}

// Ports are the ports of other clients, by number.
func (s *Sequencer) Ports() (list []Port) {
	client := clientInfo{client: -1}
	for ask(s.file, nextClient, &client) == nil { // it fails after the last
		number := uint8(client.client)
		if number == 0 || number == s.Address.Client { // 0 is the system itself
			continue
		}
		port := portInfo{address: Address{number, 255}} // the next one's number is 0
		for ask(s.file, nextPort, &port) == nil {
			p := Port{port.address, fullName(text(client.name[:]), text(port.name[:])), port.may(canRead | readShared), port.may(canWrite | writeShared), client.kind == 2}
			if !port.may(notForOthers) && (p.Sends || p.Takes) {
				list = append(list, p)
			}
		}
	}
	return list
}

func (p portInfo) may(abilities uint32) bool { return p.abilities&abilities == abilities }

func fullName(client, port string) string {
	if strings.HasPrefix(port, client) {
		return port
	}
	return client + ":" + port
}
