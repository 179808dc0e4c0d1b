package change_test

import (
	"bytes"
	"encoding/csv"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/change"
	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/starter"
	"trundle/sim/wiring"
)

// files writes the files of a relay, with two boards more on which all pins are
// free, and a relay's path comes back.
func files(t *testing.T, list []starter.File) string {
	t.Helper()
	dir := t.TempDir()
	for _, f := range list {
		data := f.Data
		if f.Name == starter.RelayFile {
			data = bytes.Replace(data, []byte("boards:\n"), []byte("boards:\n  FREE1: {kind: input, pins: 999}\n  FREE2: {kind: output, pins: 9999}\n"), 1)
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, f.Name), data, 0o600))
	}
	return filepath.Join(dir, starter.RelayFile)
}

// done does to the tables of a relay what is listed, and nothing else. A row of
// which some pins are named is split into its pins; others stand as they were.
// What is taken off a pin leaves a spare one.
func done(t *testing.T, path string, r *wiring.Relay, old *console.Instrument, jobs []change.Job, entries []change.Entry) {
	t.Helper()
	type pin struct {
		board string
		pin   int
	}
	todo := map[pin][]change.Job{}
	for _, j := range jobs {
		require.NotEmpty(t, j.Board, "%+v", j)
		for i, n := range j.Pins {
			one := j
			one.Pins, one.Notes, one.Was, one.Wires = []int{n}, at(j.Notes, i), at(j.Was, i), at(j.Wires, i)
			todo[pin{j.Board, n}] = append(todo[pin{j.Board, n}], one)
		}
	}
	hang := func(name string, list []wiring.Row) {
		file := filepath.Join(filepath.Dir(path), name)
		header, rows := table(t, file)
		column := func(name string) int { return slices.Index(header, name) }
		next := [][]string{header}
		for i, row := range rows {
			board := row[column("board")]
			if !slices.ContainsFunc(list[i].Pins, func(p wiring.Terminal) bool { return todo[pin{board, p.Pin}] != nil }) {
				next = append(next, row)
				continue
			}
			for k, p := range list[i].Pins {
				here := slices.Clone(row)
				here[column("pins")], here[column("wires")] = strconv.Itoa(p.Pin), ""
				if list[i].Kind != wiring.SpareKind {
					_, _, here[column("notes")] = list[i].Items[k].Words(old)
				}
				stays, free := true, list[i].Kind != wiring.SpareKind
				for _, j := range todo[pin{board, p.Pin}] {
					switch j.Do {
					case change.Remove:
						stays = false
					case change.Add:
						stays, free = stays && list[i].Kind != wiring.SpareKind, false
					case change.Retag, change.Write:
						here[column("item")], here[column("notes")] = j.Item, change.NotesText(j.Kind, j.Notes)
					}
				}
				if stays {
					next = append(next, here)
				} else if free {
					next = append(next, []string{board, strconv.Itoa(p.Pin), "spare", "", "", "", "", ""})
				}
			}
		}
		for _, j := range jobs {
			if j.Do == change.Add {
				next = append(next, []string{j.Board, wiring.FormatNumbers(j.Pins), string(j.Kind), j.Item, change.NotesText(j.Kind, j.Notes), "", "", ""})
			}
		}
		write(t, file, next)
	}
	hang(starter.WiringFile, r.Plan)
	if r.Wired != nil {
		hang(gen.WiredFile, r.Wired)
	}
	switched(t, filepath.Join(filepath.Dir(path), starter.SwitchingFile), r, entries)
}

// switched does to a switching table what is listed, row by row: what is taken out
// or written over stands in the file, at its line, as the entry has it.
func switched(t *testing.T, file string, r *wiring.Relay, entries []change.Entry) {
	t.Helper()
	if r.Derived {
		require.Empty(t, entries)
		return
	}
	written := func(s wiring.Switch) string {
		var b bytes.Buffer
		require.NoError(t, wiring.WriteSwitching(&b, r, []wiring.Switch{s}))
		return strings.Split(b.String(), "\n")[1]
	}
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSuffix(string(data), "\n"), "\n")
	for _, e := range entries {
		switch row := written(e.Switch); e.Do {
		case change.Remove:
			require.Equal(t, lines[e.At.Line-1], row, "line %d", e.At.Line)
			lines[e.At.Line-1] = "" // a blank row is skipped
		case change.Write:
			require.Regexp(t, "^(read|couple|drive),", lines[e.At.Line-1])
			lines[e.At.Line-1] = row
		default:
			lines = append(lines, row)
		}
	}
	require.NoError(t, os.WriteFile(file, []byte(strings.Join(lines, "\n")+"\n"), 0o600))
}

func at[T any](list []T, i int) []T {
	if i >= len(list) {
		return nil
	}
	return list[i : i+1]
}

func table(t *testing.T, file string) (header []string, rows [][]string) {
	t.Helper()
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	in := csv.NewReader(bytes.NewReader(data))
	in.Comment = '#'
	rows, err = in.ReadAll()
	require.NoError(t, err)
	return rows[0], rows[1:]
}

func write(t *testing.T, file string, rows [][]string) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, csv.NewWriter(&b).WriteAll(rows))
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
}

// wrong is what a check finds wrong with what hangs on pins.
func wrong(r *wiring.Relay, in *console.Instrument, found []finding.Finding) []string {
	if r != nil {
		found = append(found, wiring.Check(r, in)...)
	}
	list := []string{}
	for _, f := range found {
		if f.Severity == finding.Error {
			list = append(list, f.Rule+": "+f.Message)
		}
	}
	return list
}

// afterwards is a relay of the old instrument once all that is listed for the
// new one is done.
func afterwards(t *testing.T, path string, old, new *console.Instrument) *wiring.Relay {
	t.Helper()
	r, found := wiring.Load(path, old)
	require.Empty(t, wrong(r, old, found), "before")
	jobs := change.Iron(old, new, r)
	done(t, path, r, old, jobs, change.Switching(old, new, r))
	r, found = wiring.Load(path, new)
	require.Empty(t, wrong(r, new, found), "%+v", jobs)
	return r
}

// Whatever the change, once all is done that is listed, nothing hangs on no pin
// and no pin has what is not there, and the relay plays the new instrument. The
// two instruments share no more than the names that a generator likes.
func TestARelayIsRightOnceAllIsDone(t *testing.T) {
	in, found := console.Parse("organ.yaml", starter.Instrument)
	require.Empty(t, found)
	saltmarsh, found := console.Load("../../cmd/trundle/examples/saltmarsh/organ.yaml")
	require.NotNil(t, saltmarsh, "%v", found)
	played := 0
	for seed := range uint64(12) {
		a, b := gen.Instrument(seed, gen.Tiny), gen.Instrument(seed+1000, gen.Small)
		for _, pair := range [][2]*console.Instrument{{a, b}, {b, a}, {in, a}, {b, saltmarsh}} {
			old, new := pair[0], pair[1]
			r := afterwards(t, files(t, starter.Relay(old, "organ.yaml")), old, new)
			fresh, found := wiring.Load(files(t, starter.Relay(new, "organ.yaml")), new)
			require.NotNil(t, fresh, "%v", found)
			if proof.Prove(new, fresh).Verdict == proof.Equal { // its chests can do what it asks
				require.Equal(t, proof.Equal, proof.Prove(new, r).Verdict, "seed %d", seed)
				played++
			}
		}
	}
	require.Greater(t, played, 20)
}

// So is one that is laid out at random: things on two pins, runs in any order,
// lists that descend, strips between, what was soldered in a list of its own.
func TestARelayOfAnyLayoutIsRightOnceAllIsDone(t *testing.T) {
	for seed := range uint64(20) {
		old, new := gen.Instrument(seed, gen.Tiny), gen.Instrument(seed+500, gen.Tiny)
		var list []starter.File
		for name, data := range gen.Relay(seed, old, gen.Options{Spares: true, Orders: true, Doubled: seed%2 == 0, Cables: true, Coils: seed%3 == 0, Strips: seed%4 == 0, Wired: seed%5 == 0}) {
			list = append(list, starter.File{Name: name, Data: data})
		}
		afterwards(t, files(t, list), old, new)
	}
}

// shorter is a generated instrument and the same with less of something: a stop,
// a coupler or a division that begins later or ends sooner, keys that are gone.
func shorter(seed uint64) (old, new *console.Instrument) {
	old, new = gen.Instrument(seed, gen.Small), gen.Instrument(seed, gen.Small)
	r := rand.New(rand.NewPCG(seed, 7))
	cut := func(s *console.Span) {
		if r.IntN(2) == 0 {
			s.From += (s.To - s.From + 1) / 3
		} else {
			s.To -= (s.To - s.From + 1) / 3
		}
	}
	for i := range new.Couplers {
		if seed%4 == 0 {
			cut(&new.Couplers[i].Keys)
		}
	}
	switch seed % 4 {
	case 1:
		for i := range new.Stops {
			cut(&new.Stops[i].Notes)
		}
	case 2:
		cut(&new.Divisions[r.IntN(len(new.Divisions))].Notes)
	case 3:
		cut(&new.Keyboards[r.IntN(len(new.Keyboards))].Keys)
	}
	return old, new
}

// A row of which a part is no more is written anew, and no row is taken out that
// the table does not have.
func TestARelayIsRightOnceSomethingIsShorter(t *testing.T) {
	written, played := 0, 0
	for seed := range uint64(40) {
		old, new := shorter(seed)
		path := files(t, starter.Relay(old, "organ.yaml"))
		r, _ := wiring.Load(path, old)
		for _, e := range change.Switching(old, new, r) {
			if e.Do == change.Write {
				written++
			}
		}
		r = afterwards(t, path, old, new)
		fresh, found := wiring.Load(files(t, starter.Relay(new, "organ.yaml")), new)
		require.NotNil(t, fresh, "%v", found)
		if proof.Prove(new, fresh).Verdict == proof.Equal {
			require.Equal(t, proof.Equal, proof.Prove(new, r).Verdict, "seed %d", seed)
			played++
		}
	}
	require.Greater(t, written, 20)
	require.Greater(t, played, 20)
}
