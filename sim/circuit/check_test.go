package circuit

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/wiring"
)

// 61 notes do not go on a cable of 50 wires. Where the wires have numbers, the
// rules of the wiring say so, and it is not said again.
func TestSixtyOneNotesDoNotGoOnFiftyWires(t *testing.T) {
	p := right()
	p.cable = strings.Replace(p.cable, "75", "50", 1)
	r, in := p.load(t)
	const stop = "error item-not-wired" // whose contact the bench leaves out
	require.Equal(t, []string{"error pin-off-board", stop}, rules(wiring.Check(r, in)))
	require.Empty(t, Check(r, in))
	r.Plan[1].Wires = nil
	require.Equal(t, []string{stop}, rules(wiring.Check(r, in)))
	found := Check(r, in)
	require.Equal(t, []string{"error cable-short"}, rules(found))
	require.Equal(t, "what runs in CX1 needs 61 wires, and it has 50", found[0].Message)
	require.Equal(t, r.Plan[1].At, found[0].Place)
}

// The edition stands in the message. When 650.4 began to ask for a listed supply
// is not known, so before 2020 it is a warning, from memory.
func TestTheEditionIsNamed(t *testing.T) {
	for edition, want := range map[string]string{
		"":                "error: NEC 2020, 650.4: supply main is not listed (read in summaries of 2020)",
		", edition: 2017": "warning: NEC 2017, 650.4: supply main is not listed (from memory)",
		", edition: 2020": "error: NEC 2020, 650.4: supply main is not listed (read in summaries of 2020)",
		", edition: 2023": "error: NEC 2023, 650.4: supply main is not listed (read in summaries of 2020)",
	} {
		p := right()
		p.electrical += edition
		p.supply = strings.Replace(p.supply, "listed: true", "listed: false", 1)
		found := Check(p.load(t))
		require.Len(t, found, 1)
		require.Equal(t, want, string(found[0].Severity)+": "+found[0].Message)
	}
}

func TestFindings(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*parts)
		want   []string
	}{
		"a relay that is right":          {func(p *parts) {}, nil},
		"a pin over its limit":           {func(p *parts) { p.magnets = strings.Replace(p.magnets, "150", "20", 1) }, []string{"error pin-over"}},
		"a board over its limit":         {func(p *parts) { p.board = strings.Replace(p.board, "amps: 6,", "amps: 0.5,", 1) }, []string{"error board-over"}},
		"a fuse over its limit":          {func(p *parts) { p.board = strings.Replace(p.board, "fuse: 6", "fuse: 0.7", 1) }, []string{"error fuse-over"}},
		"a supply over its limit":        {func(p *parts) { p.supply = strings.Replace(p.supply, "amps: 20", "amps: 0.6", 1) }, []string{"error supply-over"}},
		"a magnet that does not pull in": {func(p *parts) { p.magnets = strings.Replace(p.magnets, "pull-in: 7", "pull-in: 11", 1) }, []string{"error pull-in-low"}},
		"a wire over its limit": {func(p *parts) {
			p.electrical, p.magnets = "code: none", "kinds: [valve], ohms: 3, pull-in: 4, diode: magnet, cathode: return"
			p.board = "amps-per-pin: 5, amps: 500, supply: main, fuse: 500, switches: negative, drop: 0"
			p.supply = strings.Replace(p.supply, "amps: 20", "amps: 500", 1)
			p.returns = "of: [flute], gauge: 1, length: 1 ft, wires: 9, side: positive"
		}, []string{"warning wire-over"}},
		"a return over its limit": {func(p *parts) {
			p.electrical, p.returns = "code: none", "of: [flute], gauge: 30, length: 1 ft, side: positive"
		}, []string{"error return-over"}},
		"a return too long":                           {func(p *parts) { p.returns = strings.Replace(p.returns, "60 ft", "1000 ft", 1) }, []string{"warning drop-over"}},
		"a magnet that just pulls in, if all are hot": {func(p *parts) { p.magnets = strings.Replace(p.magnets, "pull-in: 7", "pull-in: 10.17", 1) }, []string{"warning pull-in-low"}},
		"a pin, its fuse and its board over their limits, from one class": {func(p *parts) {
			p.magnets = strings.Replace(p.magnets, "150", "20", 1)
			p.board = strings.Replace(p.board, "fuse: 6", "fuse: 5", 1)
		}, []string{"error pin-over"}},
		"a fuse and its board over their limits, from one chord": {func(p *parts) {
			p.board = strings.Replace(strings.Replace(p.board, "fuse: 6", "fuse: 0.7", 1), "amps: 6", "amps: 0.5", 1)
		}, []string{"error board-over"}},
		"a coil for short pulses that is held": {func(p *parts) { p.magnets += ", duty: 0.1" }, []string{"error duty-over"}},
		"no diode": {func(p *parts) {
			p.magnets = strings.Replace(p.magnets, "diode: magnet, cathode: return", "diode: none", 1)
		}, []string{"error diode-missing"}},
		"a diode the wrong way round":          {func(p *parts) { p.magnets = strings.Replace(p.magnets, "cathode: return", "cathode: pin", 1) }, []string{"error diode-reversed"}},
		"a return on the wrong pole":           {func(p *parts) { p.returns = strings.Replace(p.returns, "positive", "negative", 1) }, []string{"error return-mixed"}},
		"a board that switches the wrong side": {func(p *parts) { p.board = strings.Replace(p.board, "negative", "positive", 1) }, []string{"error return-mixed"}},
		"a fuse in a return":                   {func(p *parts) { p.returns += ", fuse: 10" }, []string{"warning return-fused"}},
		"electronics on the return of magnets": {func(p *parts) { p.returns += ", logic: true" }, []string{"warning return-shared"}},
		"no return":                            {func(p *parts) { p.returns = "kinds: [note], gauge: 14, length: 3 m" }, []string{"warning no-return"}},
		"few wires to spare":                   {func(p *parts) { p.cable = strings.Replace(p.cable, "75", "62", 1) }, []string{"note spares-few"}},
		"first wires that look alike":          {func(p *parts) { p.cable += ", code: 25-pair, banded: ring-only" }, []string{"warning tips-alike"}},
		"650.4: over 30 V":                     {func(p *parts) { p.supply = strings.Replace(p.supply, "volts: 12", "volts: 31", 1) }, []string{"error code-650-4"}},
		"650.4: over 30 V only without load":   {func(p *parts) { p.supply = strings.Replace(p.supply, "volts: 12", "volts: {idle: 30.1, full: 28}", 1) }, []string{"error code-650-4"}},
		"650.4: not listed":                    {func(p *parts) { p.supply = strings.Replace(p.supply, "listed: true", "listed: false", 1) }, []string{"error code-650-4"}},
		"650.5: not bonded":                    {func(p *parts) { p.supply = strings.Replace(p.supply, "bonded", "none", 1) }, []string{"error code-650-5"}},
		"650.6: magnets on 28 AWG":             {func(p *parts) { p.cable = strings.Replace(p.cable, "gauge: 24", "gauge: 28", 1) }, []string{"error code-650-6"}},
		"650.6: a main return of 16 AWG":       {func(p *parts) { p.returns = strings.Replace(p.returns, "gauge: 14", "gauge: 16", 1) }, []string{"error code-650-6"}},
		"650.6: nothing against flame":         {func(p *parts) { p.cable = strings.Replace(p.cable, "flame-rated", "none", 1) }, []string{"error code-650-6"}},
		"650.8: 26 AWG behind 10 A": {func(p *parts) {
			p.cable = strings.Replace(p.cable, "24", "26", 1)
			p.board = strings.Replace(p.board, "fuse: 6", "fuse: 10", 1)
		}, []string{"error code-650-8"}},
		"650.8: contacts on 28 AWG behind 10 A": {func(p *parts) { p.keys += ", fuse: 10" }, []string{"error code-650-8"}},
		"650.8: contacts on 28 AWG behind 6 A":  {func(p *parts) { p.keys += ", fuse: 6" }, nil},
		"without a code 26 AWG behind 10 A may be": {func(p *parts) {
			p.electrical = "code: none"
			p.cable = strings.Replace(p.cable, "24", "26", 1)
			p.board = strings.Replace(p.board, "fuse: 6", "fuse: 10", 1)
		}, nil},
		"IEC: touchable up to 60 V": {func(p *parts) {
			p.electrical = "code: iec"
			p.supply = strings.Replace(p.supply, "volts: 12", "volts: 61", 1)
		}, []string{"error touch-voltage"}},
		"IEC: 30 V are no matter": {func(p *parts) {
			p.electrical = "code: iec"
			p.supply = strings.Replace(p.supply, "volts: 12", "volts: 30", 1)
		}, nil},
		"a feed thinner than its fuse asks for": {func(p *parts) { p.board += ", feed: {gauge: 24, length: 3 m}" }, []string{"warning wire-over"}},
		"two supplies that do not share": {func(p *parts) {
			p.supply += "}, other: {volts: 12, amps: 20, listed: true, grounding: bonded"
			p.keys = strings.Replace(p.keys, "threshold", "supply: main, threshold", 1)
			p.board = strings.Replace(p.board, "supply: main", "supply: [main, other]", 1)
		}, []string{"error supplies-paralleled"}},
		"two supplies that share": {func(p *parts) {
			p.supply += ", shares: true}, other: {volts: 12, amps: 20, listed: true, grounding: bonded, shares: true"
			p.keys = strings.Replace(p.keys, "threshold", "supply: main, threshold", 1)
			p.board = strings.Replace(p.board, "supply: main", "supply: [main, other]", 1)
		}, nil},
		"an input that is left less than it needs":      {func(p *parts) { p.keys = "threshold: 11.5, ohms: 2200, drop: 0.7" }, []string{"error input-low"}},
		"an input that is left only just what it needs": {func(p *parts) { p.keys = "threshold: 11, ohms: 2200" }, []string{"warning input-low"}},
		"an input behind 200 m of thin wire, 26.8 ohms": {func(p *parts) {
			p.keys, p.lines = "threshold: 8, ohms: 60", strings.Replace(strings.Replace(p.lines, "60 ft", "200 m", 1), "28", "26", 1)
		}, []string{"warning input-low"}},
		"contacts on wires of no gauge":     {func(p *parts) { p.lines = strings.Replace(p.lines, "gauge: 28, ", "", 1) }, []string{"note electrical-unchecked"}},
		"contacts on wires of no length":    {func(p *parts) { p.lines = strings.Replace(p.lines, "length: 60 ft, ", "", 1) }, []string{"note electrical-unchecked"}},
		"an input without its ohms":         {func(p *parts) { p.keys = "threshold: 8" }, []string{"note electrical-unchecked"}},
		"a link whose loss leaves notes on": {func(p *parts) { p.more += "\nlinks: {console: {to: [X1, K1], on-loss: hold}}" }, []string{"error link-holds"}},
		"a link whose loss silences":        {func(p *parts) { p.more += "\nlinks: {console: {to: X1, on-loss: silence}}" }, nil},
		"a link of which that is not said":  {func(p *parts) { p.more += "\nlinks: {console: {to: X1}}" }, []string{"note electrical-unchecked"}},
		"two runs that fit a cable one by one": {func(p *parts) {
			p.cable, p.more = p.cable+"}, CX2: {"+strings.Replace(p.cable, "75", "3", 1), p.more+"\nstrips: {J1: {pins: 9}}\njoins: joins.csv"
		}, []string{"error cable-short"}},
		"colours that begin again":          {func(p *parts) { p.cable += ", code: din-47100-repeating" }, []string{"warning tips-alike"}},
		"colours that do not begin again":   {func(p *parts) { p.cable += ", code: din-47100-three-colours" }, nil},
		"650.6: signals on 30 AWG":          {func(p *parts) { p.lines = strings.Replace(p.lines, "gauge: 28", "gauge: 30", 1) }, []string{"error code-650-6"}},
		"650.6: wires in cotton":            {func(p *parts) { p.cable = strings.Replace(p.cable, "thermoplastic", "other", 1) }, []string{"error code-650-6"}},
		"650.6: a cable without a covering": {func(p *parts) { p.cable = strings.Replace(p.cable, "overall", "none", 1) }, []string{"warning code-650-6"}},
		"650.6: wires from place to place in no cable": {func(p *parts) {
			p.more = "places: {console: {of: [K1, J1], enclosed: true}, loft: {of: [X1], enclosed: true}}\nstrips: {J1: {pins: 9}}\njoins: loose.csv"
		}, []string{"warning code-650-6"}},
		"650.7: a cable that is not fastened": {func(p *parts) { p.cable = strings.Replace(p.cable, "fastened: true", "fastened: false", 1) }, []string{"error code-650-7"}},
		"650.7: a cable that leads nowhere": {func(p *parts) {
			p.lines += "}, OLD: {wires: 25, insulation: other, covering: overall, protection: flame-rated, fastened: true"
		}, []string{"error code-650-6", "error code-650-7"}},
		"650.7: one that is tagged": {func(p *parts) {
			p.lines += "}, OLD: {wires: 25, insulation: thermosetting, covering: overall, protection: flame-rated, fastened: true, tag: to the loft"
		}, nil},
		"650.8: 18 AWG behind 10 A": {func(p *parts) {
			p.cable = strings.Replace(p.cable, "24", "18", 1)
			p.board = strings.Replace(p.board, "fuse: 6", "fuse: 10", 1)
		}, []string{"error code-650-8"}},
		"650.8: 22 AWG behind 10 A": {func(p *parts) {
			p.cable = strings.Replace(p.cable, "24", "22", 1)
			p.board = strings.Replace(p.board, "fuse: 6", "fuse: 10", 1)
		}, []string{"error code-650-8"}},
		"650.8: 22 AWG behind 7 A": {func(p *parts) {
			p.cable = strings.Replace(p.cable, "24", "22", 1)
			p.board = strings.Replace(p.board, "fuse: 6", "fuse: 7", 1)
		}, nil},
		"650.8: 16 AWG behind 10 A": {func(p *parts) {
			p.cable = strings.Replace(p.cable, "24", "16", 1)
			p.board = strings.Replace(p.board, "fuse: 6", "fuse: 10", 1)
		}, nil},
		"650.9: magnets where anybody may touch them": {func(p *parts) { p.more = strings.Replace(p.more, "[X1], enclosed: true", "[X1], enclosed: false", 1) }, []string{"warning code-650-9"}},
		"650.9: a console may be open":                {func(p *parts) { p.more = strings.Replace(p.more, "[K1], enclosed: true", "[K1], enclosed: false", 1) }, nil},
		"IEC: no extra-low voltage": {func(p *parts) {
			p.electrical = "code: iec"
			p.supply = strings.Replace(p.supply, "volts: 12", "volts: 121", 1)
			p.magnets = strings.Replace(p.magnets, "150", "999", 1)
		}, []string{"error touch-voltage"}},
		"IEC: over 30 V is worth a note": {func(p *parts) {
			p.electrical = "code: iec"
			p.supply = strings.Replace(p.supply, "volts: 12", "volts: 36", 1)
		}, []string{"note touch-voltage"}},
		"IEC: the ripple of a bare rectifier": {func(p *parts) {
			p.electrical = "code: iec"
			p.supply = strings.Replace(strings.Replace(p.supply, "volts: 12", "volts: 30", 1), "0.05", "0.48", 1)
		}, []string{"error touch-voltage"}},
		"IEC: a supply without safe separation": {func(p *parts) {
			p.electrical = "code: iec"
			p.supply = strings.Replace(p.supply, "selv", "felv", 1)
		}, []string{"error touch-voltage"}},
		"no code is asked for":                         {func(p *parts) { p.electrical = "" }, []string{"note electrical-unchecked"}},
		"what is not given is said once, and not more": {func(p *parts) { p.magnets = "kinds: [valve], ohms: 150" }, []string{"note electrical-unchecked"}},
	} {
		t.Run(name, func(t *testing.T) {
			p := right()
			c.change(&p)
			found := Check(p.load(t))
			require.ElementsMatch(t, append([]string{}, c.want...), rules(found), "%v", found)
			for _, f := range found {
				require.NotEmpty(t, f.File)
				require.True(t, f.Line > 0 || f.Rule == Unchecked, "%v", f)
				if strings.HasPrefix(f.Rule, "code-") {
					require.Contains(t, f.Message, "NEC 2020, 650."+f.Rule[len("code-650-"):])
				}
			}
		})
	}
}
