// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

// CallendarVanDusen are the coefficients of one platinum thermometer, from its certificate
// or of another standard:
//
//	R = R0 [1 + At + Bt² + C(t − 100)t³]   below 0 °C
//	R = R0 [1 + At + Bt²]                  from 0 °C up
//
// Certificates that state α, δ and β say the same: [AlphaDeltaBeta]. The set of IEC 60751
// is [Platinum]. Coefficients that are older than 1990 are of IPTS-68, whose temperatures
// differ by up to 0.4 K at 800 °C; sets that are copied from program text often mix A of
// one line with B of another: compare [CallendarVanDusen.Alpha] with what the source states.
type CallendarVanDusen struct {
	R0 float64 // Ω at 0 °C
	A  float64 // 1/K, about 3.9e-3
	B  float64 // 1/K², about −5.8e-7
	C  float64 // 1/K⁴, about −4.2e-12; 0 where the thermometer is for 0 °C and above
	// Low and High are the range in °C; both 0: −200 °C, or 0 °C without C, to 850 °C.
	Low, High float64
}

// Alpha returns the mean coefficient from 0 °C to 100 °C in 1/K, α = A + 100B.
func (c CallendarVanDusen) Alpha() float64 { return c.A + float64(100*c.B) }

// AlphaDeltaBeta returns the same coefficients in their older form.
func (c CallendarVanDusen) AlphaDeltaBeta() AlphaDeltaBeta {
	alpha := c.Alpha()
	if alpha == 0 {
		return AlphaDeltaBeta{R0: c.R0}
	}
	// B = −10⁻⁴αδ and C = −10⁻⁸αβ, solved for δ and β.
	return AlphaDeltaBeta{R0: c.R0, Alpha: alpha, Delta: -1e4 * c.B / alpha,
		Beta: -1e8 * c.C / alpha}
}

// AlphaDeltaBeta are the coefficients of Callendar (α, δ) and Van Dusen (β):
//
//	A = α(1 + δ/100)   B = −10⁻⁴ αδ   C = −10⁻⁸ αβ
type AlphaDeltaBeta struct {
	R0    float64 // Ω at 0 °C
	Alpha float64 // 1/K, about 0.00385
	Delta float64 // °C, about 1.5
	Beta  float64 // °C, about 0.11
}

// CallendarVanDusen returns the coefficients A, B and C.
func (c AlphaDeltaBeta) CallendarVanDusen() CallendarVanDusen {
	return CallendarVanDusen{
		R0: c.R0,
		A:  c.Alpha * (1 + c.Delta/100),
		B:  -1e-4 * c.Alpha * c.Delta,
		C:  -1e-8 * c.Alpha * c.Beta,
	}
}

// Linear coefficients at 0 °C that pure metals have, in 1/K; others are those of another
// formula, or a slip of a power of ten.
const leastMetal, mostMetal = 0.003, 0.005

// mostCallendar is the temperature in °C up to which a certificate may state its coefficients.
const mostCallendar = 1000

// Sensor returns the thermometer. It returns an error ([ErrDomain]) where R0 is not above 0, A
// is not 0.003 to 0.005 /K, the range is empty or goes beyond −200 °C to 1000 °C, C is missing
// for a range below 0 °C, and where the resistance does not rise over the range.
func (c CallendarVanDusen) Sensor() (Sensor, error) {
	const op = "thermal.CallendarVanDusen.Sensor"
	if err := checkPositive(op, "R0", c.R0, "ohms"); err != nil {
		return Sensor{}, err
	}
	for _, x := range []struct {
		name  string
		value float64
	}{{"A", c.A}, {"B", c.B}, {"C", c.C}} {
		if err := checkNumber(op, x.name, x.value); err != nil {
			return Sensor{}, err
		}
	}
	if c.A < leastMetal || c.A > mostMetal {
		return Sensor{}, domainError(op, "A", c.A, "expected 0.003 to 0.005 per kelvin")
	}
	if c.Low == 0 && c.High == 0 {
		c.High = platinumHigh
		if c.C != 0 {
			c.Low = platinumLow
		}
	}
	if err := checkWithin(op, c.Low, c.High, platinumLow, mostCallendar); err != nil {
		return Sensor{}, err
	}
	if c.Low < 0 && c.C == 0 {
		return Sensor{},
			domainError(op, "C", c.C, "expected the third coefficient, about -4.2e-12, for "+
				"temperatures below 0 °C")
	}
	// Without C the formula from 0 °C up is the whole curve.
	k := curve{
		name: "platinum with A = " + text(c.A) + ", B = " + text(c.B) + ", C = " + text(c.C),
		low:  c.Low, high: c.High,
		pieces: []piece{{c.Low, polynomial{1, c.A, c.B}}},
	}
	if c.Low < 0 {
		// IEC 60751: C(t − 100)t³ = −100C·t³ + C·t⁴ below 0 °C, without it above.
		k.pieces = []piece{{c.Low, polynomial{1, c.A, c.B, -100 * c.C, c.C}},
			{0, polynomial{1, c.A, c.B}}}
	}
	if err := k.checkRising(op); err != nil {
		return Sensor{}, err
	}
	return curveSensor(c.R0, &k), nil
}

// checkWithin refuses a range whose ends are no numbers or out of order, or which leaves the
// temperatures from least to most in °C.
func checkWithin(op string, low, high, least, most float64) error {
	if err := checkSpan(op, "°C", low, high); err != nil {
		return err
	}
	if low < least {
		return domainError(op, "low", low, "expected "+text(least)+" °C or more")
	}
	if high > most {
		return domainError(op, "high", high, "expected "+text(most)+" °C or less")
	}
	return nil
}

// checkRising refuses a curve that falls, or has no resistance, anywhere in its range, as far as
// a thousand places show.
func (c *curve) checkRising(op string) error {
	for i := range samples + 1 {
		t := c.low + float64((c.high-c.low)*(float64(i)/samples))
		if v, s := c.evaluate(t); !(s > 0 && v > 0) {
			return domainError(op, "temperature", t,
				"expected coefficients with which the resistance "+
					"is above 0 and rises from "+text(c.low)+" to "+text(c.high)+" °C")
		}
	}
	return nil
}
