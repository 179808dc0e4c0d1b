package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/console/yamldoc"
	"trundle/midiio/mapping"
)

// keepMap prints a map as the section of its file, or puts it there.
func keepMap(cmd *cobra.Command, in *console.Instrument, m *mapping.Map, write bool, to string) error {
	section := "midi:\n" + m.Text()
	if m.Text() == "" {
		fmt.Fprintln(cmd.ErrOrStderr(), "nothing is mapped")
		return nil
	}
	tellUnmapped(folded(cmd.ErrOrStderr()), in, m)
	var err error
	switch {
	case write:
		to = in.File
		err = putSection(in.File, section, to, replace)
	case to != "":
		err = putSection(in.File, section, to, writeNew)
	}
	if err != nil || to == "" {
		fmt.Fprint(cmd.OutOrStdout(), section)
		return err
	}
	_, err = fmt.Fprintf(cmd.OutOrStdout(), "wrote the section midi of %s\n", to)
	return err
}

// beside is a name for a copy of a file that is not there yet: organ-learned.yaml.
func beside(path string) string {
	end := filepath.Ext(path)
	name := strings.TrimSuffix(path, end) + "-learned"
	for n := 1; ; n++ {
		to := name + end
		if n > 1 {
			to = fmt.Sprintf("%s-%d%s", name, n, end)
		}
		if absent(to) == nil {
			return to
		}
	}
}

// tellUnmapped lists what has no message.
func tellUnmapped(w io.Writer, in *console.Instrument, m *mapping.Map) {
	if names := unmapped(in, m); len(names) > 0 {
		fmt.Fprintf(w, "not mapped: %s\n", strings.Join(names, ", "))
	}
}

// tellSparse says so where most of an instrument has no message: one line of a section
// takes the place of the whole default map.
func tellSparse(stderr io.Writer, in *console.Instrument, m *mapping.Map) {
	names := unmapped(in, m)
	if m.Default || 2*len(names) <= len(mapping.Workable(in)) {
		return
	}
	fmt.Fprintf(stderr, "trundle: %s: no message for %s: its section midi takes the place of the whole default map; trundle learn %s --table shows what there is\n", in.File, someOf(names), shellQuote(in.File))
}

// unmapped are the names of what has no message.
func unmapped(in *console.Instrument, m *mapping.Map) (names []string) {
	for _, t := range m.Unmapped() {
		name := t.Name(in)
		if t.Kind == mapping.Key {
			name = in.Keyboards[t.Index].ID
		}
		names = append(names, name)
	}
	return names
}

// putSection writes an instrument file with another section midi.
func putSection(from, section, to string, write func(path string, data []byte) error) error {
	data, err := os.ReadFile(from)
	if err != nil {
		return fmt.Errorf("%s: cannot be read: %w", from, reason(err))
	}
	data, err = withSection(from, data, section)
	if err != nil {
		return err
	}
	return write(to, data)
}

// replace writes a file that is there, or what a link leads to, so that it is
// there whole, old or new, whatever happens.
func replace(path string, data []byte) error {
	err := func() error {
		at, err := filepath.EvalSymlinks(path)
		if err != nil {
			return err
		}
		info, err := os.Stat(at)
		if err != nil {
			return err
		}
		f, err := os.CreateTemp(filepath.Dir(at), "."+filepath.Base(at)+"-*")
		if err != nil {
			return err
		}
		defer os.Remove(f.Name()) // fails once it has its name
		_, err = f.Write(data)
		if err := errors.Join(err, f.Chmod(info.Mode()), f.Sync(), f.Close()); err != nil {
			return err
		}
		return os.Rename(f.Name(), at)
	}()
	if err != nil {
		return fmt.Errorf("%s: cannot be written: %w", path, reason(err))
	}
	return nil
}

// withSection puts the section in the place of the one that a file has, or
// behind its end, and leaves every other byte as it was.
func withSection(name string, data []byte, section string) ([]byte, error) {
	root, _ := yamldoc.Parse(name, data)
	if root == nil || root.Kind != yamldoc.Map || len(root.Pairs) == 0 || root.Pairs[0].Key.Column != 1 {
		return nil, complaint{name + ": is not written line by line", "put the section there by hand"}
	}
	lines := strings.SplitAfter(string(data), "\n")
	first, next := len(lines), len(lines)
	for i, p := range root.Pairs {
		if p.Key.Text == "midi" {
			first = p.Key.Line - 1
			if i+1 < len(root.Pairs) {
				next = root.Pairs[i+1].Key.Line - 1
			}
		}
	}
	// What is not indented behind the section is a comment on what comes next.
	for next > first+1 && !strings.HasPrefix(lines[next-1], " ") {
		next--
	}
	if strings.Contains(string(data), "\r\n") {
		section = strings.ReplaceAll(section, "\n", "\r\n")
	}
	before := strings.Join(lines[:first], "")
	if first == len(lines) {
		if !strings.HasSuffix(before, "\n") {
			before += "\n"
		}
		before += "\n"
	}
	changed := []byte(before + section + strings.Join(lines[next:], ""))
	again, source := yamldoc.Parse(name, changed)
	if again == nil || len(source.Findings) > 0 || !sameBut(root, again, "midi") {
		return nil, complaint{name + ": the section does not go into it line by line", "put it there by hand"}
	}
	return changed, nil
}

// sameBut reports whether two maps are the same but for one key.
func sameBut(a, b *yamldoc.Node, key string) bool {
	without := func(n *yamldoc.Node) (pairs []yamldoc.Pair) {
		for _, p := range n.Pairs {
			if p.Key.Text != key {
				pairs = append(pairs, p)
			}
		}
		return pairs
	}
	return samePairs(without(a), without(b))
}

func samePairs(a, b []yamldoc.Pair) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Key.Text != b[i].Key.Text || !sameNode(a[i].Value, b[i].Value) {
			return false
		}
	}
	return true
}

func sameNode(a, b *yamldoc.Node) bool {
	if a.Kind != b.Kind || a.Text != b.Text || len(a.Items) != len(b.Items) {
		return false
	}
	for i := range a.Items {
		if !sameNode(a.Items[i], b.Items[i]) {
			return false
		}
	}
	return samePairs(a.Pairs, b.Pairs)
}
