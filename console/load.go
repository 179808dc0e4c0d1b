package console

import (
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"trundle/console/finding"
	"trundle/console/yamldoc"
)

// Load reads an instrument file and checks it by the instrument rules. The
// instrument is nil when the file is broken; the findings then name every
// error of the file and no rule has run.
func Load(path string) (*Instrument, []finding.Finding) {
	root, source := yamldoc.Load(path)
	return read(root, source)
}

// Parse reads the bytes of an instrument file; file is its name in findings.
func Parse(file string, data []byte) (*Instrument, []finding.Finding) {
	root, source := yamldoc.Parse(file, data)
	return read(root, source)
}

func read(root *yamldoc.Node, source *yamldoc.Source) (*Instrument, []finding.Finding) {
	l := &loader{Source: source}
	if root != nil {
		l.instrument(root)
	}
	if finding.Broken(l.Findings) {
		finding.Sort(l.Findings)
		return nil, l.Findings
	}
	findings := append(l.Findings, l.in.Check()...)
	finding.Sort(findings)
	return &l.in, findings
}

// loader turns the tree of an instrument file into an Instrument.
type loader struct {
	*yamldoc.Source
	in Instrument

	under map[string][]yamldoc.Pair // entries by heading

	keyboards, boxes, divisions, chests, ranks, controls, shoes, buttons names
}

// instrument reads the whole file: first every name, so that an entry may
// speak of what stands further down, then section by section.
func (l *loader) instrument(root *yamldoc.Node) {
	if root.Get("boards") != nil && root.Get("keyboards") == nil {
		l.Wrong(root, "name the instrument file first, and this one with --relay", "this is the file of a relay, and of no instrument")
		return
	}
	f := l.Fields(root, "an instrument file", fieldsOf["instrument"])
	if !f.OK() {
		return
	}
	if !f.Format() {
		l.Findings = slices.DeleteFunc(l.Findings, func(f finding.Finding) bool { return f.Rule != finding.OtherFormat })
		return
	}
	if n := f.Need("keyboards"); n != nil && empty(n) {
		l.Wrong(n, "write them like great: {kind: manual, keys: C2..C7}", "keyboards names no keyboard")
	}
	l.in.File = l.File
	l.in.Name = f.Text("instrument")
	if l.in.Name == "" {
		l.in.Name = strings.TrimSuffix(filepath.Base(l.File), filepath.Ext(l.File))
	}
	l.in.MIDI = f.Node("midi")
	l.Map(l.in.MIDI)

	l.declare(f)
	l.disown(root)
	l.readPitch(f.Node("pitch"))
	l.readKeyboards()
	l.readBoxes()
	l.readDivisions()
	l.readRanks()
	l.readChests()
	l.readControls()
	l.readShoes(f.Node("crescendo") != nil)
	l.readTransposer(f.Node("transposer"))
	l.readCrescendo(f.Node("crescendo"))
	l.in.Tutti = l.blind(f.Node("tutti"), "tutti")
	l.readCombination(f.Node("combination"))
	l.readVoices(f)
	if l.in.MIDI != nil && finding.Broken(l.Findings) {
		l.mapped()
	}
}

func (l *loader) readVoices(f yamldoc.Fields) {
	for _, p := range f.Map("voices") {
		program, err := strconv.Atoi(p.Value.Text)
		if p.Value.Kind != yamldoc.Scalar || err != nil || program < 1 || program > 128 {
			l.Wrong(p.Value, "programs of General MIDI are 1 to 128; a church organ is 20", "this is no program for %s", p.Key.Text)
			continue
		}
		l.in.Voices = append(l.in.Voices, Voice{p.Key.Text, program})
	}
}

// fieldsOf are the fields that each sort of entry may have.
var fieldsOf = map[string][]string{
	"instrument": {"format", "instrument", "pitch", "keyboards", "boxes", "divisions", "chests", "ranks", "stops", "couplers", "ventils",
		"tremulants", "transfers", "divides", "sostenutos", "gatherings", "follows", "transposer", "shoes", "crescendo", "tutti", "combination", "voices", "midi"},
	"pitch":       {"a4", "temperament"},
	"keyboard":    {"name", "kind", "keys", "touches"},
	"box":         {"name", "stages", "code", "rest", "table", "softens"},
	"division":    {"name", "keyboard", "notes", "chest", "box"},
	"chest":       {"kind", "notes", "plays"},
	"rank":        {"name", "division", "family", "feet", "from", "pipes", "cents", "breaks", "figured-from", "stands", "sounds", "strikes"},
	"stop":        {"name", "division", "feet", "rank", "takes", "notes", "above", "below", "beyond", "touch", "style", "level"},
	"take":        {"rank", "feet", "notes", "above", "below", "beyond"},
	"coupler":     {"name", "division", "keyboard", "shift", "carries", "picks", "keys", "touch", "pizzicato", "style"},
	"unison-off":  {"name", "silences", "cuts", "style"},
	"ventil":      {"name", "admits", "cuts", "style"},
	"tremulant":   {"name", "division", "divisions", "speeds", "style"},
	"transfer":    {"name", "exchanges", "style"},
	"divide":      {"name", "keyboard", "split", "style"},
	"sostenuto":   {"name", "keyboard", "keyboards", "style"},
	"gathering":   {"name", "shoe", "style"},
	"follow":      {"name", "division", "with", "style"},
	"transposer":  {"low", "high"},
	"shoe":        {"name", "drives"},
	"crescendo":   {"stages", "sequences"},
	"stage":       {"adds", "drops"},
	"tutti":       {"adds", "drops"},
	"combination": {"memories", "end", "travel", "buttons"},
	"button":      {"name", "kind", "keyboard", "division", "scope", "leaves", "control", "repeats", "toe", "fixed", "sets"},
}

// article is a kind of entry as messages speak of it.
func article(kind string) string {
	kind = strings.ReplaceAll(kind, "-", " ")
	if kind == "tutti" || kind == "pitch" || kind == "combination" {
		return kind
	}
	return "a " + kind
}
