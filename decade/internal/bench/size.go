// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// How large a fault is in readings, in two numbers. Let d be what the faults change in the mean
// of the readings, without noise (Reading.Shift), V the covariance that the law of the meter,
// contacts, noise and resolution give them, and C the matrix of what each element and the
// residual change when they go from nominal to their limit. A healthy box is any x with |x_j| ≤
// 1.
//
//	1/U²   = dᵀ·(V + C·Cᵀ/3)⁻¹·d,
//	Beyond = min over |x| ≤ 1 of √((d' − C·x)ᵀ·V⁻¹·(d' − C·x)),   d' = d + C·(truth)
//
// U takes the class as a distribution (rectangles, GUM 4.3.7): it is the uncertainty of
// generalised least squares of a factor on d (GUM H.3 with covariances). Beyond takes it as a
// set: how far the readings are from those of the nearest box that is healthy, wherever its
// elements lie; d' counts from nominal, since the elements are not there. A drift inside the
// class has Beyond 0, one of a mΩ outside has it over its u.
//
// Beyond is a quadratic programme with bounds on each x. A logarithmic barrier keeps x inside:
// minimise ½·xᵀQx − pᵀx − μ·Σ ln(1 − x²) by Newton for μ that falls by 20 at a time (S. Boyd and
// L. Vandenberghe, Convex Optimization, chapter 11, from memory). At the minimum for μ the value
// is within 2·k·μ of the least of ½·Beyond², k being the number of unknowns; the last μ is below
// 2e-5, so that of 100 unknowns 0.004 is left at most. A Newton step is a Cholesky factor of k
// unknowns.

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Size is how large the faults of a bench are in what was read.
//
// For example an element of 100 Ω ± 20 mΩ that was made 10 mΩ high and drifts by 500 mΩ more,
// read to u = 50 mΩ: Beyond is (510 − 20)/50 = 9.8.
type Size struct {
	// U is the standard uncertainty of a factor on the whole effect of the faults, by
	// generalised least squares with the elements and the residual free inside their
	// class (rectangles, independent). So 1/U is the size in u.
	U float64
	// Beyond is the distance from the nearest healthy box, in standard deviations of the
	// readings: the elements of that box lie inside their class, wherever it suits. It is
	// the size in u that counts beyond the class; of one drifted element
	// (|deviation| − limit)/u. +Inf: open where it should not be.
	Beyond float64
}

// Size measures the faults of the bench by readings of it. Readings without a value count only
// where the sound box would have had one: then the size is without end.
func (b *Bench) Size(readings []Reading) Size {
	shift := make([]float64, len(readings))
	for i, r := range readings {
		shift[i] = r.Shift
	}
	return b.size(readings, shift)
}

// size is that of what shifts the readings. shift has an entry for each reading.
func (b *Bench) size(readings []Reading, shift []float64) Size {
	var rows []Reading
	var of []float64
	for i, r := range readings {
		switch {
		case math.IsInf(shift[i], 0):
			return Size{0, math.Inf(1)}
		case len(r.Values) > 0:
			rows, of = append(rows, r), append(of, shift[i])
		}
	}
	if len(rows) == 0 {
		return Size{math.Inf(1), 0}
	}
	g := b.leastSquares(rows)
	return Size{g.uncertainty(of), g.beyond(of)}
}

// leastSquares is the linear model of readings: their covariance, and what an element moves.
// Readings are in units of their standard deviation, so that 10 MΩ and 10 mΩ stand in one
// matrix; cov has a diagonal of 1.
type leastSquares struct {
	scale []float64   // 1/standard deviation of each reading
	half  []float64   // class of each unknown: elements and residual
	truth []float64   // where it lies, as a fraction of half
	col   [][]float64 // effect of half on each reading
	cov   *mat.SymDense
}

// rows have values.
func (b *Bench) leastSquares(rows []Reading) *leastSquares {
	n := len(rows)
	g := &leastSquares{scale: make([]float64, n), cov: mat.NewSymDense(n, nil)}
	for i := range rows {
		for j := i; j < n; j++ {
			g.cov.SetSym(i, j, b.covariance(&rows[i], &rows[j], i == j))
		}
	}
	for i := range g.scale {
		g.scale[i] = 1 / math.Sqrt(g.cov.At(i, i))
	}
	for i := range rows {
		for j := i; j < n; j++ {
			g.cov.SetSym(i, j, g.cov.At(i, j)*g.scale[i]*g.scale[j])
		}
	}
	b.unknowns(g, rows)
	return g
}

// unknowns adds a column for each element and for the residual, each bounded by its class. A part
// without a class is taken as exact and has no column. The truth of a code's element is what it
// adds, not what it measures.
func (b *Bench) unknowns(g *leastSquares, rows []Reading) {
	m := b.made
	add := func(half, deviation float64, in func(r *Reading) bool) {
		if half <= 0 {
			return
		}
		col := make([]float64, len(rows))
		for i := range rows {
			if in(&rows[i]) {
				col[i] = half * g.scale[i]
			}
		}
		g.half, g.truth, g.col = append(g.half, half), append(g.truth,
			max(-1, min(1, deviation/half))), append(g.col, col)
	}
	for i, e := range m.elements {
		add(m.half(i), m.adds(i)-e.nominal, func(r *Reading) bool {
			return slices.Contains(m.spec.Decades[e.dial].InCircuit(r.Positions[e.dial]), e.number)
		})
	}
	add(m.spec.ResidualTolerance, m.residual-m.spec.Residual, func(*Reading) bool { return true })
}

// adds is what an element adds when it comes into circuit. It is R²/(R + c) beside a contact c,
// R elsewhere.
func (m *made) adds(i int) float64 {
	e := m.elements[i]
	s := &m.switches[m.of[e.dial]]
	if !s.code || s.runs {
		return m.ohms[i]
	}
	r := m.ohms[i]
	return r * r / (r + m.contacts[s.contacts[at{0, e.number}]])
}

// covariance is that of two readings: what the meter's law says, the contacts, noise,
// resolution. Sessions and references decide what two readings share; same: the variance of one.
func (b *Bench) covariance(x, y *Reading, same bool) float64 {
	v := 0.0
	session := 1.0
	if x.Session != y.Session {
		session = 0.5 // of the variance is of the certificate
	}
	switch {
	case x.rangeOf == y.rangeOf:
		v = b.meter.covariance(x.rangeOf, x.True+b.meter.leads, y.True+b.meter.leads, session, same)
	// Different ranges share nothing but a reference, by the smallest of its limits.
	case b.meter.Law != Independent:
		r, q := b.meter.Ranges[x.rangeOf], b.meter.Ranges[y.rangeOf]
		if r.Reference != "" && r.Reference == q.Reference {
			a := b.meter.smallest(r.Reference)
			v = session * a * x.True * a * y.True / (r.divisor() * q.divisor())
		}
	}
	// The leads of a session are in all of its readings.
	if b.Meter.TwoWire && x.Session == y.Session {
		l := b.Meter.LeadsTolerance
		if b.Meter.Nulled {
			l = b.Meter.NullTolerance
		}
		v += l * l / 3
	}
	if same {
		rg := b.meter.Ranges[x.rangeOf]
		closed := len(b.made.closed(b.made.healthy(), x.Positions))
		c := b.made.spec.Contact
		// Noise as that of the mean, a rectangle of the step for the rounding (GUM F.2.2.1), and
		// each closed contact by itself.
		v += rg.Noise*rg.Noise/float64(len(x.Values)) + rg.Resolution*rg.Resolution/12 +
			c*c*float64(closed)
		v += 1e-24 * (1 + x.True*x.True) // of an ideal meter: the rounding of float64
	}
	return v
}

// covariance is that of the errors at two values on one range; session is the share of the
// variance that their sessions have in common. x and y are in Ω, with the leads; same: one
// reading.
func (i *instrument) covariance(r int, x, y, session float64, same bool) float64 {
	rg := i.Ranges[r]
	d := rg.divisor() * rg.divisor()
	if i.Law == Independent {
		if !same {
			return 0
		}
		limit := rg.OfReading*math.Abs(x) + rg.ofRange()
		return limit * limit / d
	}
	v := rg.OfReading*x*rg.OfReading*y + rg.zero()*rg.zero()
	if i.Law == OneLimit {
		v += rg.cross(x) * rg.cross(y)
	}
	v *= session
	if at := i.anchorAt(r, x); at >= 0 && at == i.anchorAt(r, y) {
		v += rg.linearity() * rg.linearity()
	}
	return v / d
}

// withClass factorises the covariance with the elements free inside their class. A rectangle of
// half-width 1 has the variance 1/3. ok is false where the matrix has no inverse.
func (g *leastSquares) withClass() (chol *mat.Cholesky, ok bool) {
	n := g.cov.SymmetricDim()
	all := mat.NewSymDense(n, nil)
	all.CopySym(g.cov)
	for _, c := range g.col {
		all.SymRankOne(all, 1.0/3, mat.NewVecDense(n, c))
	}
	chol = new(mat.Cholesky)
	return chol, chol.Factorize(all)
}

// uncertainty is the standard uncertainty of a factor on a shift, 1/√(sᵀ·V⁻¹·s) with s the shift in
// standard deviations. It is NaN where the covariance V has no inverse, +Inf where no reading
// shifts.
func (g *leastSquares) uncertainty(shift []float64) float64 {
	chol, ok := g.withClass()
	s, x := g.scaled(shift), mat.NewVecDense(len(shift), nil)
	if !ok || chol.SolveVecTo(x, s) != nil {
		return math.NaN()
	}
	return 1 / math.Sqrt(mat.Dot(s, x))
}

// scaled is a shift in units of the standard deviations of the readings.
func (g *leastSquares) scaled(shift []float64) *mat.VecDense {
	s := mat.NewVecDense(len(shift), nil)
	for i, v := range shift {
		s.SetVec(i, v*g.scale[i])
	}
	return s
}

// beyond is the distance of the shifted truth from the nearest healthy box: the square root
// of the least (d − C·x)ᵀ·V⁻¹·(d − C·x) over −1 ≤ x ≤ 1, by Newton steps inside the
// barrier −μ·Σ ln(1 − x²), with μ going to 0.
func (g *leastSquares) beyond(shift []float64) float64 {
	n, k := len(shift), len(g.col)
	d := g.scaled(shift)
	// From the true elements to nominal ones.
	for j, c := range g.col {
		d.AddScaledVec(d, g.truth[j], mat.NewVecDense(n, c))
	}
	var chol mat.Cholesky
	if !chol.Factorize(g.cov) {
		return math.NaN()
	}
	var l mat.TriDense
	chol.LTo(&l)
	white := whiten(&l, d)
	// Everything is known: the length of the shift is its size.
	if k == 0 {
		return mat.Norm(white, 2)
	}
	cols := mat.NewDense(n, k, nil)
	for j, c := range g.col {
		cols.SetCol(j, whiten(&l, mat.NewVecDense(n, c)).RawVector().Data)
	}
	var q mat.SymDense
	q.SymOuterK(1, cols.T())
	var p mat.VecDense
	p.MulVec(cols.T(), white)
	// The middle of all classes.
	x := mat.NewVecDense(k, nil)
	// The barrier begins as large as what there is to explain, where x = 0 is nearly best.
	// Thirty steps are more than any μ needs: where one changes no x by 0.02 the next is
	// quadratic.
	for mu := math.Max(1, mat.Dot(white, white)); mu > 1e-6; mu /= 20 {
		for range 30 {
			if newton(x, &q, &p, mu) < 0.02 {
				break
			}
		}
	}
	var rest mat.VecDense
	rest.MulVec(cols, x)
	rest.SubVec(white, &rest)
	return mat.Norm(&rest, 2)
}

// whiten returns L⁻¹·v, V = L·Lᵀ. The scalar product of whitened vectors a and b is aᵀ·V⁻¹·b.
func whiten(l *mat.TriDense, v *mat.VecDense) *mat.VecDense {
	out := mat.NewVecDense(v.Len(), nil)
	// A triangle of a matrix that was factorised is not singular.
	_ = out.SolveVec(l, v)
	return out
}

// newton makes a step towards the least ½xᵀQx − pᵀx − μ·Σ ln(1 − x²) and returns the
// largest change of an x.
func newton(x *mat.VecDense, q *mat.SymDense, p *mat.VecDense, mu float64) float64 {
	k := x.Len()
	h := mat.NewSymDense(k, nil)
	h.CopySym(q)
	grad := mat.NewVecDense(k, nil)
	grad.MulVec(q, x)
	grad.SubVec(grad, p)
	for i := range k {
		v := x.AtVec(i)
		// Derivatives of −μ·ln(1 − v²): 2μv/w and 2μ(1 + v²)/w².
		w := 1 - v*v
		grad.SetVec(i, grad.AtVec(i)+2*mu*v/w)
		h.SetSym(i, i, h.At(i, i)+2*mu*(1+v*v)/(w*w))
	}
	var chol mat.Cholesky
	step := mat.NewVecDense(k, nil)
	if !chol.Factorize(h) || chol.SolveVecTo(step, grad) != nil {
		return 0
	}
	// Stay inside: at most 0.95 of the way to a bound.
	t := 1.0
	for i := range k {
		if s := -step.AtVec(i); s > 0 {
			t = min(t, 0.95*(1-x.AtVec(i))/s)
		} else if s < 0 {
			t = min(t, 0.95*(1+x.AtVec(i))/-s)
		}
	}
	largest := 0.0
	for i := range k {
		x.SetVec(i, x.AtVec(i)-t*step.AtVec(i))
		largest = max(largest, math.Abs(t*step.AtVec(i)))
	}
	return largest
}
