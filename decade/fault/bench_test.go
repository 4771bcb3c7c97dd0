// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"testing"

	"example.com/ohmwright/decade"
)

// large is a box of about 90 nodes with its settings.
func large(b *testing.B) (*layout, []decade.Setting) {
	bx, err := decade.New(decade.Spec{Residual: 0.02, Decades: dials(0.001, 1e5, 1e4, 1e3, 100, 10, 1, 0.1)})
	if err != nil {
		b.Fatal(err)
	}
	return newLayout(bx), unique(plan(b, bx))
}

// BenchmarkFactorSetting is one setting by elimination; the next by gonum.
func BenchmarkFactorSetting(b *testing.B) {
	l, settings := large(b)
	p := newProbe(l)
	p.list = p.healthy.edges(nil, settings[30])
	b.ReportAllocs()
	for b.Loop() {
		p.solver.factor(p.list)
	}
}

// BenchmarkFactorSettingGonum is the same by a factorisation of the matrix of nodes.
func BenchmarkFactorSettingGonum(b *testing.B) {
	l, settings := large(b)
	p := newProbe(l)
	p.list = p.healthy.edges(nil, settings[30])
	for b.Loop() {
		if math.IsNaN(cholesky(len(l.nodes), p.list)) {
			b.Fatal("not positive definite")
		}
	}
}

// BenchmarkBridges is every bridge at one setting, with 1 mΩ; per bridge is reported.
func BenchmarkBridges(b *testing.B) {
	l, settings := large(b)
	p := newProbe(l)
	p.list = p.healthy.edges(nil, settings[30])
	again := newSolver(len(l.nodes))
	n := len(l.nodes)
	b.ReportAllocs()
	for b.Loop() {
		p.solver.factor(p.list)
		p.solver.impedances()
		sum := 0.0
		for c := range n {
			for d := c + 1; d < n; d++ {
				sum += p.solver.bridged(again, p.list, c, d, 1e-3)
			}
		}
		if math.IsNaN(sum) {
			b.Fatal("not a number")
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n*(n-1)/2), "ns/bridge")
}

// BenchmarkBridgeFormula is the part of BenchmarkBridges that needs no elimination.
func BenchmarkBridgeFormula(b *testing.B) {
	l, settings := large(b)
	p := newProbe(l)
	p.solve(p.healthy, settings[30])
	p.solver.impedances()
	n := len(l.nodes)
	whole := p.solver.resistance()
	for b.Loop() {
		sum := 0.0
		for c := range n {
			for d := c + 1; d < n; d++ {
				num, den := p.solver.bridge(c, d)
				sum += whole - num*num/(den+1e-3)
			}
		}
		if math.IsNaN(sum) {
			b.Fatal("not a number")
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n*(n-1)/2), "ns/bridge")
}

// A setting is solved without allocation.
func TestNoAllocations(t *testing.T) {
	bx := box(t, decade.Spec{Residual: 0.02, Decades: dials(0.001, 100, 10, 1)})
	l := newLayout(bx)
	p := newProbe(l)
	s := at(t, bx, 3, 4, 5)
	p.solve(p.healthy, s)
	p.solver.impedances()
	if n := testing.AllocsPerRun(100, func() { p.solve(p.healthy, s); p.solver.impedances() }); n != 0 {
		t.Errorf("%v allocations; expected none", n)
	}
}
