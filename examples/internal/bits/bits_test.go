// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bits

import (
	"context"
	"encoding/json"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/examples/internal/golden"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/wire"
	"example.com/ohmwright/wire/winding"
)

// results collects lines of a name and the exact value of numbers, or a sum of bytes.
type results struct {
	t     *testing.T
	lines strings.Builder
}

func (r *results) number(name string, v float64, err error) {
	r.t.Helper()
	if err != nil {
		r.t.Fatalf("%s: %v", name, err)
	}
	fmt.Fprintf(&r.lines, "%s %s\n", name, strconv.FormatFloat(v, 'x', -1, 64))
}

func (r *results) json(name string, v any, err error) {
	r.t.Helper()
	if err != nil {
		r.t.Fatalf("%s: %v", name, err)
	}
	text, err := json.Marshal(v)
	if err != nil {
		r.t.Fatalf("%s: %v", name, err)
	}
	sum := fnv.New64a()
	sum.Write(text)
	fmt.Fprintf(&r.lines, "%s %d bytes %016x\n", name, len(text), sum.Sum64())
}

func TestBits(t *testing.T) {
	r := &results{t: t}
	elementaryFunctions(r)
	factors(r)
	budgets(r)
	risks(r)
	conductors(r)
	sensors(r)
	reports(r)
	golden.Check(t, "bits.txt", r.lines.String())
}

// elementaryFunctions takes many arguments together: one bit that differs changes the sum.
func elementaryFunctions(r *results) {
	for _, c := range []struct {
		name      string
		f         func(float64) float64
		low, high float64
	}{
		{"exp", elementary.Exp, -700, 700}, {"expm1", elementary.Expm1, -2, 50}, {"log", elementary.Log, 0, 1e9},
		{"log1p", elementary.Log1p, -1, 4}, {"sin", elementary.Sin, -1e7, 1e7}, {"cos", elementary.Cos, -20, 20},
		{"tan", elementary.Tan, -20, 20}, {"asin", elementary.Asin, -1, 1}, {"acos", elementary.Acos, -1, 1},
		{"atan", elementary.Atan, -5, 5}, {"acosh", elementary.Acosh, 1, 9}, {"asinh", elementary.Asinh, -9, 9},
		{"erf", elementary.Erf, -4, 4}, {"erfc", elementary.Erfc, -2, 27}, {"normal CDF", elementary.NormalCDF, -9, 9},
		{"normal density", elementary.NormalDensity, -9, 9}, {"normal quantile", elementary.NormalQuantile, 0, 1},
		{"power", func(x float64) float64 { return elementary.Pow(x, 1/x) }, 0.01, 9},
		{"whole power", func(x float64) float64 { return elementary.Pow(x, math.Round(x)) }, -9, 9},
	} {
		g := rand.New(rand.NewPCG(1, 2))
		sum := uint64(0)
		for range 2000 {
			sum = sum*31 + math.Float64bits(c.f(c.low+float64((c.high-c.low)*g.Float64())))
		}
		fmt.Fprintf(&r.lines, "elementary %s %016x\n", c.name, sum)
	}
}

func factors(r *results) {
	for _, dof := range []float64{0.7, 1, 2, 4.5, 16.8, 60, 999, 1001, 1e7, math.Inf(1)} {
		for _, p := range []float64{0.5, 0.9, 0.95, 0.9545, 0.99, 0.9973, 1 - 1e-9} {
			k, err := uncertainty.CoverageFactor(p, dof)
			r.number(fmt.Sprintf("coverage factor %v %v", p, dof), k, err)
		}
	}
	k, err := uncertainty.RectangleFactor(0.95, 3, 7.5)
	r.number("rectangle factor", k, err)
}

// model has inputs of every distribution and every function of a formula.
func model() uncertainty.Quantity {
	a := uncertainty.Input("a", uncertainty.Normal(1.5, 0.01))
	b := uncertainty.Input("b", uncertainty.Rectangular(0.7, 0.02))
	c := uncertainty.Input("c", uncertainty.Triangular(2, 0.03))
	d := uncertainty.Input("d", uncertainty.StudentT(0.2, 0.004, 4.5))
	e := uncertainty.Input("e", uncertainty.Arcsine(1, 0.02))
	f := uncertainty.Input("f", uncertainty.TypeA(3.001, 3.004, 2.998, 3.002, 3.0))
	g := uncertainty.Input("g", uncertainty.Trapezoidal(1, 0.03, 0.4))
	y, err := uncertainty.Formula("exp(a/9) + log(b+c) + sin(d)*cos(e) + tan(d)/atan(f) + "+
		"asin(d) - acos(d/2) + pow(c, d) + sqrt(g) + pow(a, 3)", a, b, c, d, e, f, g)
	if err != nil {
		panic(err)
	}
	return y.Named("y")
}

func budgets(r *results) {
	y := model()
	b, err := uncertainty.Evaluate(y)
	r.json("budget", b, err)
	for _, p := range []float64{0.9, 0.95, 0.99} {
		h, err := b.Convolution(p)
		r.number(fmt.Sprint("convolution ", p), h.Upper, err)
	}
	second, err := uncertainty.SecondOrder(y)
	r.json("second order", second, err)
	for _, seed := range []uint64{1, 2} {
		s, err := uncertainty.MonteCarlo{Trials: 20_000, Seed: seed, Bins: 40}.Run(context.Background(), y)
		r.json(fmt.Sprint("simulation, seed ", seed), s, err)
	}
	r.json("record", uncertainty.Record{ID: "bits", Quantities: []uncertainty.Quantity{y}}, nil)
}

func risks(r *results) {
	limits := uncertainty.Interval{Lower: 99.95, Upper: 100.05}
	for _, dof := range []float64{1.5, 9, 120, 8000, math.Inf(1)} {
		for _, y := range []float64{99.9, 99.96, 100.03, 100.05} {
			d := uncertainty.StudentT(y, 0.011, dof)
			if math.IsInf(dof, 1) {
				d = uncertainty.Normal(y, 0.011)
			}
			b, err := uncertainty.Evaluate(uncertainty.Input("R", d))
			if err != nil {
				r.t.Fatal(err)
			}
			known, err := conformity.FromBudget(b)
			if err != nil {
				r.t.Fatal(err)
			}
			p, err := conformity.Probability(limits, known)
			r.number(fmt.Sprintf("probability %v %v", y, dof), p, err)
		}
	}
	g, err := conformity.GuardForSpecificRisk(limits, 0.011, 12, 0.02)
	r.number("guard", g.Width, err)
}

func conductors(r *results) {
	for _, u := range []float64{1e-9, 0.01, 0.3, 1, 3.9, 4, 17, 1e5} {
		k, err := winding.NagaokaCoefficient(u)
		r.number(fmt.Sprint("Nagaoka ", u), k, err)
	}
	for _, d := range []float64{0.001, 0.02, 0.3} {
		m, err := winding.Circles{Radius1: 0.05, Radius2: 0.03, Distance: d}.MutualInductance()
		r.number(fmt.Sprint("circles ", d), m, err)
	}
	for n := -3; n <= 50; n += 7 {
		g, err := wire.AWG(n)
		r.number(fmt.Sprint("gauge ", n), g.Diameter(), err)
	}
}

func sensors(r *results) {
	beta := thermal.BetaThermistor{R: 10e3, At: 25, Beta: 3950}
	s, err := beta.Sensor()
	if err != nil {
		r.t.Fatal(err)
	}
	pt := thermal.Platinum(100)
	for _, t := range []float64{-20, 0, 25, 80.3} {
		v, err := s.Resistance(t)
		r.number(fmt.Sprint("thermistor ", t), v, err)
		v, err = pt.Resistance(t)
		r.number(fmt.Sprint("platinum ", t), v, err)
		back, err := pt.Value(v)
		r.number(fmt.Sprint("temperature ", t), back, err)
	}
}

// reports are of an invented box of five dials whose readings stray.
func reports(r *results) {
	box, err := decade.New(decade.Spec{Residual: 0.01, ResidualTolerance: 0.003, Contact: 0.0005,
		Decades: []decade.Decade{
			{Step: 1000, Tolerance: 0.0002}, {Step: 100, Tolerance: 0.0005}, {Step: 10, Tolerance: 0.001}, {Step: 1, Tolerance: 0.005},
		}})
	if err != nil {
		r.t.Fatal(err)
	}
	meter, err := verify.ReadMeter(strings.NewReader(`{"wiring": "four-wire", "ranges": [
		{"name": "100 Ω", "fullScale": "100 Ω", "ofReading": "0.005 %", "ofRange": "0.002 %"}, {"name": "100 kΩ", "fullScale": "100 kΩ", "ofReading": "0.004 %", "ofRange": "0.001 %"}]}`))
	if err != nil {
		r.t.Fatal(err)
	}
	g := rand.New(rand.NewPCG(3, 4))
	var readings []verify.Reading
	for s := range box.Settings() {
		if nominal := s.Nominal(); nominal > 0 && g.IntN(300) > 0 {
			continue
		}
		v := 0.01 + float64(s.Nominal()*(1+float64(1e-4*g.NormFloat64())))
		readings = append(readings, verify.Reading{Setting: s, Values: []float64{v, v + float64(1e-4*g.NormFloat64())}})
	}
	report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
	if err != nil {
		r.t.Fatal(err)
	}
	for _, row := range report.Rows { // the numbers alone: what is said about them may change
		e := row.Expanded
		sum := uint64(0)
		for _, v := range []float64{row.Measured.Estimate(), row.Deviation.Estimate(), e.K, e.U,
			e.Lower, e.Upper, row.Limits.Lower, row.Probability, row.UncertaintyRatio} {
			sum = sum*31 + math.Float64bits(v)
		}
		fmt.Fprintf(&r.lines, "row %v %016x\n", row.Setting, sum)
	}
}
