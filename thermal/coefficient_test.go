// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func TestMeanCoefficientRefusals(t *testing.T) {
	nan := math.NaN()
	refused(t, ErrNotFinite, "first.Temperature")(MeanCoefficient(
		ResistanceAtTemperature{1, nan},
		ResistanceAtTemperature{1, 30},
	))
	refused(t, ErrDomain, "first.Resistance")(MeanCoefficient(
		ResistanceAtTemperature{0, 20},
		ResistanceAtTemperature{1, 30},
	))
	refused(t, ErrNotFinite, "second.Temperature")(MeanCoefficient(
		ResistanceAtTemperature{1, 20},
		ResistanceAtTemperature{1, nan},
	))
	refused(t, ErrNotFinite, "second.Resistance")(MeanCoefficient(
		ResistanceAtTemperature{1, 20},
		ResistanceAtTemperature{nan, 30},
	))
	refused(t, ErrDomain, "second.Temperature")(MeanCoefficient(
		ResistanceAtTemperature{1, 20},
		ResistanceAtTemperature{2, 20},
	))
	refused(t, ErrNotFinite, "coefficient")(MeanCoefficient(
		ResistanceAtTemperature{1e-300, 20},
		ResistanceAtTemperature{1e300, 30},
	))
}

// The gain of the one meter drops out of a coefficient.
func TestMeanCoefficientOfSharesTheMeter(t *testing.T) {
	gain := uncertainty.Input("gain", uncertainty.Normal(1, 100e-6))
	r1 := uncertainty.Exact(1000).Mul(gain)
	r2 := uncertainty.Exact(1000.9).Mul(gain)
	b := evaluate(t, MeanCoefficientOf(
		ResistanceAtTemperatureOf{r1, uncertainty.Exact(25)},
		ResistanceAtTemperatureOf{r2, uncertainty.Exact(125)},
	))
	near(t, "coefficient", b.Estimate, 9e-6, 1e-9)
	if b.StandardUncertainty > 1e-15 {
		t.Errorf("u = %v, want 0", b.StandardUncertainty)
	}
	refusedOf(t, uncertainty.ErrDomain, MeanCoefficientOf(
		ResistanceAtTemperatureOf{r1, uncertainty.Exact(25)},
		ResistanceAtTemperatureOf{r2, uncertainty.Exact(25)},
	))
	refusedOf(t, ErrDomain, MeanCoefficientOf(
		ResistanceAtTemperatureOf{r1, uncertainty.Exact(-300)},
		ResistanceAtTemperatureOf{r2, uncertainty.Exact(25)},
	))
}

func TestBoxCoefficient(t *testing.T) {
	ts, rs := []float64{-55, 25, 125}, []float64{999.30, 1000, 1000.90}
	want := must(t, "")(BoxCoefficient(25, ts, rs))
	// The order of the readings does not matter.
	slices.Reverse(ts)
	slices.Reverse(rs)
	if got := must(t, "")(BoxCoefficient(25, ts, rs)); got != want {
		t.Errorf("reversed: %v, want %v", got, want)
	}
	// A peak inside the range hides from the mean between the ends, not from the box.
	peak := []float64{999.9, 1000, 999.9}
	near(t, "peak", must(t, "")(BoxCoefficient(25, []float64{15, 25, 35}, peak)), 5e-6, 1e-9)
	qs := make([]uncertainty.Quantity, 3)
	qt := make([]uncertainty.Quantity, 3)
	for i := range qs {
		qs[i] = uncertainty.Input("reading "+text(float64(i)), uncertainty.Normal(rs[i], 0.01))
		qt[i] = uncertainty.Exact(ts[i])
	}
	b := evaluate(t, BoxCoefficientOf(25, qt, qs))
	near(t, "BoxCoefficientOf", b.Estimate, want, 1e-15)
	near(t, "its u", b.StandardUncertainty, math.Sqrt2*0.01/(1000*180), 1e-4)
}

func TestBoxCoefficientRefusals(t *testing.T) {
	two := []float64{20, 30}
	refused(t, ErrLengths, "resistances")(BoxCoefficient(20, two, []float64{1}))
	refused(t, ErrObservations, "readings")(BoxCoefficient(20, []float64{20}, []float64{1}))
	refused(t, ErrDomain, "reference")(BoxCoefficient(25, two, two))
	refused(t, ErrDomain, "temperatures")(BoxCoefficient(20, []float64{20, 20}, two))
	refused(t, ErrDomain, "temperature")(BoxCoefficient(20, []float64{20, -300}, two))
	refused(t, ErrDomain, "resistance")(BoxCoefficient(20, two, []float64{1, -1}))
	refused(t, ErrNotFinite, "resistance")(BoxCoefficient(20, two, []float64{1, math.NaN()}))
	cause := errors.New("no reading")
	refusedOf(t, cause, BoxCoefficientOf(20, exactQuantities(two),
		[]uncertainty.Quantity{uncertainty.Exact(1), uncertainty.Fail(cause)}))
}

func TestWireWoundLimit(t *testing.T) {
	// Both sides of every boundary.
	for _, c := range []struct{ ohms, want float64 }{
		{math.Nextafter(1, 0), 90e-6}, {1, 30e-6}, {math.Nextafter(10, 0), 30e-6}, {10, 15e-6}, {math.Nextafter(100, 0), 15e-6}, {100, 10e-6},
	} {
		if got := must(t, "")(WireWoundLimit(c.ohms)); got != c.want {
			t.Errorf("WireWoundLimit(%v) = %v, want %v", c.ohms, got, c.want)
		}
	}
	refused(t, ErrDomain, "resistance")(WireWoundLimit(-1))
}

// GUM H.3: the calibration line of a thermometer, eleven corrections b at
// temperatures t about 20 °C. It is a fit of this package once 100 is added to the
// corrections: y1 = R − 100, y2 = R·α.
func TestPublishedCalibrationLine(t *testing.T) {
	ts := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	b := []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
	rs := make([]float64, len(b))
	for i := range b {
		rs[i] = 100 + b[i]
	}
	fit, err := FitLaw("thermometer", 20, 1, ts, rs)
	if err != nil {
		t.Fatal(err)
	}
	y1 := fit.Resistance.Sub(uncertainty.Exact(100))
	y2 := fit.Law.Alpha.Mul(fit.Resistance)
	m, err := uncertainty.EvaluateAll(y1, y2)
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.Correlation(0, 1)
	if err != nil {
		t.Fatal(err)
	}
	b30 := evaluate(t, fit.Resistance.Mul(fit.Law.RatioOf(uncertainty.Exact(30))).Sub(uncertainty.Exact(100)))
	for _, c := range []struct {
		name, printed string
		got           float64
	}{
		{"y1", "-0.1712", m.Budgets[0].Estimate},
		{"y2", "0.00218", m.Budgets[1].Estimate},
		{"s(y1)", "0.0029", m.Budgets[0].StandardUncertainty},
		{"s(y2)", "0.00067", m.Budgets[1].StandardUncertainty},
		{"r(y1, y2)", "-0.930", r},
		{"s", "0.0035", fit.StdDev},
		{"degrees of freedom", "9", float64(fit.DOF)},
		{"degrees of freedom of b(30 °C)", "9", b30.DOF},
		{"b(30 °C)", "-0.1494", b30.Estimate},
		{"u(b(30 °C))", "0.0041", b30.StandardUncertainty},
		{"first residual", "-0.0031", fit.Residuals[0]},
		{"last residual", "-0.0030", fit.Residuals[10]},
	} {
		uncertaintytest.Published{
			Name: c.name, Source: "JCGM 100:2008", Place: "H.3, Table H.6 and the text below it",
			Printed: c.printed, Provenance: uncertaintytest.Seen,
		}.Run(t, c.got)
	}
}

// Readings on a parabola give that parabola, about any reference.
func TestFitFindsTheLaw(t *testing.T) {
	law := NewLaw(25, 4.2e-6, -0.56e-6)
	ts := []float64{15, 18, 21, 24, 27, 30, 33}
	rs := make([]float64, len(ts))
	for i, at := range ts {
		rs[i] = must(t, "")(law.Correct(10000, 25, at))
	}
	for _, ref := range []float64{20, 25, 40, 0} {
		fit, err := FitLaw("resistor", ref, 2, ts, rs)
		if err != nil {
			t.Fatal(err)
		}
		want, _ := law.Rebase(ref)
		got, err := fit.Law.Law()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "R", fit.Resistance.Estimate(), must(t, "")(law.Correct(10000, 25, ref)), 1e-14)
		if math.Abs(got.alpha-want.alpha) > 1e-14 || math.Abs(got.beta-want.beta) > 1e-15 {
			t.Errorf("about %v: %v, want %v", ref, got, want)
		}
	}
	// Two readings and no scatter: exact coefficients.
	fit, err := FitLawOf(20, 1, exactQuantities([]float64{20, 30}), exactQuantities([]float64{100, 100.1}))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "alpha", fit.Law.Alpha.Estimate(), 1e-4, 1e-12)
	if fit.DOF != 0 || fit.StdDev != 0 || !fit.Law.Beta.IsZero() {
		t.Errorf("DOF %v, StdDev %v", fit.DOF, fit.StdDev)
	}
	line, err := FitLaw("line", 20, 1, []float64{20, 20, 20}, []float64{1, 1, 1})
	if err == nil || line != nil {
		t.Errorf("one temperature: %v, %v", line, err)
	}
	flat, err := FitLaw("flat", 20, 1, []float64{20, 25, 30}, []float64{5, 5, 5})
	if err != nil {
		t.Fatal(err)
	}
	if b := evaluate(t, flat.Law.Alpha); b.Estimate != 0 || b.StandardUncertainty != 0 {
		t.Errorf("flat readings: alpha %v, u %v", b.Estimate, b.StandardUncertainty)
	}
}

// The covariance of FitLaw against the scatter of the fits of simulated readings.
func TestFitCovarianceBySimulation(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	law := NewLaw(25, 4e-6, -0.5e-6)
	ts := []float64{15, 19, 23, 27, 31, 35}
	const s, runs = 0.001, 4000
	alphas := make([]float64, runs)
	var claimed float64
	for k := range runs {
		rs := make([]float64, len(ts))
		for i, at := range ts {
			rs[i] = 1000*law.ratioAt(at) + s*rng.NormFloat64()
		}
		fit, err := FitLaw("r", 25, 2, ts, rs)
		if err != nil {
			t.Fatal(err)
		}
		alphas[k] = fit.Law.Alpha.Estimate()
		u := evaluate(t, fit.Law.Alpha).StandardUncertainty
		claimed += u * u / runs
	}
	mean, square := 0.0, 0.0
	for _, a := range alphas {
		mean += a / runs
	}
	for _, a := range alphas {
		square += (a - mean) * (a - mean) / (runs - 1)
	}
	near(t, "mean square of the claimed u", claimed, square, 0.1)
	near(t, "mean alpha", mean, 4e-6, 0.01)
}

// FitLawOf against finite differences: every reading and every temperature
// moved in turn, and the fit done again.
func TestFitOfSensitivities(t *testing.T) {
	ts, rs := []float64{15, 20, 25, 30, 35}, []float64{}
	for _, at := range ts {
		rs = append(rs, 100*NewLaw(25, 0.0039, 1e-6).ratioAt(at))
	}
	qt, qr := make([]uncertainty.Quantity, 5), make([]uncertainty.Quantity, 5)
	for i := range ts {
		qt[i] = uncertainty.Input("t"+text(float64(i)), uncertainty.Normal(ts[i], 0.01))
		qr[i] = uncertainty.Input("r"+text(float64(i)), uncertainty.Normal(rs[i], 0.001))
	}
	fit, err := FitLawOf(22, 2, qt, qr)
	if err != nil {
		t.Fatal(err)
	}
	b := evaluate(t, fit.Law.Alpha)
	alpha := func() float64 {
		f, err := FitLaw("r", 22, 2, ts, rs)
		if err != nil {
			t.Fatal(err)
		}
		return f.Law.Alpha.Estimate()
	}
	for _, c := range b.Components {
		v := &ts[c.Name[1]-'0']
		if c.Name[0] == 'r' {
			v = &rs[c.Name[1]-'0']
		}
		const h = 1e-4
		was := *v
		*v = was + h
		up := alpha()
		*v = was - h
		down := alpha()
		*v = was
		if want := (up - down) / (2 * h); math.Abs(c.Sensitivity-want) > 1e-6*math.Abs(want)+1e-12 {
			t.Errorf("sensitivity to %s = %v, want %v", c.Name, c.Sensitivity, want)
		}
	}
	if len(b.Components) != 10 {
		t.Errorf("%d components, want 10", len(b.Components))
	}
}

// What all readings share drops out where it must.
func TestFitOfCommonErrors(t *testing.T) {
	gain := uncertainty.Input("gain", uncertainty.Normal(1, 50e-6))
	correction := uncertainty.Input("thermometer", uncertainty.Normal(0, 0.05))
	var qt, qr []uncertainty.Quantity
	for _, at := range []float64{18, 23, 28} {
		qt = append(qt, uncertainty.Exact(at).Add(correction))
		qr = append(qr, uncertainty.Exact(1000*NewLaw(23, 10e-6, 0).ratioAt(at)).Mul(gain))
	}
	fit, err := FitLawOf(23, 1, qt, qr)
	if err != nil {
		t.Fatal(err)
	}
	if u := evaluate(t, fit.Law.Alpha).StandardUncertainty; u > 1e-11 {
		t.Errorf("u(alpha) = %v: a common gain must drop out", u)
	}
	b := evaluate(t, fit.Resistance)
	near(t, "u(R)", b.StandardUncertainty, math.Hypot(1000*50e-6, 1000*10e-6*0.05), 1e-4)
}

func TestFitRefusals(t *testing.T) {
	three := []float64{20, 25, 30}
	bad := func(ref float64, degree int, ts, rs []float64, cause error, name string) {
		t.Helper()
		_, err := FitLaw("r", ref, degree, ts, rs)
		refused(t, cause, name)(0, err)
	}
	bad(math.NaN(), 1, three, three, ErrNotFinite, "reference")
	bad(20, 0, three, three, ErrDomain, "degree")
	bad(20, 3, three, three, ErrDomain, "degree")
	bad(20, 2, three, three, ErrObservations, "readings")
	bad(20, 1, three, three[:2], ErrLengths, "resistances")
	bad(20, 1, []float64{20, 20, 20}, three, ErrObservations, "different temperatures")
	bad(20, 1, []float64{20, 25, -400}, three, ErrDomain, "temperature")
	bad(20, 1, three, []float64{1, 2, math.Inf(1)}, ErrNotFinite, "resistance")
	bad(20, 2, []float64{20, math.Nextafter(20, 21), 30, 30}, []float64{1, 1, 1, 1}, ErrDomain, "temperatures")
	bad(-200, 1, three, []float64{1, 2, 3}, ErrDomain, "resistance at the reference")
	cause := errors.New("no reading")
	_, err := FitLawOf(20, 1, exactQuantities(three),
		[]uncertainty.Quantity{uncertainty.Exact(1), uncertainty.Fail(cause), uncertainty.Exact(1)})
	if !errors.Is(err, cause) {
		t.Errorf("got %v, want %v", err, cause)
	}
}
