package circuit

import "trundle/console/finding"

// us holds the circuit against article 650 of the National Electrical Code
// (NFPA 70), by sections. What is said of how sure a limit is comes from what
// could be read: reprints and summaries of the 2020 text; every limit checked
// here is the same in 2017, 2020 and 2023 as far as could be seen.
func (k *checker) us() {
	edition := k.c.Settings.Edition
	for _, s := range k.c.Supplies {
		if s.Idle > 30 {
			k.add(Code6504, finding.Error, s.At, "take a supply of 30 V or less, without load too",
				"NEC %d, 650.4: supply %s has %g V without load, more than 30 V (read in summaries)", edition, s.ID, s.Idle)
		}
		if s.Listed == No {
			severity := finding.Error
			if edition < 2020 {
				severity = finding.Warning
			}
			k.add(Code6504, severity, s.At, "take a listed supply", "NEC %d, 650.4: supply %s is not listed (read for 2020; when it came in is not known)", edition, s.ID)
		}
		if s.Grounding == "none" {
			k.add(Code6505, finding.Error, s.At, "bond its case to the equipment grounding conductor, or take a double-insulated one",
				"NEC %d, 650.5: supply %s is neither double-insulated nor bonded (read in summaries of 2020)", edition, s.ID)
		}
	}
	fine := map[int]bool{}
	for _, l := range k.c.Loads {
		for _, leg := range l.Legs {
			cable := k.c.Cables[leg.Cable]
			id := k.relay.Cables[leg.Cable].ID
			if !cable.Gauge.Known() || fine[leg.Cable] {
				continue
			}
			if cable.Gauge.thinner(26) {
				fine[leg.Cable] = true
				k.add(Code6506, finding.Error, cable.At, "take 26 AWG or thicker", "NEC %d, 650.6(A): magnets are fed by %s of %v, thinner than 26 AWG (read in a reprint)", edition, id, cable.Gauge)
			} else if fuse := k.c.Boards[l.Board].Fuse; fuse != None && k.c.Fuses[fuse].Amps > 6 && cable.Gauge.thinner(24) {
				fine[leg.Cable] = true
				k.add(Code6508, finding.Error, k.c.Fuses[fuse].At, "fuse it at 6 A or less",
					"NEC %d, 650.8: %s of %v is behind a fuse of %g A, more than 6 A (read in a quotation)", edition, id, cable.Gauge, k.c.Fuses[fuse].Amps)
			}
		}
	}
	for i, cable := range k.c.Cables {
		if cable.Protection == "none" {
			k.add(Code6506, finding.Error, cable.At, "wind it with listed fireproof tape, or run it in a metal raceway",
				"NEC %d, 650.6(D): nothing keeps flame from spreading along %s (read in a summary)", edition, k.relay.Cables[i].ID)
		}
	}
	for _, back := range k.c.Returns {
		if back.Into == None && back.Gauge.Known() && back.Gauge.thinner(14) {
			k.add(Code6506, finding.Error, back.At, "take 14 AWG or thicker", "NEC %d, 650.6(A): the main return %s is %v, thinner than 14 AWG (the size from a summary)", edition, back.ID, back.Gauge)
		}
	}
}

// iec holds the supplies against the limits of extra-low voltage.
func (k *checker) iec() {
	for _, s := range k.c.Supplies {
		switch {
		case s.Idle > 120:
			k.add(TouchVoltage, finding.Error, s.At, "take a supply of 120 V or less", "supply %s has %g V without load: no extra-low voltage, which ends at 120 V DC free of ripple (IEC 61140, IEC 60364-4-41)", s.ID, s.Idle)
		case s.Idle > 60:
			k.add(TouchVoltage, finding.Error, s.At, "keep everything out of reach, or take 60 V or less", "supply %s has %g V without load: more than the 60 V DC that may be touched where it is dry (secondary sources)", s.ID, s.Idle)
		case s.Idle > 30:
			k.add(TouchVoltage, finding.Note, s.At, "", "supply %s has %g V without load: more than the 30 V DC that may be touched elsewhere than in the dry (IEC 60364-4-41, 414.4.5, from memory)", s.ID, s.Idle)
		}
	}
}
