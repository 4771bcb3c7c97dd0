// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

// Coefficients of IEC 60751:2022 (ITS-90), unchanged since the amendment of 1995.
const (
	platinumA = 3.9083e-3  // 1/K
	platinumB = -5.775e-7  // 1/K²
	platinumC = -4.183e-12 // 1/K⁴, below 0 °C

	platinumLow, platinumHigh = -200, 850 // °C, of the table
)

// Platinum returns the industrial platinum thermometer of IEC 60751:2022 with
// the resistance r0 in ohms at 0 °C, in ITS-90 temperatures:
//
//	R = R0 [1 + At + Bt² + C(t − 100)t³]   −200 °C to 0 °C
//	R = R0 [1 + At + Bt²]                     0 °C to 850 °C
//
// with A = 3.9083e-3, B = −5.775e-7, C = −4.183e-12, so that
// R(100 °C)/R0 = 1.3851. A bad r0 is reported by use.
//
// Many printed tables still follow the curve before it; see [PlatinumIPTS68].
func Platinum(r0 float64) Sensor { return curveSensor(r0, &platinum) }

var platinum = platinumCurve("platinum IEC 60751", 850, platinumA, platinumB, platinumC)

// PlatinumIPTS68 returns the curve of IEC 60751:1983, in the temperatures of
// IPTS-68, for reading old tables: A = 3.90802e-3, B = −5.802e-7,
// C = −4.27350e-12, R(100 °C)/R0 = 1.3850. At 600 °C it lies 0.11 Ω below [Platinum]
// for a thermometer of 100 Ω, 0.34 K. Not for new work.
func PlatinumIPTS68(r0 float64) Sensor { return curveSensor(r0, &platinumIPTS68) }

var platinumIPTS68 = platinumCurve("platinum IEC 60751:1983 (IPTS-68)", 850, 3.90802e-3, -5.802e-7,
	-4.27350e-12)

// platinumCurve is the pair of formulas of platinum thermometers.
// C(t − 100)t³ = −100C t³ + C t⁴.
func platinumCurve(name string, high, a, b, c float64) curve {
	return curve{name: name, low: platinumLow, high: high, pieces: []piece{
		{platinumLow, polynomial{1, a, b, -100 * c, c}},
		{0, polynomial{1, a, b}},
	}}
}

// Copper returns the copper thermometer with R(100 °C)/R0 = 1.428 and the
// resistance r0 in ohms at 0 °C, by GOST 6651-2009:
//
//	R = R0 [1 + At + Bt(t + 6.7) + Ct³]   −180 °C to 0 °C
//	R = R0 [1 + At]                          0 °C to 200 °C
//
// with A = 4.28e-3, B = −6.2032e-7, C = 8.5154e-10. A was seen quoted in a
// document; B and C are from memory. Tables from before 2009 differ from it by
// up to 0.08 Ω in 100 Ω at the cold end and 0.014 Ω at 180 °C; in them the
// slope is not constant above 0 °C.
//
// Copper thermometers of 0.00427 /K, the usual 10 Ω at 25 °C among them, are
// [CopperLinear]. The coefficient of copper wire is another one: [CopperConductor].
func Copper(r0 float64) Sensor { return curveSensor(r0, &copper) }

var copper = func() curve {
	const a, b, c = 4.28e-3, -6.2032e-7, 8.5154e-10
	return curve{name: "copper GOST 6651-2009 (W100 = 1.428)", low: -180, high: 200,
		pieces: []piece{
			{-180, polynomial{1, a + 6.7*b, b, c}}, // Bt(t + 6.7) = 6.7B t + B t²
			{0, polynomial{1, a}},
		}}
}()

// CopperLinear returns the straight copper thermometer with the resistance r0
// in ohms and the coefficient alpha in 1/K at 0 °C,
//
//	R = R0 (1 + αt)   −50 °C to 150 °C
//
// CopperLinear(9.035, 0.00427) is the copper sensor of 10 Ω at 25 °C; printed tables of it use a
// value nearer 0.004274 (from memory). Below −50 °C copper is not straight. Alpha is from 0.003
// to 0.005 /K; bad values are reported by use.
func CopperLinear(r0, alpha float64) Sensor {
	c := &curve{name: "copper, α = " + text(alpha) + " /K at 0 °C", low: -50, high: 150,
		pieces: []piece{
			{-50, polynomial{1, alpha}},
		}}
	if !(alpha >= leastMetal && alpha <= mostMetal) {
		c.bad = domainError("thermal.CopperLinear", "alpha", alpha,
			"expected 0.003 to 0.005 per kelvin")
		if err := checkNumber("thermal.CopperLinear", "alpha", alpha); err != nil {
			c.bad = err
		}
	}
	return curveSensor(r0, c)
}

// Nickel returns the nickel thermometer with R(100 °C)/R0 = 1.618 and the
// resistance r0 in ohms at 0 °C, by DIN 43760 (withdrawn), −60 °C to 250 °C:
//
//	R = R0 [1 + 5.485e-3 t + 6.65e-6 t² + 2.805e-11 t⁴ − 2e-17 t⁶]
//
// Nickel differs by maker more than platinum does: [Nickel617] is another curve.
func Nickel(r0 float64) Sensor { return curveSensor(r0, &nickel) }

var nickel = curve{name: "nickel DIN 43760 (W100 = 1.618)", low: -60, high: 250, pieces: []piece{
	{-60, polynomial{1, 5.485e-3, 6.65e-6, 0, 2.805e-11, 0, -2e-17}},
}}

// Nickel617 returns the nickel thermometer with R(100 °C)/R0 = 1.617 and the
// resistance r0 in ohms at 0 °C, by GOST 6651-2009 (coefficients from memory):
//
//	R = R0 [1 + At + Bt²]                    −60 °C to 100 °C
//	R = R0 [1 + At + Bt² + C(t − 100)t²]     100 °C to 180 °C
//
// with A = 5.4963e-3, B = 6.7556e-6, C = 9.2004e-9.
func Nickel617(r0 float64) Sensor { return curveSensor(r0, &nickel617) }

var nickel617 = func() curve {
	const a, b, c = 5.4963e-3, 6.7556e-6, 9.2004e-9
	return curve{name: "nickel GOST 6651-2009 (W100 = 1.617)", low: -60, high: 180, pieces: []piece{
		{-60, polynomial{1, a, b}},
		{100, polynomial{1, a, b - 100*c, c}},
	}}
}()

// Platinum391 returns the platinum thermometer with R(100 °C)/R0 = 1.391 and the resistance
// r0 in ohms at 0 °C, by GOST 6651-2009, −200 °C to 850 °C: the formulas of [Platinum] with
// A = 3.9690e-3, B = −5.841e-7, C = −4.330e-12 (seen quoted in three public places that
// agree).
func Platinum391(r0 float64) Sensor { return curveSensor(r0, &platinum391) }

var platinum391 = platinumCurve("platinum GOST 6651-2009 (W100 = 1.391)", 850, 3.9690e-3, -5.841e-7,
	-4.330e-12)

// Copper426 returns the copper thermometer with R(100 °C)/R0 = 1.426 and the resistance
// r0 in ohms at 0 °C, by GOST 6651-2009 (seen quoted):
//
//	R = R0 (1 + 4.26e-3 t)   −50 °C to 200 °C
func Copper426(r0 float64) Sensor { return curveSensor(r0, &copper426) }

var copper426 = curve{name: "copper GOST 6651-2009 (W100 = 1.426)", low: -50, high: 200,
	pieces: []piece{
		{-50, polynomial{1, 4.26e-3}},
	}}

// Nickel500 returns the nickel thermometer of building controls with R(100 °C)/R0 = 1.500
// and the resistance r0 in ohms at 0 °C:
//
//	R = R0 (1 + 4.427e-3 t + 5.172e-6 t² + 5.585e-9 t³)   −50 °C to 150 °C
//
// No standard has it. The coefficients were seen in three public places that agree; the range
// was chosen here.
func Nickel500(r0 float64) Sensor { return curveSensor(r0, &nickel500) }

var nickel500 = curve{name: "nickel of building controls (W100 = 1.500)", low: -50, high: 150,
	pieces: []piece{
		{-50, polynomial{1, 4.427e-3, 5.172e-6, 5.585e-9}},
	}}

// Nickel672 returns the nickel thermometer with R(100 °C)/R0 = 1.672 and the resistance r0
// in ohms at 0 °C, usually 120 Ω, −50 °C to 250 °C. No standard has it, and no formula for
// it was found: the polynomial was fitted to thirteen rows of a printed table of 120 Ω,
// which it meets to 0.012 Ω, 0.02 K.
func Nickel672(r0 float64) Sensor { return curveSensor(r0, &nickel672) }

var nickel672 = curve{name: "nickel (W100 = 1.672)", low: -50, high: 250, pieces: []piece{
	{-50, polynomial{1, 5.902302875e-3, 6.853070621e-6, 2.361679156e-8, -1.346785114e-10,
		3.149837700e-13}},
}}
