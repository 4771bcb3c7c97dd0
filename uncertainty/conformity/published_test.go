// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"cmp"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// checkPublished compares every figure that an example of testdata/published.json
// prints with the one that was computed, one subtest a figure.
func checkPublished(t *testing.T, id string, computed map[string]float64) {
	t.Helper()
	e := findExample(t, id)
	for _, row := range e.Published {
		got, ok := computed[row.Name]
		if !ok {
			t.Errorf("%s: %s is published and not computed", id, row.Name)
			continue
		}
		delete(computed, row.Name)
		uncertaintytest.Published{
			Name: cmp.Or(row.What, row.Name), Source: e.Source, Place: e.Place,
			Provenance: e.Provenance, Printed: row.Printed, Exception: row.Exception,
		}.Run(t, got)
	}
	for name := range computed {
		t.Errorf("%s: %s is computed and not published", id, name)
	}
}

type publishedRow struct {
	Name, What, Printed, Exception string
	Provenance                     uncertaintytest.Provenance
}

type publishedExample struct {
	ID, Source, Place string
	Provenance        uncertaintytest.Provenance
	Published         []publishedRow
}

func findExample(t *testing.T, id string) publishedExample {
	t.Helper()
	text, err := os.ReadFile("testdata/published.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Examples []publishedExample }
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	for _, e := range file.Examples {
		if e.ID == id {
			return e
		}
	}
	t.Fatalf("no example %q", id)
	return publishedExample{}
}

func interval(lower, upper float64) uncertainty.Interval {
	return uncertainty.Interval{Lower: lower, Upper: upper}
}

var (
	inf     = math.Inf(1)
	nothing = math.Inf(-1)
)

// known returns what a normally distributed result says.
func known(t testing.TB, y, u float64) conformity.CDF {
	t.Helper()
	d, err := conformity.FromBudget(budget(t, y, u))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func value(t testing.TB, v float64, err error) float64 {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func probability(t testing.TB, tolerance uncertainty.Interval, d conformity.CDF) float64 {
	t.Helper()
	p, err := conformity.Probability(tolerance, d)
	return value(t, p, err)
}

func specificRisk(t testing.TB, tolerance uncertainty.Interval, d conformity.CDF) float64 {
	t.Helper()
	p, err := conformity.SpecificRisk(tolerance, d)
	return value(t, p, err)
}

func globalRisk(t testing.TB, tolerance, acceptance uncertainty.Interval,
	prior uncertainty.Distribution, u float64) conformity.Global {
	t.Helper()
	g, err := conformity.GlobalRisk(tolerance, acceptance, prior, u)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func specificGuard(t testing.TB, tolerance uncertainty.Interval, u, risk float64) conformity.Guard {
	t.Helper()
	g, err := conformity.GuardForSpecificRisk(tolerance, u, inf, risk)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// One limit, u = 1: the guard band for a risk is the normal quantile.
func TestPublishedOneSidedQuantiles(t *testing.T) {
	computed := make(map[string]float64)
	for _, p := range []string{"0.80", "0.90", "0.95", "0.99", "0.999"} {
		pc, err := strconv.ParseFloat(p, 64)
		if err != nil {
			t.Fatal(err)
		}
		computed["z_"+p] = specificGuard(t, interval(nothing, 0), 1, 1-pc).Width
	}
	checkPublished(t, "jcgm106-table-1-one-sided", computed)
}

func TestPublishedZener(t *testing.T) {
	checkPublished(t, "jcgm106-7.3.3-1-zener", map[string]float64{
		"z":  (-5.40 + 5.47) / 0.05,
		"pc": probability(t, interval(nothing, -5.40), known(t, -5.47, 0.05)),
	})
}

func TestPublishedMotorOil(t *testing.T) {
	d := known(t, 13.6, 1.8)
	checkPublished(t, "jcgm106-7.4-motor-oil", map[string]float64{
		"z_upper": (16.3 - 13.6) / 1.8, "z_lower": (12.5 - 13.6) / 1.8, "Phi_upper": d.CDF(16.3), "Phi_lower": d.CDF(12.5),
		"pc": probability(t, interval(12.5, 16.3), d),
	})
}

func TestPublishedCapabilityIndex(t *testing.T) {
	index := func(T, u float64) float64 {
		c, err := conformity.CapabilityIndex(interval(0, T), u)
		return value(t, c, err)
	}
	checkPublished(t, "jcgm106-7.6-capability-index",
		map[string]float64{"Cm_if_um_T_16": index(1, 1.0/16), "Cm_if_U_Emax_3": index(2, 1.0/3/2)})
	// The acceptable estimates at 95 % for Cm = 1: tolerance 0 to 1, u = 1/4.
	g := specificGuard(t, interval(0, 1), 0.25, 0.05)
	checkPublished(t, "jcgm106-7.7.5-capability-1",
		map[string]float64{"yt_low": g.Acceptance.Lower, "yt_high": g.Acceptance.Upper})
}

func TestPublishedCoverage(t *testing.T) {
	computed := make(map[string]float64)
	for k := 1.0; k <= 3; k++ {
		computed["P_"+strconv.Itoa(int(k))] = 100 * probability(t, interval(-k, k), known(t, 0, 1))
	}
	checkPublished(t, "jcgm106-A.3-coverage", computed)
}

func TestPublishedGuardedAcceptance(t *testing.T) {
	checkPublished(t, "jcgm106-8.3.2-guarded-acceptance", map[string]float64{
		"pfa_max_percent": 100 * specificRisk(t, interval(nothing, 0), known(t, -2, 1)),
	})
}

// The measured speed from which the limit is exceeded with 99.9 %, u being 2 % of it.
func TestPublishedSpeed(t *testing.T) {
	low, high := 100.0, 120.0
	for range 60 {
		v := (low + high) / 2
		if specificRisk(t, interval(nothing, 100), known(t, v, 0.02*v)) < 0.999 {
			low = v
		} else {
			high = v
		}
	}
	checkPublished(t, "jcgm106-8.3.3-1-speed", map[string]float64{"vmax": high, "z": (high - 100) / (0.02 * high)})
}

func TestPublishedResistors(t *testing.T) {
	tolerance, acceptance := interval(1499.8, 1500.2), interval(1499.82, 1500.18)
	g := globalRisk(t, tolerance, acceptance, uncertainty.Normal(1500, 0.12), 0.04)
	w := acceptance.Lower - tolerance.Lower
	checkPublished(t, "jcgm106-9.5.3-resistors", map[string]float64{
		"pc_percent": 100 * g.Conforming, "w": w, "w_over_U": w / 0.08, "RC_percent": 100 * g.Consumer, "RP_percent": 100 * g.Producer,
		"accepted_of_100": 100 * g.Accepted, "rejected_of_100": 100 * (1 - g.Accepted),
		"conforming_accepted_of_100": 100 * (g.Accepted - g.Consumer), "nonconforming_rejected_of_100": 100 * (1 - g.Accepted - g.Producer),
		"conforming_among_accepted_percent": 100 * g.ConformingAmongAccepted(), "conforming_among_rejected_percent": 100 * g.ConformingAmongRejected(),
		"z_limit": 0.2 / 0.12,
	})
}

// Roundness of ball bearings: a gamma prior. The producer's risk counts only values
// above the limit as rejected.
func TestPublishedBallBearings(t *testing.T) {
	prior := distuv.Gamma{Alpha: 4, Beta: 4}
	tolerance := interval(0, 2)
	guard, _, err := conformity.GuardForGlobalRisk(interval(nothing, 2), prior, 0.25, 0.001)
	if err != nil {
		t.Fatal(err)
	}
	const r = 0.65
	limit := 2 - 2*r*0.25
	checkPublished(t, "jcgm106-9.5.4-ball-bearings", map[string]float64{
		"alpha": prior.Mean() * prior.Mean() / prior.Variance(), "lambda": prior.Mean() / prior.Variance(), "mode": prior.Mode(),
		"p_nonconforming_percent": 100 * (1 - globalRisk(t, tolerance, interval(0, limit), prior, 0.25).Conforming),
		"r":                       guard.Width / 0.5, "A": limit,
		"RC_percent_at_0.65": 100 * globalRisk(t, tolerance, interval(0, limit), prior, 0.25).Consumer,
		"RP_percent_at_0.65": 100 * globalRisk(t, tolerance, interval(nothing, limit), prior, 0.25).Producer,
	})
}

func TestPublishedSimpleAcceptanceRisk(t *testing.T) {
	g := globalRisk(t, interval(-0.5, 0.5), interval(-0.5, 0.5), uncertainty.Normal(0, 1.0/6), 0.125)
	checkPublished(t, "jcgm106-9.5.6-capability-2",
		map[string]float64{"RC_percent": 100 * g.Consumer, "RP_percent": 100 * g.Producer})
}

// The table of guard bands gives upper bounds of the specific risk, U = 2u: the risk of
// a result on the limit of acceptance keeps them.
func TestPublishedGuardBandBounds(t *testing.T) {
	e := findExample(t, "ilac-g8-2019-table-1")
	printed := make(map[string]float64)
	for _, row := range e.Published {
		v, err := strconv.ParseFloat(row.Printed, 64)
		printed[row.Name] = value(t, v, err)
	}
	for _, rule := range []string{"six_sigma", "three_sigma", "ilac_g8_2009", "iso_14253_1_2017", "simple_acceptance"} {
		t.Run(rule, func(t *testing.T) {
			r, bound := printed["r_"+rule], printed["pfa_bound_"+rule]
			if got := specificRisk(t, interval(nothing, 0), known(t, -2*r, 1)); got > bound {
				t.Errorf("specific risk %v at w = %v U; published bound %v (%s, %s)", got, r, bound, e.Source, e.Place)
			}
		})
	}
}
