// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// The worked examples of JCGM 101, JCGM 102 and JCGM GUM-6; the printed figures and
// exact values are in testdata/montecarlo.json. Simulated figures are the average of
// several plain runs; how far one run scatters is measured on these runs, and that is the
// room that a comparison gets. Two runs with twins must agree as well, in the room that the
// noise of the printed figures needs.

type simulatedExample struct {
	ID, Title, Source, Place string
	Provenance               uncertaintytest.Provenance
	Published                []struct {
		Name, Printed, Unit, Exception string
		Kind                           string  // of sampling noise; empty: not simulated
		Trials                         float64 // of the printed figure
	}
	How   string
	Exact []struct {
		Name, Kind string
		Value      float64
	}
}

func readSimulated(t *testing.T, id string) simulatedExample {
	t.Helper()
	text, err := os.ReadFile("testdata/montecarlo.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Examples []simulatedExample }
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	for _, e := range file.Examples {
		if e.ID == id {
			return e
		}
	}
	t.Fatalf("no example %q", id)
	return simulatedExample{}
}

const (
	replicas     = 8
	twinReplicas = 2
	replicaTrial = 200_000
)

// figures are named results, of the same name in every run.
type figures map[string]float64

// replicate runs a simulation with several seeds, and with twins at last.
func replicate(t *testing.T, m uncertainty.MonteCarlo, read func(s *uncertainty.Simulation) figures,
	ys ...uncertainty.Quantity) []figures {
	t.Helper()
	var out []figures
	m.Trials = replicaTrial
	for seed := range uint64(replicas + twinReplicas) {
		m.Seed, m.Twin = seed+1, uncertainty.TwinOff
		if seed >= replicas {
			m.Twin = uncertainty.TwinAuto
		}
		s, err := m.Run(t.Context(), ys...)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, read(s))
	}
	return out
}

func meanAndNoise(runs []figures, name string) (mean, noise float64, ok bool) {
	for _, f := range runs {
		v, found := f[name]
		if !found {
			return 0, 0, false
		}
		mean += v / float64(len(runs))
	}
	for _, f := range runs {
		noise += (f[name] - mean) * (f[name] - mean) / float64(len(runs)-1)
	}
	return mean, math.Sqrt(noise), true
}

// scatter is the noise of one run of that many trials: moments and quantiles settle
// with the square root of their number, the place of a shortest interval with the cube
// root, moments of distributions without a fourth one not predictably.
func scatter(kind string, noise, trials float64) float64 {
	ratio := replicaTrial / trials
	switch kind {
	case "shortest":
		return noise * math.Cbrt(ratio)
	case "heavy":
		return noise
	}
	return noise * math.Sqrt(ratio)
}

// checkSimulated compares the rows that are computed at once to half a unit of their
// last digit, the simulated ones to that and the noise of both sides, and the average
// of the runs with the exact values.
func checkSimulated(t *testing.T, id string, computed figures, runs []figures) {
	t.Helper()
	e := readSimulated(t, id)
	const sigmas = 3.5
	runs, twins := runs[:min(len(runs), replicas)], runs[min(len(runs), replicas):]
	for _, row := range e.Published {
		p := uncertaintytest.Published{Name: e.Title + ": " + row.Name, Source: e.Source,
			Place: e.Place, Provenance: e.Provenance, Printed: row.Printed,
			Exception: row.Exception}
		if row.Kind == "" {
			got, ok := computed[row.Name]
			if !ok {
				t.Errorf("%s: %s is published and not computed", id, row.Name)
				continue
			}
			p.Run(t, got)
			continue
		}
		mean, noise, ok := meanAndNoise(runs, row.Name)
		if !ok {
			t.Errorf("%s: %s is published and not simulated", id, row.Name)
			continue
		}
		room := sigmas * math.Hypot(noise/math.Sqrt(replicas), scatter(row.Kind, noise, row.Trials))
		printed, err := strconv.ParseFloat(row.Printed, 64)
		if err != nil {
			t.Fatal(err)
		}
		p.Run(t, max(mean-room, min(mean+room, printed)))
		for _, f := range twins {
			// The noise of a twin is less: that of the plain runs covers it.
			room := sigmas * math.Hypot(noise, scatter(row.Kind, noise, row.Trials))
			if ok, err := uncertaintytest.Agrees(
				max(f[row.Name]-room, min(f[row.Name]+room, printed)), row.Printed); (!ok ||
				err != nil) && row.Exception == "" {
				t.Errorf("%s: %s with a twin is %v, printed %s", id, row.Name, f[row.Name], row.Printed)
			}
		}
	}
	for _, x := range e.Exact {
		mean, noise, ok := meanAndNoise(runs, x.Name)
		if !ok {
			t.Errorf("%s: %s has an exact value and is not simulated", id, x.Name)
			continue
		}
		room := sigmas * noise / math.Sqrt(replicas)
		if x.Kind == "fixed" {
			room += 0.0002 // of the other program's runs
		}
		if x.Kind == "shortest" {
			room += noise // the place of a shortest interval is biased by as much where the density is skewed
		}
		if math.Abs(mean-x.Value) > room {
			t.Errorf("%s: %s = %v, exactly %v (%s), noise %.2g", id, x.Name, mean, x.Value, e.How, room)
		}
		if x.Kind == "shortest" {
			room += 3 * noise // the first trials of all have an end that reaches far
		}
		for _, f := range twins {
			if math.Abs(f[x.Name]-x.Value) > room*math.Sqrt(replicas)+math.Abs(mean-x.Value) {
				t.Errorf("%s: %s with a twin is %v, exactly %v", id, x.Name, f[x.Name], x.Value)
			}
		}
	}
}

// one reads the usual figures of one output.
func one(s *uncertainty.Simulation) figures {
	o := s.Outputs[0]
	return figures{
		"y": o.Estimate, "u": o.StandardUncertainty, "low": o.Symmetric.Lower, "high": o.Symmetric.Upper,
		"shortest_low": o.Shortest.Lower, "shortest_high": o.Shortest.Upper,
		"mcm_y": o.Estimate, "mcm_u": o.StandardUncertainty, "mcm_low": o.Symmetric.Lower,
		"mcm_high": o.Symmetric.Upper,
	}
}

func sumOf(d ...uncertainty.Distribution) uncertainty.Quantity {
	var q []uncertainty.Quantity
	for i, x := range d {
		q = append(q, uncertainty.Input("X"+strconv.Itoa(i+1), x))
	}
	return uncertainty.Sum(q...)
}

func TestPublishedAdditiveModels(t *testing.T) {
	r := uncertainty.Rectangular(0, math.Sqrt(3))
	n := uncertainty.Normal(0, 1)
	for _, c := range []struct {
		id string
		y  uncertainty.Quantity
	}{
		{"jcgm101-9.2.2-normal", sumOf(n, n, n, n)},
		{"jcgm101-9.2.3-rectangular", sumOf(r, r, r, r)},
		{"jcgm101-9.2.4-dominant-rectangle", sumOf(r, r, r, uncertainty.Rectangular(0, 10*math.Sqrt(3)))},
	} {
		t.Run(c.id, func(t *testing.T) {
			b := evaluate(t, c.y)
			i, err := b.Convolution(0.95)
			if err != nil {
				t.Fatal(err)
			}
			checkSimulated(t, c.id, figures{
				"y": b.Estimate, "u": b.StandardUncertainty, "guf_low": b.Expanded.Lower, "guf_high": b.Expanded.Upper,
				"analytic_low": i.Lower, "analytic_high": i.Upper,
			}, replicate(t, uncertainty.MonteCarlo{}, one, c.y))
		})
	}
}

func TestPublishedThreeRectangles(t *testing.T) {
	r := uncertainty.Rectangular(0, 1)
	y := sumOf(r, r, r)
	runs := replicate(t, uncertainty.MonteCarlo{Coverage: 0.95}, func(s *uncertainty.Simulation) figures {
		return figures{"k_95": s.Outputs[0].Symmetric.Width() / 2}
	}, y)
	for i, f := range replicate(t, uncertainty.MonteCarlo{Coverage: 0.99}, func(s *uncertainty.Simulation) figures {
		return figures{"k_99": s.Outputs[0].Symmetric.Width() / 2}
	}, y) {
		runs[i]["k_99"] = f["k_99"]
	}
	checkSimulated(t, "gum-G.2.2-monte-carlo", nil, runs)
}

func TestPublishedMassCalibration(t *testing.T) {
	in := uncertainty.Input
	rhoA, rhoW, rhoR := in("rhoA", uncertainty.Rectangular(1.2, 0.1)),
		in("rhoW", uncertainty.Rectangular(8000, 1000)),
		in("rhoR", uncertainty.Rectangular(8000, 50))
	mass := in("mR", uncertainty.Normal(100_000, 0.05)).Add(in("dmR", uncertainty.Normal(1.234, 0.02)))
	one1 := uncertainty.Exact(1)
	buoyancy := rhoA.Sub(uncertainty.Exact(1.2)).Mul(one1.Div(rhoW).Sub(one1.Div(rhoR)))
	y := mass.Mul(one1.Add(buoyancy)).Sub(uncertainty.Exact(100_000))
	b1, b2 := evaluate(t, y), secondOrder(t, y)
	runs := replicate(t, uncertainty.MonteCarlo{}, func(s *uncertainty.Simulation) figures {
		f := one(s)
		i := s.Outputs[0].Shortest
		f["mcm_low"], f["mcm_high"] = i.Lower, i.Upper
		f["guf1_dlow"], f["guf1_dhigh"] = math.Abs(b1.Expanded.Lower-i.Lower), math.Abs(b1.Expanded.Upper-i.Upper)
		f["guf2_dlow"], f["guf2_dhigh"] = math.Abs(b2.Expanded.Lower-i.Lower), math.Abs(b2.Expanded.Upper-i.Upper)
		return f
	}, y)
	checkSimulated(t, "jcgm101-9.3-mass-calibration", figures{
		"guf1_y": b1.Estimate, "guf1_u": b1.StandardUncertainty, "guf1_low": b1.Expanded.Lower,
		"guf1_high": b1.Expanded.Upper,
		"guf2_y":    b2.Estimate, "guf2_u": b2.StandardUncertainty, "guf2_low": b2.Expanded.Lower,
		"guf2_high": b2.Expanded.Upper,
	}, runs)
}

func TestPublishedComparisonLoss(t *testing.T) {
	const unit = 1e-6 // of the printed figures
	for _, r := range []float64{0, 0.9} {
		for _, x := range []float64{0, 0.010, 0.050} {
			id := "jcgm101-9.4-loss-r" + strconv.FormatFloat(r, 'g', -1, 64) + "-x" + strconv.FormatFloat(x, 'f', 3, 64)
			t.Run(id, func(t *testing.T) {
				x1, x2 := uncertainty.Input("X1", uncertainty.Normal(x, 0.005)),
					uncertainty.Input("X2", uncertainty.Normal(0, 0.005))
				if r != 0 {
					v := 0.005 * 0.005
					q := uncertainty.Joint([]string{"X1", "X2"}, []float64{x, 0},
						mat.NewSymDense(2, []float64{v, r * v, r * v, v}))
					x1, x2 = q[0], q[1]
				}
				y := x1.Mul(x1).Add(x2.Mul(x2))
				b1, b2 := evaluate(t, y), secondOrder(t, y)
				runs := replicate(t, uncertainty.MonteCarlo{}, func(s *uncertainty.Simulation) figures {
					f := one(s)
					for name := range f {
						f[name] /= unit
					}
					f["M_y"], f["M_u"], f["M_low"], f["M_high"] = f["y"], f["u"], f["shortest_low"], f["shortest_high"]
					return f
				}, y)
				// The second-order result is exact for this model, but for its bias.
				computed := figures{
					"A_y": (b2.Estimate + b2.Higher.Bias) / unit, "A_u": b2.StandardUncertainty / unit,
					"G_y": b1.Estimate / unit, "G1_u": b1.StandardUncertainty / unit,
					"G1_low": b1.Expanded.Lower / unit, "G1_high": b1.Expanded.Upper / unit,
					"G2_u": b2.StandardUncertainty / unit, "G2_low": b2.Expanded.Lower / unit,
					"G2_high": b2.Expanded.Upper / unit,
					// The shortest interval of a chi-squared distribution of two degrees of freedom (x1 = 0, r = 0).
					"A_low": 0, "A_high": -2 * math.Log(0.05) * 25,
				}
				checkSimulated(t, id, computed, runs)
			})
		}
	}
}

func TestPublishedGaugeBlockByMonteCarlo(t *testing.T) {
	in := func(name string, d uncertainty.Distribution, dof float64) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Distribution: d, DOF: dof}.Input()
	}
	model := func(ls, d, d1, d2, as, t0, delta, da, dt uncertainty.Quantity) uncertainty.Quantity {
		return ls.Sub(uncertainty.Exact(50_000_000)).Add(d).Add(d1).Add(d2).Sub(
			ls.Mul(da.Mul(t0.Add(delta)).Add(as.Mul(dt))))
	}
	y := model(
		in("Ls", uncertainty.StudentT(50_000_623, 25, 18), 0), in("D", uncertainty.StudentT(215, 6, 24), 0),
		in("d1", uncertainty.StudentT(0, 4, 5), 0), in("d2", uncertainty.StudentT(0, 7, 8), 0),
		in("aS", uncertainty.Between(9.5e-6, 13.5e-6), 0),
		in("theta0", uncertainty.Normal(-0.1, 0.2), 0),
		in("Delta", uncertainty.Arcsine(0, 0.5), 0),
		in("da", uncertainty.CurvilinearTrapezoidal(0, 1e-6, 1e-7), 0),
		in("dt", uncertainty.CurvilinearTrapezoidal(0, 0.05, 0.025), 0),
	)
	// The budget of JCGM 100, H.1, with its degrees of freedom.
	b := evaluate(t, model(
		in("Ls", uncertainty.Normal(50_000_623, 25), 18), in("D", uncertainty.Normal(215, 13/math.Sqrt(5)), 24),
		in("d1", uncertainty.Normal(0, 10/2.57), 5), in("d2", uncertainty.Normal(0, 20.0/3), 8),
		in("aS", uncertainty.Rectangular(11.5e-6, 2e-6), 0),
		in("theta0", uncertainty.Normal(-0.1, 0.2), 0),
		in("Delta", uncertainty.Arcsine(0, 0.5), 0),
		in("da", uncertainty.Rectangular(0, 1e-6), 50), in("dt", uncertainty.Rectangular(0, 0.05), 2),
	))
	U := factor(t, 0.99, 16) * b.StandardUncertainty // next lower whole number of degrees of freedom
	runs := replicate(t, uncertainty.MonteCarlo{Coverage: 0.99}, func(s *uncertainty.Simulation) figures {
		f := one(s)
		f["mcm99_low"], f["mcm99_high"] = f["shortest_low"], f["shortest_high"]
		return f
	}, y)
	checkSimulated(t, "jcgm101-9.5-gauge-block", figures{
		"guf_y": b.Estimate, "guf_u": b.StandardUncertainty, "guf99_low": b.Estimate - U, "guf99_high": b.Estimate + U,
	}, runs)
}

// JCGM 100, H.1.7: the terms of second order that matter, in nanometres.
func TestPublishedGaugeBlockSecondOrder(t *testing.T) {
	in := uncertainty.Input
	ls, dt := in("lS", uncertainty.Certificate(50_000_623, 75, 3)), in("dt", uncertainty.Rectangular(0, 0.05))
	d := in("d", uncertainty.Normal(215, 9.663576930362096)) // H.1.3.2, unrounded
	aS, da := in("aS", uncertainty.Rectangular(11.5e-6, 2e-6)), in("da", uncertainty.Rectangular(0, 1e-6))
	theta := in("theta", uncertainty.Normal(-0.1, math.Sqrt(0.165)))
	b := secondOrder(t, ls.Add(d).Sub(ls.Mul(da.Mul(theta).Add(aS.Mul(dt)))))
	term := func(p, q string) float64 {
		for _, h := range b.Higher.Terms {
			if h.A == p && h.B == q || h.A == q && h.B == p {
				return math.Sqrt(h.Variance)
			}
		}
		t.Errorf("no term of %s and %s", p, q)
		return 0
	}
	checkSimulated(t, "gum-H.1-second-order", figures{
		"second_order_term_1": term("da", "theta"), "second_order_term_2": term("aS", "dt"),
		"u_l_second_order": b.StandardUncertainty,
	}, nil)
}

func TestPublishedBromine(t *testing.T) {
	x := uncertainty.Input("x79", uncertainty.Normal(0.5, 0.005))
	y := x.Mul(uncertainty.Exact(1).Sub(x)).Scale(2)
	checkSimulated(t, "gum6-13.1.4-bromine", figures{"guf_u": evaluate(t, y).StandardUncertainty},
		replicate(t, uncertainty.MonteCarlo{}, one, y))
	if u := secondOrder(t, y).StandardUncertainty; !near(u, math.Sqrt(8)*0.005*0.005, 1e-12) {
		t.Errorf("second-order u = %v", u)
	}
}

// two reads the figures of two outputs.
func two(s *uncertainty.Simulation) figures {
	a, b := s.Outputs[0], s.Outputs[1]
	r, err := s.Correlation(0, 1)
	if err != nil {
		return figures{} // every figure is missed
	}
	f := figures{"u1": a.StandardUncertainty, "u2": b.StandardUncertainty, "r": r}
	if s.Ellipse != nil {
		f["kp"], f["kq"] = s.Ellipse.K, s.Rectangle.K
		f["mcm_kp"], f["mcm_kq"] = f["kp"], f["kq"]
	}
	return f
}

func TestPublishedBivariateAdditive(t *testing.T) {
	for id, third := range map[string]uncertainty.Distribution{
		"jcgm102-9.2.2-bivariate-normal":      uncertainty.Normal(0, 1),
		"jcgm102-9.2.3-bivariate-rectangular": uncertainty.Rectangular(0, math.Sqrt(3)),
	} {
		t.Run(id, func(t *testing.T) {
			x3 := uncertainty.Input("X3", third)
			y1, y2 := uncertainty.Input("X1", uncertainty.Normal(0, 1)).Add(x3),
				uncertainty.Input("X2", uncertainty.Normal(0, 1)).Add(x3)
			m, err := uncertainty.EvaluateAll(y1, y2)
			if err != nil {
				t.Fatal(err)
			}
			ellipse, err := m.Ellipse(0.95)
			if err != nil {
				t.Fatal(err)
			}
			rectangle, err := m.Rectangle(0.95)
			if err != nil {
				t.Fatal(err)
			}
			checkSimulated(t, id, figures{
				"u_Y1": m.Budgets[0].StandardUncertainty, "u_Y2": m.Budgets[1].StandardUncertainty,
				"r":      correlationOf(t, m, 0, 1),
				"guf_kp": ellipse.K, "guf_kq": rectangle.K,
			}, replicate(t, uncertainty.MonteCarlo{Regions: true}, two, y1, y2))
		})
	}
}

func TestPublishedPolarCoordinates(t *testing.T) {
	for _, x := range []float64{0.001, 0.010, 0.100} {
		id := "jcgm102-9.3-polar-r0-x" + strconv.FormatFloat(x, 'f', 3, 64)
		t.Run(id, func(t *testing.T) {
			x1, x2 := uncertainty.Input("X1", uncertainty.Normal(x, 0.01)),
				uncertainty.Input("X2", uncertainty.Normal(0, 0.01))
			radius := uncertainty.Sqrt(x1.Mul(x1).Add(x2.Mul(x2)))
			angle := uncertainty.Call("angle", func(v []float64) float64 { return math.Atan2(v[0], v[1]) }, x2, x1)
			m, err := uncertainty.EvaluateAll(radius, angle)
			if err != nil {
				t.Fatal(err)
			}
			exactAngle, err := uncertainty.Evaluate(uncertainty.Atan(x2.Div(x1)))
			if err != nil {
				t.Fatal(err)
			}
			checkSimulated(t, id, figures{
				"guf_R": m.Budgets[0].Estimate, "guf_u_R": m.Budgets[0].StandardUncertainty,
				"guf_u_Theta": exactAngle.StandardUncertainty,
			}, replicate(t, uncertainty.MonteCarlo{}, func(s *uncertainty.Simulation) figures {
				f := two(s)
				f["R"], f["Theta"], f["u_R"], f["u_Theta"] = s.Outputs[0].Estimate,
					s.Outputs[1].Estimate, f["u1"], f["u2"]
				f["r_R_Theta"] = f["r"]
				return f
			}, radius, angle))
		})
	}
}

func TestPublishedResistanceReactanceByMonteCarlo(t *testing.T) {
	names := []string{"V", "I", "phi"}
	observations := [][]float64{
		{5.007, 4.994, 5.005, 4.990, 4.999, 4.999},
		{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3, 19.661e-3},
		{1.0456, 1.0438, 1.0468, 1.0428, 1.0433, 1.04446},
	}
	build := func(q []uncertainty.Quantity) []uncertainty.Quantity {
		z := q[0].Div(q[1])
		return []uncertainty.Quantity{z.Mul(uncertainty.Cos(q[2])), z.Mul(uncertainty.Sin(q[2])), z}
	}
	joint := uncertainty.JointTypeA(names, observations)
	ys := build(joint.Inputs())
	m, err := uncertainty.EvaluateAll(ys...)
	if err != nil {
		t.Fatal(err)
	}
	// The covariance matrix of the multivariate t-distribution with n − N = 3 degrees
	// of freedom is (n − 1)/(n − N − 2) times that of the means (JCGM 102 5.3.2).
	var wide mat.SymDense
	wide.ScaleSym(5, joint.Covariance)
	alt, err := uncertainty.EvaluateAll(build(uncertainty.Joint(names, joint.Estimates, &wide))...)
	if err != nil {
		t.Fatal(err)
	}
	runs := replicate(t, uncertainty.MonteCarlo{}, func(s *uncertainty.Simulation) figures {
		f := figures{"mcm_r_R_X": correlationOf(t, s, 0, 1), "mcm_r_R_Z": correlationOf(t, s, 0, 2),
			"mcm_one_minus_r_X_Z": 1 - correlationOf(t, s, 1, 2)}
		for i, name := range []string{"R", "X", "Z"} {
			f["mcm_u_"+name] = s.Outputs[i].StandardUncertainty
			f["half_"+name] = s.Outputs[i].Symmetric.Width() / 2
		}
		return f
	}, ys...)
	u := func(m *uncertainty.Multivariate, i int) float64 { return m.Budgets[i].StandardUncertainty }
	checkSimulated(t, "jcgm102-9.4-resistance-reactance", figures{
		"R": m.Budgets[0].Estimate, "X": m.Budgets[1].Estimate, "Z": m.Budgets[2].Estimate,
		"guf_u_R": u(m, 0), "guf_u_X": u(m, 1), "guf_u_Z": u(m, 2),
		"r_R_X": correlationOf(t, m, 0, 1), "r_R_Z": correlationOf(t, m, 0, 2),
		"one_minus_r_X_Z": 1 - correlationOf(t, m, 1, 2),
		"alt_u_R":         u(alt, 0), "alt_u_X": u(alt, 1), "alt_u_Z": u(alt, 2),
	}, runs)
}

func TestPublishedRegionFactors(t *testing.T) {
	got := figures{}
	for _, m := range []int{1, 2, 3, 4, 5, 10, 20, 50} {
		kp, err := uncertainty.EllipseFactor(0.95, m, infinity)
		if err != nil {
			t.Fatal(err)
		}
		kq, err := uncertainty.RectangleFactor(0.95, m, infinity)
		if err != nil {
			t.Fatal(err)
		}
		got["kp_m_"+strconv.Itoa(m)], got["kq_m_"+strconv.Itoa(m)] = kp, kq
	}
	checkSimulated(t, "jcgm102-table-1-2-region-factors", got, nil)
}
