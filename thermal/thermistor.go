// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import "example.com/ohmwright/uncertainty/elementary"

// BetaThermistor is an NTC thermistor by its beta:
//
//	R(T) = R exp[Beta (1/T − 1/T1)]   T and T1 in kelvins
//
// The form holds to about 1 K over 50 K; beyond, beta itself changes. A data sheet states
// between which temperatures beta was found, mostly 25 and 85 °C ([BetaBetween]).
type BetaThermistor struct {
	R    float64 // Ω at the temperature At
	At   float64 // °C, mostly 25
	Beta float64 // K, 2000 to 6000
	// Low and High are the range in °C; both 0: −40 °C to 125 °C.
	Low, High float64
}

// Sensor returns the thermistor. It returns an error ([ErrDomain]) where R or Beta is not above
// 0, Beta is below 200 K or above 20 000 K, At is not a temperature of a thermistor, up to 1000 °C,
// or the range is empty.
func (b BetaThermistor) Sensor() (Sensor, error) {
	const op = "thermal.BetaThermistor.Sensor"
	if err := checkPositive(op, "R", b.R, "ohms"); err != nil {
		return Sensor{}, err
	}
	if err := checkTemperature(op, "At", b.At); err != nil {
		return Sensor{}, err
	}
	if err := checkPositive(op, "Beta", b.Beta, "kelvins"); err != nil {
		return Sensor{}, err
	}
	const most = 20e3 // several times that of any thermistor
	if b.Beta > most {
		return Sensor{}, domainError(op, "Beta", b.Beta, "expected at most 20000 K")
	}
	// 3.977 is a beta in thousands of kelvins.
	const least = 200
	if b.Beta < least {
		return Sensor{}, domainError(op, "Beta", b.Beta, "expected at least 200 K")
	}
	if b.At > hottestThermistor {
		return Sensor{}, domainError(op, "At", b.At, "expected at most 1000 °C")
	}
	low, high, err := thermistorRange(op, b.Low, b.High)
	if err != nil {
		return Sensor{}, err
	}
	inverse := 1 / (b.At - absoluteZero)
	name := "thermistor " + text(b.R) + " Ω at " + text(b.At) + " °C, β = " + text(b.Beta) + " K"
	return finiteSensor(op, characteristic{
		name: name, unit: "°C", low: low, high: high,
		evaluate: func(t float64) (float64, float64) {
			kelvin := t - absoluteZero
			// From R = R1·exp[B(1/T − 1/T1)] (IEC 60539-1).
			r := b.R * elementary.Exp(b.Beta*(1/kelvin-inverse))
			return r, -r * b.Beta / (kelvin * kelvin)
		},
		solve: func(r float64) float64 {
			return 1/(inverse+elementary.Log(r/b.R)/b.Beta) + absoluteZero
		},
	})
}

// thermistorRange fills in and checks a range in °C.
func thermistorRange(op string, low, high float64) (float64, float64, error) {
	if low == 0 && high == 0 {
		low, high = -40, 125
	}
	if err := checkSpan(op, "°C", low, high); err != nil {
		return 0, 0, err
	}
	if low <= absoluteZero {
		return 0, 0, domainError(op, "low", low, "expected more than absolute zero, -273.15 °C")
	}
	return low, high, nil
}

// finiteSensor refuses a characteristic that leaves the range of float64 at an end.
func finiteSensor(op string, c characteristic) (Sensor, error) {
	s := newSensor(c)
	for i, r := range s.c.ends {
		at := c.quantity([]float64{c.low, c.high}[i])
		if err := checkPositive(op, "resistance at "+at, r, "ohms"); err != nil {
			return Sensor{}, err
		}
	}
	return s, nil
}

// BetaBetween returns in kelvins the beta of a thermistor between two of its resistances,
//
//	Beta = ln(R1/R2) / (1/T1 − 1/T2)
//
// (IEC 60539-1). It returns an error where a resistance is not above 0, a temperature is not
// above absolute zero, or the temperatures are equal.
func BetaBetween(a, b ResistanceAtTemperature) (float64, error) {
	const op = "thermal.BetaBetween"
	if err := thermistorPoints(op, a, b); err != nil {
		return 0, err
	}
	return finiteResult(op, "beta",
		elementary.Log(a.Resistance/b.Resistance)/(kelvinInverse(a)-kelvinInverse(b)))
}

// kelvinInverse is 1/T of a point.
func kelvinInverse(p ResistanceAtTemperature) float64 { return 1 / (p.Temperature - absoluteZero) }

// hottestThermistor is above the range of any thermistor, in °C: more is a resistance.
const hottestThermistor = 1000

// thermistorPoints refuses resistances and absolute temperatures that are not positive, two
// points at one temperature, and a resistance in the place of a temperature.
func thermistorPoints(op string, points ...ResistanceAtTemperature) error {
	for i, p := range points {
		if err := checkPositive(op, "resistance", p.Resistance, "ohms"); err != nil {
			return err
		}
		if err := checkTemperature(op, "temperature", p.Temperature); err != nil {
			return err
		}
		if p.Temperature == absoluteZero {
			return domainError(op, "temperature", p.Temperature, "expected more than absolute zero")
		}
		if p.Temperature > hottestThermistor {
			return domainError(op, "temperature", p.Temperature, "expected at most 1000 °C")
		}
		for _, q := range points[:i] {
			if q.Temperature == p.Temperature {
				return domainError(op, "temperature", p.Temperature,
					"expected one that no point before has")
			}
		}
	}
	return nil
}

// SteinhartHart is an NTC thermistor by a polynomial in the logarithm of its resistance:
//
//	1/T = A + B x + D x² + C x³   x = ln(R/Reference), T in kelvins
//
// The usual three coefficients are A, B and C with Reference 1 Ω. Data sheets with four
// give x against the resistance at 25 °C and a square term D. Coefficients that are printed
// with three or four digits hold to some 0.02 K to 1 K only: check them at a known point.
type SteinhartHart struct {
	A, B, C, D float64 // 1/K
	Reference  float64 // Ω; 0: 1 Ω
	// Low and High are the range in °C; both 0: −40 °C to 125 °C.
	Low, High float64
}

// SteinhartHartThrough returns the three coefficients of the curve through three points,
// which hold best between the outer two.
func SteinhartHartThrough(a, b, c ResistanceAtTemperature) (SteinhartHart, error) {
	const op = "thermal.SteinhartHartThrough"
	points := []ResistanceAtTemperature{a, b, c}
	if err := thermistorPoints(op, points...); err != nil {
		return SteinhartHart{}, err
	}
	var x, y [3]float64
	for i, p := range points {
		x[i], y[i] = elementary.Log(p.Resistance), kelvinInverse(p)
	}
	if x[0] == x[1] || x[1] == x[2] || x[0] == x[2] {
		return SteinhartHart{}, domainError(op, "resistance", b.Resistance,
			"expected three different resistances")
	}
	// Divided differences of y against x; those of x³ are x0² + x0x1 + x1² and x0 + x1 + x2.
	d1, d2 := (y[1]-y[0])/(x[1]-x[0]), (y[2]-y[0])/(x[2]-x[0])
	third := (d2 - d1) / (x[2] - x[1]) / (x[0] + x[1] + x[2])
	first := d1 - float64(third*(float64(x[0]*x[0])+float64(x[0]*x[1])+float64(x[1]*x[1])))
	zeroth := y[0] - float64(x[0]*(first+float64(x[0]*x[0]*third)))
	for _, v := range []float64{zeroth, first, third} {
		if err := checkNumber(op, "coefficient", v); err != nil {
			return SteinhartHart{}, err
		}
	}
	return SteinhartHart{A: zeroth, B: first, C: third}, nil
}

// logarithms between which x is sought: 1e-6 Ω to 1e15 Ω about a reference of 1 Ω.
const lowestLog, highestLog = -14, 35

// Sensor returns the thermistor. It returns an error ([ErrDomain]) where the coefficients do not
// make a resistance that falls all the way over the range: B = C = D = 0 for one.
func (s SteinhartHart) Sensor() (Sensor, error) {
	const op = "thermal.SteinhartHart.Sensor"
	if s.Reference == 0 {
		s.Reference = 1
	}
	if err := checkPositive(op, "Reference", s.Reference, "ohms"); err != nil {
		return Sensor{}, err
	}
	for _, x := range []struct {
		name  string
		value float64
	}{{"A", s.A}, {"B", s.B}, {"C", s.C}, {"D", s.D}} {
		if err := checkNumber(op, x.name, x.value); err != nil {
			return Sensor{}, err
		}
	}
	low, high, err := thermistorRange(op, s.Low, s.High)
	if err != nil {
		return Sensor{}, err
	}
	p := polynomial{s.A, s.B, s.D, s.C}
	from, to, err := s.logRange(op, p, low, high)
	if err != nil {
		return Sensor{}, err
	}
	name := "thermistor with A = " + text(s.A) + ", B = " + text(s.B) + ", C = " + text(s.C)
	if s.D != 0 {
		name += ", D = " + text(s.D)
	}
	return finiteSensor(op, characteristic{
		name: name, unit: "°C", low: low, high: high,
		evaluate: func(t float64) (float64, float64) {
			kelvin := t - absoluteZero
			x := polynomialRoot(p, 1/kelvin, from, to)
			_, slope := p.evaluate(x)
			r := s.Reference * elementary.Exp(x)
			return r, -r / (kelvin * kelvin * slope)
		},
		solve: func(r float64) float64 {
			v, _ := p.evaluate(elementary.Log(r / s.Reference))
			return 1/v + absoluteZero
		},
	})
}

// polynomialRoot returns the x with p(x) = y, p rising from one end to the other.
func polynomialRoot(p polynomial, y, from, to float64) float64 {
	return risingZero(func(x float64) (float64, float64) {
		v, slope := p.evaluate(x)
		return v - y, slope
	}, from, to, 1e-12)
}

// logRange returns the stretch of x that the range of temperatures takes, along which p rises:
// the last one that ends above 1/T(low), found on a grid and then by the root.
func (s SteinhartHart) logRange(op string, p polynomial, low,
	high float64) (from, to float64, err error) {
	offset := elementary.Log(s.Reference)
	hot, cold := 1/(high-absoluteZero), 1/(low-absoluteZero)
	const steps = 2000
	at := func(i int) float64 {
		return lowestLog - offset + float64((highestLog-lowestLog)*(float64(i)/steps))
	}
	begin := -1
	// A cubic may rise, fall and rise again: the stretch that counts is the one in which it
	// rises from the hot end to the cold one without a turn.
	for i := range steps + 1 {
		v, slope := p.evaluate(at(i))
		switch {
		case !(slope > 0):
			begin = -1
		case v <= hot:
			begin = i
		case v >= cold && begin >= 0:
			return polynomialRoot(p, hot, at(begin), at(i)),
				polynomialRoot(p, cold, at(begin), at(i)), nil
		}
	}
	return 0, 0, domainError(op, "B", s.B, "expected coefficients with which the resistance falls "+
		"from "+text(low)+" to "+text(high)+" °C, such as A 1.13e-3, B 2.34e-4, C 8.8e-8")
}
