package probe

import (
	"math/rand/v2"

	"trundle/console"
)

// chance are steps of controls drawn by chance, the same ones every time: of
// those that move keys a third, of the others a sixth.
func (p *planner) chance() {
	movers := p.listMovers()
	r := rand.New(rand.NewPCG(1, uint64(len(p.in.Controls))))
	for range 4 * len(movers) {
		var draw []int
		for c, control := range p.in.Controls {
			odds := 6
			switch control.Kind {
			case console.CouplerControl, console.UnisonOffControl, console.TransferControl, console.DivideControl:
				odds = 3
			}
			if r.IntN(odds) == 0 {
				draw = append(draw, c)
			}
		}
		for k := range p.in.Keyboards {
			p.sparse(draw, k)
		}
	}
}
