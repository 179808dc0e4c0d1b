package main

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"trundle/console/finding"
	"trundle/sim/circuit"
	"trundle/sim/contact"
)

// relayDoc is a relay file as maps, written one field a line: so a place leads
// back to what it is a place of.
type relayDoc map[string]any

func readDoc(t *testing.T, text string) relayDoc {
	t.Helper()
	var d map[string]any
	require.NoError(t, yaml.Unmarshal([]byte(text), &d))
	return d
}

func (d relayDoc) text(t *testing.T) string {
	t.Helper()
	out, err := yaml.Marshal(d)
	require.NoError(t, err)
	return string(out)
}

// of is what has an id in a section, made where it is not.
func (d relayDoc) of(section, id string) map[string]any {
	all, _ := d[section].(map[string]any)
	if all == nil {
		all = map[string]any{}
		d[section] = all
	}
	one, _ := all[id].(map[string]any)
	if one == nil {
		one = map[string]any{}
		all[id] = one
	}
	return one
}

func (d relayDoc) has(section, id string) bool {
	all, _ := d[section].(map[string]any)
	return all[id] != nil
}

// entity is what stands at a line of a file: section and id of relay.yaml, or
// the file and its line.
func entity(files map[string]string, at finding.Place) string {
	if at.File != "relay.yaml" {
		return at.String()
	}
	section, id := "", ""
	for i, line := range strings.Split(files[at.File], "\n") {
		switch {
		case line != "" && line[0] != ' ' && line[0] != '-':
			section, id = strings.SplitN(line, ":", 2)[0], ""
		case strings.HasPrefix(line, "    ") && line[4] != ' ':
			id = strings.SplitN(strings.TrimSpace(line), ":", 2)[0]
		}
		if i+1 == at.Line {
			return section + "/" + id
		}
	}
	return "relay.yaml"
}

// ofElectricity are findings of the rules of currents, codes and contacts, worse
// than notes.
func ofElectricity(found []finding.Finding) []finding.Finding {
	rules := slices.Concat(circuit.Rules, []string{contact.PhantomKey, contact.MaskedKey, contact.BackFeed})
	return slices.DeleteFunc(slices.Clone(found), func(f finding.Finding) bool {
		return !slices.Contains(rules, f.Rule) || f.Rule == circuit.Unchecked
	})
}

var (
	wayGroups  = regexp.MustCompile(`electrical: {group: (\d+), gap: (\d+ ms)}`)
	wayLarger  = regexp.MustCompile(`^take a larger (.*)$`)
	wayLarge   = regexp.MustCompile(`^(supply|fuse|board) (\S+) of (\S+) A$`)
	wayOhms    = regexp.MustCompile(`ohms or more for (\S+) \(ohms: (\d+)\)`)
	wayGauge   = regexp.MustCompile(`^take (.*) or thicker for (.*)$`)
	wayWires   = regexp.MustCompile(`\(wires: (\d+)\)`)
	wayPins    = regexp.MustCompile(`on each pin for (.*) \(amps-per-pin: (\S+)\)`)
	wayOwn     = regexp.MustCompile(`^give each of (.*) a fuse of its own, fuse: (\S+)$`)
	waySmaller = regexp.MustCompile(`^fuse (.*) at (\S+) A$`)
	wayField   = regexp.MustCompile(`\(([a-z-]+): ([a-z0-9. -]+)\)`)
	wayBoards  = regexp.MustCompile(`for (\S.*?) (?:that .*)?\((drop|threshold): (\S+)\)`)
	waySupply  = regexp.MustCompile(`supply (\S+) of \S+ V \(volts: (\S+)\)`)
	wayReturn  = regexp.MustCompile(`returns: {..., (\S+): {kinds: \[(.*)\]}}`)
	wayCable   = regexp.MustCompile(`take a cable of (\d+) wires`)
	wayCables  = regexp.MustCompile(`take cables of more wires: (.*)$`)
	wayDrop    = regexp.MustCompile(`electrical: {drop: (\S+)}`)
	wayDiodes  = regexp.MustCompile(`^(put a diode in|turn the diode round|turn the diode of this crossing round)`)
	wayOut     = regexp.MustCompile(`\(no (fuse|logic): in it\)`)
	idsOf      = regexp.MustCompile(`[A-Za-z][A-Za-z0-9-]*`)
)

func number(text string) any {
	if v, err := strconv.ParseFloat(text, 64); err == nil {
		return v
	}
	if text == "true" {
		return true
	}
	return text
}

// apply does what one way of a fix says, as written; done is false where it
// does not say it in fields.
func (d relayDoc) apply(t *testing.T, files map[string]string, f finding.Finding, way string) (done bool) {
	t.Helper()
	section, id, _ := strings.Cut(entity(files, f.Place), "/")
	match := func(re *regexp.Regexp) []string { return re.FindStringSubmatch(way) }
	each := func(list string, do func(id string)) {
		for _, id := range strings.Split(list, ", ") {
			do(id)
		}
	}
	switch {
	case match(wayGroups) != nil:
		m := match(wayGroups)
		e, _ := d["electrical"].(map[string]any)
		if e == nil {
			e = map[string]any{}
			d["electrical"] = e
		}
		e["group"], e["gap"] = number(m[1]), m[2]
	case match(wayLarger) != nil:
		each(match(wayLarger)[1], func(one string) {
			m := wayLarge.FindStringSubmatch(one)
			require.NotNil(t, m, one)
			switch {
			case m[1] == "fuse" && !d.has("fuses", m[2]):
				d.of("boards", m[2])["fuse"] = number(m[3])
			default:
				d.of(map[string]string{"fuse": "fuses", "supply": "supplies", "board": "boards"}[m[1]], m[2])["amps"] = number(m[3])
			}
		})
	case match(wayOhms) != nil:
		m := match(wayOhms)
		d.of("magnets", m[1])["ohms"] = number(m[2])
	case match(wayGauge) != nil:
		m := match(wayGauge)
		each(m[2], func(part string) {
			gauge := strings.TrimSuffix(m[1], " AWG")
			switch before, id, _ := strings.Cut(part, " "); {
			case strings.HasPrefix(part, "the feed of "):
				d.of("boards", strings.TrimPrefix(part, "the feed of "))["feed"].(map[string]any)["gauge"] = gauge
			case strings.HasPrefix(part, "the return "):
				d.of("returns", strings.TrimPrefix(id, "return "))["gauge"] = gauge
			default:
				d.of("cables", before)["gauge"] = gauge
			}
		})
	case match(wayPins) != nil:
		m := match(wayPins)
		each(m[1], func(id string) { d.of("boards", id)["amps-per-pin"] = number(m[2]) })
	case match(wayOwn) != nil:
		m := match(wayOwn)
		each(m[1], func(id string) { d.of("boards", id)["fuse"] = number(m[2]) })
	case match(waySmaller) != nil:
		m := match(waySmaller)
		each(m[1], func(id string) {
			if d.has("fuses", id) {
				d.of("fuses", id)["amps"] = number(m[2])
				return
			}
			d.of("boards", id)["fuse"] = number(m[2])
		})
	case match(wayBoards) != nil:
		m := match(wayBoards)
		each(m[1], func(id string) { d.of("boards", id)[m[2]] = number(m[3]) })
	case match(waySupply) != nil:
		m := match(waySupply)
		d.of("supplies", m[1])["volts"] = number(m[2])
	case match(wayReturn) != nil:
		m := match(wayReturn)
		d.of("returns", "zz-"+m[1])["kinds"] = strings.Split(m[2], ", ") // maps are written sorted: the last
	case match(wayCable) != nil:
		cable := regexp.MustCompile(`what runs in (\S+) needs`).FindStringSubmatch(f.Message)[1]
		d.of("cables", cable)["wires"] = number(match(wayCable)[1])
	case match(wayCables) != nil:
		each(match(wayCables)[1], func(one string) {
			id, n, _ := strings.Cut(one, " ")
			d.of("cables", id)["wires"] = number(n)
		})
	case match(wayDrop) != nil:
		d.of("electrical", "drop")
		d["electrical"].(map[string]any)["drop"] = number(match(wayDrop)[1])
	case match(wayOut) != nil:
		delete(d.of(section, id), match(wayOut)[1])
	case match(wayDiodes) != nil:
		for _, b := range d["boards"].(map[string]any) {
			if scan, has := b.(map[string]any)["scan"].(map[string]any); has {
				scan["diodes"] = "all"
			}
		}
	case match(wayWires) != nil:
		d.of(section, id)["wires"] = number(match(wayWires)[1])
	case match(wayField) != nil:
		for _, m := range wayField.FindAllStringSubmatch(way, -1) {
			switch m[1] {
			case "switches":
				for _, b := range d["boards"].(map[string]any) {
					if b := b.(map[string]any); b["kind"] == "output" {
						b["switches"] = m[2]
					}
				}
			default:
				done := false
				if section == "cables" { // one finding of several
					for _, word := range idsOf.FindAllString(f.Message, -1) {
						if d.has("cables", word) {
							d.of("cables", word)[m[1]], done = number(m[2]), true
						}
					}
				}
				if !done && m[1] == "shares" {
					for id := range d["supplies"].(map[string]any) {
						d.of("supplies", id)["shares"] = true
					}
				} else if !done {
					d.of(section, id)[m[1]] = number(m[2])
				}
			}
		}
	default:
		return false
	}
	return true
}
