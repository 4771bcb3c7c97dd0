// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty/internal/studentt"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// No probability and no number of degrees of freedom, however extreme, gives NaN or a
// wrong sign.
func TestStudentTExtremes(t *testing.T) {
	nus := []float64{5e-324, 1e-300, 1e-10, 1e-3, 0.02, 0.5, 1, 3, 1e3, 1e5, 1e18, 1e300, math.MaxFloat64, math.Inf(1)}
	ps := []float64{5e-324, 1e-300, 1e-20, 1e-10, 0.1, 0.5, 0.9, 0.9999, 1 - 1e-12, math.Nextafter(1, 0)}
	for _, nu := range nus {
		last := 0.0
		for _, p := range ps {
			k, err := CoverageFactor(p, nu)
			if err != nil && nu >= 1 {
				t.Errorf("CoverageFactor(%v, %v): %v", p, nu, err)
			}
			if err != nil {
				k = math.Inf(1)
			}
			if !(k >= last) {
				t.Errorf("CoverageFactor(%v, %v) = %v, below %v", p, nu, k, last)
			}
			last = k
			if x := studentt.Quantile(p, nu); math.IsNaN(x) || x > 0 != (p > 0.5) && x != 0 {
				t.Errorf("quantile(%v, %v) = %v", p, nu, x)
			}
		}
	}
	// In the limit of a small p the factor is p over twice the density at the centre,
	// 1/π for one degree of freedom.
	if got, _ := CoverageFactor(1e-300, 1); math.Abs(got/(math.Pi/2*1e-300)-1) > 1e-14 {
		t.Errorf("CoverageFactor(1e-300, 1) = %v, want π/2 1e-300", got)
	}
	if tiny, want := -studentt.Quantile(1e-300, math.Inf(1)), 37.0470962993611992; math.Abs(tiny/want-1) > 1e-15 {
		t.Errorf("normal quantile of 1e-300 is -%v, want -%v", tiny, want)
	}
}

func TestCoverageFactorRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		p, dof float64
		name   string
		cause  error
	}{
		{nan, 5, "p", ErrNotFinite},
		{inf, 5, "p", ErrNotFinite},
		{0, 5, "p", ErrDomain},
		{1, 5, "p", ErrDomain},
		{95, 5, "p", ErrDomain},
		{-0.5, 5, "p", ErrDomain},
		{0.95, nan, "dof", ErrNotFinite},
		{0.95, 0, "dof", ErrDomain},
		{0.95, -1, "dof", ErrDomain},
		{0.95, -inf, "dof", ErrDomain},
		{0.95, 1e-3, "dof", ErrDomain}, // k is beyond float64
	} {
		k, err := CoverageFactor(c.p, c.dof)
		e, ok := errors.AsType[*Error](err)
		if !ok || k != 0 || e.Op != "uncertainty.CoverageFactor" || e.Name != c.name || !errors.Is(err, c.cause) {
			t.Errorf("CoverageFactor(%v, %v) = %v, %v; want an Error about %s that wraps %q", c.p,
				c.dof, k, err, c.name, c.cause)
		}
	}
}

// publishedFactors runs a table of factors: one column for each coverage probability.
func publishedFactors(t *testing.T, row uncertaintytest.Published, p []float64, table map[float64]string) {
	for dof, line := range table {
		for i, printed := range strings.Fields(line) {
			k, err := CoverageFactor(p[i], dof)
			if err != nil {
				t.Fatal(err)
			}
			row.Name, row.Printed = fmt.Sprintf("p=%.4f,dof=%v", p[i], dof), printed
			row.Run(t, k)
		}
	}
}

// within is the probability of a normal deviate between -k and k: the columns headed
// 68.27, 95.45 and 99.73 stand for k = 1, 2, 3 (note to the table).
func within(k float64) float64 { return math.Erf(k / math.Sqrt2) }

func TestPublishedStudentFactors(t *testing.T) {
	publishedFactors(t, uncertaintytest.Published{
		Source: "JCGM 100:2008", Place: "Table G.2, printed p. 78", Provenance: uncertaintytest.Seen,
	}, []float64{within(1), 0.90, 0.95, within(2), 0.99, within(3)}, map[float64]string{
		1:           "1.84 6.31 12.71 13.97 63.66 235.80",
		2:           "1.32 2.92 4.30 4.53 9.92 19.21",
		3:           "1.20 2.35 3.18 3.31 5.84 9.22",
		4:           "1.14 2.13 2.78 2.87 4.60 6.62",
		5:           "1.11 2.02 2.57 2.65 4.03 5.51",
		8:           "1.07 1.86 2.31 2.37 3.36 4.28",
		10:          "1.05 1.81 2.23 2.28 3.17 3.96",
		16:          "1.03 1.75 2.12 2.17 2.92 3.54",
		20:          "1.03 1.72 2.09 2.13 2.85 3.42",
		50:          "1.01 1.68 2.01 2.05 2.68 3.16",
		math.Inf(1): "1.000 1.645 1.960 2.000 2.576 3.000",
	})
}

func TestPublishedCalibrationFactors(t *testing.T) {
	table := map[float64]string{math.Inf(1): "2.00", 10: "2.28", 20: "2.13", 50: "2.05"}
	for i, printed := range strings.Fields("13.97 4.53 3.31 2.87 2.65 2.52 2.43 2.37") {
		table[float64(i+1)] = printed
	}
	publishedFactors(t, uncertaintytest.Published{
		Source: "EA-4/02 M:2022", Place: "Appendix E, Table E.1", Provenance: uncertaintytest.FromMemory,
	}, []float64{within(2)}, table)
}

func TestPublishedNormalFactors(t *testing.T) {
	publishedFactors(t, uncertaintytest.Published{
		Source: "JCGM 100:2008", Place: "G.1.3, Table G.1, printed p. 70", Provenance: uncertaintytest.Seen,
	}, []float64{0.90, 0.95, 0.99}, map[float64]string{math.Inf(1): "1.645 1.960 2.576"})
}

// The worked examples whose effective degrees of freedom are not whole or were
// truncated.
func TestPublishedExampleFactors(t *testing.T) {
	for _, c := range []struct {
		row    uncertaintytest.Published
		p, dof float64
	}{
		{uncertaintytest.Published{Name: "t95(19)", Source: "JCGM 100:2008", Place: "G.4.1, example", Printed: "2.09", Provenance: uncertaintytest.Seen}, 0.95, 19},
		{uncertaintytest.Published{Name: "t99(16)", Source: "JCGM 100:2008", Place: "H.1.6", Printed: "2.92", Provenance: uncertaintytest.Seen}, 0.99, 16},
	} {
		k, err := CoverageFactor(c.p, c.dof)
		if err != nil {
			t.Fatal(err)
		}
		c.row.Run(t, k)
	}
}
