// Package examples holds instruments and relays that a user can copy, each
// with cases that say what must sound, and the relay with planted mistakes
// that `trundle demo` checks.
package examples

import "embed"

// FS holds the examples, one directory each.
//
//go:embed README.md smallest floating saltmarsh saltmarsh-bad currents
var FS embed.FS
