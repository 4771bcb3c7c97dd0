// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/determination"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/unit"
)

// Which code a dial has shows in how the deviations of its positions go together: two positions
// that share an element share its error. Each code predicts a covariance of the deviations; the
// code whose prediction makes the readings most probable is named, where it is far enough ahead
// of the others.
//
// With the step s, element e of weight w_e off by the fraction δ_e, the dial as a whole by δ_0,
// and what was read with the error ε_p, position p deviates from nominal by
//
//	y_p = s·Σ w_e·δ_e (over the elements in circuit at p) + s·p·δ_0 + ε_p
//
// For independent δ_e of standard deviation σ and δ_0 of τ·σ that makes the covariance
//
//	K_pq = σ²·s²·Σ w_e² (over the elements in both p and q) + (τ·σ·s)²·p·q + C_pq
//
// with C that of the readings, and the density of y is normal, N(0, K). Neither σ nor τ is known:
// evidence averages the density over a grid of both. In a ladder position q > p holds all elements
// of p, so the sum is p: deviations wander and never return. In 1-2-2-5 position 5 drops what 4
// had: what wandered up to 4 is gone. That is what the data show.
//
// The cost for a dial of n positions is ten codes times 57 points of the grid times n³/6.

// knownCode is a code that a dial may have.
type knownCode struct {
	name string      // its weights, "1-2-2-5", or equalSteps
	code decade.Code // zero: a ladder
}

// knownCodes are the presets of package decade.
func knownCodes() []knownCode {
	var out []knownCode
	for _, c := range []decade.Code{
		decade.Code1125(), decade.Code1225(), decade.Code1234(), decade.Code1242(),
		decade.Code1236(), decade.Code1248(), decade.Code12222(), decade.Code222221(),
		decade.Code1332(),
	} {
		weights := make([]string, len(c.Weights))
		for i, w := range c.Weights {
			weights[i] = fmt.Sprint(w)
		}
		out = append(out, knownCode{strings.Join(weights, "-"), c})
	}
	return out
}

// firstPositions is the code of a dial with so many positions. Slices of the preset are cut and
// not changed: they belong to this call alone, since package decade makes them anew each time.
func firstPositions(c decade.Code, positions int) decade.Code {
	if positions+1 < len(c.InCircuit) {
		// A switch may stop before the code ends: 1-2-4-8 is often used up to 9 only.
		c.InCircuit = c.InCircuit[:positions+1]
		if c.Contacts != nil {
			c.Contacts = c.Contacts[:positions+1]
		}
	}
	return c
}

// The fractions by which elements may be off, as powers of ten: 1 ppm, below which they are alike
// to any meter of a bench, to 3 %, about where positions stop fitting their step.
const lowestSpread, highestSpread = -6.0, -1.5

// wholeTimes are the values of τ, by how many times as much as an element the dial as a whole is
// off: not at all, as much, and so much more that the positions show little else.
var wholeTimes = []float64{0, 1, 5}

const (
	// fewestForCode is the number of positions from which codes are compared: four deviations
	// leave little to compare by, beside two scales (σ and τ) that are not known.
	fewestForCode = 5
	// certainCode is the probability from which a code is named. Below it the ladder stays, which
	// has the same limits and settings.
	certainCode = 0.95
	// priorLadder is the prior probability of a ladder: as much as that of all codes together.
	priorLadder = 0.5
	// assumedContact is the scatter of a contact from dialling to dialling in Ω that the
	// readings need not show: brushes on studs and wafers do better, common practice.
	assumedContact = 3e-4
)

// codes looks for the code of each dial, and adds one doubt for all that stay unclear.
func (id *identifyRun) codes() error {
	var unclear []string
	for k := range id.dials {
		x := &id.dials[k]
		if x.step == 0 {
			continue
		}
		x.Code = equalSteps
		positions, y, covariance, err := id.deviations(k)
		if err != nil {
			return err
		}
		// A position with a fault does not follow its code, and would decide against the right
		// one.
		if len(positions) < fewestForCode || len(x.off) > 0 {
			unclear = append(unclear, x.Name)
			continue
		}
		best := bestCodes(id.codeProbabilities(x, positions, y, covariance), positions)
		x.Probability = best[0].probability
		if x.Probability < certainCode {
			unclear = append(unclear, x.Name)
			continue
		}
		// Of codes that read alike, the one whose last position is that of the dial.
		endsWithDial := func(o codeProbability) bool {
			return len(o.code.InCircuit) == x.numPositions()+1
		}
		if i := slices.IndexFunc(best, endsWithDial); i > 0 {
			best[0], best[i] = best[i], best[0]
		}
		x.Code = best[0].name
		for _, o := range best[1:] {
			x.Alike = append(x.Alike, o.name)
		}
		if len(x.Alike) > 0 {
			id.addDoubt(
				"The code of %s is %s or %s: their readings are alike. Count the resistors.",
				x.Name, x.Code, strings.Join(x.Alike, " or "))
		}
		if !best[0].code.IsZero() {
			code := firstPositions(best[0].code, x.numPositions())
			x.code = &code
		}
	}
	if len(unclear) > 0 {
		id.addDoubt(
			"The readings do not show for %s whether the steps are equal or of a code with "+
				"fewer resistors. Count the resistors before the box file is used for a "+
				"diagnosis; limits and settings do not depend on it.", wording.List(unclear))
	}
	return nil
}

// deviations are those of the positions of a dial alone from nominal, with their covariance: of
// the values over that at zero, or of the whole where it includes the residual.
func (id *identifyRun) deviations(k int) (positions []int, y []float64, c mat.Symmetric,
	err error) {
	byPosition := make(map[int][]uncertainty.Quantity)
	var zero []uncertainty.Quantity
	for i := range id.report.Rows {
		row := &id.report.Rows[i]
		if row.Overload || row.Withheld {
			continue
		}
		d, p := onlyDial(row.Setting)
		// Settings of several dials have other elements in circuit too, whose code is not known.
		switch {
		case row.Setting.AllZero():
			zero = append(zero, row.Measured)
		case d == k:
			byPosition[p] = append(byPosition[p], row.Measured)
		}
	}
	if len(zero) == 0 || len(byPosition) == 0 {
		return nil, nil, nil, nil
	}
	var qs []uncertainty.Quantity
	for _, p := range sortedKeys(byPosition) {
		q := averaged(byPosition[p])
		if !id.included {
			// The zero reading is in every difference; the covariance below knows that.
			q = q.Sub(averaged(zero))
		}
		positions, qs = append(positions, p), append(qs, q)
		y = append(y, q.Estimate()-float64(p)*id.dials[k].step)
	}
	joint, err := uncertainty.EvaluateAll(qs...)
	if err != nil {
		return nil, nil, nil, &Error{Op: id.op, Name: id.dials[k].Name, Err: unit.Cause(err)}
	}
	return positions, y, joint.Covariance, nil
}

// averaged is the mean of quantities, and so keeps what they share: of ten readings on one meter
// its gain error is not averaged away.
func averaged(qs []uncertainty.Quantity) uncertainty.Quantity {
	weights := make([]float64, len(qs))
	for i := range weights {
		weights[i] = 1 / float64(len(qs))
	}
	return uncertainty.Linear(0, weights, qs)
}

// onlyDial is the dial that alone is off zero, with its position; −1 where there is none.
func onlyDial(s decade.Setting) (dial, position int) {
	dial = -1
	for d, p := range s.Positions() {
		if p > 0 && dial >= 0 {
			return -1, 0
		}
		if p > 0 {
			dial, position = d, p
		}
	}
	return dial, position
}

// codeProbability is a code with its probability given the readings of a dial, among all codes
// that are compared.
type codeProbability struct {
	knownCode

	probability float64
}

// codeProbabilities compares the codes: the first is the ladder. Positions, in ascending order,
// y in Ω and c in Ω² are those of deviations. The probabilities add to 1.
func (id *identifyRun) codeProbabilities(x *foundDial, positions []int, y []float64,
	c mat.Symmetric) []codeProbability {
	// The zero Code is the ladder.
	list := []codeProbability{{knownCode: knownCode{name: equalSteps}}}
	last := positions[len(positions)-1]
	for _, k := range knownCodes() {
		// A code that ends before the last position cannot have made it.
		if max(last, x.numPositions()) < len(k.code.InCircuit) {
			list = append(list, codeProbability{knownCode: k})
		}
	}
	logs := make([]float64, len(list))
	for i := range list {
		prior := priorLadder
		if i > 0 {
			// The other half in equal parts: nothing favours one code.
			prior = (1 - priorLadder) / float64(len(list)-1)
		}
		shared := sharedSquares(list[i].code, positions, x.step)
		logs[i] = elementary.Log(prior) + evidence(shared, positions, x.step, y, c)
	}
	most := slices.Max(logs)
	sum := 0.0
	for i, l := range logs {
		// Bayes' rule; the largest logarithm is taken off first, which the normalisation takes
		// out again.
		list[i].probability = elementary.Exp(l - most)
		sum += list[i].probability
	}
	for i := range list {
		list[i].probability /= sum
	}
	return list
}

// bestCodes returns the most probable code and those that no readings at these positions tell from
// it, with the probability of all at the first: codes whose elements make the same
// combinations of values, such as 1-1-2-5 and 1-2-2-5 up to position 9.
func bestCodes(odds []codeProbability, positions []int) []codeProbability {
	slices.SortStableFunc(odds,
		func(a, b codeProbability) int { return cmp.Compare(b.probability, a.probability) })
	best := []codeProbability{odds[0]}
	for _, o := range odds[1:] {
		if sameSpace(odds[0].code, o.code, positions) {
			best[0].probability += o.probability
			best = append(best, o)
		}
	}
	return best
}

// sameSpace reports whether the values of two codes at these positions span one space: whatever
// the elements of one read, the other has elements that read the same. Each element is a vector
// with a 1 at each position that has it in circuit; the spaces are those of these vectors.
func sameSpace(a, b decade.Code, positions []int) bool {
	var ranks [3]int
	for i, codes := range [][]decade.Code{{a}, {b}, {a, b}} {
		space := determination.NewSpace(len(positions))
		for _, c := range codes {
			for _, at := range whereInCircuit(c, positions) {
				if space.Add(at) {
					ranks[i]++
				}
			}
		}
	}
	// Equal ranks alone and together: both codes span one space, and any readings of one fit
	// the other.
	return ranks[0] == ranks[1] && ranks[1] == ranks[2]
}

// whereInCircuit lists, for each element, the indices in positions of those that have it in
// circuit. A ladder has as many elements as its last position.
func whereInCircuit(c decade.Code, positions []int) [][]int {
	n := len(c.Weights)
	if c.IsZero() {
		n = positions[len(positions)-1]
	}
	out := make([][]int, n)
	for i, p := range positions {
		// The first p elements: a dial that is to be identified has no missing positions.
		if c.IsZero() {
			for e := range p {
				out[e] = append(out[e], i)
			}
			continue
		}
		// Elements are numbered from 1.
		for _, e := range c.InCircuit[p] {
			out[e-1] = append(out[e-1], i)
		}
	}
	return out
}

// sharedSquares is, for each two positions, the sum of the squares in Ω² of the elements that both
// have in circuit: their covariance if each element is off by its own fraction.
func sharedSquares(c decade.Code, positions []int, step float64) *mat.SymDense {
	out := mat.NewSymDense(len(positions), nil)
	for i, p := range positions {
		for j, q := range positions[:i+1] {
			// Of a ladder the lower position has all its elements in common with the higher one.
			sum := float64(min(p, q)) // of a ladder
			if !c.IsZero() {
				sum = 0
				for _, e := range c.InCircuit[p] {
					if slices.Contains(c.InCircuit[q], e) {
						sum += float64(c.Weights[e-1] * c.Weights[e-1])
					}
				}
			}
			out.SetSym(i, j, sum*step*step)
		}
	}
	return out
}

// evidence is the logarithm of the probability density of the deviations, averaged over the
// fractions by which elements may be off, and over dials that are off as a whole by none, once
// or five times as much. It is −∞ where no point of the grid has a covariance that is positive
// definite.
func evidence(shared mat.Symmetric, positions []int, step float64, y []float64,
	c mat.Symmetric) float64 {
	n := len(y)
	var logs []float64
	// A grid even in the logarithm, four points a decade: the size of the deviations is unknown
	// over orders of magnitude (Jeffreys' prior of a scale parameter).
	for exponent := lowestSpread; exponent <= highestSpread; exponent += 0.25 {
		own := elementary.Pow(10, exponent)
		for _, times := range wholeTimes {
			k := mat.NewSymDense(n, nil)
			for i := range n {
				for j := range i + 1 {
					whole := times * own * step
					v := c.At(i, j) + float64(own*own*shared.At(i, j)) +
						float64(whole*whole*float64(positions[i]*positions[j]))
					if i == j {
						// Two contacts, that of the position and that of the zero taken off. The
						// zero is one reading for all positions, and is counted here as if it were
						// read anew for each: the difference is 0.3 mΩ common to all.
						v += float64(2 * assumedContact * assumedContact)
					}
					k.SetSym(i, j, v)
				}
			}
			if l, ok := logDensity(k, y); ok {
				logs = append(logs, l)
			}
		}
	}
	if len(logs) == 0 {
		return math.Inf(-1)
	}
	most := slices.Max(logs)
	sum := 0.0
	for _, l := range logs {
		sum += elementary.Exp(l - most)
	}
	// The mean of densities by their largest, since exp of the logarithms themselves would
	// underflow.
	return most + elementary.Log(sum/float64(len(logs)))
}

// logDensity is −(yᵀ·K⁻¹·y + ln det K)/2, by the Cholesky factor of K: false where K is not
// positive definite, or where the result is not finite.
func logDensity(k *mat.SymDense, y []float64) (float64, bool) {
	var chol mat.Cholesky
	if !chol.Factorize(k) {
		return 0, false
	}
	v := mat.NewVecDense(len(y), y)
	var x mat.VecDense
	if err := chol.SolveVecTo(&x, v); err != nil {
		return 0, false
	}
	// ln of the normal density of y, without −(n/2)·ln 2π, which is the same for each code.
	l := -(mat.Dot(v, &x) + chol.LogDet()) / 2
	return l, !math.IsNaN(l) && !math.IsInf(l, 0)
}

// residualLimits are the residual and its limit for the box file: the mean that was read, and
// twice its expanded uncertainty, rounded up to one digit, so that with a guard band of its
// own uncertainty the next reading can conform.
func (id *identifyRun) residualLimits() (ohms, limit float64) {
	u, r := id.residualU, max(0, id.residual)
	if !(u > 0) {
		return r, 0
	}
	digit := number(fmt.Sprintf("1e%d", elementary.DecimalExponent(u)))
	limit = number(fmt.Sprintf("%.0e", math.Ceil(2*u/digit-1e-9)*digit))
	return number(fmt.Sprintf("%.12g", math.Round(r/digit)*digit)), limit
}

// zeroUncertainty evaluates the readings at zero: their mean, and the U of it for 95 %, both in Ω.
// Without a reading at zero both stay what setResidual left.
func (id *identifyRun) zeroUncertainty(report *verify.Report) error {
	var zero []uncertainty.Quantity
	for i := range report.Rows {
		if row := &report.Rows[i]; row.Setting.AllZero() && !row.Overload {
			zero = append(zero, row.Measured)
		}
	}
	if len(zero) == 0 {
		return nil
	}
	b, err := uncertainty.Evaluate(averaged(zero))
	if err != nil {
		return &Error{Op: id.op, Name: "residual", Err: unit.Cause(err)}
	}
	e, err := b.ExpandedAt(0.95)
	if err != nil {
		return &Error{Op: id.op, Name: "residual", Err: unit.Cause(err)}
	}
	id.residual, id.residualU = b.Estimate, e.U
	return nil
}
