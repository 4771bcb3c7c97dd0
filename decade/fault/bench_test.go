// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"fmt"
	"math"
	"slices"
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
	p.edges = p.healthy.appendEdges(nil, settings[30])
	b.ReportAllocs()
	for b.Loop() {
		p.solver.eliminateAll(p.edges)
	}
}

// BenchmarkFactorSettingGonum is the same by a factorisation of the matrix of nodes.
func BenchmarkFactorSettingGonum(b *testing.B) {
	l, settings := large(b)
	p := newProbe(l)
	p.edges = p.healthy.appendEdges(nil, settings[30])
	for b.Loop() {
		if math.IsNaN(cholesky(len(l.nodes), p.edges)) {
			b.Fatal("not positive definite")
		}
	}
}

// faulty is one setting of a box with every pair of nodes bridged.
type faulty struct {
	*probe
	again *solver
}

func newFaulty(l *layout) *faulty { return &faulty{newProbe(l), newSolver(len(l.nodes))} }

// mended is the resistance of the bridges that are looked for.
const mended = 1e-3

// network is the sum over all bridges at a setting.
func (f *faulty) network(s decade.Setting) float64 {
	f.edges = f.healthy.appendEdges(f.edges[:0], s)
	f.solver.eliminateAll(f.edges)
	f.solver.impedances()
	sum := 0.0
	for c := range f.solver.numNodes {
		for d := c + 1; d < f.solver.numNodes; d++ {
			sum += f.solver.bridged(f.again, f.edges, c, d, mended)
		}
	}
	return sum
}

// cholesky is one bridge at a setting by gonum, the matrix of nodes factored for it.
func (f *faulty) cholesky(s decade.Setting, c, d int) float64 {
	f.edges = f.healthy.appendEdges(f.edges[:0], s)
	return cholesky(f.solver.numNodes, append(f.edges, edge{c, d, 1 / mended}))
}

// Both ways agree, to what the matrix of nodes allows.
func TestFaultsAgainstGonum(t *testing.T) {
	bx := box(t, decade.Spec{Residual: 0.02, Decades: dials(0.001, 100, 10, 1)})
	f := newFaulty(newLayout(bx))
	for _, s := range unique(plan(t, bx)) {
		f.edges = f.healthy.appendEdges(f.edges[:0], s)
		f.solver.eliminateAll(f.edges)
		f.solver.impedances()
		edges := slices.Clone(f.edges)
		for c := range f.solver.numNodes {
			d := (7*c + 5) % f.solver.numNodes
			if c == d {
				continue
			}
			got, want := f.solver.bridged(f.again, edges, c, d, mended), f.cholesky(s, c, d)
			if relative(got, want) > 1e-6 {
				t.Fatalf("%v with %d and %d bridged: %v Ω, gonum %v Ω", s, c, d, got, want)
			}
		}
	}
}

// Every bridge at every setting of a whole plan; of the other way a part, as a hypothesis
// costs the same everywhere.
func BenchmarkFaults(b *testing.B) {
	l, settings := large(b)
	n := len(l.nodes)
	pairs := n * (n - 1) / 2
	b.Run("impl=network", func(b *testing.B) {
		f := newFaulty(l)
		b.ReportAllocs()
		for b.Loop() {
			for _, s := range settings {
				if math.IsNaN(f.network(s)) {
					b.Fatal("not a number")
				}
			}
		}
		b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(pairs*len(settings)), "ns/hypothesis")
	})
	b.Run("impl=cholesky", func(b *testing.B) {
		f := newFaulty(l)
		const sample = 500
		for b.Loop() {
			for i := range sample {
				if math.IsNaN(f.cholesky(settings[i%len(settings)], i%(n/2), n/2+i%(n/2-1))) {
					b.Fatal("not positive definite")
				}
			}
		}
		b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/sample, "ns/hypothesis")
	})
}

// BenchmarkBridgeFormula is the part of BenchmarkFaults that needs no elimination.
func BenchmarkBridgeFormula(b *testing.B) {
	l, settings := large(b)
	p := newProbe(l)
	p.solve(p.healthy, settings[30])
	p.solver.impedances()
	n := len(l.nodes)
	whole := p.solver.resistance()
	num, den := make([]float64, n), make([]float64, n)
	for b.Loop() {
		if math.IsNaN(p.solver.effects(whole, num, den)) {
			b.Fatal("not a number")
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n*(n-1)/2), "ns/bridge")
}

// effects is the sum of what the terminals read with every bridge in turn.
func (s *solver) effects(whole float64, num, den []float64) float64 {
	sum := 0.0
	for c := range s.numNodes {
		s.bridgeTerms(c, num, den)
		den := den[:len(num)]
		for d := c + 1; d < len(num); d++ {
			sum += whole - num[d]*num[d]/(den[d]+mended)
		}
	}
	return sum
}

// A diagnosis of eight decades from the readings of a whole plan: one fault looked for, and
// two, with one and with two in the box.
func BenchmarkDiagnose(b *testing.B) {
	bx, err := decade.New(decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: dials(0.001, 1e6, 1e5, 1e4, 1e3, 100, 10, 1, 0.1)})
	if err != nil {
		b.Fatal(err)
	}
	faults := []Fault{
		{Kind: KindDrift, A: Place{PartElement, 2, 4}, Value: 150},
		{Kind: KindBridge, A: Place{PartTap, 4, 3}, B: Place{PartTap, 4, 6}, Value: 5000},
	}
	for n := 1; n <= 2; n++ {
		specimen, err := NewSpecimen(bx, testMeter(), 1, faults[:n]...)
		if err != nil {
			b.Fatal(err)
		}
		readings, err := specimen.ReadAll(plan(b, bx)...)
		if err != nil {
			b.Fatal(err)
		}
		report := evaluated(b, bx, readings)
		b.Run(fmt.Sprintf("decades=8/faults=%d", n), func(b *testing.B) {
			b.ReportMetric(float64(len(readings)), "readings")
			for b.Loop() {
				d, err := Options{Faults: n}.Diagnose(b.Context(), report)
				if err != nil {
					b.Fatal(err)
				}
				if len(d.Causes) == 0 || len(d.Causes[0].Faults) != n {
					b.Fatalf("causes %v; want %d faults first", d.Causes, n)
				}
			}
		})
	}
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
