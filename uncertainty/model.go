// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

// This file compiles a graph of quantities into lists. A graph is made of nodes that point to
// their arguments; every evaluation needs them in an order in which arguments come first, the
// sources without doubles, and the edges one after the other in memory. Compiling walks the graph
// once, in time linear in nodes and edges, and gives each node a place and each source a slot:
//
//	place  index of a node in nodes, slot, ends, units, adjoint, under, values
//	slot   index of a source in inputs, sensitivities, parts, reached, displaced
//
// A source that was built or read several times under one ID has several nodes and one slot. This
// is where equal IDs make one quantity of them, and where two sources of one name are found.
//
// Models are taken from a pool and given back: the report of a box evaluates thousands of small
// ones, and would spend most of its time on allocations. What an evaluation returns must be copied
// out of a model before it is freed.

import (
	"math"
	"slices"
	"sync"

	"example.com/ohmwright/uncertainty/internal/variate"
	"example.com/ohmwright/uncertainty/unit"
)

// model is a graph in order of evaluation: the arguments of a node come before it. It belongs to
// one goroutine. What a pass leaves in it is valid until the next pass.
type model struct {
	walker   *walker // knows the place of each node
	nodes    []*node
	inputs   []*source // sources after merging those of one ID
	slot     []int     // by node: its source, or -1
	leaves   []leaf    // nodes of sources
	edges    []edge    // from every node to its arguments, in order
	ends     []int     // by node: where its edges end; they begin where those before end
	single   bool      // every node is below the only root
	groups   []members
	units    []measured // by node; nil where no unit is stated
	unitRoom []measured // that units take
	warnings []error    // found while the model is compiled
	corner   *node      // the first call without slopes at the estimates

	tables map[int]variate.Sampler // by slot, of foreign distributions: see sampler

	byID, byName map[string]int // slots; byName is empty while names are few, see namesake

	// What a backward pass works on: by node, and by input.
	adjoint       []float64 // ∂y/∂node
	under         []bool    // whether the node is below y; left empty with one root
	sensitivities []float64 // ∂y/∂input
	parts         []float64 // Σ|part| of merged inputs
	reached       []bool    // whether y depends on the input
	whole         bool      // all nodes are below y, the measurand of the last pass; under is empty

	// What the check against displaced inputs works on: by node, and by input.
	values, displaced []float64   // by node, by input
	paths             []direction // what directionsOf returns, with the memory of their slices
	pathSlots         []int
	pathSteps         []float64
}

// leaf is a node that is an input: its place, and the slot of its source.
type leaf struct{ place, slot int }

// edge leads from a node to an argument of it.
type edge struct {
	d        float64 // partial derivative of the node with respect to it
	to, from int32   // places of the argument and of the node
}

// members are the slots of a group of correlated inputs that are in the model, which may be fewer
// than the group has; source.index is the row of each in the covariance matrix.
type members struct {
	*group
	slots []int
}

// models keeps the memory of models for the next evaluation.
var models = sync.Pool{New: func() any { return newModel() }}

// newModel has room for a model of ordinary size, so that most models never grow it.
func newModel() *model {
	const nodes = 32
	return &model{
		byID: make(map[string]int), byName: make(map[string]int),
		nodes: make([]*node, 0, nodes), slot: make([]int, 0, nodes), ends: make([]int, 0, nodes),
		edges:  make([]edge, 0, 2*nodes),
		inputs: make([]*source, 0, nodes/2), leaves: make([]leaf, 0, nodes/2),
	}
}

// free gives the memory of the model back; nothing made from it may refer to it.
func (m *model) free() {
	// The walker has tables of its own.
	if m.walker != nil {
		m.walker.free()
	}
	// One very large model must not hold its memory for the rest of the program.
	if len(m.nodes) > largest {
		return
	}
	clear(m.nodes) // hold no graph alive
	clear(m.inputs)
	clear(m.byID)
	clear(m.byName)
	clear(m.unitRoom)
	// Everything but the memory of the slices starts anew; a field that is not named is zero.
	*m = model{
		nodes: m.nodes[:0], inputs: m.inputs[:0], slot: m.slot[:0], leaves: m.leaves[:0],
		edges: m.edges[:0], ends: m.ends[:0], byID: m.byID, byName: m.byName,
		adjoint: m.adjoint, under: m.under, sensitivities: m.sensitivities, parts: m.parts,
		reached: m.reached, unitRoom: m.unitRoom,
		values: m.values, displaced: m.displaced, paths: m.paths[:0], pathSlots: m.pathSlots,
		pathSteps: m.pathSteps,
	}
	models.Put(m)
}

// compile makes a model that the caller keeps: it is none of the pool, and is not freed.
func compile(roots []*node) (*model, error) {
	m := newModel()
	return m, m.compile(roots...)
}

// place returns the place of a node of the model.
func (m *model) place(n *node) int { return m.walker.place(n) }

// compile builds a model that is evaluated by its slopes: a corner at the estimates is refused.
func (m *model) compile(roots ...*node) error {
	if err := m.build(roots...); err != nil || m.corner == nil {
		return err
	}
	x := m.corner.aux.(*many)
	return &Error{Op: "uncertainty.Evaluate", Name: inputNames(m.corner), Value: m.corner.value,
		Err: unit.Errorf(ErrDomain, "the function %q has a corner at the estimates, and no "+
			"sensitivity coefficient there; expected estimates beside it, or Monte Carlo",
			x.call.function)}
}

// build lists nodes, edges, sources and groups below the roots, and finds the units. The roots
// carry no error. Simulations call it themselves, since they need no slopes and may stand at a
// corner.
func (m *model) build(roots ...*node) error {
	m.walker = walkers.Get().(*walker)
	// With one root every node is below it, which the passes use.
	m.single = len(roots) == 1
	var failed error
	// The walk visits arguments first, each node once.
	m.walker.run(roots, func(n *node, args []int32) {
		m.nodes = append(m.nodes, n)
		slot := -1
		// After the first error the walk only goes on to its end.
		if s, ok := n.aux.(*source); ok && failed == nil {
			slot, failed = m.addSource(s)
			m.leaves = append(m.leaves, leaf{len(m.slot), slot})
		}
		m.slot = append(m.slot, slot)
		if n.op == opCall && m.corner == nil && n.aux.(*many).call.corner {
			m.corner = n
		}
		// The derivative was computed when the node was built: an edge is all that a pass needs.
		for i, arg := range args {
			m.edges = append(m.edges, edge{n.derivative(i), arg, int32(len(m.ends))})
		}
		m.ends = append(m.ends, len(m.edges))
	})
	if failed != nil {
		return failed
	}
	if err := m.findGroups(); err != nil {
		return err
	}
	return m.findUnits()
}

// addSource gives the source a slot: its own, or that of an equal ID. A source has one
// node, which is visited once. How two sources s and t are told apart:
//
//	IDs                        names      result
//	equal, stated by one       any        one quantity; an error if stated differently
//	equal, both from records   different  two quantities
//	different, both stated     equal      two quantities, and a warning
//	one or none stated         equal      an error: most likely built twice
//	any                        different  two quantities
func (m *model) addSource(s *source) (int, error) {
	key := s.key()
	if key != "" {
		// An ID that records gave does not make two sources one: at least one of them must state
		// it.
		if i, ok := m.byID[key]; ok && (s.id != "" || m.inputs[i].id != "") {
			if !s.agrees(m.inputs[i]) {
				return -1, &Error{Op: "uncertainty.Evaluate", Name: s.name,
					Err: unit.Errorf(ErrSameID,
						"two sources of ID %q are stated differently; expected one name, unit, "+
							"distribution and number of degrees of freedom", key)}
			}
			return i, nil
		}
	}
	// Two sources of one name and no IDs are most likely one that was built twice, which loses
	// their correlation: an error. With different IDs they are meant to differ: a warning.
	if t := m.namesake(s.name); t != nil {
		if s.name == "" && (s.id == "" || t.id == "") {
			return -1, &Error{Op: "uncertainty.Evaluate",
				Err: unit.Errorf(ErrSameName,
					"two sources without a name; expected a name for each, or one source that is "+
						"shared")}
		}
		if s.id == "" || t.id == "" || s.id == t.id {
			return -1, &Error{Op: "uncertainty.Evaluate", Name: s.name, Err: ErrSameName}
		}
		m.warnings = append(m.warnings, &Error{Op: "uncertainty.Evaluate", Name: s.name,
			Err: unit.Errorf(ErrSharedName, "sources %q and %q share a name: they are taken as "+
				"different", t.id, s.id)})
	}
	// The slot of a source is its place in the list of inputs.
	i := len(m.inputs)
	m.inputs = append(m.inputs, s)
	m.indexName(i)
	if key != "" {
		m.byID[key] = i
	}
	return i, nil
}

// fewNames is the number of inputs up to which a name is looked for one by one, which is faster
// than to keep a map of them.
const fewNames = 8

// namesake returns the last input of that name, or nil.
func (m *model) namesake(name string) *source {
	// The index exists from the ninth input on, see indexName.
	if len(m.inputs) > fewNames {
		if i, ok := m.byName[name]; ok {
			return m.inputs[i]
		}
		return nil
	}
	// The last of a name, as the index keeps it.
	for _, s := range slices.Backward(m.inputs) {
		if s.name == name {
			return s
		}
	}
	return nil
}

// indexName enters the name of a new input, and those of all before when they are no longer
// few.
func (m *model) indexName(i int) {
	switch {
	case i == fewNames:
		for k, s := range m.inputs {
			m.byName[s.name] = k
		}
	case i > fewNames:
		m.byName[m.inputs[i].name] = i
	}
}

// findGroups lists the slots of each group of correlated inputs; groups of one ID are
// one, and must be stated alike. Slots are in the order of the inputs, not of the group.
func (m *model) findGroups() error {
	// Most models have no groups: the maps are made when they are needed.
	var first map[string]*group
	var place map[*group]int // in m.groups
	for i, s := range m.inputs {
		g := s.group
		if g == nil {
			continue
		}
		// A group that was read twice from a file is one group.
		if key := g.key(); key != "" {
			if f, ok := first[key]; ok && g.is(f) {
				if !g.agrees(f) {
					return &Error{Op: "uncertainty.Evaluate", Name: s.name,
						Err: unit.Errorf(ErrSameID,
							"two joint sources of ID %q are stated differently; expected the "+
								"same names, estimates, covariance matrix and degrees of freedom",
							key)}
				}
				g = f
			} else {
				if first == nil {
					first = make(map[string]*group)
				}
				first[key] = g
			}
		}
		// The order of groups is that of their first inputs, so that results do not depend on the
		// order of a map.
		at, ok := place[g]
		if !ok {
			if place == nil {
				place = make(map[*group]int)
			}
			at = len(m.groups)
			place[g] = at
			m.groups = append(m.groups, members{group: g})
		}
		m.groups[at].slots = append(m.groups[at].slots, i)
	}
	return nil
}

// covariance returns Σ Σ a[i]·b[k]·u(x[i], x[k]), the law of propagation (GUM 5.2.2, eq. 13;
// JCGM 102 6.2).
func (m *model) covariance(a, b []float64) float64 {
	var sum float64
	for i, s := range m.inputs {
		if s.group == nil {
			// Off the diagonal of independent inputs there is nothing (GUM eq. 10).
			sum += float64(float64(a[i]*s.u) * float64(b[i]*s.u))
		}
	}
	for _, g := range m.groups {
		sum += m.within(g, a, b)
	}
	return sum
}

// rounded is the part of the sum of magnitudes below which a sum of covariances is rounding, which
// is at most n·2⁻⁵³ of it for n terms: enough for dozens of terms.
const rounded = 1e-14

// within is the part of the covariance that one group contributes: Σ Σ a[i]·b[k]·V[i][k] over its
// members. Coefficients that cancel (r = ±1, as of the two ends of one lead) leave rounding
// behind, which is taken out: its root would be 1e-8 of an uncertainty that is 0.
func (m *model) within(g members, a, b []float64) float64 {
	var sum, size float64
	for _, i := range g.slots {
		for _, k := range g.slots {
			v := float64(float64(a[i]*b[k]) * g.cov.At(m.inputs[i].index, m.inputs[k].index))
			sum += v
			size += math.Abs(v)
		}
	}
	if math.Abs(sum) < rounded*size {
		return 0
	}
	return sum
}
