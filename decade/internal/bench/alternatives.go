// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// How many causes read like the truth. A diagnosis cannot be blamed for naming another cause
// than the true one where no method could tell them apart; so a trial counts how many there are.
// d being what the faults change in the readings, s what another cause changes per unit of its
// value, and W = (V + C·Cᵀ/3)⁻¹ as in size.go, the nearest reading that the other cause has is
//
//	χ² = min over f of (d − f·s)ᵀ·W·(d − f·s) = dᵀWd − (sᵀWd)²/(sᵀWs)
//
// away, elements free inside their class. Below 11.9 it counts as an alternative (inseparable).
// Every cause whose effect is in proportion to its value has an s (candidates); a bridge has
// another shape for each resistance, which is searched (ofBridge). Slips, exchanges, taps,
// ageing and all pairs are not looked at, so that the number is from below: a case with few
// alternatives may have more, never fewer.
//
// n readings cost a factorisation, each candidate n²; of thousands of bridges most are left by a
// bound that costs n (misfit).

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// inseparable is the distance in χ² below which readings do not tell two causes apart: those
// that lie less than 5 apart as they are read. What lies d² apart without noise is read
// as d² + 2d·z, z normal, so that of those beyond d = 1 + √6, d² = 11.9, one in six is read
// below 5.
const inseparable = 11.9

// Alternatives lists the keys (see Key) of single causes that the readings do not tell from what
// shifts them: causes whose effect is in proportion to their value, at their best value, within
// 12 in χ² of the truth, elements free inside their class; and bridges of any two nodes, of any
// resistance. Of what is new at each dialling they are also the parts whose diallings hold all
// that is not explained otherwise. Nothing is looked at where a reading is open. It says what a
// diagnosis of these readings can be expected to tell: no method can be right with fewer. A list
// of 12 bridges ends the search for more (mostBridges).
func (b *Bench) Alternatives(readings []Reading) []string {
	shift := make([]float64, len(readings))
	for i, r := range readings {
		shift[i] = r.Shift
	}
	return b.alternatives(readings, shift, slices.ContainsFunc(b.Faults,
		func(f Fault) bool { return f.Fresh }), nil)
}

// anySize is that of a fault whose size is free, in standard deviations of a reading. Its
// variance, 10⁸/3, leaves nothing of that direction.
const anySize = 1e4

// alternatives of what shifts the readings, beside another fault of any size that shifts them
// as beside does (nil: none).
func (b *Bench) alternatives(readings []Reading, shift []float64, fresh bool,
	beside []float64) []string {
	rows, of, other := withValues(readings, shift, beside)
	if len(rows) == 0 {
		return nil
	}
	fit, ok := newShiftFit(b.leastSquares(rows), of, other)
	if !ok {
		return nil
	}
	var out []string
	if fresh {
		out = b.scattering(rows, of, fit.leastSquares)
	}
	b.candidates(rows, func(f Fault, effect []float64, positive bool) {
		if fit.inProportion(effect, positive) {
			if k := b.made.key(f); !slices.Contains(out, k) {
				out = append(out, k)
			}
		}
	})
	b.bridges(rows, func(k string, effect func(ohms float64) []float64, trial []float64) bool {
		if slices.Contains(out, k) {
			return true
		}
		if fit.ofBridge(effect, trial) {
			out = append(out, k)
		}
		return len(out) < mostBridges
	})
	return out
}

// withValues returns the readings that have values, with what shifts them and what another fault
// does to them; none where a shift opens the circuit. rows keep the order of the readings; the
// three slices are of one length.
func withValues(readings []Reading, shift, beside []float64) (rows []Reading, of, other []float64) {
	for i, r := range readings {
		if math.IsInf(shift[i], 0) {
			return nil, nil, nil
		}
		if len(r.Values) == 0 {
			continue
		}
		rows, of, other = append(rows, r), append(of, shift[i]), append(other, 0)
		if beside != nil && !math.IsInf(beside[i], 0) {
			other[len(other)-1] = beside[i]
		}
	}
	return rows, of, other
}

// shiftFit compares what shifts readings with what causes would do. With C the covariance of
// readings and class in units of the standard deviations of the readings, d the shift: weighted
// is C⁻¹·d, whole dᵀ·C⁻¹·d, variance the diagonal of C. solved is scratch: not for two
// goroutines.
type shiftFit struct {
	*leastSquares
	chol     *mat.Cholesky
	weighted *mat.VecDense
	whole    float64
	variance []float64
	solved   *mat.VecDense
}

// The other fault joins g as one more unknown, of any size; g is changed. False where C has no
// inverse.
func newShiftFit(g *leastSquares, shift, other []float64) (*shiftFit, bool) {
	if s := g.scaled(other); mat.Norm(s, 2) > 0 {
		// Its length in standard deviations of a reading becomes anySize, whatever the fault is.
		s.ScaleVec(anySize/mat.Norm(s, 2), s)
		g.col = append(g.col, s.RawVector().Data)
	}
	chol, ok := g.withClass()
	if !ok {
		return nil, false
	}
	n := len(shift)
	d := g.scaled(shift)
	f := &shiftFit{leastSquares: g, chol: chol, weighted: mat.NewVecDense(n, nil),
		variance: g.variances(), solved: mat.NewVecDense(n, nil)}
	if chol.SolveVecTo(f.weighted, d) != nil {
		return nil, false
	}
	f.whole = mat.Dot(d, f.weighted)
	return f, true
}

// inProportion reports whether an effect, times the factor that fits best, is not told from the
// shift; positive: of a cause whose value is not below 0. An effect of nothing explains nothing.
func (f *shiftFit) inProportion(effect []float64, positive bool) bool {
	s := f.scaled(effect)
	if mat.Norm(s, 2) == 0 || f.chol.SolveVecTo(f.solved, s) != nil {
		return false
	}
	along := mat.Dot(s, f.weighted)
	if positive && along < 0 {
		return false
	}
	return f.whole-along*along/mat.Dot(s, f.solved) < inseparable
}

// ofBridge reports whether a bridge of some resistance is not told from the shift. The
// resistances tried are far apart, and a factor makes up for what is between them: where the
// best of them with its factor leaves less than a tenth of the shift, or is no farther than an
// alternative, the resistance is searched without one.
func (f *shiftFit) ofBridge(effect func(ohms float64) []float64, trial []float64) bool {
	best, about, by := math.Inf(1), 0.0, 0.0
	for _, ohms := range trial {
		if shaped, _, factor := f.misfit(effect(ohms)); shaped < best {
			best, about, by = shaped, ohms, factor
		}
	}
	return best < max(inseparable, (1-nearShape)*f.whole) &&
		leastMisfit(about, by, trial[1], func(ohms float64) float64 {
			_, exact, _ := f.misfit(effect(ohms))
			return exact
		}) < inseparable
}

// misfit is how far an effect lies from the shift, with the factor that fits best and without,
// and that factor.
func (f *shiftFit) misfit(effect []float64) (shaped, exact, factor float64) {
	s := f.scaled(effect)
	along, floor := mat.Dot(s, f.weighted), 0.0
	for i, v := range f.variance {
		floor = max(floor, s.AtVec(i)*s.AtVec(i)/v)
	}
	// The size is no less than that of any one reading: what falls short even so need not be
	// solved. sᵀC⁻¹s ≥ s_i²/C_ii for every reading i, by Cauchy and Schwarz.
	if floor == 0 || along < 0 ||
		along*along < min(f.whole-inseparable, nearShape*f.whole)*floor ||
		f.chol.SolveVecTo(f.solved, s) != nil {
		return math.Inf(1), math.Inf(1), 0
	}
	size := mat.Dot(s, f.solved)
	return f.whole - along*along/size, f.whole - 2*along + size, along / size
}

// nearShape is the part of the square of a shift that a bridge of one of the resistances tried
// takes up where another resistance may take up all of it.
const nearShape = 0.9

// leastMisfit is the least misfit of a bridge of about so many ohms, whose effect a factor makes
// fit best; unit is what the bridge shorts.
//
// The effect p²/(unit + r) times a factor is that of unit + r' = (unit + r)/factor, where the
// search begins; 40 golden sections of a factor of 16 leave 1e-8 of it. A touch is asked as
// well: the minimum may lie there.
func leastMisfit(ohms, factor, unit float64, misfit func(ohms float64) float64) float64 {
	const golden, rounds, wide = 0.6180339887498949, 40, 4
	about := math.Max((unit+ohms)/factor-unit, 1e-6*unit)
	// A factor of four either way: the resistances tried are a factor of some three apart but
	// for the last, beyond which the shape no longer changes.
	low, high := math.Log(about/wide), math.Log(about*wide)
	a, b := high-golden*(high-low), low+golden*(high-low)
	fa, fb := misfit(math.Exp(a)), misfit(math.Exp(b))
	for range rounds {
		if fa < fb {
			high, b, fb = b, a, fa
			a = high - golden*(high-low)
			fa = misfit(math.Exp(a))
		} else {
			low, a, fa = a, b, fb
			b = low + golden*(high-low)
			fb = misfit(math.Exp(b))
		}
	}
	return min(fa, fb, misfit(0))
}

// variances are those of the readings with the elements free inside their class. They are in
// units of those of the readings alone.
func (g *leastSquares) variances() []float64 {
	out := make([]float64, len(g.scale))
	for i := range out {
		out[i] = g.cov.At(i, i)
		for _, c := range g.col {
			out[i] += c[i] * c[i] / 3
		}
	}
	return out
}

// scattering lists the keys of parts that are in the path of all diallings whose shift
// nothing else explains, and of few others: a part that scatters would have shown there.
//
// A part that scatters may have any resistance at each dialling that has it in its path: those
// readings get a variance far above their shift, and the rest must be explained by meter and
// class alone. Of diallings in its path where nothing was shifted two are let pass, by chance a
// small draw.
func (b *Bench) scattering(rows []Reading, shift []float64, g *leastSquares) []string {
	const fewOthers = 2
	var out []string
	square, count := 0.0, 0.0
	for _, v := range shift {
		if v != 0 {
			square, count = square+v*v, count+1
		}
	}
	// Where a scatter as large as this one would not show, its absence tells nothing. The root
	// of the mean square of those that are not 0.
	typical := math.Sqrt(square / max(1, count))
	variance := g.variances()
	b.candidates(rows, func(f Fault, effect []float64, _ bool) {
		switch f.Kind {
		// A drift that is another at each dialling is a crack.
		case Drift:
			f.Kind = CrackedJoint
		case Contact, Series:
			f.Fresh = true
		default:
			return
		}
		others := 0
		n := len(rows)
		cov := mat.NewSymDense(n, nil)
		cov.CopySym(g.cov)
		for _, c := range g.col {
			cov.SymRankOne(cov, 1.0/3, mat.NewVecDense(n, c))
		}
		d := g.scaled(shift)
		// in is 1 where the part is in the path.
		for i, in := range effect {
			if in == 0 {
				continue
			}
			if x := typical * g.scale[i]; shift[i] == 0 && x*x > 9*variance[i] {
				others++
			}
			v := d.AtVec(i) * d.AtVec(i)
			cov.SetSym(i, i, cov.At(i, i)+1e3*(1+v)) // as it may be
		}
		var chol mat.Cholesky
		x := mat.NewVecDense(n, nil)
		if others > fewOthers || !chol.Factorize(cov) || chol.SolveVecTo(x, d) != nil ||
			mat.Dot(d, x) > inseparable {
			return
		}
		if k := b.made.key(f); !slices.Contains(out, k) {
			out = append(out, k)
		}
	})
	return out
}

// candidates yields causes with their effect on the readings for a small value. positive: a
// value below 0 makes no sense. Effects are to first order, as the readings of the sound box
// have them.
func (b *Bench) candidates(rows []Reading, yield func(f Fault, effect []float64, positive bool)) {
	m := b.made
	for _, e := range m.elements {
		yield(Fault{Kind: Drift, A: Place{Element, e.dial, e.number}},
			effectOn(rows, func(r *Reading) float64 {
				return indicator(slices.Contains(
					m.spec.Decades[e.dial].InCircuit(r.Positions[e.dial]), e.number))
			}), false)
	}
	sound := m.healthy()
	// Which contacts carry the current at each row is found once, not for each contact.
	closures := make([][]closed, len(rows))
	for i, r := range rows {
		closures[i] = m.closed(sound, r.Positions)
	}
	for k, x := range m.circuit.contacts {
		effect := make([]float64, len(rows))
		for i := range rows {
			effect[i] = indicator(slices.ContainsFunc(closures[i],
				func(c closed) bool { return c.contact == k }))
		}
		// Contacts of codes are named by the element beside them.
		part := Position
		if w := m.switches[m.of[x.dial]]; w.code && !w.runs {
			part = Element
		}
		yield(Fault{Kind: Contact, A: Place{part, x.dial, x.number}}, effect, true)
	}
	// Of all of the box. A leak across the terminals takes R²/leak.
	whole := func(k Kind, positive bool, of func(r *Reading) float64) {
		yield(Fault{Kind: k}, effectOn(rows, of), positive)
	}
	whole(Series, true, func(*Reading) float64 { return 1 })
	whole(BoxDrift, false, func(r *Reading) float64 { return r.Sound })
	whole(LeakTerminals, true, func(r *Reading) float64 { return -r.Sound * r.Sound })
	for d := range m.spec.Decades {
		m.dialCandidates(d, rows, yield)
	}
	b.readerCandidates(rows, yield)
}

// dialCandidates yields what may be wrong with all of a dial, or with its first elements. An
// overload up to element k changes min(k, position) steps alike.
func (m *made) dialCandidates(d int, rows []Reading,
	yield func(f Fault, effect []float64, positive bool)) {
	dec := &m.spec.Decades[d]
	of := func(r *Reading) float64 { return float64(r.Positions[d]) * dec.Step }
	yield(Fault{Kind: DialDrift, A: Place{Part: Dial, Dial: d}}, effectOn(rows, of), false)
	yield(Fault{Kind: LeakDial, A: Place{Part: Dial, Dial: d}},
		effectOn(rows, func(r *Reading) float64 { return -of(r) * of(r) }), true)
	for k := 2; dec.Tapped() && k < dec.Positions; k++ {
		yield(Fault{Kind: Overloaded, A: Place{Element, d, k}},
			effectOn(rows, func(r *Reading) float64 {
				return float64(min(k, r.Positions[d]))
			}), false)
	}
}

// readerCandidates yields what may be wrong outside the box: one row, or a range of the meter.
func (b *Bench) readerCandidates(rows []Reading,
	yield func(f Fault, effect []float64, positive bool)) {
	for i := range rows {
		// Of the last dial off zero; the zero of the first dial where all are there.
		at := Place{Part: Position}
		for d, p := range rows[i].Positions {
			if p > 0 {
				at.Dial, at.Number = d, p
			}
		}
		yield(Fault{Kind: OneSlip, A: at}, effectOn(rows, func(r *Reading) float64 {
			return indicator(r == &rows[i])
		}), false)
	}
	for g := range b.meter.Ranges {
		on := func(r *Reading) float64 { return indicator(r.rangeOf == g) }
		yield(Fault{Kind: MeterGain, A: Place{Range, 0, g}},
			effectOn(rows, func(r *Reading) float64 { return r.Sound * on(r) }), false)
		yield(Fault{Kind: MeterZero, A: Place{Range, 0, g}}, effectOn(rows, on), false)
	}
}

// effectOn lists what a function gives for each reading.
func effectOn(rows []Reading, of func(r *Reading) float64) []float64 {
	out := make([]float64, len(rows))
	for i := range rows {
		out[i] = of(&rows[i])
	}
	return out
}

func indicator(holds bool) float64 {
	if holds {
		return 1
	}
	return 0
}
