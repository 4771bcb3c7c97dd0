// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
)

// The worked examples of JCGM 100:2008. Each test states the inputs of the clause;
// the printed figures are in testdata/published.json.

var infinity = math.Inf(1)

func TestPublishedGUMCertificates(t *testing.T) {
	t.Run("4.3.3", func(t *testing.T) {
		b := evaluate(t, uncertainty.Input("mS", uncertainty.Certificate(1000.000325, 240e-6, 3)))
		u := b.StandardUncertainty
		checkPublished(t, "gum-4.3.3-mass-certificate",
			map[string]float64{"u": u, "u_rel": u / b.Estimate, "var": u * u})
	})
	t.Run("4.3.4", func(t *testing.T) {
		// The guide takes the printed factor 2.58; the exact one agrees with its figures.
		b := evaluate(t, uncertainty.Input("RS",
			uncertainty.CertificateDOF(uncertainty.CertificateStatement{X: 10.000742, U: 129e-6,
				P: 0.99, DOF: infinity})))
		u := b.StandardUncertainty
		checkPublished(t, "gum-4.3.4-resistor-certificate", map[string]float64{
			"u": u, "u_rel": u / b.Estimate, "var": u * u,
			"factor_90": factor(t, 0.90, infinity), "factor_95": factor(t, 0.95, infinity), "factor_99": factor(t, 0.99, infinity),
		})
	})
	t.Run("4.3.5", func(t *testing.T) {
		b := evaluate(t, uncertainty.Input("l",
			uncertainty.CertificateDOF(uncertainty.CertificateStatement{X: 10.11, U: 0.04, P: 0.5,
				DOF: infinity})))
		u := b.StandardUncertainty
		checkPublished(t, "gum-4.3.5-fifty-fifty", map[string]float64{
			"u": u, "var": u * u, "multiplier": u / 0.04,
			"deviate_two_thirds": factor(t, 2./3, infinity), "multiplier_two_thirds": 1 / factor(t, 2./3, infinity),
		})
	})
}

func TestPublishedGUMLimits(t *testing.T) {
	t.Run("4.3.7 example 1", func(t *testing.T) {
		u := evaluate(t, uncertainty.Input("alpha20", uncertainty.Rectangular(16.52e-6, 0.40e-6))).StandardUncertainty
		checkPublished(t, "gum-4.3.7-1-copper-alpha", map[string]float64{"u": u, "var": u * u})
	})
	t.Run("4.3.7 example 2, 5.1.5", func(t *testing.T) {
		const reading, rng = 0.928571, 1
		a := 14e-6*reading + 2e-6*rng
		mean := uncertainty.Input("Vbar", uncertainty.Normal(reading, 12e-6))
		b := evaluate(t, mean.Add(uncertainty.Input("dV", uncertainty.Rectangular(0, a))))
		u, dV := b.StandardUncertainty, row(t, b, "dV").StandardUncertainty
		checkPublished(t, "gum-4.3.7-2-dvm", map[string]float64{
			"V": b.Estimate, "a": a, "var_dV": dV * dV, "u_dV": dV, "var_V": u * u, "u_V": u, "u_rel_V": u / b.Estimate,
		})
	})
	t.Run("4.3.8", func(t *testing.T) {
		u := evaluate(t, uncertainty.Input("alpha20", uncertainty.Between(16.40e-6, 16.92e-6))).StandardUncertainty
		checkPublished(t, "gum-4.3.8-asymmetric-bounds", map[string]float64{"u": u})
	})
	t.Run("4.4.5", func(t *testing.T) {
		b := evaluate(t, uncertainty.Input("t", uncertainty.Between(96, 104)))
		checkPublished(t, "gum-4.4.5-rectangular", map[string]float64{"mean": b.Estimate, "u": b.StandardUncertainty})
	})
	t.Run("4.4.6", func(t *testing.T) {
		b := evaluate(t, uncertainty.Input("t", uncertainty.Triangular(100, 4)))
		checkPublished(t, "gum-4.4.6-triangular", map[string]float64{"mean": b.Estimate, "u": b.StandardUncertainty})
	})
}

// The sensitivity coefficients of JCGM 100:2008, 5.1.3 (seen), which the guide prints
// as formulas, for the power in a resistor of 4.1.1. The numbers are our own.
func TestPublishedGUMPower(t *testing.T) {
	const v, r0, alpha, temp, t0 = 10, 100, 0.004, 25, 20
	q, err := uncertainty.Formula("V*V/(R0*(1 + alpha*(t - 20)))",
		uncertainty.Input("V", uncertainty.Normal(v, 0.01)), uncertainty.Input("R0", uncertainty.Normal(r0, 0.05)),
		uncertainty.Input("alpha", uncertainty.Normal(alpha, 1e-5)),
		uncertainty.Input("t", uncertainty.Normal(temp, 0.1)))
	if err != nil {
		t.Fatal(err)
	}
	p, c := q.Estimate(), sensitivities(t, q)
	for name, want := range map[string]float64{
		"V": 2 * p / v, "R0": -p / r0, "alpha": -p * (temp - t0) / (1 + alpha*(temp-t0)), "t": -p * alpha / (1 + alpha*(temp-t0)),
	} {
		if !near(c[name], want, 1e-14) {
			t.Errorf("∂P/∂%s = %v; want %v", name, c[name], want)
		}
	}
}

func TestPublishedGUMTypeA(t *testing.T) {
	values := []float64{
		96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
		100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
	}
	b := evaluate(t, uncertainty.Input("t", uncertainty.TypeA(values...)))
	_, s, err := uncertainty.MeanStdDev(values)
	if err != nil || b.DOF != 19 || b.Components[0].Type != uncertainty.EvaluationA {
		t.Fatalf("degrees of freedom %v, type %v, error %v; want 19, A, nil", b.DOF, b.Components[0].Type, err)
	}
	u := b.StandardUncertainty
	checkPublished(t, "gum-4.4.3-type-a", map[string]float64{
		"mean": b.Estimate, "s": s, "u": u, "s_2dec": s, "u_2dec": u, "mean_2dec": b.Estimate,
	})
}

func TestPublishedGUMTenResistors(t *testing.T) {
	// Ten resistors calibrated against one standard: the ratio is 1, u is that of RS.
	standard := uncertainty.Input("RS", uncertainty.Normal(1000, 0.1))
	shared, separate, joint := uncertainty.Exact(0), uncertainty.Exact(0), uncertainty.Exact(0)
	names, estimates := make([]string, 10), make([]float64, 10)
	c := mat.NewSymDense(10, nil)
	for i := range names {
		names[i], estimates[i] = fmt.Sprintf("R%d", i+1), 1000
		for k := range i + 1 {
			c.SetSym(i, k, 0.1*0.1)
		}
	}
	for i, r := range uncertainty.Joint(names, estimates, c) {
		joint = joint.Add(r)
		shared = shared.Add(uncertainty.Exact(1).Mul(standard))
		separate = separate.Add(uncertainty.Input(names[i], uncertainty.Normal(1000, 0.1)))
	}
	b := evaluate(t, shared)
	checkPublished(t, "gum-5.2.2-ten-resistors", map[string]float64{
		"Rref": b.Estimate, "u_r1": b.StandardUncertainty, "u_r0": evaluate(t, separate).StandardUncertainty,
	})
	if u := evaluate(t, joint).StandardUncertainty; !near(u, b.StandardUncertainty, 1e-12) {
		t.Errorf("with r = 1 given as covariance u = %v; want %v", u, b.StandardUncertainty)
	}
}

func TestPublishedGUMCoverage(t *testing.T) {
	rectangle := evaluate(t, uncertainty.Input("x", uncertainty.Rectangular(0, math.Sqrt(3))))
	k := func(p float64) float64 { return half(t, rectangle, p) }
	normal := func(p float64) float64 { return factor(t, p, infinity) }
	t.Run("G.1.3", func(t *testing.T) {
		checkPublished(t, "gum-G.1.3-coverage-normal-rectangular", map[string]float64{
			"normal_k_90": normal(0.90), "normal_k_95": normal(0.95), "normal_k_99": normal(0.99),
			"normal_p_1": 100 * probability(1, normal), "normal_p_2": 100 * uncertainty.P2, "normal_p_3": 100 * probability(3, normal),
			"rect_p_1": 100 * probability(1, k), "rect_k_95": k(0.95), "rect_k_99": k(0.99), "rect_k_100": k(1 - 1e-9),
		})
	})
	t.Run("G.2.2", func(t *testing.T) {
		x := func(name string) uncertainty.Quantity { return uncertainty.Input(name, uncertainty.Rectangular(0, 1)) }
		b := evaluate(t, uncertainty.Sum(x("X1"), x("X2"), x("X3")))
		checkPublished(t, "gum-G.2.2-three-rectangles", map[string]float64{
			"sigma": b.StandardUncertainty, "k_95": half(t, b, 0.95), "k_99": half(t, b, 0.99),
			"normal_k_95": normal(0.95), "normal_k_99": normal(0.99),
		})
	})
}

func TestPublishedGUMDegreesOfFreedom(t *testing.T) {
	t.Run("G.4.1", func(t *testing.T) {
		// Relative uncertainties; means of 10, 5 and 15 observations.
		x1 := uncertainty.Input("X1", uncertainty.StudentT(1, 0.0025, 9))
		x2 := uncertainty.Input("X2", uncertainty.StudentT(1, 0.0057, 4))
		x3 := uncertainty.Input("X3", uncertainty.StudentT(1, 0.0082, 14))
		b := evaluate(t, x1.Mul(x2).Mul(x3))
		checkPublished(t, "gum-G.4.1-welch-satterthwaite", map[string]float64{
			"u_rel_percent": 100 * b.StandardUncertainty, "nu_eff": b.DOF, "t95_19": factor(t, 0.95, 19),
			"U95_rel_percent": 100 * b.Expanded.U, "low_factor": b.Expanded.Lower, "high_factor": b.Expanded.Upper,
		})
	})
	t.Run("G.4.2", func(t *testing.T) {
		checkPublished(t, "gum-G.4.2-reliability", map[string]float64{
			"nu_25": reliability(t, 0.25), "nu_50": reliability(t, 0.50), "nu_10": reliability(t, 0.10),
		})
	})
}

func TestPublishedGUMGaugeBlock(t *testing.T) {
	in := func(name string, d uncertainty.Distribution, dof float64) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Distribution: d, DOF: dof}.Input()
	}
	// H.1, in nanometres and degrees Celsius. Only the mean of the five readings is
	// printed; the pooled s of 25 others makes the uncertainty.
	lS := in("lS", uncertainty.Certificate(50000623, 75, 3), 18)
	d := uncertainty.Sum(
		in("dbar", uncertainty.TypeAPooled(13, 24, 215, 215, 215, 215, 215), 0),
		in("d1", uncertainty.CertificateDOF(uncertainty.CertificateStatement{X: 0, U: 10, P: 0.95, DOF: 5}), 0),
		in("d2", uncertainty.Certificate(0, 20, 3), reliability(t, 0.25)),
	)
	aS := in("aS", uncertainty.Rectangular(11.5e-6, 2e-6), 0)
	theta := in("tbar", uncertainty.Normal(-0.1, 0.2), 0).Add(in("Delta", uncertainty.Arcsine(0, 0.5), 0))
	da := in("da", uncertainty.Rectangular(0, 1e-6), reliability(t, 0.10))
	dt := in("dt", uncertainty.Rectangular(0, 0.05), reliability(t, 0.50))
	l := lS.Add(d).Sub(lS.Mul(da.Mul(theta).Add(aS.Mul(dt))))
	m, err := uncertainty.EvaluateAll(l, d, theta)
	if err != nil {
		t.Fatal(err)
	}
	b, bd, bt := m.Budgets[0], m.Budgets[1], m.Budgets[2]
	u := func(name string) float64 { return row(t, b, name).StandardUncertainty }
	ul := b.StandardUncertainty
	t99 := factor(t, 0.99, 16) // the guide takes the next lower whole number
	checkPublished(t, "gum-H.1-gauge-block", map[string]float64{
		"l": b.Estimate, "u_dbar": u("dbar"), "u_d1": u("d1"), "u_d2": u("d2"), "u_aS": u("aS"), "u_Delta": u("Delta"), "u_da": u("da"), "u_dt": u("dt"),
		"var_d": math.Pow(bd.StandardUncertainty, 2), "u_d": bd.StandardUncertainty,
		"var_theta": math.Pow(bt.StandardUncertainty, 2), "u_theta": bt.StandardUncertainty,
		"contribution_da": math.Abs(row(t, b, "da").Contribution), "contribution_dt": math.Abs(row(t, b, "dt").Contribution),
		"var_l": ul * ul, "u_l": ul, "u_rel_l": ul / b.Estimate, "nu_eff_d": bd.DOF, "nu_eff_l": b.DOF,
		"t99_16": t99, "U99": t99 * ul, "U99_rel": t99 * ul / b.Estimate,
	})
	if c := row(t, b, "aS"); c.Sensitivity != 0 {
		t.Errorf("sensitivity of aS is %v; want 0 and a row of its own", c.Sensitivity)
	}
}

func TestPublishedGUMResistanceReactance(t *testing.T) {
	names := []string{"V", "I", "phi"}
	series := [][]float64{
		{5.007, 4.994, 5.005, 4.990, 4.999},
		{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3},
		{1.0456, 1.0438, 1.0468, 1.0428, 1.0433},
	}
	got := map[string]float64{}
	model := func(in []uncertainty.Quantity) []uncertainty.Quantity {
		v, i, phi := in[0], in[1], in[2]
		z := v.Div(i)
		return []uncertainty.Quantity{z.Mul(uncertainty.Cos(phi)), z.Mul(uncertainty.Sin(phi)), z}
	}
	keep := func(prefix string, ys []uncertainty.Quantity, relative bool) {
		m, err := uncertainty.EvaluateAll(ys...)
		if err != nil {
			t.Fatal(err)
		}
		for i, name := range []string{"R", "X", "Z"} {
			b := m.Budgets[i]
			got[prefix+"u_"+name] = b.StandardUncertainty
			if prefix != "uncorr_" {
				got[prefix+name] = b.Estimate
			}
			if relative {
				got[prefix+"urel_"+name] = b.StandardUncertainty / b.Estimate
			}
		}
		got[prefix+"r_R_X"], got[prefix+"r_R_Z"], got[prefix+"r_X_Z"] = correlationOf(t, m, 0, 1),
			correlationOf(t, m, 0, 2), correlationOf(t, m, 1, 2)
	}
	// Approach 1: the means and their covariance.
	joint := uncertainty.JointTypeA(names, series).Inputs()
	keep("", model(joint), true)
	in, err := uncertainty.EvaluateAll(joint...)
	if err != nil {
		t.Fatal(err)
	}
	got["V"], got["I"], got["phi"] = joint[0].Estimate(), 1000*joint[1].Estimate(), joint[2].Estimate()
	got["u_V"], got["u_I"], got["u_phi"] = in.Budgets[0].StandardUncertainty,
		1000*in.Budgets[1].StandardUncertainty, in.Budgets[2].StandardUncertainty
	got["r_V_I"], got["r_V_phi"], got["r_I_phi"] = correlationOf(t, in, 0, 1),
		correlationOf(t, in, 0, 2), correlationOf(t, in, 1, 2)
	// Table H.5: the same with the correlations left out.
	var alone []uncertainty.Quantity
	for i, name := range names {
		alone = append(alone, uncertainty.Input(name, uncertainty.TypeA(series[i]...)))
	}
	keep("uncorr_", model(alone), true)
	// Approach 2: R, X and Z of each set of observations.
	sets := make([][]float64, 3)
	for i := range series[0] {
		ys := model([]uncertainty.Quantity{uncertainty.Exact(series[0][i]),
			uncertainty.Exact(series[1][i]), uncertainty.Exact(series[2][i])})
		for k, name := range []string{"R", "X", "Z"} {
			sets[k] = append(sets[k], ys[k].Estimate())
			got[fmt.Sprintf("approach2_%s_%d", name, i+1)] = ys[k].Estimate()
		}
	}
	keep("approach2_", uncertainty.JointTypeA([]string{"R", "X", "Z"}, sets).Inputs(), false)
	checkPublished(t, "gum-H.2-resistance-reactance", got)
}

func TestPublishedGUMHardness(t *testing.T) {
	// H.6: five indentations with s = 0.45, a display step of 0.1, machine and block.
	repeat := uncertainty.Input("dbar", uncertainty.TypeAPooled(0.45, infinity, 36, 36, 36, 36, 36))
	step := uncertainty.Input("step", uncertainty.Resolution(0, 0.1))
	machine := uncertainty.Input("Dc", uncertainty.Normal(0, math.Sqrt((0.1*0.1+0.11*0.11)/6)))
	block := uncertainty.Input("Db", uncertainty.Triangular(0, 0.27))
	standard := uncertainty.Input("DS", uncertainty.Normal(0, 0.5))
	h := uncertainty.Linear(100, []float64{-1, -1, -1, -1, -1},
		[]uncertainty.Quantity{repeat, step, machine, block, standard})
	m, err := uncertainty.EvaluateAll(h, h.Scale(0.002))
	if err != nil {
		t.Fatal(err)
	}
	b, mm := m.Budgets[0], m.Budgets[1]
	checkPublished(t, "gum-H.6-hardness", map[string]float64{
		"h": b.Estimate, "var_h": math.Pow(b.StandardUncertainty, 2), "u_h": b.StandardUncertainty, "h_mm": mm.Estimate, "u_h_mm": mm.StandardUncertainty,
		"contribution_repeatability": math.Abs(row(t, b, "dbar").Contribution), "contribution_block": math.Abs(row(t, b, "Db").Contribution),
	})
}
