package combination_test

import (
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/combination"
	"trundle/console"
	"trundle/sim/gen"
)

// player works a console whose knobs obey their coils, and answers its saves.
type player struct {
	t        *rapid.T
	in       *console.Instrument
	c        *combination.Console
	file     *combination.File
	captured int
}

func newPlayer(t *rapid.T, in *console.Instrument) *player {
	p := &player{t: t, in: in, c: combination.New(in, nil)}
	p.do(console.Event{Kind: console.ObeyEvent, Value: 1})
	return p
}

func (p *player) do(e console.Event) {
	save := 0
	for _, effect := range p.c.Do(0, e) {
		require.NotEqual(p.t, console.RefusedEffect, effect.Kind, effect.Text)
		if effect.Kind == console.SaveEffect {
			save = effect.Value
		}
	}
	if save > 0 {
		if p.file != nil {
			require.NoError(p.t, p.file.Save(p.c.Saving()))
		}
		p.captured++
		p.do(console.Event{Kind: console.SavedEvent, Value: save})
	}
}

// registration draws and pushes in controls at random.
func (p *player) registration() {
	for c := range p.in.Controls {
		if rapid.Bool().Draw(p.t, "drawn") {
			p.do(console.Draw(c))
		} else {
			p.do(console.Push(c))
		}
	}
}

func (p *player) drawn() []bool {
	drawn := make([]bool, len(p.in.Controls))
	for c := range drawn {
		drawn[c] = p.c.Machine().Drawn(c)
	}
	return drawn
}

func (p *player) capture(button int) {
	set := slices.IndexFunc(p.in.Combination.Buttons, func(b console.Button) bool { return b.Kind == console.Set })
	p.do(console.Press(set))
	p.do(console.Press(button))
	p.do(console.Release(set))
}

// piston chooses a button of some kinds.
func (p *player) piston(kinds ...console.ButtonKind) int {
	var of []int
	for b, button := range p.in.Combination.Buttons {
		if slices.Contains(kinds, button.Kind) {
			of = append(of, b)
		}
	}
	return rapid.SampledFrom(of).Draw(p.t, "button")
}

// scope is what a button may move: what the instrument says it takes, but for
// the controls that only the player moves.
func (p *player) scope(button int) []int {
	b := p.in.Combination.Buttons[button]
	if b.Repeats != console.None {
		b = p.in.Combination.Buttons[b.Repeats]
	}
	return slices.DeleteFunc(p.in.Takes(b), func(c int) bool { return p.in.Controls[c].Style == console.Fixed })
}

func law(t *testing.T, holds func(t *rapid.T, p *player)) {
	rapid.Check(t, func(t *rapid.T) {
		holds(t, newPlayer(t, gen.Instrument(rapid.Uint64Range(0, 1<<20).Draw(t, "seed"), gen.Tiny)))
	})
}

func TestRecallRestoresExactlyTheScope(t *testing.T) {
	law(t, func(t *rapid.T, p *player) {
		button := p.piston(console.General, console.Divisional)
		p.registration()
		captured := p.drawn()
		p.capture(button)
		p.registration()
		want := p.drawn()
		for _, c := range p.scope(button) {
			want[c] = captured[c]
		}
		p.do(console.Press(button))
		require.Equal(t, want, p.drawn())
	})
}

func TestRecallTwiceIsRecallOnce(t *testing.T) {
	law(t, func(t *rapid.T, p *player) {
		button := p.piston(console.General, console.Divisional)
		p.registration()
		p.capture(button)
		p.registration()
		p.do(console.Press(button))
		once := p.drawn()
		require.Empty(t, p.c.Do(0, console.Press(button)), "a second press has nothing to do")
		require.Equal(t, once, p.drawn())
	})
}

func TestADivisionalMovesNothingOutOfScope(t *testing.T) {
	law(t, func(t *rapid.T, p *player) {
		button := p.piston(console.Divisional)
		p.registration()
		p.capture(button)
		p.registration()
		before, scope := p.drawn(), p.scope(button)
		p.do(console.Press(button))
		for c, drawn := range p.drawn() {
			if !slices.Contains(scope, c) {
				require.Equal(t, before[c], drawn, "control %d", c)
			}
		}
	})
}

func TestAReversibleTwiceChangesNothing(t *testing.T) {
	law(t, func(t *rapid.T, p *player) {
		p.registration()
		before := p.drawn()
		button := p.piston(console.Reversible)
		p.do(console.Press(button))
		if c := p.in.Combination.Buttons[button].Control; p.in.Controls[c].Style != console.Fixed {
			require.NotEqual(t, before[c], p.c.Machine().Drawn(c), "once it does")
		}
		p.do(console.Press(button))
		require.Equal(t, before, p.drawn())
	})
}

func TestUndoRestoresTheFileToTheByte(t *testing.T) {
	dir := t.TempDir()
	runs := 0
	law(t, func(t *rapid.T, p *player) {
		runs++
		path := filepath.Join(dir, "memory-"+string(rune('a'+runs%26))+".yaml")
		// Written by hand: in another order and with a remark, which a capture would lose.
		writeFile(t, path, "format: 1  # by hand\nmemories: {1: {general-1: {off: [], on: []}}}\n")
		file, memories, _, err := combination.Open(path, p.in)
		require.NoError(t, err)
		defer file.Close()
		p.c, p.file = combination.New(p.in, memories), file
		p.do(console.Event{Kind: console.ObeyEvent, Value: 1})

		var versions []string
		for range rapid.IntRange(1, 5).Draw(t, "captures") {
			versions = append(versions, readFile(t, path))
			p.registration()
			p.capture(p.piston(console.General, console.Divisional, console.TuttiKind))
			onDisk, _, err := combination.ReadFile(path, p.in)
			require.NoError(t, err)
			require.Equal(t, p.c.Memories().Sheet(), onDisk.Sheet(), "what was acknowledged is on disk")
		}
		for _, version := range slices.Backward(versions) {
			p.do(console.Event{Kind: console.UndoEvent})
			require.Equal(t, version, readFile(t, path))
		}
	})
}
