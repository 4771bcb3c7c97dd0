// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"math"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// Worked examples of EA-4/02 (from memory) and of NIST TN 1297.

func TestPublishedStandardResistor(t *testing.T) {
	ratios := []float64{1.0000104, 1.0000107, 1.0000106, 1.0000103, 1.0000105}
	b := evaluate(t, resistorBudget(t))
	_, s, err := uncertainty.MeanStdDev(ratios)
	if err != nil {
		t.Fatal(err)
	}
	u := func(name string) float64 { return row(t, b, name).StandardUncertainty }
	contribution := func(name string) float64 { return row(t, b, name).Contribution }
	checkPublished(t, "ea402-S3-resistor-10k", map[string]float64{
		"r_mean": row(t, b, "r").Estimate, "s_r": s, "u_r": u("r"), "RX": b.Estimate,
		"u_dRD": u("dRD"), "u_dRTS": u("dRTS"), "u_dRTX": u("dRTX"), "u_rC": u("rC"),
		"contribution_rC": contribution("rC"), "contribution_r": contribution("r"),
		"u_RX": b.StandardUncertainty, "U": expanded(t, b, uncertainty.P2),
	})
}

// resistorBudget is the 10 kΩ standard resistor of EA-4/02, S3 (from memory).
func resistorBudget(t testing.TB) uncertainty.Quantity {
	t.Helper()
	q, err := uncertainty.Formula("(RS + dRD + dRTS)*rC*r - dRTX",
		uncertainty.Input("RS", uncertainty.Certificate(10000.053, 0.005, 2)),
		uncertainty.Input("dRD", uncertainty.Rectangular(0.020, 0.010)),
		uncertainty.Input("dRTS", uncertainty.Rectangular(0, 0.00275)),
		uncertainty.Input("rC", uncertainty.Triangular(1, 1e-6)),
		uncertainty.Input("r", uncertainty.TypeA(1.0000104, 1.0000107, 1.0000106, 1.0000103, 1.0000105)),
		uncertainty.Input("dRTX", uncertainty.Rectangular(0, 0.0055)))
	if err != nil {
		t.Fatal(err)
	}
	return q
}

func TestPublishedMultimeter(t *testing.T) {
	limit := uncertainty.Input("dViX", uncertainty.Rectangular(0, 0.05))
	standard := uncertainty.Input("VS", uncertainty.Certificate(100, 0.002, 2))
	drift := uncertainty.Input("dVS", uncertainty.Rectangular(0, 0.011))
	b := evaluate(t, uncertainty.Exact(100.1).Sub(standard).Add(limit).Sub(drift))
	u := func(name string) float64 { return row(t, b, name).StandardUncertainty }
	dominant := evaluate(t, limit)
	checkPublished(t, "ea402-S9-dmm-100V", map[string]float64{
		"EX": b.Estimate, "u_dViX": u("dViX"), "u_dVS": u("dVS"), "u_EX": b.StandardUncertainty,
		// The document takes the factor of the dominant rectangle alone.
		"k": half(t, dominant, 0.95) / dominant.StandardUncertainty,
		"U": half(t, b, 0.95),
	})
}

func TestPublishedWeight(t *testing.T) {
	b := evaluate(t, uncertainty.Sum(
		uncertainty.Input("mS", uncertainty.Certificate(10000.005, 0.045, 2)),
		uncertainty.Input("dmD", uncertainty.Rectangular(0, 0.015)),
		uncertainty.Input("dm", uncertainty.TypeAPooled(0.025, infinity, 0.01, 0.03, 0.02)),
		uncertainty.Input("dmC", uncertainty.Rectangular(0, 0.010)),
		uncertainty.Input("dB", uncertainty.Rectangular(0, 0.010)),
	))
	checkPublished(t, "ea402-S2-weight-10kg", map[string]float64{
		"mX": b.Estimate, "u_dm": row(t, b, "dm").StandardUncertainty, "u_dmC": row(t, b, "dmC").StandardUncertainty,
		"u_mX": b.StandardUncertainty, "U": expanded(t, b, uncertainty.P2), "u_dmD_table": row(t, b, "dmD").StandardUncertainty,
	})
}

func TestPublishedGaugeBlock50(t *testing.T) {
	const length, expansion = 50e6, 11.5e-6 // nm, 1/K
	readings := []float64{-100, -90, -80, -90, -110}
	// The product of two inputs of estimate 0 vanishes to first order; the document
	// enters it as one component with the product of their uncertainties.
	product := uncertainty.Triangular(0, 2e-6).StdDev() * uncertainty.Rectangular(0, 0.5).StdDev()
	names := []string{"lS", "dlD", "dl", "dlC", "dt", "dadt", "dlV"}
	laws := []uncertainty.Distribution{
		uncertainty.Certificate(50000020, 30, 2),
		uncertainty.Rectangular(0, 30), // called triangular there; the tabulated 17.3 nm is a rectangle
		uncertainty.TypeAPooled(12, infinity, readings...),
		uncertainty.Rectangular(0, 32),
		uncertainty.Rectangular(0, 0.05),
		uncertainty.Normal(0, product),
		uncertainty.Rectangular(0, 6.7),
	}
	var in []uncertainty.Quantity
	for i, name := range names {
		in = append(in, uncertainty.Input(name, laws[i]))
	}
	b := evaluate(t, uncertainty.Linear(0, []float64{1, 1, 1, 1, -length * expansion, -length, -1}, in))
	u := func(name string) float64 { return row(t, b, name).StandardUncertainty }
	checkPublished(t, "ea402-S4-gauge-block-50mm", map[string]float64{
		"lX": b.Estimate, "dl_mean": row(t, b, "dl").Estimate, "u_dlD": u("dlD"), "u_dl": u("dl"), "u_dlC": u("dlC"),
		"u_dt": u("dt"), "contribution_dt": math.Abs(row(t, b, "dt").Contribution),
		"u_dadt": u("dadt"), "contribution_dadt": math.Abs(row(t, b, "dadt").Contribution),
		"u_dlV": u("dlV"), "u_lX": b.StandardUncertainty, "U": expanded(t, b, uncertainty.P2),
	})
}

func TestPublishedStatements(t *testing.T) {
	t.Run("mass", func(t *testing.T) {
		b := evaluate(t, uncertainty.Input("mS", uncertainty.Normal(100.02147, 0.35e-3)))
		checkPublished(t, "tn1297-statement-k2", map[string]float64{
			"mS": b.Estimate, "u": b.StandardUncertainty, "U_k2": expanded(t, b, uncertainty.P2),
		})
	})
	t.Run("coverage", func(t *testing.T) {
		p := func(k float64) float64 {
			return 100 * probability(k, func(p float64) float64 { return factor(t, p, infinity) })
		}
		checkPublished(t, "tn1297-6.2-normal-coverage", map[string]float64{
			"p_k1": p(1), "p_k1.645": p(1.645), "p_k2": p(2), "p_k2.576": p(2.576), "p_k3": p(3),
		})
	})
}
