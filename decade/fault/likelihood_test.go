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
	ev := &evidence{settings: settings, open: []limit{{4, 120, 9}}}
	for i, y := range []float64{0.03, 10.1, 10.4, 20.3, 30.1, 1.05, 2.01, 1.02, 0.01} {
		ev.obs = append(ev.obs, observation{[]int{0, 1, 1, 2, 3, 5, 6, 5, 0}[i], y, i})
	}
	n := len(ev.obs)
	ev.cov = mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			ev.cov.SetSym(i, j, 0.0004+1e-6*ev.obs[i].y*ev.obs[j].y)
		}
		ev.cov.SetSym(i, i, ev.cov.At(i, i)+0.01+0.001*float64(i))
	}
	m := newModel(b, settings, 0)
	post, err := newPosterior(m, ev)
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
	for i, o := range ev.obs {
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
			d.cov.SetSym(i, j, ev.cov.At(i, j)+apa.At(i, j))
		}
	}
	return d
}

// wider is the covariance with the draws and the free elements of a hypothesis.
func (d *denseBox) wider(h *hypothesis) *mat.SymDense {
	n := d.s.n
	c := mat.NewSymDense(n, nil)
	c.CopySym(d.cov)
	for _, i := range h.rows {
		c.SetSym(i, i, c.At(i, i)+h.tau*h.tau)
	}
	for i, k := range h.elements {
		col := mat.NewVecDense(n, mat.Col(nil, k, d.a))
		c.SymRankOne(c, h.spread[i]*h.spread[i], col)
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
	r, x := mat.NewVecDense(d.s.n, nil), mat.NewVecDense(d.s.n, nil)
	for i, o := range d.s.ev.obs {
		r.SetVec(i, o.y-d.s.m.base[o.setting]-h.sig[o.setting])
	}
	if err := wide.SolveVecTo(x, r); err != nil {
		t.Fatal(err)
	}
	rest = make([]float64, d.s.s)
	for i, o := range d.s.ev.obs {
		rest[o.setting] += x.AtVec(i)
	}
	chi = mat.Dot(r, x)
	return chi, chi + wide.LogDet() - narrow.LogDet(), rest
}

func TestLikelihoodAgainstDense(t *testing.T) {
	d := repeated(t)
	s := d.s
	s.ev.open[0].reach = 0 // counts nowhere
	third := scaled(s.m.column[2], 0.4)
	for _, c := range []struct {
		name string
		h    hypothesis
	}{
		{"healthy", hypothesis{sig: make([]float64, s.s)}},
		{"a drift", hypothesis{sig: third}},
		{"draws", hypothesis{sig: scaled(s.m.column[0], 0.2), rows: []int{1, 2, 3}, tau: 0.3}},
		{"free elements", hypothesis{sig: third, elements: []int{0, 2, 4}, spread: []float64{0.3, 0.5, 0.07}}},
	} {
		chi, fit, rest := d.likelihood(t, &c.h)
		var free func(int) bool
		if len(c.h.elements) > 0 {
			free = func(k int) bool { return slices.Contains(c.h.elements, k) }
		}
		want := fit + s.m.outside(s.sd, s.ap, rest, s.share, free)
		s.evaluate(&c.h)
		if relative(c.h.chi, chi) > 1e-9 || relative(c.h.fit, want) > 1e-9 {
			t.Errorf("%s: χ² %v, fit %v; by the full covariance %v, %v", c.name, c.h.chi, c.h.fit, chi, want)
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
	e := mat.NewVecDense(s.n, s.e)
	for k := range 6 {
		if want := math.Sqrt(d.p.At(k, k) - left.At(k, k)); relative(s.sd[k], want) > 1e-9 {
			t.Errorf("element %d: standard deviation %v; want %v", k, s.sd[k], want)
		}
		az, g := mat.Dot(ga.ColView(k), e), aga.At(k, k)
		if relative(s.az[k], az) > 1e-9 || relative(s.aga[k*6+k], g) > 1e-9 {
			t.Errorf("element %d: %v, %v; want %v, %v", k, s.az[k], s.aga[k*6+k], az, g)
		}
		if v, u := s.linear(s.m.column[k]); relative(v, az/g) > 1e-9 || relative(u, 1/math.Sqrt(g)) > 1e-9 {
			t.Errorf("element %d: fitted %v ± %v; want %v ± %v", k, v, u, az/g, 1/math.Sqrt(g))
		}
	}
	if v, u := s.linear(make([]float64, s.s)); v != 0 || !math.IsInf(u, 1) {
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
		if relative(s.share[dial], share) > 1e-9 || relative(s.mean[dial], mean) > 1e-9 {
			t.Errorf("dial %d: share %v, mean %v; want %v, %v", dial, s.share[dial], s.mean[dial], share, mean)
		}
	}
}

// A fault whose account is linear fits alike by its circuit, and its value and uncertainty
// come out.
func TestCircuitAgainstLinear(t *testing.T) {
	d := repeated(t)
	s := d.s
	s.ev.open[0].reach = 0
	place := Place{Element, 0, 3}
	best, u := s.linear(s.m.column[2])
	for _, v := range []float64{best, 1.3 * best, 0.6 * best} {
		h := &hypothesis{faults: []Fault{{Kind: Drift, A: place, Value: v}}, sig: scaled(s.m.column[2], v), u: []float64{1}}
		s.evaluate(h)
		linear := h.fit
		if h.faults[0].Value == best {
			if err := s.circuit(newProbe(s.m.l), h); err != nil {
				t.Fatal(err)
			}
			if math.Abs(h.fit-linear) > 1e-3 || relative(h.u[0], u) > 1e-3 {
				t.Errorf("fit %v ± %v; the linear account has %v ± %v", h.fit, h.u[0], linear, u)
			}
			continue
		}
		f := h.faults[0]
		if err := s.circuit(newProbe(s.m.l), h); err != nil {
			t.Fatal(err)
		}
		if got := h.faults[0].Value; math.Abs(got-best) > smallStep*u || relative(h.u[0], u) > 0.03 {
			t.Errorf("from %v: %v ± %v; want %v ± %v", f.Value, got, h.u[0], best, u)
		}
	}
}

// The view beside a first fault is the posterior with its draws, its elements and its value
// in the covariance.
func TestViewAgainstDense(t *testing.T) {
	d := repeated(t)
	s := d.s
	h := &hypothesis{
		faults: []Fault{{Kind: Drift, A: Place{Element, 0, 2}, Value: 0.5}}, sig: scaled(s.m.column[1], 0.5), u: []float64{0.1},
		rows: []int{3, 4}, tau: 0.2, elements: []int{0, 3}, spread: []float64{0.3, 0.1},
	}
	v := s.beside(newProbe(s.m.l), h)
	wide := d.wider(h)
	var narrow, before, after mat.Cholesky
	col := mat.NewVecDense(s.n, mat.Col(nil, 1, d.a))
	x := mat.NewVecDense(s.n, nil)
	if !narrow.Factorize(d.cov) || !before.Factorize(wide) || before.SolveVecTo(x, col) != nil {
		t.Fatal("not positive definite")
	}
	norm := mat.Dot(col, x)
	wide.SymRankOne(wide, loose*loose/norm, col)
	g := mat.NewSymDense(s.n, nil)
	if !after.Factorize(wide) || after.InverseTo(g) != nil {
		t.Fatal("not positive definite")
	}
	if got, want := v.constant, before.LogDet()-narrow.LogDet(); relative(got, want) > 1e-9 {
		t.Errorf("constant %v; want %v", got, want)
	}
	if relative(v.norm, norm) > 1e-9 || !slices.Equal(v.slope, s.m.column[1]) {
		t.Errorf("slope %v of size %v; want %v", v.slope, v.norm, norm)
	}
	for i := range s.n {
		if want := s.e[i] - h.sig[s.ev.obs[i].setting]; math.Abs(v.e[i]-want) > 1e-12 {
			t.Errorf("remainder %d: %v; want %v", i, v.e[i], want)
		}
		z := 0.0
		for j := range s.n {
			z += g.At(i, j) * v.e[j]
			if math.Abs(v.g[i*s.n+j]-g.At(i, j)) > 1e-7*g.At(i, i) {
				t.Errorf("g %d, %d: %v; want %v", i, j, v.g[i*s.n+j], g.At(i, j))
			}
		}
		if math.Abs(v.z[i]-z) > 1e-5 {
			t.Errorf("z %d: %v; want %v", i, v.z[i], z)
		}
	}
}

// The slope of a signature with respect to the value of its fault.
func TestSlopes(t *testing.T) {
	s := repeated(t).s
	pr := newProbe(s.m.l)
	at := Place{Element, 0, 2}
	unit := s.m.column[1]
	part := &hypothesis{faults: []Fault{{Kind: WrongPart, A: at, Value: 12}}, sig: scaled(unit, 2)}
	if got := s.slopeOf(pr, part); !slices.Equal(got, unit) {
		t.Errorf("12 Ω in the place of 10 Ω: %v; want %v", got, unit)
	}
	if got := s.slopeOf(pr, &hypothesis{faults: []Fault{{Kind: Shorted, A: at}}, sig: scaled(unit, -10)}); got != nil {
		t.Errorf("a short has no value: %v", got)
	}
	leak := &hypothesis{faults: []Fault{{Kind: ElementLeak, A: at, Value: 40}}}
	for k, got := range s.slopeOf(pr, leak) { // 40·10/(40 + 10), its derivative (10/50)²
		if math.Abs(got-0.04*unit[k]) > 1e-5 {
			t.Errorf("setting %d with 40 Ω across 10 Ω: %v; want %v", k, got, 0.04*unit[k])
		}
	}
}
