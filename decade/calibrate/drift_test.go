// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

var start = time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)

func after(years float64) time.Time { return start.Add(time.Duration(years * year)) }

// oneStep is a box with a single step of 1 kΩ of class 50 ppm.
func oneStep(t testing.TB) *decade.Box {
	t.Helper()
	b, err := decade.New(decade.Spec{Name: "one step", Serial: "9",
		Decades: []decade.Decade{{Name: "×1k", Step: 1000, Positions: 1, Tolerance: 50e-6}}})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// record is a calibration of oneStep: a deviation in ppm with a standard uncertainty of
// its own, and one of a standard that all records share.
func record(years, ppm, u, common float64) *decade.Calibration {
	id := fmt.Sprintf("9 after %v years", years)
	standard := uncertainty.Source{Name: "standard", ID: "standard 1",
		Distribution: uncertainty.Normal(0, common)}.Input()
	own := uncertainty.Source{Name: "comparison", ID: id + "/comparison",
		Distribution: uncertainty.Normal(0, u)}.Input()
	value := uncertainty.Linear(1000+ppm*1e-3, []float64{1e-3, 1e-3}, []uncertainty.Quantity{standard, own})
	return &decade.Calibration{Box: "one step", Serial: "9", Date: after(years),
		Values: uncertainty.Record{ID: id, Quantities: []uncertainty.Quantity{
			uncertainty.Exact(0).Named(decade.ResidualName), value.Named("×1k element 1"),
		}}}
}

func newDrift(t testing.TB, b *decade.Box, cs ...*decade.Calibration) *Drift {
	t.Helper()
	d, err := NewDrift(b, cs...)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func evaluatedQuantity(t testing.TB, q uncertainty.Quantity) *uncertainty.Budget {
	t.Helper()
	b, err := uncertainty.Evaluate(q)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// +10, +16 and +24 ppm after 0, 2 and 4 years: by hand, 3.5 ppm a year, 30.67 ppm after
// 6 years, and the limit of 50 ppm after 2 + (50 − 16.667)/3.5 = 11.524 years, where the
// deviation is as likely above as below.
func TestDriftByHand(t *testing.T) {
	box := oneStep(t)
	d := newDrift(t, box, record(4, 24, 2, 1), record(0, 10, 2, 1), record(2, 16, 2, 1))
	l := d.Lines[1]
	rate := evaluatedQuantity(t, l.Rate)
	if math.Abs(rate.Estimate*1e3-3.5) > 1e-9 {
		t.Errorf("rate %v ppm, want 3.5", rate.Estimate*1e3)
	}
	// Σ(t − mean)² = 8, the standard cancels.
	if want := 2 / math.Sqrt(8); math.Abs(rate.StandardUncertainty*1e3-want) > 1e-9 {
		t.Errorf("u of the rate %v ppm, want %v", rate.StandardUncertainty*1e3, want)
	}
	change := evaluatedQuantity(t, l.Change)
	if math.Abs(change.Estimate*1e3-14) > 1e-9 || math.Abs(change.StandardUncertainty*1e3-2*math.Sqrt2) > 1e-9 {
		t.Errorf("change %v ppm, u %v; want 14, 2.83 without the standard", change.Estimate*1e3,
			change.StandardUncertainty*1e3)
	}
	if l.DOF != 1 || math.Abs(l.ChiSquared-(1./9+4./9+1./9)/4) > 1e-6 || l.Scatter != 0 {
		t.Errorf("chi-squared %v, dof %d, scatter %v; want 1/6, 1, 0: a lucky scatter changes "+
			"nothing", l.ChiSquared, l.DOF, l.Scatter)
	}
	c, err := d.At(after(6))
	if err != nil {
		t.Fatal(err)
	}
	now := evaluatedQuantity(t, c.Values.Quantity("×1k element 1"))
	// u² = 2²/3 + (6−2)²·2²/8, and the standard.
	if want := math.Sqrt(4./3 + 8 + 1); math.Abs((now.Estimate-1000)*1e3-30.6666667) > 1e-6 ||
		math.Abs(now.StandardUncertainty*1e3-want) > 1e-6 {
		t.Errorf("after 6 years %v ppm, u %v; want 30.667, %v", (now.Estimate-1000)*1e3,
			now.StandardUncertainty*1e3, want)
	}
	measured, err := box.With(c)
	if err != nil {
		t.Fatal(err)
	}
	s, err := measured.At(1)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(s.Value()-1000.0306666667) > 1e-9 {
		t.Errorf("predicted box: %v", s.Value())
	}
	for _, c := range []struct{ p, years float64 }{{0.5, 11.523809}, {0.95, 0}} {
		date, ok, err := d.Due(s, c.p)
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		got := float64(date.Sub(start)) / year
		if c.years > 0 && math.Abs(got-c.years) > 1e-4 {
			t.Errorf("due with %v after %v years, want %v", c.p, got, c.years)
		}
		// At that date the probability is as stated.
		mean := 16.6666667 + 3.5*(got-2)
		u := math.Sqrt(4./3 + (got-2)*(got-2)/2 + 1)
		if p := 0.5 * math.Erfc(-(50-mean)/u/math.Sqrt2); math.Abs(p-c.p) > 1e-4 {
			t.Errorf("due with %v after %v years, where the probability is %v", c.p, got, p)
		}
	}
	first, date, ok, err := d.FirstDue(0.5)
	if err != nil || !ok || first.String() != "1" || math.Abs(float64(date.Sub(start))/year-11.523809) > 1e-4 {
		t.Errorf("first due: %v, %v, %v, %v", first, date, ok, err)
	}
}

// Two records: the line goes through both, and u comes from them.
func TestDriftOfTwoRecords(t *testing.T) {
	d := newDrift(t, oneStep(t), record(0, 10, 2, 5), record(1, 10.001, 2, 5))
	rate := evaluatedQuantity(t, d.Lines[1].Rate)
	if math.Abs(rate.Estimate*1e3-0.001) > 1e-9 || math.Abs(rate.StandardUncertainty*1e3-2*math.Sqrt2) > 1e-9 {
		t.Errorf("rate %v ppm, u %v; want 0.001, 2.83", rate.Estimate*1e3, rate.StandardUncertainty*1e3)
	}
	if len(d.Warnings) != 1 || !errors.Is(d.Warnings[0], ErrNoFreedom) {
		t.Errorf("warnings %v; want that nothing checks the line", d.Warnings)
	}
	c, err := d.At(after(3))
	if err != nil {
		t.Fatal(err)
	}
	// 3·x₂ − 2·x₁, and the standard once.
	now := evaluatedQuantity(t, c.Values.Quantity("×1k element 1"))
	if want := math.Sqrt(9*4 + 4*4 + 25); math.Abs(now.StandardUncertainty*1e3-want) > 1e-6 {
		t.Errorf("u after 3 years %v ppm, want %v", now.StandardUncertainty*1e3, want)
	}
}

// Values that scatter more than they say widen the uncertainties: with u far below the
// scatter, the result is that of a fit with the scatter's own standard deviation.
func TestDriftScatter(t *testing.T) {
	d := newDrift(t, oneStep(t), record(0, 10, 0.01, 0), record(2, 16, 0.01, 0), record(4, 24, 0.01, 0))
	l := d.Lines[1]
	s := math.Sqrt(6. / 9) // residuals 1/3, −2/3, 1/3 with one degree of freedom
	if math.Abs(l.Scatter*1e3-s) > 1e-3 {
		t.Errorf("scatter %v ppm, want %v", l.Scatter*1e3, s)
	}
	rate := evaluatedQuantity(t, l.Rate)
	if want := s / math.Sqrt(8); math.Abs(rate.StandardUncertainty*1e3-want) > 1e-3 || math.Abs(rate.DOF-1) > 1e-2 {
		t.Errorf("u of the rate %v ppm with %v degrees of freedom, want %v with 1",
			rate.StandardUncertainty*1e3, rate.DOF, want)
	}
	c, err := d.At(after(6))
	if err != nil {
		t.Fatal(err)
	}
	now := evaluatedQuantity(t, c.Values.Quantity("×1k element 1"))
	if want := s * math.Sqrt(1./3+2+1); math.Abs(now.StandardUncertainty*1e3-want) > 1e-2 {
		t.Errorf("u after 6 years %v ppm, want %v: the line and a fresh draw", now.StandardUncertainty*1e3, want)
	}
	if len(d.Warnings) != 1 || !strings.Contains(d.Warnings[0].Error(), "×1k element 1") {
		t.Errorf("warnings %v", d.Warnings)
	}
	again := newDrift(t, oneStep(t), record(0, 10, 0.01, 0), record(2, 16, 0.01, 0), record(4, 24, 0.01, 0))
	if b := evaluatedQuantity(t, l.Rate.Sub(again.Lines[1].Rate)); b.StandardUncertainty > 1e-15 {
		t.Errorf("two drifts of the same records differ with u = %v", b.StandardUncertainty)
	}
}

// From readings to drift: a meter of the same kind each year, elements that move.
func TestDriftFromReadings(t *testing.T) {
	box, m := trialBox(t), labMeter()
	plan := recommended(t, box)
	w := newWorld(21, box, m)
	var cs []*decade.Calibration
	for i := range 2 {
		if i == 1 {
			w.elements[0][2] += 0.02
			w.newSession()
		}
		rs := w.readings(plan.Settings())
		for k := range rs {
			rs[k].Time = after(float64(i))
		}
		c, err := NewCalibration(evaluated(t, box, m, rs, conformity.Guarded(1)), fmt.Sprintf("T2 year %d", i))
		if err != nil {
			t.Fatal(err)
		}
		cs = append(cs, c)
	}
	d := newDrift(t, box, cs...)
	moved := evaluatedQuantity(t, d.Lines[3].Change)
	if d.Lines[3].Name != "×10 element 3" || math.Abs(moved.Estimate-0.02) > moved.Expanded.U ||
		moved.Expanded.U > 0.01 {
		t.Errorf("%s moved by %v, U %v; want 0.02", d.Lines[3].Name, moved.Estimate, moved.Expanded.U)
	}
	var s strings.Builder
	if err := d.WriteText(&s); err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(s.String()) {
		if strings.HasPrefix(line, "×10 element 3") && !strings.Contains(line, "*") {
			t.Errorf("no star: %s", line)
		}
	}
}

func TestDriftRefuses(t *testing.T) {
	box := oneStep(t)
	noDate, other, differs := record(1, 0, 1, 1), record(1, 0, 1, 1), record(1, 0, 1, 3)
	noDate.Date, other.Serial = time.Time{}, "10"
	for _, c := range []struct {
		name string
		cs   []*decade.Calibration
		want error
		text string
	}{
		{"none", nil, ErrEmpty, "2 or more"},
		{"one", []*decade.Calibration{record(0, 0, 1, 1)}, ErrEmpty, "2 or more"},
		{"nil", []*decade.Calibration{record(0, 0, 1, 1), nil}, decade.ErrCalibration, "no calibration"},
		{"no date", []*decade.Calibration{record(0, 0, 1, 1), noDate}, ErrNotStated, "no date"},
		{"one date", []*decade.Calibration{record(1, 0, 1, 1), record(1, 1, 1, 1)}, ErrContradiction, "different dates"},
		{"other box", []*decade.Calibration{record(0, 0, 1, 1), other}, decade.ErrCalibration, `serial "10"`},
		{"one standard stated twice", []*decade.Calibration{record(0, 0, 1, 1), differs}, ErrContradiction, "standard 1"},
	} {
		if _, err := NewDrift(box, c.cs...); !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.text) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if _, err := NewDrift(nil); !errors.Is(err, ErrEmpty) {
		t.Errorf("nil box: %v", err)
	}
	d := newDrift(t, box, record(0, 0, 1, 1), record(1, 0, 1, 1))
	if _, err := d.At(after(200)); !errors.Is(err, ErrDomain) {
		t.Errorf("200 years: %v", err)
	}
	for _, p := range []float64{0, 1, -1, math.NaN()} {
		if _, _, err := d.Due(box.Zero(), p); !errors.Is(err, ErrDomain) {
			t.Errorf("probability %v: %v", p, err)
		}
	}
	if _, _, err := d.Due(box.Zero(), 0.5); !errors.Is(err, ErrNotStated) {
		t.Errorf("zero setting: %v", err)
	}
	if _, _, err := d.Due(decade.Setting{}, 0.5); err == nil {
		t.Error("no setting: want an error")
	}
	var none *Drift
	if _, err := none.At(start); !errors.Is(err, ErrEmpty) {
		t.Errorf("no drift: %v", err)
	}
	if _, _, _, err := (&Drift{}).FirstDue(0.5); !errors.Is(err, ErrEmpty) {
		t.Errorf("no drift: %v", err)
	}
}

// A box that does not move stays inside beyond the horizon; one that is outside is due
// at once.
func TestDueAtTheEnds(t *testing.T) {
	box := oneStep(t)
	s, err := box.At(1)
	if err != nil {
		t.Fatal(err)
	}
	d := newDrift(t, box, record(0, 0, 1e-6, 1e-6), record(1, 0, 1e-6, 1e-6))
	if date, ok, err := d.Due(s, 0.95); ok || err != nil || date.Before(after(100)) {
		t.Errorf("steady: %v, %v, %v", date, ok, err)
	}
	d = newDrift(t, box, record(0, 60, 1, 1), record(1, 61, 1, 1))
	if date, ok, err := d.Due(s, 0.95); !ok || err != nil || !date.Equal(after(1)) {
		t.Errorf("outside: %v, %v, %v", date, ok, err)
	}
}

// With the scatter's one degree of freedom the tails are wide: by hand, t with ν = 1 is the
// Cauchy distribution.
func TestDueWithFewDegreesOfFreedom(t *testing.T) {
	box := oneStep(t)
	s, err := box.At(1)
	if err != nil {
		t.Fatal(err)
	}
	d := newDrift(t, box, record(0, 10, 1e-3, 0), record(2, 16, 1e-3, 0), record(4, 24, 1e-3, 0))
	date, ok, err := d.Due(s, 0.9)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	years := float64(date.Sub(start)) / year
	mean, u := 16.6666667+3.5*(years-2), math.Sqrt(6./9*(1./3+(years-2)*(years-2)/8+1))
	cauchy := func(x float64) float64 { return 0.5 + math.Atan((x-mean)/u)/math.Pi }
	if p := cauchy(50) - cauchy(-50); math.Abs(p-0.9) > 2e-3 {
		t.Errorf("due after %v years, where the probability is %v", years, p)
	}
	// Values without any uncertainty: inside or not.
	exact := forecast{start: 10e-3, rate: 3.5e-3, limit: 50e-3, dof: math.Inf(1)}
	if years, ok := exact.firstBelow(0.95); !ok || math.Abs(years-40/3.5) > 1e-5 {
		t.Errorf("exact line: %v, %v", years, ok)
	}
}

func TestFirstDueWithoutClass(t *testing.T) {
	box, err := decade.New(decade.Spec{Name: "one step", Serial: "9",
		Decades: []decade.Decade{{Name: "×1k", Step: 1000, Positions: 1}}})
	if err != nil {
		t.Fatal(err)
	}
	d := newDrift(t, box, record(0, 0, 1, 1), record(1, 0, 1, 1))
	if _, _, _, err := d.FirstDue(0.5); !errors.Is(err, ErrNotStated) {
		t.Errorf("no class: %v", err)
	}
}

// A record of a date before 1990 says in which ohm it is, or the drift warns: the step of the
// national ohm looks like drift.
func TestDriftWarnsOfOldOhm(t *testing.T) {
	box := oneStep(t)
	for _, ohm := range []string{"", decade.OhmSince1990} {
		old := record(-32, 10, 2, 1)
		old.Ohm = ohm
		d := newDrift(t, box, old, record(0, 12, 2, 1), record(2, 12, 2, 1))
		warned := slices.ContainsFunc(d.Warnings, func(err error) bool {
			return errors.Is(err, ErrNotStated) && strings.Contains(err.Error(), `"9 after -32 years"`)
		})
		if warned != (ohm == "") {
			t.Errorf("ohm %q: warned %v of it: %v", ohm, warned, d.Warnings)
		}
	}
}

// Seven records on a line far closer than their uncertainties allow are a warning; six, with four
// degrees of freedom, are none.
func TestDriftThatAgreesTooWell(t *testing.T) {
	for _, n := range []int{6, 7} {
		var records []*decade.Calibration
		for i := range n {
			records = append(records, record(float64(i), 10+0.1*float64(i%2), 2, 1))
		}
		d := newDrift(t, oneStep(t), records...)
		warned := slices.ContainsFunc(d.Warnings, func(err error) bool {
			return errors.Is(err, ErrInconsistent) &&
				strings.Contains(err.Error(), "agree better than their uncertainties")
		})
		if warned != (n == 7) {
			t.Errorf("%d records: warned %v, %v", n, warned, d.Warnings)
		}
	}
}
