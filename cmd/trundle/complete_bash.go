package main

import (
	"bytes"
	"io"
	"strings"

	"github.com/spf13/cobra"
)

// writeBashScript writes the script of cobra for bash, mended in one thing: it
// compares what is typed with names in which bash has put a backslash before
// each comma, so that it would complete nothing behind one.
func writeBashScript(root *cobra.Command, out io.Writer, descriptions bool) error {
	var script bytes.Buffer
	if err := root.GenBashCompletionV2(&script, descriptions); err != nil {
		return err
	}
	mended := strings.NewReplacer(
		`comp=$(printf "%q" "${compline%%$tab*}")`+"\n", `comp=$(printf "%q" "${compline%%$tab*}")`+"\n        comp=${comp//\\\\,/,}\n",
		`COMPREPLY[0]=$(printf "%q" "${COMPREPLY[0]%%$tab*}")`+"\n", `COMPREPLY[0]=$(printf "%q" "${COMPREPLY[0]%%$tab*}")`+"\n        COMPREPLY[0]=${COMPREPLY[0]//\\\\,/,}\n",
		`COMPREPLY[0]=$(printf "%q" "${COMPREPLY[0]}")`+"\n", `COMPREPLY[0]=$(printf "%q" "${COMPREPLY[0]}")`+"\n            COMPREPLY[0]=${COMPREPLY[0]//\\\\,/,}\n",
	)
	_, err := mended.WriteString(out, script.String())
	return err
}
