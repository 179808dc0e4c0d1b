package circuit

import "slices"

// sizes are the cheapest that the search finds, and the copper that no sizes go
// below: that of those, where the search came to its end. No part can be a size
// thinner, and none can have another size to the profit of the others. Every
// row must keep within its budget when all parts are as thick as can be.
func (f *fit) sizes() (best []int, bound float64) {
	best = make([]int, len(f.kilos))
	for p := range best {
		best[p] = len(f.kilos[p]) - 1
	}
	f.thin(best, None)
	try := func(at []int, p int) bool {
		if !f.thicken(at, p) {
			return false
		}
		f.thin(at, p)
		f.thin(at, None)
		if f.copper(at) >= f.copper(best)*(1-slack) {
			return false
		}
		best = at
		return true
	}
	priced := f.priced(func(at []int) float64 {
		try(at, None)
		return f.copper(best)
	})
	for better := true; better; {
		better = false
		for p := range best {
			for size := f.least[p]; size < len(f.kilos[p]); size++ {
				if size != best[p] {
					other := slices.Clone(best)
					other[p] = size
					better = try(other, p) || better
				}
			}
		}
	}
	d := &descent{fit: f, priced: priced, best: best, copper: f.copper(best)}
	d.rest = make([]float64, len(best)+1)
	for p := len(best) - 1; p >= 0; p-- {
		d.rest[p] = d.rest[p+1] + slices.Min(priced.cost[p][f.least[p]:])
	}
	d.at = make([]int, len(best))
	for p := range d.at {
		d.at[p] = len(f.kilos[p]) - 1
	}
	if d.part(0, -priced.budget); d.looks < maxLooks {
		return d.best, d.copper
	}
	return d.best, min(priced.bound, d.copper)
}

// prices are in kg a volt that a row loses: what each size of each part then
// costs, copper and volts, and what all volts of the budgets are worth.
type prices struct {
	cost   [][]float64
	budget float64
	bound  float64 // the sum of the least costs, less the budget: no sizes need less copper
}

// priced looks for the prices with the highest bound, and offers the sizes that
// are the cheapest on the way to a taker, which answers with the copper of the
// best that it has. (Lagrangian relaxation: sizes that keep within the budgets
// cost at any prices no more than their copper and what the budgets are worth.)
func (f *fit) priced(take func(at []int) float64) prices {
	price := make([]float64, len(f.rows))
	at := make([]int, len(f.kilos))
	var best prices
	stride := 1.0
	const rounds = 200
	for round := range rounds {
		now := prices{cost: make([][]float64, len(at))}
		for p := range at {
			perOhm := 0.0
			for _, r := range f.of[p] {
				perOhm += price[r] * f.rows[r].through(p)
			}
			at[p] = f.least[p]
			now.cost[p] = make([]float64, len(f.kilos[p]))
			for size := range f.kilos[p] {
				now.cost[p][size] = f.kilos[p][size] + perOhm*f.ohms[p][size]
				if size > at[p] && now.cost[p][size] < now.cost[p][at[p]] {
					at[p] = size
				}
			}
			now.bound += now.cost[p][at[p]]
		}
		length := 0.0
		slope := make([]float64, len(f.rows))
		for r, row := range f.rows {
			slope[r] = f.lost(row, at) - row.budget
			now.budget += price[r] * row.budget
			if slope[r] > 0 || price[r] > 0 {
				length += slope[r] * slope[r]
			}
		}
		if now.bound -= now.budget; round == 0 || now.bound > best.bound {
			best = now
		}
		copper := take(slices.Clone(at))
		if length == 0 || copper <= best.bound*(1+slack) {
			break
		}
		for r := range price {
			price[r] = max(0, price[r]+stride*(copper-now.bound)/length*slope[r])
		}
		stride *= 0.98
	}
	return best
}

// descent tries all sizes of one part after the other, and turns back where
// prices or budgets say that nothing better lies ahead.
type descent struct {
	*fit
	priced prices
	rest   []float64 // by part: what it and those behind cost at least
	at     []int     // those behind are as thick as can be
	best   []int
	copper float64
	looks  int
}

// maxLooks ends a descent that takes too long.
const maxLooks = 200_000

func (d *descent) part(p int, cost float64) {
	if p == len(d.at) {
		if copper := d.fit.copper(d.at); copper < d.copper*(1-slack) {
			d.best, d.copper = slices.Clone(d.at), copper
		}
		return
	}
	thick := d.at[p]
	for d.at[p] = d.least[p]; d.at[p] <= thick; d.at[p]++ {
		if d.looks++; d.looks >= maxLooks {
			break
		}
		ahead := cost + d.priced.cost[p][d.at[p]]
		if ahead+d.rest[p+1] < d.copper*(1-slack) && d.broken(p, d.at) == None {
			d.part(p+1, ahead)
		}
	}
	d.at[p] = thick
}
