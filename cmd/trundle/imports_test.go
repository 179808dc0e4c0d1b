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
	deps := ownDependencies(t)
	require.Contains(t, deps, "console", "go list lists nothing of ours")
	require.Contains(t, deps, "cmd/trundle")
	for pkg, imports := range deps {
		for _, imported := range imports {
			require.True(t, mayImport(pkg, imported), "%s leads to %s", pkg, imported)
		}
	}
}

func TestTheLayersRefuseWhatTheyShould(t *testing.T) {
	for name, c := range map[string]struct {
		pkg, imported string
		want          bool
	}{
		"console leads to its own parts":                 {"console", "console/finding", true},
		"console leads to nothing above it":              {"console", "sim/wiring", false},
		"a part of console leads to nothing above it":    {"console/yamldoc", "midiio", false},
		"the plain model leads to console":               {"console/plain", "console", true},
		"the plain model leads to findings":              {"console/plain", "console/finding", true},
		"the plain model leads to no other model":        {"console/plain", "sim/logic", false},
		"combination leads to console":                   {"combination", "console", true},
		"combination does not lead to midiio":            {"combination", "midiio", false},
		"midiio does not lead to combination":            {"midiio", "combination", false},
		"the bench leads to midiio":                      {"sim/bench", "midiio", true},
		"the rest of sim does not lead to midiio":        {"sim/wiring", "midiio", false},
		"the certificate does not lead to the proof":     {"sim/certificate", "sim/proof", false},
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
	case pkg == "console/plain":
		return imported == "console" || imported == "console/finding"
	case top == "console":
		return to == "console"
	case top == "combination", top == "midiio":
		return to == top || to == "console"
	case to == "midiio":
		return pkg == "sim/bench"
	case path.Base(pkg) == "certificate":
		return imported != "sim/proof"
	}
	return true
}

// layer is the top folder of a package.
func layer(pkg string) string {
	top, _, _ := strings.Cut(pkg, "/")
	return top
}

// ownDependencies is, for every package of this module, those of this module
// that its build takes in, by path within the module.
func ownDependencies(t *testing.T) map[string][]string {
	t.Helper()
	list := exec.Command("go", "list", "-f", "{{.ImportPath}} {{join .Deps \" \"}}", "trundle/...")
	out, err := list.Output()
	require.NoError(t, err)
	deps := map[string][]string{}
	for entry := range strings.Lines(string(out)) {
		packages := slices.DeleteFunc(strings.Fields(entry), func(p string) bool { return !strings.HasPrefix(p, "trundle/") })
		for i := range packages {
			packages[i] = strings.TrimPrefix(packages[i], "trundle/")
		}
		deps[packages[0]] = packages[1:]
	}
	return deps
}
