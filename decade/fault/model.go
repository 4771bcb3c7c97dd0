// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// The model is what is known of a box before anything is read: for each setting what every fault
// does to it, or the numbers from which that follows at once. So a search solves no network for
// its thousands of single faults.
//
//	fault                         effect on a setting                       from
//	drift, dial, box, series      Σ of δ over the elements in circuit       inCircuit
//	contact                       the ohms, where current flows in it       contactUses
//	slip, exchanged taps          another tap: a difference of nominals     moves
//	bridge of r between nodes     −num²/(den + r)                           pairs (bridgeTerms)
//
// The first three take links and good contacts as nothing, which is exact for drifts and wrong by
// milliohms for moves; what leads is fitted with its circuit afterwards (fitCircuit). Bridges are
// right as they are, but for the class of elements that carry another share of the current.
//
// A box of n nodes has n²/2 pairs of them, 2,000 with six dials of ten steps. A setting costs one
// elimination, n²·w products for the transfer resistances and two subtractions a pair; the model
// is kept from one diagnosis to the next by Circuit, setting by setting.

import (
	"math"
	"slices"

	"example.com/ohmwright/decade"
)

// model is what hypotheses about a box predict at a list of settings. It does not depend
// on what was read, is not changed once it is made, and may serve several goroutines.
type model struct {
	layout         *layout
	settings       []decade.Setting
	nominal        []float64    // Ω, the healthy box at nominal values
	networkNominal []float64    // Ω, the same by the network
	inCircuit      [][]float64  // of each element: 1 where it is in circuit; the last: residual
	classLimit     []float64    // Ω, of each element and the residual: what the class allows
	classAssumed   bool         // a class was not stated
	pairs          []pair       // of representatives of nodes, from before to
	moves          []move       // slips and exchanged taps
	meter          []meterRange // what may be wrong with the meter
	rangeOf        []int        // of each setting, in meter; nil: the meter is not looked at
	row            []int        // of each setting: its only row, or absent
	contactUses    []contactUse // of each contact
	ownContact     []bool       // of each setting: has a contact in its path that no other one has
}

// contactUse is where a contact is in the path: inPath is 1 at the settings whose current flows in
// it and 0 elsewhere, the effect of one ohm there.
type contactUse struct {
	contact Place
	inPath  []float64
}

// A pair of nodes that a bridge may join, with what it does at the settings it affects:
// r ohms take num²/(den + r) away, in Ω. At a setting that is not listed they change nothing.
type pair struct {
	from, to               int
	kind                   Kind
	setting                []int32   // ascending
	numerator, denominator []float64 // Ω, one of each for a setting
}

// assumedClass is the fraction taken for elements of a dial without a stated class, and
// assumedResidual the ± limit of a residual without one, in Ω for each switch.
const (
	assumedClass    = 0.01
	assumedResidual = 0.01
)

// newModel is a model with nothing kept, for predictions and tests.
func newModel(b *decade.Box, settings []decade.Setting, strapped int) *model {
	return new(Circuit).modelOf(nil, b, settings, strapped)
}

// newTemplate is the model of a box without settings: what may be wrong with it. strapped is the
// terminal that the case is joined to, 1 or 2, or 0.
func newTemplate(b *decade.Box, strapped int) *model {
	m := &model{layout: newLayout(b)}
	m.setClassLimits()
	// Nodes that a link joins are one: a bridge between a wiper and the next dial does nothing.
	nodes := m.layout.representatives()
	for i, c := range nodes {
		for _, d := range nodes[i+1:] {
			m.pairs = append(m.pairs, pair{from: c, to: d, kind: m.kindOf(c, d, strapped)})
		}
	}
	m.listMoves()
	return m
}

// newSettingModel finds what a setting reads, healthy and with each fault that the template lists.
// It changes nothing but the probe, so that what it returns may be kept.
func (m *model) newSettingModel(p *probe, s decade.Setting) *settingModel {
	x := &settingModel{nominal: s.Value(), moved: make([]float64, len(m.moves))}
	for d, dec := range m.layout.decades {
		for _, e := range dec.InCircuit(s.Position(d)) {
			x.inCircuit = append(x.inCircuit, m.layout.firstElement[d]+e-1)
		}
	}
	x.network = m.bridgesAt(p, p.healthy, s, &x.bridged)
	for i := range m.moves {
		x.moved[i] = m.moves[i].displacement(m.layout, s)
	}
	return x
}

// withSettings is a model with settings: the template with its lists turned from one list for each
// setting to one number by setting for each fault, which is how a search goes through them. list
// has an entry for each setting and is shared with other models; it is not changed.
func (m *model) withSettings(settings []decade.Setting, list []*settingModel) *model {
	n, elements := len(settings), len(m.layout.elements)
	out := *m
	out.settings, out.pairs, out.moves = settings, slices.Clone(m.pairs), slices.Clone(m.moves)
	out.nominal, out.networkNominal = make([]float64, n), make([]float64, n)
	out.inCircuit = make([][]float64, elements+1)
	// One piece of memory for all rows, each with its own end: an append to one cannot reach the
	// next.
	inCircuit := make([]float64, n*(elements+1))
	for i := range out.inCircuit {
		out.inCircuit[i] = inCircuit[i*n : (i+1)*n : (i+1)*n]
	}
	effects := make([]float64, n*len(m.moves))
	for i := range out.moves {
		out.moves[i].effect = effects[i*n : (i+1)*n : (i+1)*n]
	}
	bridged := make([]*settingPairs, n)
	for k, x := range list {
		out.nominal[k], out.networkNominal[k] = x.nominal, x.network
		for _, e := range x.inCircuit {
			out.inCircuit[e][k] = 1
		}
		// The residual is in the path at every setting.
		out.inCircuit[elements][k] = 1
		for i, v := range x.moved {
			out.moves[i].effect[k] = v
		}
		bridged[k] = &x.bridged
	}
	out.listContactUses()
	out.allocatePairs(bridged)
	for k, x := range bridged {
		out.addPairs(k, x)
	}
	return &out
}

// setClassLimits sets what each element may be off while the box is healthy. The floor of a dial
// belongs to its smallest element.
//
// An element of 10 kΩ in a dial of 0.02 % + 5 mΩ, in a box of another 0.01 %, may be off by 3 Ω +
// 5 mΩ. One without any of these is assumed to be of 1 %, and the answer says so (addWarnings).
func (m *model) setClassLimits() {
	spec := m.layout.box.Spec()
	m.classLimit = make([]float64, len(m.layout.elements)+1)
	for i, e := range m.layout.elements {
		d := m.layout.decades[e.dial]
		// Limits add where they are worst cases, not standard uncertainties.
		m.classLimit[i] = float64((d.Tolerance+spec.Tolerance)*e.ohms) + d.Floor + spec.Floor
		if m.classLimit[i] == 0 {
			m.classLimit[i] = assumedClass * e.ohms
			m.classAssumed = true
		}
	}
	last := len(m.classLimit) - 1
	m.classLimit[last] = spec.ResidualTolerance
	if spec.ResidualTolerance == 0 {
		// Each switch brings contacts and wire of its own; and a residual that is stated without
		// limits may be anything up to twice itself.
		m.classLimit[last] = max(spec.Residual, assumedResidual*float64(len(m.layout.sections)))
	}
}

// smallestEffect is the part of a reading below which an effect of a bridge is left out. No meter
// resolves 1 in 10⁹; and it is far above the rounding of num, the difference of two potentials.
const smallestEffect = 1e-9

// settingPairs lists the pairs of nodes that change what a setting reads when they are bridged,
// by their numbers in the model, with the two terms of the effect.
type settingPairs struct {
	pair                   []int32
	numerator, denominator []float64
}

// bridgesAt finds what a bridge between the nodes of each pair does to a setting in a circuit,
// and returns the resistance of that. Where it is open no bridge does anything. The memory of
// out is used again. After the one elimination a pair costs two differences (bridgeTerms).
func (m *model) bridgesAt(p *probe, c *change, s decade.Setting, out *settingPairs) float64 {
	out.pair = out.pair[:0]
	out.numerator, out.denominator = out.numerator[:0], out.denominator[:0]
	resistance := p.solve(c, s)
	// No current flows where the path is open, so no bridge inside it changes what is read.
	if math.IsInf(resistance, 1) {
		return resistance
	}
	p.solver.impedances()
	least := smallestEffect * resistance
	num, den := p.terms()
	// The pairs of one node stand together: its terms to all later nodes are made once.
	from := absent
	for i := range m.pairs {
		q := &m.pairs[i]
		if q.from != from {
			from = q.from
			p.solver.bridgeTerms(from, num, den)
		}
		// r = 0 takes most, n²/d: a pair that does nothing then does nothing at any resistance.
		if n, d := num[q.to], den[q.to]; d > 0 && float64(n*n) > least*d {
			out.pair = append(out.pair, int32(i))
			out.numerator = append(out.numerator, n)
			out.denominator = append(out.denominator, d)
		}
	}
	return resistance
}

// addPairs adds what bridges do to setting k, after those before it: settings come in ascending
// order, and so does the list of each pair.
func (m *model) addPairs(k int, x *settingPairs) {
	for j, i := range x.pair {
		q := &m.pairs[i]
		q.setting = append(q.setting, int32(k))
		q.numerator = append(q.numerator, x.numerator[j])
		q.denominator = append(q.denominator, x.denominator[j])
	}
}

// setPairs finds what a bridge between the nodes of each pair does in a circuit, and the
// resistance of that at the settings. It changes the model, which must be nobody else's
// (besideFirst); where the work was stopped it is incomplete.
func (m *model) setPairs(p *probe, c *change, resistance []float64, w *work) {
	for i := range m.pairs {
		q := &m.pairs[i]
		// The memory is kept: a second fault is looked for beside each of many first ones.
		q.setting, q.numerator, q.denominator = q.setting[:0], q.numerator[:0], q.denominator[:0]
	}
	var x settingPairs
	for k, s := range m.settings {
		if !w.spend(workOfSolve(m) + 6*len(m.pairs)) {
			return
		}
		resistance[k] = m.bridgesAt(p, c, s, &x)
		m.addPairs(k, &x)
	}
}

// allocatePairs gives every pair room, in three pieces of memory and not in thousands: for the
// settings that it changes by these lists, or for every setting where there are none.
func (m *model) allocatePairs(bySetting []*settingPairs) {
	count := make([]int, len(m.pairs))
	total := 0
	// With a fault in the circuit other settings may be affected: room for all of them.
	if bySetting == nil {
		for i := range count {
			count[i] = len(m.settings)
		}
		total = len(m.settings) * len(m.pairs)
	}
	for _, x := range bySetting {
		total += len(x.pair)
		for _, i := range x.pair {
			count[i]++
		}
	}
	setting := make([]int32, total)
	num, den := make([]float64, total), make([]float64, total)
	// Each pair has the length 0 and its own capacity; addPairs fills it without a further
	// allocation.
	to := 0
	for i := range m.pairs {
		q, from := &m.pairs[i], to
		to += count[i]
		q.setting = setting[from:from:to]
		q.numerator, q.denominator = num[from:from:to], den[from:from:to]
	}
}

// kindOf names the bridge between two nodes, by what lies between them in the healthy box:
//
//	terminal 1 and 2                    leak across the terminals
//	a terminal strapped to the case     leak to the case, whatever the other node is
//	both ends of an element             leak across it
//	tap 0 and the last tap of a dial    leak across the dial
//	two taps of one switch              bridge in a dial
//	others                              bridge between dials
//
// c and d are representatives, c before d.
func (m *model) kindOf(c, d, strapped int) Kind {
	l := m.layout
	n := len(l.nodes)
	first, second := l.joined[n-2], l.joined[n-1]
	switch {
	// The order decides: what leads from terminal to terminal is that, strapped or not.
	case l.joins(n-2, n-1, c, d):
		return KindTerminalLeak
	case strapped == 1 && (c == first || d == first), strapped == 2 && (c == second || d == second):
		return KindCaseLeak
	}
	switch {
	case m.elementBetween(c, d) != absent:
		return KindElementLeak
	case m.dialBetween(c, d) != absent:
		return KindDialLeak
	}
	for i := range l.sections {
		for _, taps := range l.sections[i].taps {
			if l.contains(taps, c) && l.contains(taps, d) {
				return KindBridge
			}
		}
	}
	return KindDialBridge
}

// joins reports whether the nodes a and b are, but for good links, the representatives c and d.
func (l *layout) joins(a, b, c, d int) bool {
	a, b = l.joined[a], l.joined[b]
	return a == c && b == d || a == d && b == c
}

// contains reports whether a representative stands for one of these taps. A missing position has
// no tap.
func (l *layout) contains(taps []int, node int) bool {
	return slices.ContainsFunc(taps, func(t int) bool { return t != absent && l.joined[t] == node })
}

// elementBetween returns the element whose ends two nodes are; absent where none is.
func (m *model) elementBetween(c, d int) int {
	for i, e := range m.layout.elements {
		if m.layout.joins(e.from, e.to, c, d) {
			return i
		}
	}
	return absent
}

// fault describes the bridge of a pair, of r ohms. A leak across a part is named by the part and
// not by its two nodes.
func (m *model) fault(q *pair, r float64) Fault {
	f := Fault{Kind: q.kind, A: m.layout.nodes[q.from], B: m.layout.nodes[q.to], Value: r}
	switch q.kind {
	case KindElementLeak:
		e := m.layout.elements[m.elementBetween(q.from, q.to)]
		f.A, f.B = Place{PartElement, e.dial, e.number}, Place{}
	case KindTerminalLeak:
		f.A, f.B = Place{PartTerminal, 0, 1}, Place{PartTerminal, 0, 2}
	case KindDialLeak:
		f.A, f.B = Place{PartDial, m.dialBetween(q.from, q.to), 0}, Place{}
	}
	return f
}

// dialBetween returns the dial whose ends two nodes are, tap 0 and its last tap; absent where none
// is. A code has its ends at the first and the last node between its elements.
func (m *model) dialBetween(c, d int) int {
	for i := range m.layout.sections {
		for w, taps := range m.layout.sections[i].taps {
			if m.layout.joins(taps[0], taps[len(taps)-1], c, d) {
				return m.layout.sections[i].dials[w]
			}
		}
	}
	return absent
}

// setEffect sets dst to the change of each setting by a bridge of r ohms, in Ω. Parallel to a path
// of R between the terminals themselves num = den = R, and it is −R²/(R + r).
func (q *pair) setEffect(dst []float64, r float64) {
	clear(dst)
	for i, k := range q.setting {
		dst[k] = -q.numerator[i] * q.numerator[i] / (q.denominator[i] + r)
	}
}

// predictAll predicts the settings with faults by the network, with the sensitivities to the
// elements, one row a setting. value is in Ω, +Inf where the circuit is open, of which the row
// stays as it was; a may be nil. An error is that of faults that the box cannot have together.
func (m *model) predictAll(p *probe, faults []Fault, value []float64, a [][]float64) error {
	c := m.layout.unchanged()
	for _, f := range faults {
		if err := c.apply("fault.Diagnose", f); err != nil {
			return err
		}
	}
	for k, s := range m.settings {
		value[k] = m.sensitivities(p, c, k, s, a)
	}
	return nil
}

// sensitivities returns what setting k reads with a change, in Ω, and sets row k of a, unless that
// is nil, to the derivatives of the reading: by the deviation of each element, and as the last by
// that of the residual.
//
// With N the value that the box states, R and R₀ the network with and without the faults, the
// reading is gain·(N + R − R₀) + zero. How large N is the description says; the network says only
// by how much faults change it.
func (m *model) sensitivities(p *probe, c *change, k int, s decade.Setting, a [][]float64) float64 {
	r := p.solve(c, s)
	if math.IsInf(r, 1) {
		return r
	}
	gain, zero := m.outside(c, k)
	if a != nil {
		p.currents(c, a[k])
		a[k][len(m.layout.elements)] = c.gain
		if gain != 1 {
			for i := range a[k] {
				a[k][i] *= gain
			}
		}
	}
	// The difference of two solutions of one network: what both have wrong, such as the share of
	// the residual in each contact, goes out.
	return gain*(c.gain*(m.nominal[k]+(r-m.networkNominal[k]))) + zero
}

// outside is the factor and the addition in Ω that faults of the meter and of diallings
// bring to setting k. A fault of a range changes what was read on it alone; a dialling that
// differs is its row alone.
func (m *model) outside(c *change, k int) (gain, zero float64) {
	gain = 1
	for _, f := range c.outside {
		switch {
		// Predictions of a box alone have no meter.
		case m.rangeOf == nil:
		case f.Kind == KindMeterGain && m.rangeOf[k] == f.A.Number-1:
			gain *= 1 + f.Value
		case f.Kind == KindMeterZero && m.rangeOf[k] == f.A.Number-1,
			f.Kind == KindDialling && m.row[k] == f.A.Number-1:
			zero += f.Value
		}
	}
	return gain, zero
}
