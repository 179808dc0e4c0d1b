package logic

import (
	"cmp"
	"slices"
)

// try is a part of a search: what has been settled of the states it looks for.
type try struct {
	on     []Node // variables that are true, sorted
	off    []Node // variables that are false
	must   []Node // nodes that are true
	need   []Node // those of must for which no term has been chosen yet
	never  []Node // nodes that are false
	mirror []Node // nodes each of which would make the other side true
	minors int    // those of on that count before the others
	order  int
}

// first is the try in which f holds and g does not.
func (d *Decider) first(f, g Node) *try {
	t := &try{mirror: []Node{g}}
	d.require(t, []Node{f})
	return t
}

func (t *try) copy() *try {
	next := *t
	next.on, next.off, next.must = slices.Clone(t.on), slices.Clone(t.off), slices.Clone(t.must)
	next.need, next.never, next.mirror = slices.Clone(t.need), slices.Clone(t.never), slices.Clone(t.mirror)
	return &next
}

// tries is a heap, fewest true variables first.
type tries []*try

func (h tries) Len() int { return len(h) }
func (h tries) Less(i, j int) bool {
	return cmp.Or(cmp.Compare(len(h[i].on), len(h[j].on)), cmp.Compare(h[i].minors, h[j].minors),
		cmp.Compare(len(h[i].need), len(h[j].need)), cmp.Compare(h[i].order, h[j].order)) < 0
}
func (h tries) Swap(i, j int) { h[i], h[j] = h[j], h[i] }
func (h *tries) Push(t any)   { *h = append(*h, t.(*try)) }
func (h *tries) Pop() any {
	last := len(*h) - 1
	t := (*h)[last]
	*h = (*h)[:last]
	return t
}
