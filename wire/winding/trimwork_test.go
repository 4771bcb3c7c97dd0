// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/wire/winding"
)

// The powers are V²/R in parallel and I²R in series.
func TestPowerOfThePair(t *testing.T) {
	pad := must[winding.Trim](t)(winding.Padded(1003, 330e3))
	part, added, err := pad.Power(0.5)
	volts := math.Sqrt(0.5 * pad.Value)
	if err != nil || !near(added, volts*volts/330e3, 1e-12) || !near(part, volts*volts/1003, 1e-12) {
		t.Errorf("%v W and %v W, %v", part, added, err)
	}
	link := must[winding.Trim](t)(winding.Linked(990, 10))
	part, added, err = link.Power(0.5)
	square := 0.5 / 1000
	if err != nil || !near(added, square*10, 1e-12) || !near(part, square*990, 1e-12) {
		t.Errorf("%v W and %v W, %v", part, added, err)
	}
	for _, p := range []float64{-1, math.NaN()} {
		if _, _, err := pad.Power(p); err == nil {
			t.Errorf("%v W accepted", p)
		}
	}
}

// The drift is that of the two resistances, worked out apart.
func TestDriftOfThePair(t *testing.T) {
	wire, film := thermal.NewLaw(20, 4e-6, -0.6e-6), thermal.NewLaw(25, 100e-6, 0)
	for _, trim := range []winding.Trim{must[winding.Trim](t)(winding.Padded(1003, 330e3)),
		must[winding.Trim](t)(winding.Linked(990, 10)),
		must[winding.Trim](t)(winding.Padded(100, 100))} {
		for _, to := range []float64{-10, 20, 23, 80} {
			at := func(r float64, l thermal.Law) float64 { return must[float64](t)(l.Correct(r, 20, to)) }
			a, b := at(trim.Part, wire), at(trim.Added, film)
			want := (a + b) / (trim.Part + trim.Added)
			if trim.Parallel {
				want = a * b / (a + b) / (trim.Part * trim.Added / (trim.Part + trim.Added))
			}
			got := must[float64](t)(trim.Drift(wire, film, 20, to))
			if math.Abs(got-(want-1)) > 1e-13 {
				t.Errorf("%+v to %v °C: %v, want %v", trim, to, got, want-1)
			}
			none := must[float64](t)(trim.Drift(thermal.Law{}, thermal.Law{}, 20, to))
			if none != 0 {
				t.Errorf("without laws %v", none)
			}
		}
	}
	if _, err := (winding.Trim{}).Drift(wire, film, 20, 30); !errors.Is(err, winding.ErrDomain) {
		t.Error(err)
	}
	if _, err := must[winding.Trim](t)(winding.Padded(1, 1)).Drift(wire, film, 20,
		math.NaN()); !errors.Is(err, thermal.ErrNotFinite) {
		t.Error(err)
	}
}

func TestAgreementTemperature(t *testing.T) {
	copper, manganin := thermal.NewLaw(20, 0.00393, 0), thermal.NewLaw(25, 0, -0.5e-6)
	for _, c := range []struct {
		a, b winding.Sample
		want float64
	}{
		// 1 + 0.00393 (t − 20) = 1.0393 at 30 °C
		{winding.Sample{Ohms: 100, Law: copper}, winding.Sample{Ohms: 103.93}, 30},
		{winding.Sample{Ohms: 103.93}, winding.Sample{Ohms: 100, Law: copper}, 30},
		// two parabolas that meet at 15 °C and 35 °C: the one nearer to 20 °C
		{winding.Sample{Ohms: 100, Law: thermal.NewLaw(20, 0, 0)}, winding.Sample{Ohms: 100.005, Law: manganin}, 15},
	} {
		got, err := winding.AgreementTemperature(c.a, c.b)
		if err != nil || !near(got, c.want, 1e-3) {
			t.Errorf("%v °C, %v; want %v °C", got, err, c.want)
		}
		value := func(s winding.Sample) float64 {
			if s.Law.IsZero() {
				return s.Ohms
			}
			return s.Ohms * must[float64](t)(s.Law.Ratio(got))
		}
		if !near(value(c.a), value(c.b), 1e-12) {
			t.Errorf("at %v °C %v Ω and %v Ω", got, value(c.a), value(c.b))
		}
	}
	for name, pair := range map[string][2]winding.Sample{
		"two of no law": {{Ohms: 100}, {Ohms: 101}}, "the same": {{Ohms: 100, Law: copper}, {Ohms: 100, Law: copper}},
		"never":          {{Ohms: 100, Law: manganin}, {Ohms: 101}},
		"outside limits": {{Ohms: 100, Law: copper.Within(0, 40)}, {Ohms: 120}},
	} {
		if got, err := winding.AgreementTemperature(pair[0], pair[1]); !errors.Is(err, winding.ErrUnreachable) {
			t.Errorf("%s: %v °C, %v", name, got, err)
		}
	}
	if _, err := winding.AgreementTemperature(winding.Sample{},
		winding.Sample{Ohms: 1}); !errors.Is(err, winding.ErrDomain) {
		t.Error(err)
	}
}

func TestOrderOfWork(t *testing.T) {
	base := winding.TrimWork{Target: 100, PerMetre: 28, Within: 1e-4, Power: 0.5}
	for name, c := range map[string]struct {
		reading, ageing float64
		want            string
	}{
		"wound high, not annealed": {102.5, 0.01, "coarse anneal fine"},
		"wound low":                {99, 0.01, "coarse anneal fine"},
		"just right to anneal":     {101.2, 0.01, "anneal fine"},
		"annealed, a little high":  {100.3, 0, "fine"},
		"annealed, far too high":   {101, 0, "coarse fine"},
		"annealed, low":            {99.9, 0, "coarse fine"},
		"on the value":             {100.005, 0, "done"},
	} {
		w := base
		w.Reading, w.Ageing = c.reading, c.ageing
		steps := must[[]winding.TrimStep](t)(w.Steps())
		var order []string
		last := w.Reading
		for _, s := range steps {
			order = append(order, s.Operation.String())
			if !near(s.From, last, 1e-12) || s.Text == "" {
				t.Errorf("%s: %+v after %v Ω", name, s, last)
			}
			switch s.Operation {
			case winding.TrimCoarse:
				if !near(s.From+s.Wire*w.PerMetre, s.Aim, 1e-12) || s.Aim < 100*(1+c.ageing) {
					t.Errorf("%s: %+v", name, s)
				}
			case winding.TrimAnneal:
				if s.Aim >= s.From || s.Aim*(1-c.ageing/2) < 99.99 {
					t.Errorf("%s: %+v", name, s)
				}
			case winding.TrimFine:
				if !near(s.Aim, s.Pad.Value, 0) || math.Abs(s.Aim/100-1) > 1e-4 ||
					!near(s.PadPower, 0.5*s.Pad.Share, 1e-12) {
					t.Errorf("%s: %+v", name, s)
				}
			}
			last = s.Aim
		}
		if got := strings.Join(order, " "); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
	for want, change := range map[string]func(*winding.TrimWork){
		"Reading: 0; expected more than 0 Ω": func(w *winding.TrimWork) { w.Reading = 0 },
		"Ageing: 1; expected 0.1 at most":    func(w *winding.TrimWork) { w.Ageing = 1 },
		"Within: 0.5; expected 0.1 at most":  func(w *winding.TrimWork) { w.Within = 0.5 },
		"Power: -1; expected 0 W or more":    func(w *winding.TrimWork) { w.Power = -1 },
		"PerMetre: NaN; expected a finite":   func(w *winding.TrimWork) { w.PerMetre = math.NaN() },
		"series: 7; expected E3":             func(w *winding.TrimWork) { w.Series = 7 },
	} {
		w := base
		w.Reading = 100.3
		change(&w)
		if _, err := w.Steps(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", want, err)
		}
	}
	if got := winding.TrimOperation(9).String(); got != "operation 9" {
		t.Error(got)
	}
}
