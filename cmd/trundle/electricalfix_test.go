package main

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/circuit"
	"trundle/sim/gen"
	"trundle/sim/rule"
	"trundle/sim/starter"
)

// waysOf are the ways of a fix, each of which mends it alone. What stands behind
// a semicolon is no field: what is left, or that a waiver is the way.
func waysOf(fix string) []string {
	fix, _, _ = strings.Cut(fix, "; ")
	if before, after, both := strings.Cut(fix, " or at the board (diode: board)"); both {
		end := strings.TrimPrefix(after, ", ")
		return []string{before + " " + end, "(diode: board) " + end}
	}
	return strings.Split(fix, ", or ")
}

// saidOf are findings as rule and what they are of, and what is said along with them.
func saidOf(files map[string]string, found []finding.Finding) map[string]bool {
	said := map[string]bool{}
	for _, f := range found {
		said[f.Rule+" "+entity(files, f.Place)] = true
		for _, also := range f.Related {
			said["also "+entity(files, also.Place)] = true
		}
	}
	return said
}

// worse are findings that are no notes.
func worse(found []finding.Finding) []finding.Finding {
	return slices.DeleteFunc(slices.Clone(found), func(f finding.Finding) bool { return f.Severity == finding.Note })
}

// everyWayCures applies each way of each electrical finding of some files by
// itself, and says of which rules there was any.
func everyWayCures(t *testing.T, files map[string]string, tried map[string]int) {
	t.Helper()
	files = maps.Clone(files)
	doc := readDoc(t, files["relay.yaml"])
	files["relay.yaml"] = doc.text(t)
	found := checkFiles(t, files)
	before := saidOf(files, worse(ofElectricity(found)))
	for _, f := range ofElectricity(found) {
		if f.Fix == "" {
			t.Errorf("%s: %s: no fix", f.Rule, f.Message)
		}
		for _, way := range waysOf(f.Fix) {
			after := maps.Clone(files)
			changed := readDoc(t, files["relay.yaml"])
			if !changed.apply(t, files, f, way) {
				t.Logf("not in fields: %s: %q of %q", f.Rule, way, f.Message)
				continue
			}
			after["relay.yaml"] = changed.text(t)
			left := ofElectricity(checkFiles(t, after))
			tried[f.Rule]++
			t.Logf("%s: %s", f.Rule, way)
			if saidOf(after, left)[f.Rule+" "+entity(files, f.Place)] {
				t.Errorf("%s: %s\n  is not gone with: %s\n  of: %s\n%s", f.Rule, f.Message, way, f.Fix, messages(left))
			}
			for what := range saidOf(after, worse(left)) {
				_, where, _ := strings.Cut(what, " ")
				if !strings.HasPrefix(what, "also ") && !before[what] && !before["also "+where] && !(weak(before) && weak(map[string]bool{what: true})) {
					t.Errorf("%s: %s\n  with: %s\n  is followed by %s\n%s", f.Rule, f.Message, way, what, messages(left))
				}
			}
		}
	}
}

// weak reports whether coils are left too little: of them the worst are said, and
// with these mended the next.
func weak(said map[string]bool) bool {
	for what := range said {
		if strings.HasPrefix(what, circuit.PullInLow+" ") || strings.HasPrefix(what, circuit.DropOver+" ") {
			return true
		}
	}
	return false
}

func messages(found []finding.Finding) string {
	var b strings.Builder
	for _, f := range found {
		b.WriteString("    " + f.Rule + ": " + f.Message + "\n      " + f.Fix + "\n")
	}
	return b.String()
}

// Every way of every fix that names fields, applied as it is written, mends its
// finding and brings no other: in the fixtures of all electrical rules.
func TestEveryElectricalFixCuresItsFixture(t *testing.T) {
	tried := map[string]int{}
	for _, family := range rule.Families {
		if family.Name != "circuit" && family.Name != "code" && family.Name != "contacts" {
			continue
		}
		for _, page := range family.Pages {
			t.Run(page.ID, func(t *testing.T) {
				all := files(t, page.ID, family.Name)
				for name, text := range all {
					_, all[name], _ = wanted(text, page.ID)
				}
				everyWayCures(t, all, tried)
			})
		}
	}
	for _, id := range circuit.Rules {
		if id != circuit.Unchecked {
			require.NotZero(t, tried[id], "%s has a fix that can be applied", id)
		}
	}
}

// fromFiles are the files of a folder, by their names.
func fromFiles(t *testing.T, folder string) map[string]string {
	t.Helper()
	all := map[string]string{}
	names, err := filepath.Glob(filepath.Join(folder, "*"))
	require.NoError(t, err)
	for _, name := range names {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		all[filepath.Base(name)] = string(text)
	}
	return all
}

// loaded is the example of currents in one folder.
func loaded(t *testing.T) map[string]string {
	t.Helper()
	all := fromFiles(t, "examples/saltmarsh")
	delete(all, "cases.yaml")
	delete(all, "answers.yaml")
	relay := fromFiles(t, "examples/currents")["relay.yaml"]
	all["relay.yaml"] = strings.ReplaceAll(relay, "../saltmarsh/", "")
	return all
}

// started is a starter's relay for a generated instrument, with magnets of usual
// sizes (common practice, no source) and whatever else.
func started(t *testing.T, seed uint64, more map[string]any) map[string]string {
	t.Helper()
	in := gen.Instrument(seed, gen.Tiny)
	var organ strings.Builder
	require.NoError(t, console.WriteYAML(&organ, in))
	all := map[string]string{"organ.yaml": organ.String()}
	for _, f := range starter.Relay(in, "organ.yaml") {
		all[f.Name] = string(f.Data)
	}
	doc := readDoc(t, all["relay.yaml"])
	maps.Copy(doc, more)
	all["relay.yaml"] = doc.text(t)
	return all
}

// boards sets fields of all boards of a direction.
func (d relayDoc) boards(kind string, fields map[string]any) {
	for id, b := range d["boards"].(map[string]any) {
		if b.(map[string]any)["kind"] == kind {
			maps.Copy(d.of("boards", id), fields)
		}
	}
}

// all sets a field of everything in a section.
func (d relayDoc) all(section, field string, value any) {
	for id := range d[section].(map[string]any) {
		d.of(section, id)[field] = value
	}
}

// slips are changes that make a relay electrically wrong.
var slips = map[string]func(relayDoc){
	"nothing":            func(relayDoc) {},
	"overlapping groups": func(d relayDoc) { d["electrical"] = map[string]any{"group": 8, "gap": "20 ms"} },
	"no groups":          func(d relayDoc) { d["electrical"] = map[string]any{"code": "us"} },
	"small supplies":     func(d relayDoc) { d.all("supplies", "amps", 4) },
	"one small fuse": func(d relayDoc) {
		d["fuses"] = map[string]any{"F": map[string]any{"amps": 2}}
		d.boards("output", map[string]any{"fuse": "F"})
	},
	"one large fuse": func(d relayDoc) {
		d["fuses"] = map[string]any{"F": map[string]any{"amps": 30}}
		d.boards("output", map[string]any{"fuse": "F"})
	},
	"small boards":         func(d relayDoc) { d.boards("output", map[string]any{"amps": 1}) },
	"weak pins":            func(d relayDoc) { d.boards("output", map[string]any{"amps-per-pin": 0.08}) },
	"coils of few ohms":    func(d relayDoc) { d.all("magnets", "ohms", 20) },
	"thin cables":          func(d relayDoc) { d.all("cables", "gauge", 30); d.all("cables", "length", "10 m") },
	"long cables":          func(d relayDoc) { d.all("cables", "gauge", 24); d.all("cables", "length", "150 m") },
	"coils that need much": func(d relayDoc) { d.all("magnets", "pull-in", 11.5) },
	"thin feeds": func(d relayDoc) {
		d.boards("output", map[string]any{"feed": map[string]any{"gauge": 24, "length": "20 m"}, "fuse": 5})
	},
	"thin returns": func(d relayDoc) {
		d["returns"] = map[string]any{"all": map[string]any{"kinds": []string{"valve", "note", "action", "shade", "knob-on", "knob-off", "ventil", "tremulant", "lamp"}, "gauge": 18, "length": "20 m"}}
	},
	"no diodes":            func(d relayDoc) { d.all("magnets", "diode", "none") },
	"diodes turned":        func(d relayDoc) { d.all("magnets", "diode", "magnet"); d.all("magnets", "cathode", "pin") },
	"volts of a rectifier": func(d relayDoc) { d["electrical"] = map[string]any{"code": "iec"}; d.all("supplies", "volts", 130) },
	"felv": func(d relayDoc) {
		d["electrical"] = map[string]any{"code": "iec"}
		d.all("supplies", "volts", 48)
		d.all("supplies", "separation", "felv")
	},
	"36 V":                  func(d relayDoc) { d["electrical"] = map[string]any{"code": "us"}; d.all("supplies", "volts", 36) },
	"inputs that need much": func(d relayDoc) { d.boards("input", map[string]any{"threshold": 4.2, "ohms": 4700, "drop": 0.7}) },
	"inputs that are heavy": func(d relayDoc) {
		d.boards("input", map[string]any{"threshold": 3, "ohms": 100})
		d.all("cables", "gauge", 28)
		d.all("cables", "length", "60 m")
	},
	"duty":                   func(d relayDoc) { d.all("magnets", "duty", 0.2) },
	"cables without a tenth": func(d relayDoc) { d.all("cables", "wires", 20) },
}

// Each slip in a relay that was right, and in a starter's, is cured by every way.
func TestEveryElectricalFixCuresWhatIsWrongWithARelay(t *testing.T) {
	usual := func() map[string]any {
		return map[string]any{
			"supplies": map[string]any{"main": map[string]any{"volts": 14, "amps": 30}},
			"magnets": map[string]any{
				"valves":  map[string]any{"kinds": []string{"valve", "note"}, "ohms": 150},
				"actions": map[string]any{"kinds": []string{"action", "action-on", "action-off", "ventil", "tremulant", "shade"}, "ohms": 40},
				"knobs":   map[string]any{"kinds": []string{"knob-on", "knob-off"}, "ohms": 30, "pulse": "100 ms"},
				"lamps":   map[string]any{"kinds": []string{"lamp"}, "ohms": 400},
			},
		}
	}
	relays := map[string]func(t *testing.T) map[string]string{
		"saltmarsh": loaded,
		"started":   func(t *testing.T) map[string]string { return started(t, 1, usual()) },
	}
	for relay, make := range relays {
		for slip, change := range slips {
			if relay == "saltmarsh" && !slices.Contains([]string{"no groups", "small supplies", "thin cables"}, slip) {
				continue // a large relay takes long
			}
			t.Run(relay+"/"+slip, func(t *testing.T) {
				files := make(t)
				doc := readDoc(t, files["relay.yaml"])
				change(doc)
				files["relay.yaml"] = doc.text(t)
				everyWayCures(t, files, map[string]int{})
			})
		}
	}
}
