package change_test

import (
	"bytes"
	"encoding/csv"
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

// switched does to a switching table what is listed.
func switched(t *testing.T, file string, r *wiring.Relay, entries []change.Entry) {
	t.Helper()
	header, rows := table(t, file)
	written := func(list []wiring.Switch) (rows [][]string) {
		var b bytes.Buffer
		require.NoError(t, wiring.WriteSwitching(&b, r, list))
		rows, err := csv.NewReader(&b).ReadAll()
		require.NoError(t, err)
		return rows[1:]
	}
	var out, more []wiring.Switch
	for _, e := range entries {
		if e.Do == change.Remove {
			out = append(out, singly(e.Switch)...)
		} else {
			more = append(more, e.Switch)
		}
	}
	gone := map[string]int{}
	for _, row := range written(out) {
		gone[strings.Join(row, ",")]++
	}
	next := [][]string{header}
	for i := range rows {
		for _, row := range written(singly(r.Switch[i])) {
			if key := strings.Join(row, ","); gone[key] > 0 {
				gone[key]--
			} else {
				next = append(next, row)
			}
		}
	}
	for key, n := range gone {
		require.Zero(t, n, "%s is no row of the table", key)
	}
	write(t, file, append(next, written(more)...))
}

// singly is a row as rows of one note or pin each, unless it picks one of many.
func singly(s wiring.Switch) (list []wiring.Switch) {
	if s.Picks != console.PicksAll {
		return []wiring.Switch{s}
	}
	for i := range s.Len() {
		one := s
		one.Notes, one.Pins, one.ToNotes = at(s.Notes, i), at(s.Pins, i), at(s.ToNotes, i)
		list = append(list, one)
	}
	return list
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
