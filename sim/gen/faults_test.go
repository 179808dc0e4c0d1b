package gen

import (
	"math/rand/v2"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/wiring"
)

// Of every class some faults are heard: in a state chosen at random the
// faulted relay, run as its definition reads, opens other valves than the
// definition of what sounds.
func TestEveryClassOfFaultIsHeard(t *testing.T) {
	heardOf, heardIn := map[string]int{}, map[string]int{}
	for seed := range uint64(40) {
		in := Instrument(seed, Tiny)
		clean := Design(seed, in, AnyOptions(seed))
		for _, class := range Classes {
			f, ok := Plant(seed, clean, in, class)
			if !ok {
				continue
			}
			r := rand.New(rand.NewPCG(seed, 9))
			for range 25 {
				s := anyState(r, in)
				if !slices.Equal(plain.Open(in, s), wiring.Run(f.Relay, in, s).Open) {
					heardOf[class]++
					heardIn[f.In]++
					break
				}
			}
		}
	}
	for _, class := range Classes {
		require.NotZero(t, heardOf[class], class)
	}
	for _, in := range []string{"key", "control", "note", "action", "valve", "join", "read", "couple", "drive"} {
		require.NotZero(t, heardIn[in], in)
	}
}

func TestPlantingLeavesTheCleanRelayAlone(t *testing.T) {
	for seed := range uint64(8) {
		in := Instrument(seed, Small)
		clean := Design(seed, in, AnyOptions(seed))
		for _, class := range Classes {
			f, ok := Plant(seed, clean, in, class)
			again, _ := Plant(seed, clean, in, class)
			require.Equal(t, f, again)
			if ok {
				require.NotEqual(t, FilesOf(clean, in), FilesOf(f.Relay, in), "%s", f.Description)
			}
		}
		require.Equal(t, Design(seed, in, AnyOptions(seed)), clean)
	}
}

// Wires are laid and combed out in groups of twelve, so it is such a group that
// lands an octave off.
func TestAnOctaveOffIsTwoGroupsOfTwelve(t *testing.T) {
	for seed := range uint64(20) {
		in := Instrument(seed, Small)
		f, ok := Plant(seed, Design(seed, in, Options{}), in, "octave-off")
		require.True(t, ok)
		require.Len(t, f.Pins, 24)
	}
}

// A fault is one that files can say, and it stands in the rows that it names.
func TestFaultedFilesReadBackAsTheFault(t *testing.T) {
	for seed := range uint64(8) {
		in := Instrument(seed, Tiny)
		clean := Design(seed, in, AnyOptions(seed))
		for _, class := range Classes {
			f, ok := Plant(seed, clean, in, class)
			if !ok {
				continue
			}
			dir := t.TempDir()
			require.NoError(t, FilesOf(f.Relay, in).Write(dir))
			loaded, _ := console.Load(filepath.Join(dir, InstrumentFile))
			got, found := wiring.Load(filepath.Join(dir, RelayFile), loaded)
			require.NotNil(t, got, "%s: %v", f.Description, found)
			requireNewRows(t, FilesOf(clean, in), FilesOf(f.Relay, in), f)
			for _, r := range []*wiring.Relay{got, f.Relay} {
				bare(reflect.ValueOf(r).Elem())
				r.Forms = nil
				for i := range r.Boards {
					r.Boards[i].Node = nil
				}
				for i := range r.Cables {
					r.Cables[i].Node = nil
				}
			}
			got.File = f.Relay.File
			require.Equal(t, f.Relay, got, f.Description)
		}
	}
}

// requireNewRows wants every row that a fault names to stand more often in the
// faulted relay than in the clean one.
func requireNewRows(t *testing.T, clean, faulted Files, f Fault) {
	t.Helper()
	if _, soldered := clean[WiredFile]; !soldered {
		clean[WiredFile] = clean[WiringFile]
	}
	for _, at := range f.At {
		row := strings.Split(string(faulted[at.File]), "\n")[at.Line-1] + "\n"
		require.Greater(t, strings.Count(string(faulted[at.File]), row), strings.Count(string(clean[at.File]), row), "%s: %s", f.Description, row)
	}
	if len(f.At) == 0 {
		require.Contains(t, []string{"row-missing", "pin-open", "group-open", "run-shifted", "wrong-carries"}, f.Class)
	}
}
