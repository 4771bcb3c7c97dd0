// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// The curve of the roundness of ball bearings through its printed point.
func TestPublishedRiskCurve(t *testing.T) {
	prior := distuv.Gamma{Alpha: 4, Beta: 4}
	points, err := conformity.RiskCurve(interval(nothing, 2), prior, 0.25, 0.65*0.5)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		name, printed string
		got           float64
	}{
		{"R_C at r = 0.65, %", "0.1", 100 * points[0].Consumer}, {"A at r = 0.65, μm", "1.675",
			points[0].Acceptance.Upper},
	} {
		uncertaintytest.Published{Name: row.name, Source: "JCGM 106:2012", Place: "9.5.4",
			Printed: row.printed, Provenance: uncertaintytest.FromMemory}.Run(t, row.got)
	}
}

func TestRiskCurve(t *testing.T) {
	tolerance, prior := interval(-1, 1), uncertainty.Normal(0, 0.6)
	widths := []float64{-0.5, -0.1, 0, 0.1, 0.4, 0.9, 1, 1.5}
	points, err := conformity.RiskCurve(tolerance, prior, 0.2, widths...)
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range points {
		if p.Width != widths[i] {
			t.Errorf("point %d is of w = %v", i, p.Width)
		}
		if i > 0 && !(p.Consumer < points[i-1].Consumer || p.Consumer == 0) || i > 0 &&
			p.Producer < points[i-1].Producer {
			t.Errorf("w = %v: consumer's risk %v after %v, producer's %v after %v", p.Width,
				p.Consumer, points[i-1].Consumer, p.Producer, points[i-1].Producer)
		}
		if p.Acceptance.Lower < p.Acceptance.Upper {
			want := globalRisk(t, tolerance, p.Acceptance, prior, 0.2)
			if p.Global != want {
				t.Errorf("w = %v: %+v, want %+v", p.Width, p.Global, want)
			}
		}
	}
	if last := points[len(points)-1]; last.Consumer != 0 || last.Accepted != 0 ||
		math.Abs(last.Producer-last.Conforming) > 1e-12 {
		t.Errorf("nothing accepted: %+v", last.Global)
	}
	for name, c := range map[string]struct {
		tolerance uncertainty.Interval
		prior     uncertainty.Distribution
		u, w      float64
		want      error
	}{
		"limits": {interval(1, -1), prior, 1, 0, conformity.ErrInterval}, "prior": {tolerance,
			nil, 1, 0, conformity.ErrDomain},
		"u": {tolerance, prior, -1, 0, conformity.ErrDomain}, "w": {tolerance, prior, 1,
			math.NaN(), conformity.ErrNotFinite},
	} {
		if _, err := conformity.RiskCurve(c.tolerance, c.prior, c.u, c.w); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
}

func TestAcceptanceProbability(t *testing.T) {
	for _, c := range []struct {
		x, u, want float64
	}{
		{0, 0, 1}, {2, 0, 0}, {1, 0, 1}, {1, 0.1, 0.5}, {-1.2, 0.1,
			0.5 * math.Erfc(math.Sqrt2)}, {0, 1, math.Erf(1 / math.Sqrt2)},
	} {
		if p, err := conformity.AcceptanceProbability(interval(-1, 1), c.x, c.u); err != nil ||
			math.Abs(p-c.want) > 1e-12 {
			t.Errorf("x = %v, u = %v: %v, %v; want %v", c.x, c.u, p, err, c.want)
		}
	}
	for _, c := range []struct {
		a    uncertainty.Interval
		x, u float64
		want error
	}{
		{interval(1, 0), 0, 1, conformity.ErrInterval}, {interval(0, 1), math.NaN(), 1,
			conformity.ErrNotFinite}, {interval(0, 1), 0, -1, conformity.ErrDomain},
	} {
		if _, err := conformity.AcceptanceProbability(c.a, c.x, c.u); !errors.Is(err, c.want) {
			t.Errorf("%+v: %v", c, err)
		}
	}
}
