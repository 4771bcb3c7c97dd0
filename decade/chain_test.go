// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"testing"
	"time"

	"example.com/ohmwright/decade"
)

// FuzzBoxMethods reads a box and asks it everything, at a setting that the input chooses:
// nothing panics or is NaN beside no error.
func FuzzBoxMethods(f *testing.F) {
	for _, s := range []decade.Spec{bench(), school(), full()} {
		data, err := json.Marshal(box(f, s))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data, uint64(7), 1234.5) // a box that somebody could own
	}
	f.Add([]byte(`{"decades":[{"step":"0.1 Ω","code":"1-3-3-2"}]}`), uint64(3), 0.4)          // weighted positions
	f.Add([]byte(`{"decades":[{"step":1e15},{"step":1},{"step":0.001}]}`), uint64(99), 3.004) // far apart
	f.Fuzz(func(t *testing.T, data []byte, at uint64, x float64) {
		b, err := decade.ReadBox(bytes.NewReader(data))
		if err != nil {
			return
		}
		ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
		defer cancel()
		answers(t, b, settingNumber(b, at), x)
		searches(ctx, t, b, x)
	})
}

// settingNumber spreads a number over the dials.
func settingNumber(b *decade.Box, at uint64) decade.Setting {
	s := b.Zero()
	for dial, d := range b.Decades() {
		n := uint64(d.Positions) + 1
		if next, err := s.With(dial, int(at%n)); err == nil {
			s = next
		}
		at /= n
	}
	return s
}

// answers asks a setting.
func answers(t *testing.T, b *decade.Box, s decade.Setting, x float64) {
	t.Helper()
	number := func(what string, v float64, err error) {
		if err == nil && math.IsNaN(v) {
			t.Errorf("%s of %v is NaN", what, s)
		}
	}
	number("nominal value", s.Nominal(), nil)
	number("value", s.Value(), nil)
	number("class limit", s.ClassLimit(), nil)
	number("lower limit", s.Limits().Lower, nil)
	number("upper limit", s.Limits().Upper, nil)
	r := s.Resistance()
	number("resistance", r.Estimate(), r.Err())
	current, _, err := s.MaxCurrent()
	number("current", current, err)
	volts, _, err := s.MaxVoltage()
	number("voltage", volts, err)
	watts, _, err := s.MaxPower()
	number("power", watts, err)
	tau, err := s.TimeConstant()
	number("time constant", tau, err)
	heating, err := s.SelfHeating(x)
	number("self-heating", heating, err)
	change, err := s.TemperatureChange(x)
	number("change with temperature", change, err)
	leak, err := s.Leakage(x)
	number("leakage", leak, err)
	hertz, err := s.UpperFrequency(0.01)
	number("frequency", hertz, err)
	z, err := s.Impedance(math.Abs(x))
	number("impedance", real(z)+imag(z), err)
	step, err := s.Resolution()
	number("resolution", step, err)
	_, _ = s.Next()
	_, _ = s.Previous()
	text, err := s.MarshalText()
	if err != nil {
		t.Fatalf("%v: %v", s, err)
	}
	if again, err := b.ParseSetting(string(text)); err != nil || again != s {
		t.Errorf("%v is written %s and read %v, %v", s, text, again, err)
	}
}

// searches asks a box for settings.
func searches(ctx context.Context, t *testing.T, b *decade.Box, x float64) {
	t.Helper()
	if s, err := b.SettingFor(x); err == nil && math.Abs(s.Nominal()-x) > 1e-12*math.Abs(x) {
		t.Errorf("the setting for %v is %v, %v Ω", x, s, s.Nominal())
	}
	if s, err := b.Nearest(x); err == nil && !s.IsValid() {
		t.Errorf("nearest to %v: no setting and no error", x)
	}
	_, _ = b.NearestN(ctx, x, decade.Search{N: 3})
	_, _ = b.Survey(ctx)
	if low, high, err := b.Extremes(decade.MeasureOfNominal); err == nil && low.Relative > high.Relative {
		t.Errorf("extremes %v above %v", low.Relative, high.Relative)
	}
}
