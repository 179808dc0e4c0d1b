package main

import (
	"os/exec"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The packages form layers: console knows of no other, combination and midiio
// know console only, and the certificate is no use as a second opinion when it
// leans on the proof.
func TestPackagesImportOnlyWhatTheirLayerMay(t *testing.T) {
	deps := ours(t, "Deps")
	require.Contains(t, deps, "console", "go list lists nothing of ours")
	require.Contains(t, deps, "cmd/trundle")
	for pkg, imports := range deps {
		for _, imported := range imports {
			require.True(t, mayImport(pkg, imported), "%s leads to %s", pkg, imported)
		}
	}
}

// What judges the resolver shares nothing with it but the instrument as data.
func TestThePlainModelImportsTheInstrumentOnly(t *testing.T) {
	require.Equal(t, []string{"console"}, ours(t, "Imports")["console/plain"])
}

func TestTheLayersRefuseWhatTheyShould(t *testing.T) {
	for name, c := range map[string]struct {
		pkg, imported string
		want          bool
	}{
		"console leads to its own parts":                 {"console", "console/finding", true},
		"console leads to nothing above it":              {"console", "sim/wiring", false},
		"a part of console leads to nothing above it":    {"console/yamldoc", "midiio", false},
		"combination leads to console":                   {"combination", "console", true},
		"combination does not lead to midiio":            {"combination", "midiio", false},
		"midiio does not lead to combination":            {"midiio", "combination", false},
		"the bench leads to midiio":                      {"sim/bench", "midiio", true},
		"the rest of sim does not lead to midiio":        {"sim/wiring", "midiio", false},
		"the certificate does not lead to the proof":     {"sim/certificate", "sim/proof", false},
		"nor to the equations the proof is made of":      {"sim/certificate", "sim/equation", false},
		"the certificate leads to the wiring":            {"sim/certificate", "sim/wiring", true},
		"nothing leads to the command":                   {"sim/proof", "cmd/trundle", false},
		"the terminal console leads to what it controls": {"cmd/trundle/desk", "combination", true},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, c.want, mayImport(c.pkg, c.imported))
		})
	}
}

// mayImport reports whether one package of ours may lead to another.
func mayImport(pkg, imported string) bool {
	top, to := layer(pkg), layer(imported)
	switch {
	case to == "cmd":
		return top == "cmd"
	case top == "cmd":
		return true
	case top == "console":
		return to == "console"
	case top == "combination", top == "midiio":
		return to == top || to == "console"
	case to == "midiio":
		return pkg == "sim/bench"
	case path.Base(pkg) == "certificate":
		return !slices.Contains([]string{"sim/proof", "sim/logic", "sim/equation"}, imported)
	}
	return true
}

// layer is the top folder of a package.
func layer(pkg string) string {
	top, _, _ := strings.Cut(pkg, "/")
	return top
}

// ours is a list that go list has of every package of this module, without
// what is not of this module, by path within it.
func ours(t *testing.T, list string) map[string][]string {
	t.Helper()
	out, err := exec.Command("go", "list", "-f", "{{.ImportPath}} {{join ."+list+" \" \"}}", "trundle/...").Output()
	require.NoError(t, err)
	lists := map[string][]string{}
	for entry := range strings.Lines(string(out)) {
		packages := slices.DeleteFunc(strings.Fields(entry), func(p string) bool { return !strings.HasPrefix(p, "trundle/") })
		for i := range packages {
			packages[i] = strings.TrimPrefix(packages[i], "trundle/")
		}
		lists[packages[0]] = packages[1:]
	}
	return lists
}
