package console

import (
	"fmt"
	"slices"

	"trundle/console/finding"
)

// badCompass finds keyboards that no console has, and spans that leave
// nothing to act on.
func badCompass(in *Instrument) []finding.Finding {
	findings := unlikelyKeyboards(in)
	nothing := func(at finding.Place, fix, format string, args ...any) {
		findings = append(findings, finding.Finding{
			Severity: finding.Error, Place: at, Message: fmt.Sprintf(format, args...), Fix: fix,
		})
	}
	for _, d := range in.Divisions {
		if d.Keyboard == None {
			continue
		}
		if keys := in.Keyboards[d.Keyboard].Keys; keys.Cut(d.Notes).Len() == 0 {
			nothing(d.At, "", "division %s has the notes %s, and its keyboard the keys %s: none in common", d.ID, d.Notes, keys)
		}
	}
	for _, c := range in.Chests {
		for _, d := range c.Plays {
			if c.HasNoteLines() && c.Notes.Cut(in.Divisions[d].Notes).Len() == 0 {
				nothing(c.At, "", "chest %s has no note line for a note of division %s", c.ID, in.Divisions[d].ID)
			}
		}
	}
	for _, s := range in.Stops {
		d := in.Divisions[s.Division]
		if s.Notes.Cut(d.Notes).Len() == 0 {
			nothing(s.At, "name notes within "+d.Notes.String(), "stop %s answers to %s, and division %s has no such note", s.ID, s.Notes, d.ID)
			continue
		}
		for _, t := range s.Takes {
			if t.Notes.Cut(s.Notes).Cut(d.Notes).Len() == 0 {
				nothing(t.At, "name notes within "+s.Notes.Cut(d.Notes).String(), "stop %s takes rank %s for %s, and has no such note", s.ID, in.Ranks[t.Rank].ID, t.Notes)
			}
		}
	}
	for _, c := range in.Couplers {
		reads, notes := in.reads(c), in.Divisions[c.Division].Notes
		switch {
		case reads.Len() == 0:
			nothing(c.At, "", "coupler %s passes the keys %s, and there are no such keys", c.ID, c.Keys)
		case (Span{reads.From + Note(c.Shift), reads.To + Note(c.Shift)}).Cut(notes).Len() == 0:
			nothing(c.At, "", "coupler %s shifts %s by %d, past every note of division %s", c.ID, reads, c.Shift, in.Divisions[c.Division].ID)
		}
	}
	if !slices.ContainsFunc(in.Keyboards, func(k Keyboard) bool { return k.Touches == 2 }) {
		const fix = "give the keyboard touches: 2, or take touch: 2 away"
		for _, s := range in.Stops {
			if s.Touch == 2 {
				nothing(s.At, fix, "stop %s reads the second contact of keys, and no keyboard has two", s.ID)
			}
		}
		for _, c := range in.Couplers {
			if c.Touch == 2 {
				nothing(c.At, fix, "coupler %s reads the second contact of keys, and no keyboard has two", c.ID)
			}
		}
	}
	for _, d := range in.Divides {
		if keys := in.Keyboards[d.Keyboard].Keys; !keys.Has(d.Split) || d.Split == keys.From {
			nothing(d.At, "", "divide %s splits at %s, which leaves one side of %s without keys", d.ID, d.Split, keys)
		}
	}
	return findings
}

// reads is the span of keys or notes that a coupler can pass.
func (in *Instrument) reads(c Coupler) Span {
	if c.Keyboard != None {
		return c.Keys.Cut(in.Keyboards[c.Keyboard].Keys)
	}
	return c.Keys.Cut(in.Divisions[c.Division].Notes)
}

// unlikelyKeyboards finds compasses that no console has. There are manuals of 49 to 63 keys and
// pedals of 13 to 32, small portable and long ones a little beyond; the lowest
// key is C2, up to an octave lower in old long compasses (common practice, no
// source).
func unlikelyKeyboards(in *Instrument) []finding.Finding {
	var findings []finding.Finding
	for _, k := range in.Keyboards {
		fewest, most, lowest, latest := 24, 88, Note(24), Note(48)
		if k.Kind == Pedal {
			fewest, most, lowest, latest = 12, 37, 29, 41
		}
		f := finding.Finding{Severity: finding.Warning, Place: k.At}
		switch {
		case k.Keys.Len() == 1:
			f.Message = fmt.Sprintf("keyboard %s has one key, %s", k.ID, k.Keys.From)
			f.Fix = "write the lowest and the highest key, like C2..C7 for 61 keys"
		case k.Keys.Len() < fewest || k.Keys.Len() > most:
			f.Message = fmt.Sprintf("keyboard %s has %d keys, %s: no %s has so many or so few", k.ID, k.Keys.Len(), k.Keys, k.Kind)
		case k.Keys.From < lowest || k.Keys.From > latest:
			f.Message = fmt.Sprintf("the lowest key of keyboard %s is %s", k.ID, k.Keys.From)
			f.Fix = "name keys, not pitches: the lowest key of a manual and of a pedal is C2, whatever the footage"
		default:
			continue
		}
		findings = append(findings, f)
	}
	return findings
}
