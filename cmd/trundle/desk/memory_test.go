package desk

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/combination"
	"trundle/console"
)

// onDisk is a desk with a memory file, and what that file holds.
func onDisk(t *testing.T) (d *driver, kept func() *combination.Memories) {
	in := threeManuals(t)
	path := filepath.Join(t.TempDir(), "memory.yaml")
	file, memories, _, err := combination.Open(path, in)
	require.NoError(t, err)
	t.Cleanup(func() { file.Close() })
	d = drive(t, New(in, Options{Memories: memories, OnDisk: true}), Outside{File: file})
	return d, func() *combination.Memories {
		t.Helper()
		memories, _, err := combination.ReadFile(path, in)
		require.NoError(t, err)
		return memories
	}
}

// drawsOf are the ids of what a combination draws, none of one never set.
func drawsOf(t *testing.T, m *combination.Memories, memory int, button string) []string {
	t.Helper()
	in := threeManuals(t)
	for b, of := range in.Combination.Buttons {
		if of.ID != button {
			continue
		}
		set := m.Combination(console.Slot{Memory: memory, Button: b})
		if set == nil {
			return nil
		}
		ids := []string{}
		for _, c := range set.On {
			ids = append(ids, in.Controls[c].ID)
		}
		return ids
	}
	require.Fail(t, "no button "+button)
	return nil
}

const (
	gedackt    = "positive-gedackt-8-stop"
	salicional = "positive-salicional-8-stop"
)

// captured has Gedackt on general 1 and Salicional on general 2, both in memory 1.
func captured(t *testing.T) (d *driver, kept func() *combination.Memories) {
	d, kept = onDisk(t)
	d.find("gedackt").press("Enter", "x").find("general 1").press("Enter").see("captured 1/general-1")
	d.find("gedackt").press("Enter").find("salicional").press("Enter").find("general 2").press("Enter").see("captured 1/general-2").press("x")
	return d, kept
}

func TestAPistonIsCopiedToAnotherMemoryAndThatIsUndone(t *testing.T) {
	d, kept := captured(t)
	d.find("general 1").press("M").see("1/general-1 is marked", "<1>")
	d.find("memory").press("+").see("memory 2/20").miss("<1>")
	d.find("general 3").see("general 3 (general-3): C copies 1/general-1 here, S swaps them")
	d.press("C").see("copied 1/general-1 to 2/general-3")
	require.Equal(t, []string{gedackt}, drawsOf(t, kept(), 2, "general-3"))
	require.Equal(t, []string{gedackt}, drawsOf(t, kept(), 1, "general-1"))
	d.press("z").see("undone")
	require.Nil(t, drawsOf(t, kept(), 2, "general-3"))
}

func TestTwoPistonsAreSwapped(t *testing.T) {
	d, kept := captured(t)
	d.find("general 1").press("M").find("general 2").press("S").see("swapped 1/general-1 and 1/general-2")
	require.Equal(t, []string{salicional}, drawsOf(t, kept(), 1, "general-1"))
	require.Equal(t, []string{gedackt}, drawsOf(t, kept(), 1, "general-2"))
}

func TestAWholeMemoryIsCopied(t *testing.T) {
	d, kept := captured(t)
	d.find("memory").press("M").see("1 is marked").press("+", "C").see("copied 1 to 2")
	require.Equal(t, []string{gedackt}, drawsOf(t, kept(), 2, "general-1"))
	require.Equal(t, []string{salicional}, drawsOf(t, kept(), 2, "general-2"))
}

func TestALockedMemoryShowsItAndRefusesACapture(t *testing.T) {
	d, kept := captured(t)
	d.find("memory").see("L locks it").press("L").see("locked memory 1", "locked 1/20")
	require.True(t, kept().Locked(1))
	d.press("x").find("general 1").press("Enter").see("memory 1 is locked: nothing captured; unlock it or take another")
	require.Equal(t, []string{gedackt}, drawsOf(t, kept(), 1, "general-1"))
	d.press("x").find("general 2").press("M").find("general 1").press("C").see("memory 1 is locked: nothing changed")
	d.press("L").see("unlocked memory 1", "memory 1/20")
	d.press("z").see("undone", "locked 1/20").press("z").see("undone", "memory 1/20")
}

func TestWhatCannotBeMarkedOrCopiedSaysSo(t *testing.T) {
	play(t).press("C").see("nothing is marked: put the cursor on a piston or the memory and press M first")
	play(t).press("M").see("put the cursor on a general, a divisional or the memory to mark it")
	d := play(t).find("general 1").press("M", "C").see("1/general-1 is itself what is marked: go to another")
	d.find("cancel").press("C").see("put the cursor on a general, a divisional or the memory where 1/general-1 should go")
	d.press("Esc").see("nothing is marked any more").find("general 2").miss("copies")
	play(t).find("general 1").press("M").find("general 2").press("C").see("general-1 was never set: nothing to copy")
}

// A toe stud that repeats a general stands for it.
func TestAToeStudStandsForItsGeneral(t *testing.T) {
	d, kept := captured(t)
	d.find("toe-general-1").press("M").see("1/general-1 is marked").find("general 3").press("C").see("copied 1/general-1 to 1/general-3")
	require.Equal(t, []string{gedackt}, drawsOf(t, kept(), 1, "general-3"))
}

func TestAConsoleWithoutMemoriesLocksNone(t *testing.T) {
	in := parsed(t, "keyboards: {great: {kind: manual, keys: C2..C7}}\ndivisions: {great: {keyboard: great, chest: unit}}\n"+
		"ranks: {flute: {division: great, family: flute, feet: 8, pipes: 61}}\nstops: {flute-8: {division: great, feet: 8, rank: flute}}\n")
	drive(t, New(in, Options{}), Outside{}).press("L").see("this console has no memories")
}
