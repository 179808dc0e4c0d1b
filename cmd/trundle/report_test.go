package main

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/cmd/trundle/paper"
	"trundle/console"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

func checkedSaltmarsh(t *testing.T, relay string) *checked {
	c, err := check("examples/saltmarsh/organ.yaml", "examples/"+relay+"/relay.yaml")
	require.NoError(t, err)
	require.NotNil(t, c.relay)
	return c
}

func TestEveryCableHasATagForEachEnd(t *testing.T) {
	relay := checkedSaltmarsh(t, "saltmarsh").relay
	tags := cableTags(relay)
	require.Len(t, tags, 2*len(relay.Cables), "the schedule leads every cable of the file somewhere")
	of := map[string][]paper.Tag{}
	for _, tag := range tags {
		of[tag[0]] = append(of[tag[0]], tag)
	}
	for cable, pair := range of {
		require.Len(t, pair, 2, cable)
		this, other := pair[0][1], pair[0][2]
		require.Equal(t, strings.Replace(this, "this end", "other end", 1), pair[1][2])
		require.Equal(t, strings.Replace(other, "other end", "this end", 1), pair[1][1])
	}
	// As joins.csv and wiring.csv have them.
	require.Equal(t, paper.Tag{"T1", "this end: at X1.1..61", "other end: at J1.1..61", "61 of 64 wires used"}, of["T1"][0])
	require.Equal(t, "28 of 50 wires used, code 25-pair", of["CS1"][0][3])
	require.Equal(t, "other end: note great", of["CJ1"][0][2])
	require.Equal(t, "other end: 28 stop, great-bourdon-16 to pedal-oboe-4", of["CS1"][0][2])
}

func TestAPageOfABoardHasThePinsThatOnlyAJoinLeadsTo(t *testing.T) {
	c := checkedSaltmarsh(t, "saltmarsh")
	order, pins := pinsByBoard(c.relay, pinPapers(c.in, c.relay))
	require.Equal(t, "J1", order[len(order)-1], "strips come after boards")
	x1 := pins["X1"]
	require.Len(t, x1, 64)
	require.Equal(t, pinPaper{Pin: "X1.1", Kind: "join", Item: "J1.1", Cable: "T1", Wire: 1}, x1[0])
	for i, p := range x1 {
		require.Equal(t, i+1, pinNumber(p.Pin), "in order")
	}
	require.Equal(t, string(wiring.SpareKind), x1[63].Kind)
	require.Equal(t, "note", pins["J1"][0].Kind, "what hangs there is not said twice")
}

// The drops around a loop come to the volts of its source (Kirchhoff's second law).
func TestTheDrawingOfTheDropShowsWhereAllVoltsGo(t *testing.T) {
	s, err := currentSection(checkedSaltmarsh(t, "currents"))
	require.NoError(t, err)
	for _, part := range s.Parts {
		if part.Drawing != nil {
			require.Contains(t, part.Drawing.Text, "Of 14.50 V, ", "the supply of examples/currents")
			return
		}
	}
	t.Fatal("there is no drawing")
}

func TestAButtonTakesWhatAnEarlierOneDoes(t *testing.T) {
	general := func(id string, takes ...string) buttonPaper {
		return buttonPaper{Button: id, Kind: "general", Takes: takes}
	}
	buttons := []buttonPaper{
		general("1", "a", "b", "c", "d"),
		general("2", "a", "b", "c", "d"),
		general("3", "a", "c", "d"),
		general("4", "d", "e"),
		{Button: "5", Kind: "reversible", Takes: []string{"a"}},
		{Button: "6", Kind: "set"},
	}
	for i, want := range []string{"all stops, couplers, unison offs and tremulants", "as 1", "as 1 without b", "d, e", "a", ""} {
		require.Equal(t, want, takesOf(buttons, i))
	}
}

func TestManyDivisionsHaveSeveralDrawings(t *testing.T) {
	in := checkedSaltmarsh(t, "saltmarsh").in
	require.Len(t, couplerDrawings(in), 1)
	for len(in.Divisions) < 9 {
		in.Divisions = append(in.Divisions, console.Division{ID: "more", Name: "more", Keyboard: console.None})
	}
	drawings := couplerDrawings(in)
	require.Len(t, drawings, 3)
	for _, d := range drawings {
		require.LessOrEqual(t, d.Width, 740, "paper of 180 mm between its margins is 680 such units wide")
	}
	require.Equal(t, "Which keyboard reaches which division, divisions 9 to 9", drawings[2].Title)
}

// Who signs adds up: what is rated, less what no chord exceeds, less what knobs draw
// while they move.
func TestTheMarginAddsUpFromItsColumns(t *testing.T) {
	s, err := currentSection(checkedSaltmarsh(t, "currents"))
	require.NoError(t, err)
	table := s.Parts[0].Table
	cell := func(row []string, head string) float64 {
		text := row[slices.Index(table.Head, head)]
		if text == "" {
			return 0
		}
		amps, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		return amps
	}
	moving := 0
	for _, row := range table.Rows {
		if cell(row, "knobs") > 0 {
			moving++
		}
		if cell(row, "rated") > 0 {
			require.InDelta(t, cell(row, "rated")-cell(row, "no chord exceeds")-cell(row, "knobs"), cell(row, "margin"), 0.0021, "%v, each rounded to a thousandth", row)
		}
	}
	require.NotZero(t, moving, "knobs move behind some fuse")
}

// Where only a part is proven, the papers say of which valves it is, of which it is
// not, and of which neither is known.
func TestThePapersSayWhatIsProvenAndWhatIsNot(t *testing.T) {
	const first = "great-principal" // the first rank of the file
	for name, x := range map[string]struct {
		proof     proof.Result
		has, lack []string
	}{
		"some are not decided": {proof.Result{Verdict: proof.NotDecided, Reason: "the search was given up before it ended", Outputs: 100, Undecided: []int{0, 1}},
			[]string{"neither proven nor refuted", "Not decided are 2 valves: " + first + ":1..2.", "Proven are the other 98 valves: "}, []string{"No valve is proven"}},
		"some differ": {proof.Result{Verdict: proof.Different, Outputs: 100, Differing: []int{2}},
			[]string{"1 of 100 valves open otherwise than they should in some state: " + first + ":3.", "Proven are the other 99 valves: "}, []string{"Not decided"}},
		"some differ, and some are not decided": {proof.Result{Verdict: proof.Different, Outputs: 100, Differing: []int{2}, Undecided: []int{0}},
			[]string{": " + first + ":3.", "Not decided are 1 valve: " + first + ":1.", "Proven are the other 98 valves: "}, nil},
		"nothing was compared": {proof.Result{Verdict: proof.NotDecided, Reason: "a row that picks depends on its own outcome", Outputs: 100},
			[]string{"a row that picks depends on its own outcome", "No valve is proven to open when it should."}, []string{"Proven are"}},
		"what was found is not confirmed": {proof.Result{Verdict: proof.NotDecided, Reason: "running the relay does not confirm the difference found", Outputs: 100, Differing: []int{1}, Undecided: []int{2}},
			[]string{"No valve is proven to open when it should."}, []string{"Proven are"}},
		"all are equal": {proof.Result{Verdict: proof.Equal, Outputs: 100},
			[]string{"all 100 valves open exactly when they should"}, []string{"Proven are", "No valve", "Not decided"}},
	} {
		t.Run(name, func(t *testing.T) {
			c := checkedSaltmarsh(t, "saltmarsh")
			require.Equal(t, first, c.in.Ranks[0].ID)
			c.proof = &x.proof
			text := strings.Join(proofSection(c).Text, "\n")
			for _, words := range x.has {
				require.Contains(t, text, words)
			}
			for _, words := range x.lack {
				require.NotContains(t, text, words)
			}
		})
	}
}
