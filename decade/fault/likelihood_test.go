// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
)

// denseBox is the likelihood of a small box written down as the text books do, with the full
// covariance of the readings and gonum's inverse: what the search works on by updates.
type denseBox struct {
	s   *search
	a   *mat.Dense // readings by elements and residual
	cov *mat.SymDense
	p   *mat.SymDense // prior of the elements
}

// repeated is a box of two dials with settings dialled twice, one above range and shared
// errors of the meter.
func repeated(t *testing.T) *denseBox {
	t.Helper()
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: []decade.Decade{
		{Step: 10, Positions: 3, Tolerance: 0.01}, {Step: 1, Positions: 2, Tolerance: 0.02},
	}})
	var settings []decade.Setting
	for _, p := range [][]int{{0, 0}, {1, 0}, {2, 0}, {3, 0}, {3, 1}, {0, 1}, {0, 2}} {
		settings = append(settings, at(t, b, p...))
	}
	ev := &evidence{settings: settings, overloads: []overload{{4, 120, 9}}}
	for i, y := range []float64{0.03, 10.1, 10.4, 20.3, 30.1, 1.05, 2.01, 1.02, 0.01} {
		ev.observations = append(ev.observations, observation{[]int{0, 1, 1, 2, 3, 5, 6, 5, 0}[i], y, i})
	}
	n := len(ev.observations)
	ev.covariance = mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			ev.covariance.SetSym(i, j, 0.0004+1e-6*ev.observations[i].ohms*ev.observations[j].ohms)
		}
		ev.covariance.SetSym(i, i, ev.covariance.At(i, i)+0.01+0.001*float64(i))
	}
	m := newModel(b, settings, 0)
	post, err := newLinearAccount(m, ev)
	if err != nil {
		t.Fatal(err)
	}
	d := &denseBox{s: newSearch(post, complete(t))}
	// 0.1, 0.1, 0.1 of the first dial, 0.02, 0.02 of the second, 0.01 of the residual: c²/3,
	// in a dial once for each element and once for all.
	d.p = mat.NewSymDense(6, nil)
	half := []float64{0.1, 0.1, 0.1, 0.02, 0.02, 0.01}
	for i, c := range half {
		for j := range i + 1 {
			if i/3 == j/3 && i < 5 {
				d.p.SetSym(i, j, c*half[j]/3)
			}
		}
		d.p.SetSym(i, i, d.p.At(i, i)+c*c/3)
	}
	d.a = mat.NewDense(n, 6, nil)
	for i, o := range ev.observations {
		pos := settings[o.setting].Positions()
		for k := range pos[0] {
			d.a.Set(i, k, 1)
		}
		for k := range pos[1] {
			d.a.Set(i, 3+k, 1)
		}
		d.a.Set(i, 5, 1)
	}
	var ap, apa mat.Dense
	ap.Mul(d.a, d.p)
	apa.Mul(&ap, d.a.T())
	d.cov = mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			d.cov.SetSym(i, j, ev.covariance.At(i, j)+apa.At(i, j))
		}
	}
	return d
}

// wider is the covariance with the draws and the free elements of a hypothesis.
func (d *denseBox) wider(h *hypothesis) *mat.SymDense {
	n := d.s.numReadings
	c := mat.NewSymDense(n, nil)
	c.CopySym(d.cov)
	for _, i := range h.drawn {
		c.SetSym(i, i, c.At(i, i)+h.drawSD*h.drawSD)
	}
	for i, k := range h.free {
		col := mat.NewVecDense(n, mat.Col(nil, k, d.a))
		c.SymRankOne(c, h.freeSD[i]*h.freeSD[i], col)
	}
	return c
}

// likelihood returns χ² and the part of the fit without the classes, with the whitened
// remainder by setting.
func (d *denseBox) likelihood(t *testing.T, h *hypothesis) (chi, fit float64, rest []float64) {
	t.Helper()
	var wide, narrow mat.Cholesky
	if !wide.Factorize(d.wider(h)) || !narrow.Factorize(d.cov) {
		t.Fatal("not positive definite")
	}
	r, x := mat.NewVecDense(d.s.numReadings, nil), mat.NewVecDense(d.s.numReadings, nil)
	for i, o := range d.s.evidence.observations {
		r.SetVec(i, o.ohms-d.s.model.nominal[o.setting]-h.effect[o.setting])
	}
	if err := wide.SolveVecTo(x, r); err != nil {
		t.Fatal(err)
	}
	rest = make([]float64, d.s.numSettings)
	for i, o := range d.s.evidence.observations {
		rest[o.setting] += x.AtVec(i)
	}
	chi = mat.Dot(r, x)
	return chi, chi + wide.LogDet() - narrow.LogDet(), rest
}

// elements is the standard deviation of each element given the readings, under the scatter and the
// free elements of a hypothesis, and how independent those of each dial are.
func (d *denseBox) elements(t *testing.T, h *hypothesis) (sd, share []float64) {
	t.Helper()
	var chol mat.Cholesky
	var ap, gap, left mat.Dense
	ap.Mul(d.a, d.p)
	if !chol.Factorize(d.wider(h)) || chol.SolveTo(&gap, &ap) != nil {
		t.Fatal("not positive definite")
	}
	left.Mul(ap.T(), &gap)
	for k := range 6 {
		sd = append(sd, math.Sqrt(d.p.At(k, k)-left.At(k, k)))
	}
	for dial, from := range []int{0, 3} {
		n, single, together := []float64{3, 2}[dial], 0.0, 0.0
		for i := range int(n) {
			single += sd[from+i] * sd[from+i]
			for j := range int(n) {
				together += d.p.At(from+i, from+j) - left.At(from+i, from+j)
			}
		}
		share = append(share, min(1, max(1/n, single/together)))
	}
	return sd, append(share, 1)
}

func TestLikelihoodAgainstDense(t *testing.T) {
	d := repeated(t)
	s := d.s
	s.evidence.overloads[0].reach = 0 // counts nowhere
	third := scaled(s.model.inCircuit[2], 0.4)
	for _, c := range []struct {
		name string
		h    hypothesis
	}{
		{"healthy", hypothesis{effect: make([]float64, s.numSettings)}},
		{"a drift", hypothesis{effect: third}},
		{"draws", hypothesis{effect: scaled(s.model.inCircuit[0], 0.2), drawn: []int{1, 2, 3}, drawSD: 0.3}},
		{"free elements", hypothesis{effect: third, free: []int{0, 2, 4}, freeSD: []float64{0.3, 0.5, 0.07}}},
	} {
		chi, fit, rest := d.likelihood(t, &c.h)
		var free func(int) bool
		if len(c.h.free) > 0 {
			free = func(k int) bool { return slices.Contains(c.h.free, k) }
		}
		sd, share := d.elements(t, &c.h)
		want := fit + s.model.outsideClass(sd, s.ofElements.covariance, rest, share, free)
		s.evaluate(&c.h)
		if relative(c.h.chiSquared, chi) > 1e-9 || relative(c.h.fit, want) > 1e-9 {
			t.Errorf("%s: χ² %v, fit %v; by the full covariance %v, %v", c.name, c.h.chiSquared, c.h.fit, chi, want)
		}
	}
}

// What the readings say of each element, by the same matrices.
func TestElementsAgainstDense(t *testing.T) {
	d := repeated(t)
	s := d.s
	var chol mat.Cholesky
	if !chol.Factorize(d.cov) {
		t.Fatal("not positive definite")
	}
	var ap, ga, aga, gap, left mat.Dense
	ap.Mul(d.a, d.p)
	if chol.SolveTo(&gap, &ap) != nil || chol.SolveTo(&ga, d.a) != nil {
		t.Fatal("not soluble")
	}
	left.Mul(ap.T(), &gap)
	aga.Mul(d.a.T(), &ga)
	e := mat.NewVecDense(s.numReadings, s.byDialling.deviation)
	for k := range 6 {
		if want := math.Sqrt(d.p.At(k, k) - left.At(k, k)); relative(s.ofElements.sd[k], want) > 1e-9 {
			t.Errorf("element %d: standard deviation %v; want %v", k, s.ofElements.sd[k], want)
		}
		az, g := mat.Dot(ga.ColView(k), e), aga.At(k, k)
		if relative(s.ofElements.weighted[k], az) > 1e-9 || relative(s.ofElements.information[k*6+k], g) > 1e-9 {
			t.Errorf("element %d: %v, %v; want %v, %v", k, s.ofElements.weighted[k], s.ofElements.information[k*6+k], az, g)
		}
		if v, u := s.fitFactor(s.model.inCircuit[k]); relative(v, az/g) > 1e-9 || relative(u, 1/math.Sqrt(g)) > 1e-9 {
			t.Errorf("element %d: fitted %v ± %v; want %v ± %v", k, v, u, az/g, 1/math.Sqrt(g))
		}
	}
	if v, u := s.fitFactor(make([]float64, s.numSettings)); v != 0 || !math.IsInf(u, 1) {
		t.Errorf("nothing to fit: %v ± %v", v, u)
	}
	// Of a dial: the mean of its elements, and how independent they are.
	for dial, from := range []int{0, 3} {
		n, single, together := []float64{3, 2}[dial], 0.0, 0.0
		for i := range int(n) {
			single += d.p.At(from+i, from+i) - left.At(from+i, from+i)
			for j := range int(n) {
				together += d.p.At(from+i, from+j) - left.At(from+i, from+j)
			}
		}
		share, mean := min(1, max(1/n, single/together)), math.Sqrt(together)/(n*[]float64{10, 1}[dial])
		if relative(s.ofElements.independence[dial], share) > 1e-9 || relative(s.ofElements.dialSD[dial], mean) > 1e-9 {
			t.Errorf("dial %d: share %v, mean %v; want %v, %v", dial, s.ofElements.independence[dial], s.ofElements.dialSD[dial], share, mean)
		}
	}
}

// A fault whose account is linear fits alike by its circuit, and its value and uncertainty
// come out.
func TestCircuitAgainstLinear(t *testing.T) {
	d := repeated(t)
	s := d.s
	s.evidence.overloads[0].reach = 0
	place := Place{PartElement, 0, 3}
	best, u := s.fitFactor(s.model.inCircuit[2])
	for _, v := range []float64{best, 1.3 * best, 0.6 * best} {
		h := &hypothesis{faults: []Fault{{Kind: KindDrift, A: place, Value: v}}, effect: scaled(s.model.inCircuit[2], v), uncertainty: []float64{1}}
		s.evaluate(h)
		linear := h.fit
		if h.faults[0].Value == best {
			if err := s.fitCircuit(newProbe(s.model.layout), h); err != nil {
				t.Fatal(err)
			}
			if math.Abs(h.fit-linear) > 1e-3 || relative(h.uncertainty[0], u) > 1e-3 {
				t.Errorf("fit %v ± %v; the linear account has %v ± %v", h.fit, h.uncertainty[0], linear, u)
			}
			continue
		}
		f := h.faults[0]
		if err := s.fitCircuit(newProbe(s.model.layout), h); err != nil {
			t.Fatal(err)
		}
		if got := h.faults[0].Value; math.Abs(got-best) > negligibleStep*u || relative(h.uncertainty[0], u) > 0.03 {
			t.Errorf("from %v: %v ± %v; want %v ± %v", f.Value, got, h.uncertainty[0], best, u)
		}
	}
}

// The view beside a first fault is the posterior with its draws, its elements and its value
// in the covariance.
func TestViewAgainstDense(t *testing.T) {
	d := repeated(t)
	s := d.s
	h := &hypothesis{
		faults: []Fault{{Kind: KindDrift, A: Place{PartElement, 0, 2}, Value: 0.5}}, effect: scaled(s.model.inCircuit[1], 0.5), uncertainty: []float64{0.1},
		drawn: []int{3, 4}, drawSD: 0.2, free: []int{0, 3}, freeSD: []float64{0.3, 0.1},
	}
	v := s.viewBeside(newProbe(s.model.layout), h)
	wide := d.wider(h)
	var narrow, before, after mat.Cholesky
	col := mat.NewVecDense(s.numReadings, mat.Col(nil, 1, d.a))
	x := mat.NewVecDense(s.numReadings, nil)
	if !narrow.Factorize(d.cov) || !before.Factorize(wide) || before.SolveVecTo(x, col) != nil {
		t.Fatal("not positive definite")
	}
	norm := mat.Dot(col, x)
	wide.SymRankOne(wide, freedValue*freedValue/norm, col)
	g := mat.NewSymDense(s.numReadings, nil)
	if !after.Factorize(wide) || after.InverseTo(g) != nil {
		t.Fatal("not positive definite")
	}
	if got, want := v.added, before.LogDet()-narrow.LogDet(); relative(got, want) > 1e-9 {
		t.Errorf("constant %v; want %v", got, want)
	}
	if relative(v.slopeSize, norm) > 1e-9 || !slices.Equal(v.slope, s.model.inCircuit[1]) {
		t.Errorf("slope %v of size %v; want %v", v.slope, v.slopeSize, norm)
	}
	for i := range s.numReadings {
		if want := s.byDialling.deviation[i] - h.effect[s.evidence.observations[i].setting]; math.Abs(v.byDialling.deviation[i]-want) > 1e-12 {
			t.Errorf("remainder %d: %v; want %v", i, v.byDialling.deviation[i], want)
		}
		z := 0.0
		for j := range s.numReadings {
			z += g.At(i, j) * v.byDialling.deviation[j]
			if math.Abs(v.byDialling.inverse[i*s.numReadings+j]-g.At(i, j)) > 1e-7*g.At(i, i) {
				t.Errorf("g %d, %d: %v; want %v", i, j, v.byDialling.inverse[i*s.numReadings+j], g.At(i, j))
			}
		}
		if math.Abs(v.byDialling.weighted[i]-z) > 1e-5 {
			t.Errorf("z %d: %v; want %v", i, v.byDialling.weighted[i], z)
		}
	}
}

// In the circuit with a first fault its free elements are in the covariance, too: of two elements
// exchanged each brings its class along.
func TestViewInCircuitHasFreeElements(t *testing.T) {
	d := repeated(t)
	s := d.s
	pr := newProbe(s.model.layout)
	h := &hypothesis{
		faults: []Fault{{Kind: KindElementsExchanged, A: Place{PartElement, 0, 3}, B: Place{PartElement, 1, 1}}},
		effect: make([]float64, s.numSettings), free: []int{2}, freeSD: []float64{0.4},
	}
	without := *h
	without.free, without.freeSD = nil, nil
	n := s.numReadings
	narrow := s.viewInCircuit(pr, &without)
	var wide mat.SymDense
	var chol mat.Cholesky
	if !chol.Factorize(mat.NewSymDense(n, slices.Clone(narrow.byDialling.inverse))) || chol.InverseTo(&wide) != nil {
		t.Fatal("not positive definite")
	}
	added := narrow.added
	col := mat.NewVecDense(n, nil)
	for i, o := range s.evidence.observations {
		col.SetVec(i, narrow.model.inCircuit[2][o.setting])
	}
	wide.SymRankOne(&wide, 0.4*0.4, col)
	var want mat.Cholesky
	g := mat.NewSymDense(n, nil)
	if !want.Factorize(&wide) || want.InverseTo(g) != nil {
		t.Fatal("not positive definite")
	}
	v := s.viewInCircuit(pr, h)
	if grown := want.LogDet() + chol.LogDet(); relative(v.added-added, grown) > 1e-9 {
		t.Errorf("determinant grows by %v; want %v", v.added-added, grown)
	}
	for i := range n {
		for j := range n {
			if math.Abs(v.byDialling.inverse[i*n+j]-g.At(i, j)) > 1e-9*g.At(i, i) {
				t.Errorf("inverse %d, %d: %v; want %v", i, j, v.byDialling.inverse[i*n+j], g.At(i, j))
			}
		}
	}
}

// The slope of a signature with respect to the value of its fault.
func TestSlopes(t *testing.T) {
	s := repeated(t).s
	pr := newProbe(s.model.layout)
	at := Place{PartElement, 0, 2}
	unit := s.model.inCircuit[1]
	part := &hypothesis{faults: []Fault{{Kind: KindWrongPart, A: at, Value: 12}}, effect: scaled(unit, 2)}
	if got := s.slopeOf(pr, part); !slices.Equal(got, unit) {
		t.Errorf("12 Ω in the place of 10 Ω: %v; want %v", got, unit)
	}
	if got := s.slopeOf(pr, &hypothesis{faults: []Fault{{Kind: KindShorted, A: at}}, effect: scaled(unit, -10)}); got != nil {
		t.Errorf("a short has no value: %v", got)
	}
	leak := &hypothesis{faults: []Fault{{Kind: KindElementLeak, A: at, Value: 40}}}
	for k, got := range s.slopeOf(pr, leak) { // 40·10/(40 + 10), its derivative (10/50)²
		if math.Abs(got-0.04*unit[k]) > 1e-5 {
			t.Errorf("setting %d with 40 Ω across 10 Ω: %v; want %v", k, got, 0.04*unit[k])
		}
	}
}
