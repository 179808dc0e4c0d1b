package console

// Idle reports whether nothing is counted anywhere.
func (s *Sounding) Idle() bool {
	for _, counts := range [][]int32{s.moved, s.own, s.line, s.paths} {
		for _, n := range counts {
			if n != 0 {
				return false
			}
		}
	}
	return s.open == 0
}
