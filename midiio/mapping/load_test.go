package mapping

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console/finding"
)

// before is how many lines of organ come before the first line of a section.
var before = strings.Count(organ, "\n") + 1

func TestWhatHasNoMeaningIsNamedWhereItStands(t *testing.T) {
	for name, c := range map[string]struct {
		section string
		line    int // of the section
		column  int
		message string
	}{
		"a heading":                    {"  stops: {flute-8: note 1 on channel 1}\n", 1, 3, "midi has no field stops"},
		"a keyboard":                   {"  keys: {grate: channel 1}\n", 1, 10, "no keyboard grate"},
		"no channel":                   {"  keys: {great: 1}\n", 1, 17, `"1" is no channel`},
		"channel 17":                   {"  keys: {great: channel 17}\n", 1, 17, `"17" is no channel: they are 1 to 16`},
		"a second touch that is none":  {"  keys: {choir: {channel: 1, second: 2}}\n", 1, 38, "choir has no second contacts"},
		"keys past the last number":    {"  keys: {choir: {channel: 1, lowest: 120}}\n", 1, 17, "from C9 up there are no numbers for C2..C4"},
		"a division":                   {"  lines: {chior: channel 1}\n", 1, 11, "no division chior"},
		"a baud rate":                  {"  baud: 2\n", 1, 9, "baud is a whole number from 50 to 4000000"},
		"more behind a channel":        {"  keys: {great: channel 1 lowest 24}\n", 1, 17, `"1 lowest 24" is no channel`},
		"a shoe of notes":              {"  shoes: {swell: note 3 on channel 1}\n", 1, 18, "note 3 on channel 1 carries no number"},
		"a shoe of a run":              {"  shoes: {swell: controllers from 3 on channel 1}\n", 1, 18, "a run of messages stands where one is meant"},
		"fourteen bits of controller":  {"  shoes: {swell: {message: controller 40 on channel 1, fine: true}}\n", 1, 62, "only controllers 0 to 31 have fourteen bits"},
		"channel mode":                 {"  shoes: {swell: controller 121 on channel 1}\n", 1, 18, `"121" is no number from 0 to 119`},
		"a control":                    {"  controls: {flute-9: note 1 on channel 1}\n", 1, 14, "no control or group flute-9"},
		"a division of a group":        {"  controls: {stops of grate: notes from 1 on channel 1}\n", 1, 14, "no division grate"},
		"a group of nothing":           {"  controls: {couplers of great: notes from 1 on channel 1}\n", 1, 14, "the instrument has no couplers of great"},
		"a run backwards":              {"  controls: {flute-4..flute-8: notes from 1 on channel 1}\n", 1, 14, "flute-4..flute-8 runs backwards"},
		"one message for several":      {"  controls: {stops: note 1 on channel 1}\n", 1, 21, "flute-8: note 1 on channel 1: one message for several things; write `from` before the number"},
		"a run that is over":           {"  controls: {stops: notes from 126 on channel 1}\n", 1, 21, "flute-4: note 128 on channel 1: the run is over after 2 of them"},
		"twice by rules":               {"  controls:\n    stops: notes from 1 on channel 1\n    stops of great: notes from 9 on channel 1\n", 3, 5, "principal-8 has its message from stops already, line"},
		"a program for on and off":     {"  controls: {flute-8: program 1 on channel 1}\n", 1, 23, "program 1 on channel 1 says nothing of off"},
		"on without off":               {"  controls: {flute-8: {on: program 1 on channel 1}}\n", 1, 23, "`on` and `off` go together"},
		"two ways of saying it":        {"  controls: {flute-8: {message: note 1 on channel 1, press: note 2 on channel 1}}\n", 1, 23, "a line has one of `message`, `on` and `off`, and `press`"},
		"set that is not let go of":    {"  buttons: {set: program 1 on channel 1}\n", 1, 18, "set is held while another button is pressed"},
		"a button that turns over":     {"  buttons: {set: {press: note 1 on channel 1}}\n", 1, 26, "a button turns nothing over"},
		"a message of another sort":    {"  controls: {flute-8: bend 1 on channel 1}\n", 1, 23, "no message bend"},
		"bytes without their end":      {"  controls: {flute-8: bytes F0 7D 01 ..}\n", 1, 23, "system exclusive ends with F7"},
		"bytes with a status within":   {"  controls: {flute-8: bytes F0 7D 91 .. F7}\n", 1, 23, "data bytes are 00 to 7F"},
		"bytes with two open places":   {"  controls: {flute-8: bytes F0 .. .. F7}\n", 1, 23, "a message has one open place `..`"},
		"bytes of a note":              {"  controls: {flute-8: bytes 90 24 ..}\n", 1, 23, "bytes are system exclusive, F0 to F7, or a control change"},
		"an open place for the status": {"  controls: {flute-8: bytes .. 24 10}\n", 1, 23, "bytes are system exclusive"},
		"nn without from":              {"  controls: {flute-8: bytes F0 nn .. F7}\n", 1, 23, "`nn` and `from` go together"},
		"a step of nothing":            {"  controls: {stops: notes from 1/0 on channel 1}\n", 1, 21, "counts by a whole number from 1"},
		"a time":                       {"  slow: 20\n", 1, 9, `slow is no time up to a minute: "20"`},
		"a map for a message":          {"  controls: {flute-8: {message: {note: 1}}}\n", 1, 33, "a map stands where one value is meant"},
		"a list":                       {"  controls: [flute-8]\n", 1, 13, "a list stands where a map"},
	} {
		t.Run(name, func(t *testing.T) {
			m, found := Load(parse(t, c.section))
			require.Nil(t, m)
			require.True(t, finding.Broken(found))
			require.Equal(t, finding.Place{File: "organ.yaml", Line: before + c.line, Column: c.column}, found[len(found)-1].Place, found[len(found)-1].Message)
			require.Contains(t, found[len(found)-1].Message, c.message)
		})
	}
}

func TestOneMessageForTwoThingsIsFound(t *testing.T) {
	const stops = "  controls:\n    stops: notes from 36 on channel 10\n"
	for name, c := range map[string]struct {
		section string
		want    []string // line of the section and message
	}{
		"a coupler among the stops": {stops + "    couplers: notes from 39 on channel 10\n", []string{"3: trumpet-8 and choir-to-great are both note 39 on channel 10 to the organ"}},
		"two keyboards":             {"  keys: {great: channel 1, choir: channel 1}\n", []string{"1: great C2 and choir C2 are both note 36 on channel 1 to the organ, and so it is with 24 more"}},
		"only one way": {"  controls:\n    stops: {message: notes from 36 on channel 10, lamp: notes from 37 on channel 11}\n    couplers: {message: notes from 60 on channel 10, lamp: note 40 on channel 11}\n",
			[]string{"3: trumpet-8 and choir-to-great are both note 40 on channel 11 to the console"}},
		"not the other way":                   {"  valves: {trumpet: {channel: 3, way: to-console}}\n  keys: {choir: channel 3}\n", nil},
		"on and off of one":                   {"  controls: {flute-8: {on: note 1 on channel 1, off: note 1 on channel 1}}\n", []string{"1: two states of flute-8 are both note 1 on channel 1 to the organ"}},
		"a value of its own, and any":         {"  controls:\n    flute-8: {on: bytes B0 50 01, off: bytes B0 50 02}\n    flute-4: controller 80 on channel 1\n", []string{"3: flute-8 and flute-4 are both controller 80 on channel 1 to the organ"}},
		"any value, and one of its own":       {"  controls:\n    flute-4: controller 80 on channel 1\n    flute-8: {on: bytes B0 50 01, off: bytes B0 50 02}\n", []string{"3: flute-4 and flute-8 are both bytes B0 50 01 to the organ, and so it is with 1 more"}},
		"values of their own":                 {"  controls: {stops: {on: bytes B0 50 nn from 1, off: bytes B0 51 nn from 1}}\n", nil},
		"the low bits of a shoe":              {"  shoes: {swell: {message: controller 4 on channel 1, fine: true}, crescendo: controller 36 on channel 1}\n", []string{"1: swell and crescendo are both controller 36 on channel 1 to the organ"}},
		"what chooses a parameter":            {"  shoes: {swell: nrpn 1 on channel 1, crescendo: controller 6 on channel 1}\n", []string{"1: swell and crescendo are both controller 6 on channel 1 to the organ"}},
		"parameters of one channel":           {"  shoes: {swell: nrpn 1 on channel 1, crescendo: nrpn 2 on channel 1}\n", nil},
		"bytes that meet where both are open": {"  controls:\n    flute-8: bytes F0 7D .. 01 F7\n    flute-4: bytes F0 7D 02 .. F7\n", []string{"3: flute-8 and flute-4 are both bytes F0 7D 02 .. F7 to the organ"}},
		"bytes that fill an open place":       {"  controls:\n    flute-8: bytes F0 7D .. 01 F7\n    flute-4: {on: bytes F0 7D 05 01 F7, off: bytes F0 01 F7}\n", []string{"3: flute-8 and flute-4 are both bytes F0 7D 05 01 F7 to the organ"}},
		"a note in hex is no other":           {"  controls:\n    flute-8: controller 80 on channel 1\n    flute-4: bytes B0 50 ..\n", []string{"3: flute-8 and flute-4 are both controller 80 on channel 1 to the organ"}},
	} {
		t.Run(name, func(t *testing.T) {
			m, found := Load(parse(t, c.section))
			require.NotNil(t, m, "%v", found)
			var got []string
			for _, f := range found {
				require.Equal(t, "map-collides", f.Rule)
				require.Equal(t, finding.Error, f.Severity)
				got = append(got, string(rune('0'+f.Line-before))+": "+f.Message)
			}
			require.Equal(t, c.want, got)
		})
	}
}

// What has a line of its own keeps its place in the count of a rule.
func TestALineOfItsOwnShiftsNobody(t *testing.T) {
	in, m := load(t, "  controls:\n    flute-8: note 99 on channel 1\n    stops: notes from 10 on channel 1\n")
	var got []string
	for _, e := range m.Entries {
		got = append(got, e.Name(in)+": "+e.forms[ToOrgan].String())
	}
	require.ElementsMatch(t, []string{"principal-8: note 10 on channel 1", "flute-8: note 99 on channel 1", "flute-4: note 12 on channel 1", "trumpet-8: note 13 on channel 1"}, got)
}

func TestWhatOnlySaysHowFastTheLinkIsLeavesTheDefaultMap(t *testing.T) {
	_, m := load(t, "  baud: 38400\n")
	require.True(t, m.Default)
	require.Equal(t, 38400, m.Baud)
	require.Empty(t, m.Unmapped())
}
