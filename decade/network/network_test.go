// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package network_test

import (
	"errors"
	"fmt"
	"log"
	"math"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade/network"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// matched are n resistors of 1 kΩ, half of them so many parts high, half low.
func matched(n int, parts float64) network.Transfer {
	t := make(network.Transfer, n)
	for i := range t {
		t[i] = 1000 * (1 + parts*float64(1-2*(i%2)))
	}
	return t
}

func seen(name, source, place, printed string) uncertaintytest.Published {
	return uncertaintytest.Published{Name: name, Source: source, Place: place, Printed: printed, Provenance: uncertaintytest.Seen}
}

// Magnitudes beyond any resistor are refused by name: their conductances and products would be
// infinite, or 0 without a word.
func TestAbsurdResistances(t *testing.T) {
	divider := func(contact float64) network.Divider {
		d, err := network.NewDivider(3, 1000)
		if err != nil {
			t.Fatal(err)
		}
		d.Contact = contact
		return *d
	}
	for _, v := range []float64{5e-324, 1e-310, 1e-13, 1e19, 1e300, math.MaxFloat64} {
		d := divider(v)
		_, _, linearity := d.Linearity()
		for name, err := range map[string]error{
			"Parallel":                    second(network.Parallel(1, v)),
			"Transfer.Resistance":         second(network.Transfer{1, v}.Resistance(2)),
			"Transfer.RatioError":         second(network.Transfer{1, v}.RatioError(1, 2)),
			"SeriesParallelOf":            network.SeriesParallelOf(1, uncertainty.Exact(v)).Err(),
			"Bridge.Unknown":              second(network.Bridge{A: v, B: 1}.Unknown(1)),
			"Bridge.Unknown, adjusted":    second(network.Bridge{A: 1, B: 1}.Unknown(v)),
			"Bridge.Limits":               second(network.Bridge{A: 1, B: v}.Limits(uncertainty.Interval{Upper: 1})),
			"Bridge.Sensitivity":          second(network.Bridge{A: 1, B: 1}.Sensitivity(1, v)),
			"Interchange":                 second(network.Interchange(1, v)),
			"ConductanceBox, series":      second(network.ConductanceBox{Steps: []float64{1}, Series: v}.Conductance(1)),
			"ConductanceBox, step":        second(network.ConductanceBox{Steps: []float64{1 / min(v, 1e300) * 1e-10}}.Conductance(1)),
			"Divider.Ratio":               second(d.Ratio(1, 2, 3)),
			"Divider.InputResistance":     second(d.InputResistance(1, 2, 3)),
			"Divider.OutputResistance":    second(d.OutputResistance(1, 2, 3)),
			"Divider.Linearity":           linearity,
			"ParallelOf, negative by far": network.ParallelOf(uncertainty.Exact(1), uncertainty.Exact(-v)).Err(),
		} {
			if name == "ConductanceBox, step" && v < 1 {
				continue
			}
			if !errors.Is(err, network.ErrDomain) && !errors.Is(err, network.ErrNotFinite) {
				t.Errorf("%s of %v Ω: %v; want an error", name, v, err)
			}
		}
	}
	// The ends of what there may be.
	for _, v := range []float64{1e-12, 1e18} {
		d := divider(v)
		for name, f := range map[string]func() (float64, error){
			"Parallel":         func() (float64, error) { return network.Parallel(v, v, v) },
			"Divider.Ratio":    func() (float64, error) { return d.Ratio(1, 2, 3) },
			"OutputResistance": func() (float64, error) { return d.OutputResistance(1, 2, 3) },
			"Bridge":           func() (float64, error) { return network.Bridge{A: v, B: 1e18}.Unknown(v) },
		} {
			if got, err := f(); err != nil || !(got > 0) || math.IsInf(got, 0) {
				t.Errorf("%s at %v Ω: %v, %v", name, v, got, err)
			}
		}
	}
	// Deflections whose difference is no float64.
	r, err := network.Interpolate(network.Deflection{Resistance: 1, Detector: 1e308}, network.Deflection{Resistance: 3, Detector: -1e308})
	if err != nil || r != 2 {
		t.Errorf("between 1 Ω and 3 Ω: %v, %v; want 2 Ω", r, err)
	}
}

func TestPublishedTransfer(t *testing.T) {
	e, err := matched(10, 50e-6).RatioError(1, 10)
	if err != nil {
		t.Fatal(err)
	}
	common("ten at ±50 ppm", "series to parallel 100·(1 + mean square of the deviations): the excess in 1e-9", "2.5").Run(t, 1e9*e)
	if e, err = matched(10, 1e-4).RatioError(1, 10); err != nil {
		t.Fatal(err)
	}
	seen("ten matched to 1e-4", "J. Sci. Instrum. 31 (1954), series–parallel build-up", "abstract: within 1 in 10⁸; in 1e-8", "1").Run(t, 1e8*e)
}

// resistanceOf is a series–parallel network in rational arithmetic.
func resistanceOf(r []float64, parallel int) *big.Rat {
	sum := new(big.Rat)
	for i := 0; i < len(r); i += parallel {
		g := new(big.Rat)
		for _, v := range r[i : i+parallel] {
			g.Add(g, new(big.Rat).Inv(new(big.Rat).SetFloat64(v)))
		}
		sum.Add(sum, g.Inv(g))
	}
	return sum
}

// Resistances and errors of ratios against exact rational arithmetic.
func TestTransferExactly(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 0))
	for range 200 {
		n := []int{2, 4, 9, 10, 12}[r.IntN(5)]
		x := make(network.Transfer, n)
		size := math.Pow(10, -1-5*r.Float64())
		for i := range x {
			x[i] = 1000 * (1 + size*(2*r.Float64()-1))
		}
		for p := 1; p <= n; p++ {
			if n%p != 0 {
				continue
			}
			got, err := x.Resistance(p)
			if want := toFloat(resistanceOf(x, p)); err != nil || math.Abs(got/want-1) > 1e-15*float64(n) {
				t.Errorf("%d of %d: %v, %v; want %v", p, n, got, err, want)
			}
			e, err := x.RatioError(1, p)
			ratio := new(big.Rat).Quo(resistanceOf(x, 1), resistanceOf(x, p))
			ratio.Quo(ratio, new(big.Rat).SetInt64(int64(p*p)))
			want := toFloat(ratio.Sub(ratio, new(big.Rat).SetInt64(1)))
			if err != nil || math.Abs(e-want) > 1e-12*math.Abs(want)+1e-16*size {
				t.Errorf("%d of %d, ±%.1g: error of the ratio %v, %v; want %v", p, n, size, e, err, want)
			}
		}
	}
}

// Ten for one from ten resistors: the square of the first nine and the last one in series
// with them, in rational arithmetic.
func TestBuildUp(t *testing.T) {
	x := matched(10, 80e-6)
	square := resistanceOf(x[:9], 3)
	last := new(big.Rat).Quo(new(big.Rat).SetFloat64(x[9]), square)
	want := toFloat(new(big.Rat).Quo(resistanceOf(x, 1), square))
	got, err := x.BuildUp(toFloat(last))
	if err != nil || math.Abs(got-want) > 1e-14 {
		t.Errorf("%v, %v; want %v", got, err, want)
	}
	if math.Abs(got-10) < 1e-6 {
		t.Error("the last resistor makes a difference of first order")
	}
}

func TestSeriesParallelOf(t *testing.T) {
	var q []uncertainty.Quantity
	for i := range 10 {
		q = append(q, uncertainty.Input(fmt.Sprintf("R%d", i+1), uncertainty.Normal(1000, 0.1)))
	}
	ratio := network.SeriesParallelOf(1, q...).Div(network.SeriesParallelOf(10, q...))
	b := evaluate(t, ratio)
	// First order drops out: what is left of u is rounding.
	if math.Abs(b.Estimate-100) > 1e-12 || b.StandardUncertainty > 1e-13 {
		t.Errorf("series to parallel %v, u %v; want 100 without uncertainty of first order", b.Estimate, b.StandardUncertainty)
	}
	single := evaluate(t, network.SeriesParallelOf(1, q...)).StandardUncertainty
	if math.Abs(single-0.1*math.Sqrt(10)) > 1e-12 {
		t.Errorf("u of the series %v", single)
	}
	if network.SeriesParallelOf(3, q...).Err() == nil || network.SeriesParallelOf(1, uncertainty.Quantity{}).Err() == nil || network.ParallelOf().Err() == nil {
		t.Error("want errors for three of ten, no quantity, and nothing in parallel")
	}
}

func TestPublishedBridge(t *testing.T) {
	companion := "open textbook-companion collection, worked examples on bridges"
	for _, c := range []struct {
		name, place      string
		bridge           network.Bridge
		adjusted         float64
		limit            float64
		unknown, percent string
		error            string
	}{
		{"1000/1000 × 3154 Ω", "book 2318, example 3.9", network.Bridge{A: 1000, B: 1000, LimitA: 0.0005, LimitB: 0.0005}, 3154, 0.001, "3154", "0.2", "6.308"},
		{"500·440/50 Ω", "book 2096, example 1.45", network.Bridge{A: 500, B: 50, LimitA: 0.005, LimitB: 0.005}, 440, 0.005, "4400", "1.5", "66"},
	} {
		x, err := c.bridge.Unknown(c.adjusted)
		if err != nil {
			t.Fatal(err)
		}
		e, err := c.bridge.LimitingError(c.limit)
		if err != nil {
			t.Fatal(err)
		}
		seen(c.name, companion, c.place+", unknown in Ω", c.unknown).Run(t, x)
		seen(c.name+", limiting error", companion, c.place+", in Ω", c.error).Run(t, e*x)
		common(c.name+", in per cent", "limits of the known arms added", c.percent).Run(t, 100*e)
	}
	// A standard at −900 ppm on a ratio at −900 ppm: parts per million multiply, and adding
	// them is off by the product.
	x, err := network.Bridge{A: 1000 * (1 - 900e-6), B: 1000}.Unknown(1000 * (1 - 900e-6))
	if err != nil {
		t.Fatal(err)
	}
	excess := (x/1000-1)*1e6 + 1800
	seen("−900 ppm twice", "metrology forum, standard far from nominal", "error of adding deviations, about 1 ppm", "1").Run(t, excess)
	common("−900 ppm twice, worked", "(1 − 900 ppm)² less 1 − 1800 ppm, in ppm", "0.81").Run(t, excess)
	r, err := network.Interpolate(network.Deflection{Resistance: 5.11, Detector: -6}, network.Deflection{Resistance: 5.12, Detector: 12})
	if err != nil {
		t.Fatal(err)
	}
	seen("between 5.11 Ω and 5.12 Ω", "amateur science magazine, about 1905", "6 divisions left, 12 right; in Ω", "5.113").Run(t, r)
	if r, err = network.Interchange(1000.4, 999.8); err != nil {
		t.Fatal(err)
	}
	common("interchange", "√(S₁·S₂) of 1000.4 Ω and 999.8 Ω", "1000.09996").Run(t, r)
}

func TestBridgeLimits(t *testing.T) {
	b := network.Bridge{A: 500, B: 50, LimitA: 0.005, LimitB: 0.005}
	got, err := b.Limits(uncertainty.Interval{Lower: 440 * 0.995, Upper: 440 * 1.005})
	if err != nil {
		t.Fatal(err)
	}
	// The corners: beyond the first-order ±66 Ω above, inside it below.
	lower, upper := 440*0.995*500*0.995/(50*1.005), 440*1.005*500*1.005/(50*0.995)
	if math.Abs(got.Lower-lower) > 1e-9 || math.Abs(got.Upper-upper) > 1e-9 || got.Upper < 4466 || got.Lower < 4334 {
		t.Errorf("%v; want %v to %v", got, lower, upper)
	}
	// Sensitivity against the voltage of an unbalanced bridge.
	v, err := b.Sensitivity(10, 4400)
	const step = 1e-6
	unbalanced := 10*(4400*(1+step)/(4400*(1+step)+500)) - 10*440.0/490
	if err != nil || math.Abs(v/(unbalanced/step)-1) > 1e-4 {
		t.Errorf("sensitivity %v, %v; want %v", v, err, unbalanced/step)
	}
	x := evaluate(t, network.BalanceOf(uncertainty.Exact(440), uncertainty.Exact(500), uncertainty.Exact(50)))
	y := evaluate(t, network.InterchangeOf(uncertainty.Exact(1000.4), uncertainty.Exact(999.8)))
	if x.Estimate != 4400 || math.Abs(y.Estimate-1000.09996) > 5e-6 {
		t.Errorf("quantities: %v, %v", x.Estimate, y.Estimate)
	}
}

func TestPublishedParallel(t *testing.T) {
	r, err := network.Parallel(3000e6, 200e6)
	if err != nil {
		t.Fatal(err)
	}
	seen("3000 MΩ between two leaks of 100 MΩ to a guard that is not used", "manual of an insulation tester", "worked example, in MΩ", "187.5").Run(t, r/1e6)
	r, err = network.Parallel(200e3, 200e3)
	if err != nil {
		t.Fatal(err)
	}
	common("two of 200 kΩ in parallel", "half of one, in kΩ", "100").Run(t, r/1000)
}

// Two resistors of 200 kΩ ± 0.01 % in parallel: independent they make 0.007 %, in the
// worst case 0.01 %.
func TestPublishedParallelOf(t *testing.T) {
	r1 := uncertainty.Input("R1", uncertainty.Normal(200e3, 20))
	r2 := uncertainty.Input("R2", uncertainty.Normal(200e3, 20))
	b := evaluate(t, network.ParallelOf(r1, r2))
	seen("two of 200 kΩ, 0.01 %, independent", "metrology forum, resistors in parallel", "claimed tolerance of the pair, in %", "0.007").Run(t, 100*b.StandardUncertainty/100e3)
	b = evaluate(t, network.ParallelOf(r1, r1))
	common("two of 200 kΩ, 0.01 %, worst case", "fully correlated, in %", "0.01").Run(t, 100*b.StandardUncertainty/100e3)
}

func TestParallel(t *testing.T) {
	// Fine trim: the large one acts reduced by (R/P)².
	a, _ := network.Parallel(100, 10000)
	c, _ := network.Parallel(100, 10001)
	if d := c - a; math.Abs(d/math.Pow(a/10000, 2)-1) > 1e-3 {
		t.Errorf("1 Ω of 10 kΩ across 100 Ω changes %v Ω; want %v", d, math.Pow(a/10000, 2))
	}
	if r, err := network.Parallel(5, 0); r != 0 || err != nil {
		t.Errorf("shorted: %v, %v", r, err)
	}
}

func TestConductanceBox(t *testing.T) {
	c := network.ConductanceBox{Steps: []float64{1e-3, 1e-4}, Tolerance: []float64{0.001, 0.01}, Leakage: 1e-9, Series: 0.5}
	g, err := c.Conductance(3, 5)
	// Three of 1 kΩ and five of 10 kΩ, and 1 GΩ, in parallel; then 0.5 Ω.
	inner, _ := network.Parallel(1e3, 1e3, 1e3, 1e4, 1e4, 1e4, 1e4, 1e4, 1e9)
	if want := 1 / (0.5 + inner); err != nil || math.Abs(g/want-1) > 1e-14 {
		t.Errorf("%v S, %v; want %v", g, err, want)
	}
	limits, err := c.Limits(3, 5)
	low, _ := network.Parallel(1001.0/3, 10100.0/5, 1e9)
	high, _ := network.Parallel(999.0/3, 9900.0/5, 1e9)
	if err != nil || math.Abs(limits.Lower*(0.5+low)-1) > 1e-14 || math.Abs(limits.Upper*(0.5+high)-1) > 1e-14 {
		t.Errorf("limits %v, %v", limits, err)
	}
	if g, err = (network.ConductanceBox{Steps: []float64{1}}).Conductance(0); g != 0 || err != nil {
		t.Errorf("all at zero: %v, %v", g, err)
	}
}

// solve returns output voltage for 1 V at the input, input resistance and output resistance
// of a divider by nodal analysis of the whole network, a general method with a general
// library.
func solve(d *network.Divider, positions []int, load float64) (ratio, input float64) {
	type edge struct {
		a, b int
		g    float64
	}
	var edges []edge
	nodes := 2 // 0: low end, 1: high end
	low, high := 0, 1
	output := 0
	for k, stage := range d.Stages {
		taps := []int{low}
		for range len(stage) - 1 {
			taps = append(taps, nodes)
			nodes++
		}
		taps = append(taps, high)
		for i, r := range stage {
			edges = append(edges, edge{taps[i], taps[i+1], 1 / r})
		}
		p := positions[k]
		if k == len(d.Stages)-1 {
			output = taps[p]
			break
		}
		low, high = taps[p], taps[p+2]
		if d.Contact > 0 {
			edges = append(edges, edge{low, nodes, 1 / d.Contact}, edge{high, nodes + 1, 1 / d.Contact})
			low, high = nodes, nodes+1
			nodes += 2
		}
	}
	if load > 0 {
		edges = append(edges, edge{output, 0, 1 / load})
	}
	// Unknown: potentials of all nodes but 0 and 1.
	g := mat.NewDense(nodes, nodes, nil)
	rhs := mat.NewVecDense(nodes, nil)
	for _, e := range edges {
		g.Set(e.a, e.a, g.At(e.a, e.a)+e.g)
		g.Set(e.b, e.b, g.At(e.b, e.b)+e.g)
		g.Set(e.a, e.b, g.At(e.a, e.b)-e.g)
		g.Set(e.b, e.a, g.At(e.b, e.a)-e.g)
	}
	for node, v := range []float64{0, 1} {
		for j := range nodes {
			g.Set(node, j, 0)
		}
		g.Set(node, node, 1)
		rhs.SetVec(node, v)
	}
	var v mat.VecDense
	if err := v.SolveVec(g, rhs); err != nil {
		return math.NaN(), math.NaN()
	}
	current := 0.0
	for _, e := range edges {
		if e.a == 1 {
			current += e.g * (1 - v.AtVec(e.b))
		} else if e.b == 1 {
			current += e.g * (1 - v.AtVec(e.a))
		}
	}
	return v.AtVec(output), 1 / current
}

func TestDividerAgainstNodalAnalysis(t *testing.T) {
	r := rand.New(rand.NewPCG(10, 0))
	for range 100 {
		d, err := network.NewDivider(1+r.IntN(4), 1000)
		if err != nil {
			t.Fatal(err)
		}
		d.Contact = float64(r.IntN(2)) * 5
		var positions []int
		for k, stage := range d.Stages {
			for i := range stage {
				stage[i] *= 1 + 0.01*r.NormFloat64()
			}
			highest := len(stage) - 2
			if k == len(d.Stages)-1 {
				highest = len(stage)
			}
			positions = append(positions, r.IntN(highest+1))
		}
		ratio, input := solve(d, positions, 0)
		loaded, _ := solve(d, positions, 5000)
		gotRatio, err1 := d.Ratio(positions...)
		gotInput, err2 := d.InputResistance(positions...)
		gotLoaded, err3 := d.Loaded(5000, positions...)
		if err := errors.Join(err1, err2, err3); err != nil {
			t.Fatal(err)
		}
		// The general method loses some digits between resistors of 5 Ω and 1 kΩ.
		if math.Abs(gotRatio-ratio) > 1e-12 || math.Abs(gotInput/input-1) > 1e-11 || math.Abs(gotLoaded-loaded) > 1e-12 {
			t.Errorf("%v: ratio %v, input %v, loaded %v; want %v, %v, %v", positions, gotRatio, gotInput, gotLoaded, ratio, input, loaded)
		}
	}
}

func TestDivider(t *testing.T) {
	d, err := network.NewDivider(3, 1000)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		positions []int
		want      float64
	}{{[]int{0, 0, 0}, 0}, {[]int{4, 6, 3}, 0.463}, {[]int{9, 9, 10}, 1}, {[]int{0, 0, 1}, 0.001}} {
		n, err1 := d.Nominal(c.positions...)
		ratio, err2 := d.Ratio(c.positions...)
		input, err3 := d.InputResistance(c.positions...)
		if errors.Join(err1, err2, err3) != nil || math.Abs(n-c.want) > 1e-15 || math.Abs(ratio-c.want) > 1e-14 || math.Abs(input/10000-1) > 1e-14 {
			t.Errorf("%v: nominal %v, ratio %v, input %v; want %v and 10 kΩ", c.positions, n, ratio, input, c.want)
		}
	}
	// Ideal to rounding; one resistor of the first stage 10 ppm high shows up at its step.
	if e, _, err := d.Linearity(); err != nil || math.Abs(e) > 1e-14 {
		t.Errorf("ideal: %v, %v", e, err)
	}
	d.Stages[0][4] *= 1 + 1e-5
	e, positions, err := d.Linearity()
	if err != nil || math.Abs(math.Abs(e)-0.55e-6) > 0.1e-6 {
		t.Errorf("one resistor +10 ppm: %v at %v, %v", e, positions, err)
	}
	ratio, _ := d.Ratio(positions...)
	nominal, _ := d.Nominal(positions...)
	if ratio-nominal != e {
		t.Errorf("at %v: %v; want %v", positions, ratio-nominal, e)
	}
}

func TestNetworksRefuse(t *testing.T) {
	nan := math.NaN()
	d, _ := network.NewDivider(2, 100)
	broken := &network.Divider{Stages: [][]float64{{1, 2}, {1}}}
	negative := &network.Divider{Stages: [][]float64{{1, -2}}}
	big, _ := network.NewDivider(8, 1000)
	g := network.ConductanceBox{Steps: []float64{1}}
	third := func(_ float64, _ []int, err error) error { return err }
	for name, c := range map[string]struct {
		err      error
		contains string
	}{
		"no resistors":          {second(network.Transfer{}.Resistance(1)), "none; expected one or more"},
		"resistor":              {second(network.Transfer{1, nan}.Resistance(1)), "NaN"},
		"resistor zero":         {second(network.Transfer{1, 0}.RatioError(1, 2)), "0 Ω; expected more than 0"},
		"groups":                {second(matched(10, 0).Resistance(3)), "groups of 3; expected a divisor of the 10 resistors"},
		"groups of none":        {second(matched(10, 0).RatioError(1, 0)), "groups of 0"},
		"build-up":              {second(matched(9, 0).BuildUp(1)), "9; expected a square number and one more"},
		"comparison":            {second(matched(10, 0).BuildUp(0)), "lastToSquare"},
		"stages":                {second(network.NewDivider(0, 1)), "0; expected 1 to 16"},
		"ohms":                  {second(network.NewDivider(3, -1)), "-1 Ω"},
		"positions":             {second(d.Ratio(1)), "1 position; expected 2"},
		"position":              {second(d.Ratio(10, 0)), "position 10 of stage 1; expected 0 to 9"},
		"position, output":      {second(d.OutputResistance(0, 11)), "position 11 of stage 2; expected 0 to 10"},
		"position, nominal":     {second(d.Nominal(0, -1)), "position -1"},
		"position, input":       {second(d.InputResistance()), "0 positions"},
		"load":                  {second(d.Loaded(0, 1, 1)), "load: 0"},
		"broken":                {second(broken.Ratio(0, 0)), "stage 1 has 2 resistors"},
		"negative":              {third(negative.Linearity()), "-2 Ω"},
		"nil":                   {second((*network.Divider)(nil).Ratio()), "expected 1 to 16 stages"},
		"large":                 {third(big.Linearity()), "expected at most 2000000"},
		"nothing parallel":      {second(network.Parallel()), "no resistances"},
		"negative parallel":     {second(network.Parallel(1, -1)), "-1 Ω"},
		"conductance dials":     {second(g.Conductance()), "0 positions; expected 1"},
		"conductance place":     {second(g.Conductance(-1)), "position -1"},
		"conductance step":      {second(network.ConductanceBox{Steps: []float64{0}}.Conductance(1)), "step: 0 S"},
		"conductance limits":    {second(network.ConductanceBox{Steps: []float64{1}, Tolerance: []float64{1}}.Limits(1)), "expected a fraction below 1"},
		"tolerances":            {second(network.ConductanceBox{Steps: []float64{1}, Tolerance: []float64{}}.Limits(1)), "0 tolerances"},
		"bridge":                {second(network.Bridge{A: 1}.Unknown(1)), "B: 0 Ω"},
		"bridge arm":            {second(network.Bridge{A: 1, B: 1}.Unknown(-1)), "adjusted: -1 Ω"},
		"bridge limit":          {second(network.Bridge{A: 1, B: 1}.LimitingError(5)), "that is 500 %"},
		"bridge limits":         {second(network.Bridge{A: 1, B: 1}.Limits(uncertainty.Interval{Lower: 2, Upper: 1})), "2 Ω to 1 Ω"},
		"bridge NaN":            {second(network.Bridge{A: 1, B: 1}.Limits(uncertainty.Interval{Lower: nan, Upper: 1})), "NaN"},
		"bridge supply":         {second(network.Bridge{A: 1, B: 1}.Sensitivity(nan, 1)), "supply: NaN"},
		"interpolation":         {second(network.Interpolate(network.Deflection{Resistance: 1, Detector: 2}, network.Deflection{Resistance: 3, Detector: 4})), "one on each side"},
		"interpolation too far": {second(network.Interpolate(network.Deflection{Resistance: -1e308, Detector: 1}, network.Deflection{Resistance: 1e308, Detector: -1})), "balance: +Inf"},
		"interpolation NaN":     {second(network.Interpolate(network.Deflection{Resistance: 1, Detector: nan}, network.Deflection{Resistance: 3, Detector: 4})), "first deflection: NaN"},
		"interchange":           {second(network.Interchange(0, 1)), "first: 0 Ω"},
	} {
		if _, ok := errors.AsType[*network.Error](c.err); !ok || !strings.Contains(c.err.Error(), c.contains) {
			t.Errorf("%s: %v; want a *network.Error with %q", name, c.err, c.contains)
		}
	}
}

// Ten resistors matched to 0.01 %: the ratio of series to parallel is 100 to 1 part in 10⁸.
func ExampleTransfer() {
	t := network.Transfer{1000.1, 999.9, 1000.1, 999.9, 1000.1, 999.9, 1000.1, 999.9, 1000.1, 999.9}
	series, err := t.Resistance(1)
	if err != nil {
		log.Fatal(err)
	}
	parallel, err := t.Resistance(10)
	if err != nil {
		log.Fatal(err)
	}
	e, err := t.RatioError(1, 10)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f Ω to %.6f Ω: 100·(1 %+.2g)\n", series, parallel, e)
	// Output:
	// 10000.0000 Ω to 99.999999 Ω: 100·(1 +1e-08)
}

// A divider at 0.463, and what a voltmeter of 1 MΩ makes of it.
func ExampleDivider() {
	d, err := network.NewDivider(3, 1000)
	if err != nil {
		log.Fatal(err)
	}
	ratio, err := d.Ratio(4, 6, 3)
	if err != nil {
		log.Fatal(err)
	}
	r, err := d.OutputResistance(4, 6, 3)
	if err != nil {
		log.Fatal(err)
	}
	loaded, err := d.Loaded(1e6, 4, 6, 3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("ratio %.6f behind %.0f Ω, with the voltmeter %.6f\n", ratio, r, loaded)
	// Output:
	// ratio 0.463000 behind 2761 Ω, with the voltmeter 0.461725
}

func evaluate(t testing.TB, q uncertainty.Quantity) *uncertainty.Budget {
	t.Helper()
	b, err := uncertainty.Evaluate(q)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// common is a row of which the formula is common practice and the figure follows by hand.
func common(name, place, printed string) uncertaintytest.Published {
	return uncertaintytest.Published{Name: name, Source: "common practice, computed by hand", Place: place,
		Printed: printed, Provenance: uncertaintytest.CommonPractice}
}

func second[T any](_ T, err error) error { return err }

// The largest dividers.
func TestLargestDividers(t *testing.T) {
	for stages, want := range map[int]error{0: network.ErrDomain, 1: nil, 16: nil, 17: network.ErrDomain} {
		d, err := network.NewDivider(stages, 1e12)
		if !errors.Is(err, want) || err == nil && len(d.Stages) != stages {
			t.Errorf("divider of %d stages: %v; want %v", stages, err, want)
		}
	}
	ones := func(n int) []float64 {
		out := make([]float64, n)
		for i := range out {
			out[i] = 1
		}
		return out
	}
	for _, c := range []struct {
		stages [][]float64
		want   error
	}{
		{[][]float64{ones(255)}, nil}, {[][]float64{ones(256)}, network.ErrDomain}, {[][]float64{ones(1)}, nil}, {[][]float64{{}}, network.ErrDomain},
		{[][]float64{ones(3), ones(1)}, nil}, {[][]float64{ones(2), ones(3)}, network.ErrDomain},
	} {
		d := &network.Divider{Stages: c.stages}
		if _, _, err := d.Linearity(); !errors.Is(err, c.want) {
			t.Errorf("stages of %d and %d resistors: %v; want %v", len(c.stages[0]), len(c.stages[len(c.stages)-1]), err, c.want)
		}
	}
}

// The deflections may change sign either way; a third of the way is a third of the
// difference.
func TestInterpolateBothWays(t *testing.T) {
	for _, d := range [][2]float64{{1, -2}, {-1, 2}} {
		if got, err := network.Interpolate(network.Deflection{Resistance: 100, Detector: d[0]}, network.Deflection{Resistance: 103, Detector: d[1]}); err != nil || math.Abs(got-101) > 1e-12 {
			t.Errorf("deflections %v: %v, %v; want 101", d, got, err)
		}
	}
	for _, d := range [][2]float64{{1, 2}, {-1, -2}, {0, 0}} {
		if got, err := network.Interpolate(network.Deflection{Resistance: 100, Detector: d[0]}, network.Deflection{Resistance: 103, Detector: d[1]}); !errors.Is(err, network.ErrDomain) {
			t.Errorf("deflections %v: %v, %v; want ErrDomain", d, got, err)
		}
	}
	for _, d := range [][3]float64{{0, 2, 100}, {2, 0, 103}, {0, -2, 100}, {-2, 0, 103}} {
		if got, err := network.Interpolate(network.Deflection{Resistance: 100, Detector: d[0]}, network.Deflection{Resistance: 103, Detector: d[1]}); err != nil || got != d[2] {
			t.Errorf("deflections %v: %v, %v; want %v", d[:2], got, err, d[2])
		}
	}
}

func toFloat(r *big.Rat) float64 {
	v, _ := r.Float64()
	return v
}
