// Package rule explains every rule: what its findings mean, with a faulty and a
// repaired example, and which of them a waiver may set aside.
package rule

// Page explains one rule.
type Page struct {
	ID       string
	Title    string // at most 60 letters
	Text     string
	File     string // of the example: organ.yaml, relay.yaml, wiring.csv, switching.csv
	Faulty   string // lines of that file
	Repaired string // what should stand there instead
	Ignored  string // what happens when nobody cares
	Source   string // where the rule comes from
}

// Family is rules of one kind.
type Family struct {
	Name     string
	About    string
	Waivable bool // a waiver may set its findings aside
	Pages    []Page
}

// Families are all rules.
var Families = []Family{
	{"files", "What leaves a file without meaning. Nothing is proven before it is put right.", false, filePages},
	{"instrument", "What is wrong with an instrument, or worth knowing about it, before any relay comes into it.", true, instrumentPages},
	{"map", "What is wrong with the map from controls to MIDI messages, or worth knowing about it.", true, mapPages},
	{"wiring", "What does not fit together in the wiring, whatever the relay does with it.", true, wiringPages},
	{"switching", "What cannot work in the relay's own table.", true, switchingPages},
	{"contacts", "Where current goes astray, by what the files say of scans, diodes and returns.", true, contactPages},
	{"circuit", "What carries more than it may, or is left too little, by what the relay file says of electricity. It is a design check, not an inspection.", true, circuitPages},
	{"code", "What the electrical code asks for that the relay file names, each with its section and how sure we are of it. Approval belongs to licensed people under the local code.", true, codePages},
	{"proof", "What the proof says of relay and instrument as a whole.", false, proofPages},
	{"pins", "Causes of differences that lie in wires and pins: what to solder.", false, pinPages},
	{"table", "Causes of differences that lie in the relay's own table: what to program.", false, tablePages},
	{"waivers", "What is wrong with the waivers themselves.", false, waiverPages},
}

// Find is the page of a rule and its family.
func Find(id string) (page Page, family Family, found bool) {
	for _, f := range Families {
		for _, p := range f.Pages {
			if p.ID == id {
				return p, f, true
			}
		}
	}
	return Page{}, Family{}, false
}

// IDs are the ids of all rules, in the order of the pages.
func IDs() []string {
	var ids []string
	for _, f := range Families {
		for _, p := range f.Pages {
			ids = append(ids, p.ID)
		}
	}
	return ids
}
