package main

import (
	"bufio"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/combination"
	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/walk"
)

// action is a combination action at the organ's end of a cable, in a time of its own.
type action struct {
	c    *combination.Console
	end  *mapping.End
	does map[int]int // buttons that do the work of another
}

func (a *action) do(now time.Duration, e console.Event) (says []midiio.Message) {
	if other, is := a.does[e.Index]; is && (e.Kind == console.PressEvent || e.Kind == console.ReleaseEvent) {
		e.Index = other
	}
	save := 0
	for _, f := range a.c.Do(now, e) {
		says = a.end.Say(says, f)
		if f.Kind == console.SaveEffect {
			save = f.Value
		}
	}
	if save > 0 {
		for _, f := range a.c.Do(now, console.Event{Kind: console.SavedEvent, Value: save}) {
			says = a.end.Say(says, f)
		}
	}
	return says
}

// Pistons are pressed over the cable; what comes back ticks them off, and those that
// do another's work are left for the person to say, with the studs that repeat them.
// The judge is the combination action itself.
func TestPistonsArePressedAndTickedByWhatComesBack(t *testing.T) {
	f := planSaltmarsh(t)
	k, _ := f.begin()
	var said strings.Builder
	k.out = bufio.NewWriter(&said)
	button := func(id string) int {
		return slices.IndexFunc(f.in.Combination.Buttons, func(b console.Button) bool { return b.ID == id })
	}
	far := &action{combination.New(f.in, nil), f.m.End(mapping.AtOrgan, "walk"),
		map[int]int{button("general-2"): button("general-3"), button("general-3"): button("general-2"), button("general-5"): button("general-4")}}
	now := time.Second
	hear := func(messages []midiio.Message) {
		for _, m := range messages {
			require.NoError(t, k.hear(midiio.Timed{At: now, Message: m}, now))
		}
	}
	hear(far.do(now, console.Event{Kind: console.ObeyEvent, Value: 1}))
	pump := func() {
		for messages := k.say(); len(messages) > 0; messages = k.say() {
			for _, m := range messages {
				for _, e := range slices.Clone(far.end.Hear(midiio.Timed{At: now, Message: m}).Events) {
					hear(far.do(now, e))
				}
			}
		}
	}
	skipTo(t, k, walk.Pistons)
	k.begin(now)
	byPort, wrong := map[string]bool{}, []string{}
	k.keep = func(s walk.Step, a walk.Answer) error {
		if a.Who == thePort {
			byPort[s.ID] = true
		} else if !a.Verdict.IsGood() {
			wrong = append(wrong, s.ID)
		}
		return nil
	}
	for !k.ended && k.w.Steps[k.at].Phase == walk.Pistons {
		step := k.at
		s := k.w.Steps[step]
		if k.wait != "" {
			if hand, ok := strings.CutPrefix(s.First, "draw "); ok {
				id, _, _ := strings.Cut(hand, ",")
				c, err := findControl(f.in, id)
				require.NoError(t, err)
				hear(far.do(now, console.Draw(c)))
			}
			require.NoError(t, k.line(written{text: k.wait}, now))
		}
		pump()
		for at, due := k.due(); due && k.at == step; at, due = k.due() {
			now = at
			require.NoError(t, k.tick(now))
			pump()
		}
		if k.at != step || k.ended {
			continue
		}
		now += 2 * justNow
		answer := "good"
		if len(k.want) > 0 || k.sees {
			answer = "wrong another comes"
		}
		require.NoError(t, k.line(written{text: answer}, now))
		pump()
	}
	require.NoError(t, k.out.Flush())
	var want []string
	for _, b := range f.in.Combination.Buttons {
		if does := strings.TrimPrefix(b.ID, "toe-"); slices.Contains([]string{"general-2", "general-3", "general-4", "general-5"}, does) {
			want = append(want, "piston "+b.ID)
		}
	}
	require.Equal(t, want, wrong, said.String())
	for _, id := range []string{"general-1", "general-6", "great-1", "pedal-3", "cancel", "great-to-pedal"} {
		require.True(t, byPort["piston "+id], "%s\n%s", id, said.String())
	}
	for c := range f.in.Controls {
		require.False(t, far.c.Machine().Drawn(c), "%s is left out", f.in.Controls[c].ID)
	}
	require.False(t, far.c.Machine().Tutti())
}
