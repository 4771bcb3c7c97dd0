// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

import (
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// Readings without any error give the elements, whatever the weights.
func TestFitWithoutErrors(t *testing.T) {
	w := newWorld(1, trialBox(t), labMeter())
	plan := recommended(t, w.box)
	var rs []verify.Reading
	for _, s := range plan.Settings() {
		rs = append(rs, verify.Reading{Setting: s, Values: []float64{w.truth(s)}})
	}
	f, err := NewFit(evaluated(t, w.box, w.meter, rs, conformity.Guarded(1)), verify.StageAsFound)
	if err != nil {
		t.Fatal(err)
	}
	check := func(name string, q uncertainty.Quantity, want float64) {
		if got := q.Estimate(); math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %v, want %v", name, got, want)
		}
	}
	check("residual", f.Residual, w.residual)
	for d := range w.elements {
		for e, want := range w.elements[d] {
			check(w.box.ElementName(d, e+1), f.Elements[d][e], want)
		}
	}
	if f.ChiSquared > 1e-10 || f.DOF != plan.DegreesOfFreedom() || !f.Consistent() || len(f.Outliers) > 0 {
		t.Errorf("%v, outliers %v", f, f.Outliers)
	}
}

// Intervals cover the truth at their stated probability over independent boxes, meter
// errors drawn from the laws that the model assigns, which here are normal but for the
// display. 250 boxes: 95 % is met within 3.5 standard deviations of a count, 4.8 %.
func TestCoverage(t *testing.T) {
	const boxes, p = 250, 0.95
	box, m := trialBox(t), labMeter()
	plan := recommended(t, box)
	covered := make(map[string]int)
	var chi2 []float64
	for seed := range uint64(boxes) {
		w := newWorld(seed, box, m)
		r := w.report(t, plan)
		f, err := NewFit(r, verify.StageAsFound)
		if err != nil {
			t.Fatal(err)
		}
		chi2 = append(chi2, f.Probability)
		cal, err := f.Calibration("box")
		if err != nil {
			t.Fatal(err)
		}
		measured, err := box.With(cal)
		if err != nil {
			t.Fatal(err)
		}
		count := func(name string, q uncertainty.Quantity, truth float64) {
			b, err := uncertainty.Evaluate(q)
			if err != nil {
				t.Fatal(err)
			}
			if b.Expanded.Lower <= truth && truth <= b.Expanded.Upper {
				covered[name]++
			}
		}
		count("residual", f.Residual, w.residual)
		for d := range w.elements {
			for e, truth := range w.elements[d] {
				count(box.ElementName(d, e+1), f.Elements[d][e], truth)
			}
		}
		// A setting dialled again: its contacts are drawn again.
		for _, text := range []string{"4-9", "0-3"} {
			s, err := measured.ParseSetting(text)
			if err != nil {
				t.Fatal(err)
			}
			contact := box.Spec().Contact * math.Sqrt(float64(s.Contacts()))
			count("setting "+text, s.Resistance(), w.truth(s)+contact*w.rnd.NormFloat64())
		}
	}
	bound := 3.5 * math.Sqrt(p*(1-p)/boxes)
	for name, n := range covered {
		if share := float64(n) / boxes; math.Abs(share-p) > bound {
			t.Errorf("%s: covered in %.1f %% of the boxes, want %.0f ± %.1f %%", name, 100*share, 100*p, 100*bound)
		}
	}
	if len(covered) != 1+8+2 {
		t.Errorf("%d intervals counted: %v", len(covered), covered)
	}
	// The probabilities of chi-squared are evenly spread (Kolmogorov's distance, 0.1 %).
	slices.Sort(chi2)
	for i, v := range chi2 {
		if d := max(v-float64(i)/boxes, float64(i+1)/boxes-v); d > 1.95/math.Sqrt(boxes) {
			t.Fatalf("chi-squared: probability %v at rank %d of %d", v, i, boxes)
		}
	}
}

// With rectangular limits k·u is wide; the interval by convolution of the laws covers
// at its probability.
func TestCoverageOfRectangularLimits(t *testing.T) {
	const boxes, p = 150, 0.95 // convolutions take their time
	box, m := newBox(t, decade.Decade{Name: "×10", Step: 10, Positions: 4, Tolerance: 0.001}), labMeter()
	for i := range m.Ranges {
		m.Ranges[i].K = 0
	}
	minimal, err := verify.NewPlan(box, verify.ExtentMinimal)
	if err != nil {
		t.Fatal(err)
	}
	var wide, narrow int
	for seed := range uint64(boxes) {
		w := newWorld(1000+seed, box, m)
		f, err := NewFit(w.report(t, minimal), verify.StageAsFound)
		if err != nil {
			t.Fatal(err)
		}
		// All of the ×10 dial: the gain of one range, four times the same.
		b, err := uncertainty.Evaluate(uncertainty.Sum(f.Elements[0]...))
		if err != nil {
			t.Fatal(err)
		}
		truth := w.elements[0][0] + w.elements[0][1] + w.elements[0][2] + w.elements[0][3]
		if math.Abs(b.Estimate-truth) <= b.Expanded.U {
			wide++
		}
		interval, err := b.Convolution(p)
		if err != nil {
			t.Fatal(err)
		}
		if interval.Lower <= truth && truth <= interval.Upper {
			narrow++
		}
	}
	bound := 3.5 * math.Sqrt(p*(1-p)/boxes)
	if share := float64(narrow) / boxes; math.Abs(share-p) > bound {
		t.Errorf("convolution covers in %.1f %%, want %.0f ± %.1f %%", 100*share, 100*p, 100*bound)
	}
	if wide < narrow {
		t.Errorf("k·u covers %d, convolution %d; want k·u to cover more", wide, narrow)
	}
}

// What readings share, elements share: the gain of a range is one source of all of
// them, and leaves their ratios.
func TestFitKeepsSharedErrors(t *testing.T) {
	m := labMeter()
	m.Ranges = m.Ranges[1:2]
	w := newWorld(5, trialBox(t), m)
	f, err := NewFit(w.report(t, recommended(t, w.box)), verify.StageAsFound)
	if err != nil {
		t.Fatal(err)
	}
	sum, err := uncertainty.Evaluate(uncertainty.Sum(f.Elements[0]...))
	if err != nil {
		t.Fatal(err)
	}
	gain := slices.IndexFunc(sum.Components, func(c uncertainty.Component) bool { return c.Name == "meter gain 100 Ω" })
	if gain < 0 {
		t.Fatalf("no gain in\n%v", sum)
	}
	if got, want := math.Abs(sum.Components[gain].Contribution), sum.Estimate*0.5e-4; math.Abs(got-want) > 1e-5*want {
		t.Errorf("gain contributes %v to the sum of four elements, want about %v", got, want)
	}
	ratio, err := uncertainty.Evaluate(f.Elements[0][1].Div(f.Elements[0][2]))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range ratio.Components {
		if c.Name == "meter gain 100 Ω" && math.Abs(c.Contribution) > 1e-8 {
			t.Errorf("gain contributes %v to the ratio of two elements of one range", c.Contribution)
		}
	}
}

func TestOutliersAreNamed(t *testing.T) {
	box, m := trialBox(t), labMeter()
	plan := recommended(t, box)
	named := 0
	for seed := range uint64(40) {
		w := newWorld(2000+seed, box, m)
		rs := w.readings(plan.Settings())
		at := slices.Index(plan.Settings(), settings(t, box, "2-3")[0])
		rs[at].Values[0] += 0.02
		f, err := NewFit(evaluated(t, box, m, rs, conformity.Guarded(1)), verify.StageAsFound)
		if err != nil {
			t.Fatal(err)
		}
		if f.Consistent() {
			t.Errorf("box %d: a reading 20 mΩ high is taken for consistent: %v", seed, f)
		}
		if len(f.Outliers) == 1 && slices.Equal(f.Outliers[0].Rows, []int{at}) && f.Outliers[0].Statistic > 4 {
			named++
		}
	}
	if named < 38 {
		t.Errorf("the bad reading named alone in %d of 40 boxes", named)
	}
}

// Two diallings of a minimal plan that differ: either may be wrong, and the text says so.
func TestOutliersThatCannotBeTold(t *testing.T) {
	box := newBox(t, decade.Decade{Name: "×1", Step: 1, Positions: 2})
	ss := settings(t, box, "0", "1", "2", "1")
	var rs []verify.Reading
	for i, v := range []float64{0.01, 1.01, 2.01, 1.05} {
		rs = append(rs, verify.Reading{Setting: ss[i], Values: []float64{v}})
	}
	r := evaluated(t, box, labMeter(), rs, conformity.Guarded(1))
	f, err := NewFit(r, verify.StageAsFound)
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Outliers) != 1 || !slices.Equal(f.Outliers[0].Rows, []int{1, 3}) ||
		!strings.Contains(f.Outliers[0].Text, "1; 1 (dialling 2)") {
		t.Errorf("%+v", f.Outliers)
	}
	_, err = NewCalibration(r, "T1 2026")
	if !errors.Is(err, ErrInconsistent) || !strings.Contains(err.Error(), "1 (dialling 2)") {
		t.Errorf("calibration from readings that contradict each other: %v", err)
	}
	f, err = NewFit(r, verify.StageAsFound, 3)
	if err != nil || f.DOF != 0 || len(f.Outliers) != 0 || math.Abs(f.Elements[0][0].Estimate()-1) > 1e-12 {
		t.Errorf("without the second dialling: %v, %v", f, err)
	}
}

// Good boxes have outliers in about 1 % of the cases.
func TestFalseAlarms(t *testing.T) {
	box, m := trialBox(t), labMeter()
	plan := recommended(t, box)
	alarms := 0
	const boxes = 300
	for seed := range uint64(boxes) {
		f, err := NewFit(newWorld(3000+seed, box, m).report(t, plan), verify.StageAsFound)
		if err != nil {
			t.Fatal(err)
		}
		if len(f.Outliers) > 0 {
			alarms++
		}
	}
	// 99.9 % of a Poisson count with mean 3.
	if most := int(distuv.Poisson{Lambda: falseAlarm * boxes}.Mean()) + 7; alarms > most {
		t.Errorf("%d alarms in %d good boxes, want at most %d", alarms, boxes, most)
	}
}

// Readings with nothing but common errors have a singular covariance matrix.
func TestFitOfSingularCovariance(t *testing.T) {
	box := newBox(t, decade.Decade{Name: "×1", Step: 1, Positions: 2})
	for _, m := range []*verify.Meter{
		{Wiring: verify.WiringFourWire, Ranges: []verify.Range{{Name: "10 Ω", FullScale: 10, OfReading: 1e-4}}},
		{Wiring: verify.WiringFourWire, Ideal: true, Ranges: []verify.Range{{Name: "10 Ω", FullScale: 10}}},
	} {
		rs := read(t, box, map[string]float64{"0": 0.01, "1": 1.01, "2": 2.02})
		rs = append(rs, verify.Reading{Setting: rs[1].Setting, Values: []float64{1.01}})
		f, err := NewFit(evaluated(t, box, m, rs, conformity.Guarded(1)), verify.StageAsFound)
		if err != nil {
			t.Fatal(err)
		}
		if got := f.Elements[0][1].Estimate(); math.Abs(got-1.01) > 1e-9 {
			t.Errorf("element 2: %v, want 1.01", got)
		}
		if !slices.ContainsFunc(f.Warnings, func(err error) bool { return errors.Is(err, ErrNotStated) }) {
			t.Errorf("warnings %v; want one that the readings have no errors of their own", f.Warnings)
		}
	}
}

func TestFitRefuses(t *testing.T) {
	box := trialBox(t)
	w := newWorld(9, box, labMeter())
	plan := recommended(t, box)
	rs := w.readings(plan.Settings())
	at := slices.Index(plan.Settings(), settings(t, box, "3-0")[0])
	report := func(rs []verify.Reading) *verify.Report { return evaluated(t, box, w.meter, rs, conformity.Guarded(1)) }

	if _, err := NewCalibration(report(rs[:at]), "x"); !errors.Is(err, ErrUndetermined) ||
		!strings.Contains(err.Error(), "×10 element 3") ||
		!strings.Contains(err.Error(), "to be read as well: 3-0") {
		t.Errorf("half of the plan: %v", err)
	}
	open := slices.Clone(rs)
	open[at].Values, open[at].Overload = nil, true
	if _, err := NewCalibration(report(open), "x"); !errors.Is(err, ErrOpen) || !strings.Contains(err.Error(), "3-0") {
		t.Errorf("open circuit: %v", err)
	}
	if _, err := NewFit(report(rs), verify.StageAsLeft); !errors.Is(err, ErrUndetermined) ||
		!strings.Contains(err.Error(), "as left: 0 readings") {
		t.Errorf("a stage without readings: %v", err)
	}
	if _, err := NewCalibration(report(rs), ""); err == nil ||
		!strings.Contains(err.Error(), "id of the record is empty") {
		t.Errorf("no ID: %v", err)
	}
	if _, err := NewCalibration(&verify.Report{}, "x"); err == nil {
		t.Error("empty report: want an error")
	}
	if _, err := NewCalibration(nil, "x"); !errors.Is(err, ErrEmpty) {
		t.Errorf("nil report: %v; want ErrEmpty", err)
	}
	if _, err := NewFit(nil, verify.StageAsFound); !errors.Is(err, ErrEmpty) {
		t.Errorf("nil report: %v; want ErrEmpty", err)
	}
}

// A record read twice is one: the difference is 0 with certainty; and so is that of a
// record and the fit it comes from.
func TestCalibrationReadTwice(t *testing.T) {
	w := newWorld(11, trialBox(t), labMeter())
	r := w.report(t, recommended(t, w.box))
	f, err := NewFit(r, verify.StageAsFound)
	if err != nil {
		t.Fatal(err)
	}
	cal, err := NewCalibration(r, "trial box T2 2026-03-01")
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(cal)
	if err != nil {
		t.Fatal(err)
	}
	var back [2]decade.Calibration
	for i := range back {
		if err := json.Unmarshal(text, &back[i]); err != nil {
			t.Fatal(err)
		}
	}
	for _, q := range cal.Values.Quantities {
		one, two := back[0].Values.Quantity(q.Name()), back[1].Values.Quantity(q.Name())
		for _, d := range []uncertainty.Quantity{one.Sub(two), one.Sub(q)} {
			b, err := uncertainty.Evaluate(d)
			if err != nil {
				t.Fatal(err)
			}
			if b.Estimate != 0 || b.StandardUncertainty > 1e-18 {
				t.Errorf("%s: difference %v, u %v; want 0", q.Name(), b.Estimate, b.StandardUncertainty)
			}
		}
	}
	b, err := uncertainty.Evaluate(f.Residual.Sub(back[0].Values.Quantity("residual")))
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(b.Estimate) > 1e-15 || b.StandardUncertainty > 1e-15 {
		t.Errorf("record and fit differ by %v, u %v", b.Estimate, b.StandardUncertainty)
	}
}

// The null at zero: the residual is the stated one, with its tolerance.
func TestFitWithNullAtZero(t *testing.T) {
	box := newBox(t, decade.Decade{Name: "×1", Step: 1, Positions: 2})
	m := labMeter()
	m.Wiring, m.Leads.Null = verify.WiringTwoWire, verify.NullBoxAtZero
	f, err := NewFit(evaluated(t, box, m,
		read(t, box, map[string]float64{"0": 0, "1": 1.001, "2": 2.003}), conformity.Guarded(1)),
		verify.StageAsFound)
	if err != nil {
		t.Fatal(err)
	}
	b, err := uncertainty.Evaluate(f.Residual)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(b.Estimate-0.01) > 1e-12 || b.StandardUncertainty < 0.005/math.Sqrt(3) {
		t.Errorf("residual %v, u %v; want the stated 0.01 ± 0.005", b.Estimate, b.StandardUncertainty)
	}
	if e := f.Elements[0][0].Estimate(); math.Abs(e-1.001) > 1e-12 {
		t.Errorf("element 1: %v", e)
	}
	if !slices.ContainsFunc(f.Warnings, func(err error) bool { return strings.Contains(err.Error(), "not measured") }) {
		t.Errorf("warnings %v", f.Warnings)
	}
}

// What is doubtful in the record is said with the elements too: a year that was mistyped is the date
// of their record.
func TestFitSaysWhatIsDoubtfulInTheRecord(t *testing.T) {
	w := newWorld(1, trialBox(t), labMeter())
	var rs []verify.Reading
	for i, s := range recommended(t, w.box).Settings() {
		rs = append(rs, verify.Reading{Setting: s, Values: []float64{w.truth(s)},
			Time: time.Date(2026, 3, 2, 9, i, 0, 0, time.UTC)})
	}
	for _, year := range []int{2026, 2062} {
		rs[3].Time = time.Date(year, 3, 2, 12, 0, 0, 0, time.UTC)
		f, err := NewFit(evaluated(t, w.box, w.meter, rs, conformity.Guarded(1)), verify.StageAsFound)
		if err != nil {
			t.Fatal(err)
		}
		got := slices.ContainsFunc(f.Warnings, func(err error) bool {
			return errors.Is(err, verify.ErrRecord) && strings.Contains(err.Error(), "of 2062-03-02")
		})
		if got != (year == 2062) {
			t.Errorf("%d: date %v, warnings %v", year, f.Date, f.Warnings)
		}
	}
}
