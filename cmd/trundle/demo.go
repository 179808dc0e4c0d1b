package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"trundle/cmd/trundle/examples"
)

// Where the examples lie in a checkout, and how this program is run there.
const (
	examplesFolder = "cmd/trundle/examples"
	fromCheckout   = "go run ./cmd/trundle"
)

func demoCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "demo",
		Short: "Check a relay with planted mistakes, and say what to try next",
		Long: `Check the relay of Saltmarsh Hall, an invented organ of two manuals and pedal
that is part of this program. Mistakes of many kinds are planted in its wiring
and its switching; the demo shows what a check finds.`,
		Example: "  trundle demo",
		Args:    noArguments,
		RunE:    func(cmd *cobra.Command, args []string) error { return demo(cmd.OutOrStdout()) },
	}
}

// demo writes what a check finds in the bad relay. The examples are laid out
// in a folder for it, and named as they are in a checkout.
func demo(w io.Writer) error {
	folder, err := os.MkdirTemp("", "trundle-demo-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	if err := os.CopyFS(folder, examples.FS); err != nil {
		return err
	}
	c, err := check(filepath.Join(folder, "saltmarsh", "organ.yaml"), filepath.Join(folder, "saltmarsh-bad", "relay.yaml"))
	if err != nil {
		return err
	}
	ink := inkFor(w)
	var b strings.Builder
	b.WriteString(demoBefore)
	c.text(&b, ink, fromCheckout)
	b.WriteString(demoAfter)
	text := strings.ReplaceAll(b.String(), folder+string(filepath.Separator), examplesFolder+"/")
	_, err = io.WriteString(w, text)
	return err
}

const demoBefore = `Saltmarsh Hall is an invented organ of two manuals and pedal. Its relay was
designed, wired and soldered with mistakes of many kinds. This is what a check
of the files finds before anyone plays a note:

`

const demoAfter = `
Try next, in a checkout of this repository:

  the relay that is right:
    ` + fromCheckout + ` check ` + examplesFolder + `/saltmarsh/organ.yaml --relay ` + examplesFolder + `/saltmarsh/relay.yaml
  what sounds, and by which path:
    ` + fromCheckout + ` sound ` + examplesFolder + `/saltmarsh/organ.yaml --draw choir-flute-8,choir-octave,choir-to-great-8 --play great:C4
  what a finding means:
    ` + fromCheckout + ` explain pins-swapped
  where a valve hangs, and who drives it:
    ` + fromCheckout + ` where ` + examplesFolder + `/saltmarsh-bad/relay.yaml bourdon:26
  the stop list with its pipes:
    ` + fromCheckout + ` sheet ` + examplesFolder + `/saltmarsh/organ.yaml
`
