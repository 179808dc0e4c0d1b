package midiio

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// What is told at each time, of messages in their text form.
func TestTheMonitorTellsWhatIsWrongWithTheTraffic(t *testing.T) {
	type at struct {
		ms   int
		text string // empty: nothing comes, the time is looked at
	}
	for name, c := range map[string]struct {
		heard []at
		want  []string
	}{
		"a note":              {[]at{{0, "note-on 1 60 1"}, {10, "note-off 1 60 0"}}, nil},
		"a note by velocity":  {[]at{{0, "note-on 1 60 1"}, {10, "note-on 1 60 0"}}, nil},
		"on twice":            {[]at{{0, "note-on 1 60 1"}, {1500, "note-on 1 60 1"}}, []string{"1.5s on-twice key 60/C4 of channel 1 is on already, for 1.500 s"}},
		"another channel":     {[]at{{0, "note-on 1 60 1"}, {10, "note-on 2 60 1"}}, nil},
		"off without on":      {[]at{{5, "note-off 3 61 0"}}, []string{"5ms off-without-on key 61/C#4 of channel 3 is not on"}},
		"all notes off":       {[]at{{0, "note-on 1 60 1"}, {1, "control-change 1 123 0"}, {2, "note-on 1 60 1"}}, nil},
		"a note that hangs":   {[]at{{0, "note-on 1 60 1"}, {5000, ""}, {6000, ""}}, []string{"2s note-hangs key 60/C4 of channel 1 is on for 2.000 s"}},
		"data without status": {[]at{{0, "no-status 3C"}}, []string{"0s no-status a data byte 3C without a status"}},
		"undefined":           {[]at{{0, "undefined F4"}}, []string{"0s undefined status F4 has no meaning in MIDI 1.0"}},
		"unfinished":          {[]at{{0, "unfinished 90 3C"}}, []string{"0s unfinished note-on lacks data: 90 3C"}},
		"cut":                 {[]at{{0, "sysex-cut 01 02"}}, []string{"0s sysex-cut a system exclusive message is cut: it does not end"}},
		"an end alone":        {[]at{{0, "sysex-stray-end"}}, []string{"0s sysex-stray-end a system exclusive message ends that never began"}},
		"an overrun":          {[]at{{0, "note-on 1 60 1"}, {7, "port-overrun"}, {9, "note-on 1 60 1"}}, []string{"7ms port-overrun the system lost messages, because they came too fast; what it held is released: key 60/C4 of channel 1"}},
		"a port that goes":    {[]at{{0, "note-on 1 60 1"}, {0, "active-sensing"}, {7, "port-gone"}, {7, "port-back"}, {9000, "note-on 1 60 1"}}, []string{"7ms port-gone the port is gone; what it held is released: key 60/C4 of channel 1"}},
		// MIDI 1.0: nothing is expected before the first, then any byte every
		// 300 ms; receivers wait 330 (MIDI 1.0, active sensing).
		"silence without sensing":        {[]at{{0, "timing-clock"}, {5000, ""}}, nil},
		"sensing kept up by anything":    {[]at{{0, "active-sensing"}, {300, "timing-clock"}, {620, "active-sensing"}, {940, ""}}, nil},
		"sensing that stops, told once":  {[]at{{0, "active-sensing"}, {331, ""}, {5000, ""}, {6000, "note-on 1 60 1"}}, []string{"330ms sensing-stopped nothing came for 0.330 s after active sensing"}},
		"sensing that stopped and comes": {[]at{{0, "active-sensing"}, {1000, "active-sensing"}}, []string{"330ms sensing-stopped nothing came for 0.330 s after active sensing"}},
	} {
		t.Run(name, func(t *testing.T) {
			m := Monitor{Hang: 2 * time.Second}
			var faults []Fault
			for _, each := range c.heard {
				now := time.Duration(each.ms) * time.Millisecond
				if each.text == "" {
					faults = m.Tick(faults, now)
					continue
				}
				message, err := ParseMessage(each.text)
				require.NoError(t, err)
				faults = m.Hear(faults, Timed{now, message})
			}
			var told []string
			for _, f := range faults {
				require.Contains(t, Rules, f.Rule)
				told = append(told, fmt.Sprint(f.At, " ", f.Rule, " ", f.Text))
			}
			require.Equal(t, c.want, told)
		})
	}
}

func TestTheMonitorTellsAFullLinkAndLossesOnce(t *testing.T) {
	var m Monitor
	var faults []Fault
	for i, load := range []float64{0.5, 0.81, 0.95, 0.8, 0.9} {
		faults = m.Link(faults, time.Duration(i)*time.Second, load)
	}
	for i, dropped := range []int{0, 3, 3, 5} {
		faults = m.Lost(faults, time.Duration(i)*time.Second, dropped)
	}
	require.Equal(t, []Fault{
		{time.Second, "link-full", "81% of the link was used in the last second"},
		{4 * time.Second, "link-full", "90% of the link was used in the last second"},
		{time.Second, "lost", "3 messages were lost here, because they came too fast"},
		{3 * time.Second, "lost", "2 messages were lost here, because they came too fast"},
	}, faults)
}

func TestTheMonitorKnowsWhatIsStillOnAtTheEnd(t *testing.T) {
	var m Monitor
	m.Hear(nil, Timed{time.Second, NoteOn(16, 36, 1)})
	require.Equal(t, []Fault{{3 * time.Second, "note-hangs", "key 36/C2 of channel 16 is still on, for 2.000 s"}}, m.Finish(nil, 3*time.Second))
}

func TestNotesThatAreNoKeysNeedNotPair(t *testing.T) {
	m := Monitor{IsKey: func(m Message) bool { return m.Channel() == 1 }}
	var faults []Fault
	for _, message := range []Message{NoteOn(15, 3, 64), NoteOn(15, 3, 64), NoteOff(15, 4), NoteOn(1, 60, 64)} {
		faults = m.Hear(faults, Timed{0, message})
	}
	require.Empty(t, faults)
	require.Len(t, m.Finish(nil, time.Second), 1)
}

func TestActiveSensingCanBeIgnored(t *testing.T) {
	m := Monitor{IgnoreSensing: true}
	m.Hear(nil, Timed{0, Message{Status: activeSensing}})
	require.Empty(t, m.Tick(nil, time.Hour))
}
