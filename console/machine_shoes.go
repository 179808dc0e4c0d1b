package console

import "slices"

// stageAt is the stage that a position of a shoe means where there are so many
// stages beside 0: floor(v * (n + 1) / 128) for seven bits v.
func stageAt(position, stages int) int { return position * (stages + 1) / (ShoeMost + 1) }

func (m *Machine) shoe(shoe, position int) {
	if m.positions[shoe] == position {
		return
	}
	m.positions[shoe] = position
	if m.in.Shoes[shoe].Crescendo {
		m.toStage(m.hysteresis(position))
	}
	m.moveBoxes()
}

// hysteresis is the crescendo's stage at a position: the stage that the
// position means, but back only half a stage below where it came on.
func (m *Machine) hysteresis(position int) int {
	stages := m.stages()
	stage := stageAt(position, stages)
	if stage < m.stage {
		half := (2*position*(stages+1)/(ShoeMost+1) + 1) / 2
		stage = min(m.stage, half)
	}
	return stage
}

// stages is how many stages the crescendo has.
func (m *Machine) stages() int {
	if len(m.stageDoes) == 0 {
		return 0
	}
	return len(m.stageDoes[m.sequence]) - 1
}

func (m *Machine) toStage(stage int) {
	if m.stage == stage {
		return
	}
	m.stage = stage
	m.effect(Effect{Kind: StageEffect, Value: stage})
	m.worked = true
}

// toSequence takes another sequence of the crescendo, at the same position of
// its shoe, or at the same stage if it was not the shoe that brought it there.
func (m *Machine) toSequence(sequence int) {
	if m.sequence == sequence {
		return
	}
	m.sequence = sequence
	m.effect(Effect{Kind: SequenceEffect, Index: sequence})
	stage := min(m.stage, m.stages())
	for i, shoe := range m.in.Shoes {
		if shoe.Crescendo && m.positions[i] > 0 {
			stage = stageAt(m.positions[i], m.stages())
		}
	}
	if stage != m.stage {
		m.stage = stage
		m.effect(Effect{Kind: StageEffect, Value: stage})
	}
	m.worked = true
}

// moveBoxes lets every box follow the shoe that drives it.
func (m *Machine) moveBoxes() {
	for b, box := range m.in.Boxes {
		stage := 0
		if shoe := m.drives(b); shoe != None {
			stage = stageAt(m.positions[shoe], box.Stages)
		}
		if stage == m.boxes[b] {
			continue
		}
		for magnet := 1; magnet <= box.Magnets(); magnet++ {
			if now := box.Energized(stage, magnet); now != box.Energized(m.boxes[b], magnet) {
				m.effect(Effect{Kind: MagnetEffect, Index: b, Part: magnet, Value: bit(now)})
			}
		}
		m.boxes[b] = stage
		m.effect(Effect{Kind: ShadesEffect, Index: b, Value: stage})
	}
}

// drives is the shoe that drives a box: its own, or the one that a gathering
// puts it on.
func (m *Machine) drives(box int) int {
	for _, g := range m.in.Gatherings {
		if m.on[g.Control] {
			return g.Shoe
		}
	}
	return slices.IndexFunc(m.in.Shoes, func(s Shoe) bool { return slices.Contains(s.Boxes, box) })
}
