// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"math"
	"testing"
)

// awkward are numbers that break careless code.
var awkward = []float64{
	math.NaN(), math.Inf(1), math.Inf(-1), 0, 5e-324, -0.004, 1, 25, -274, 1e154, -1e308, math.MaxFloat64,
}

// worst returns a number that is not finite if there is one, else the first.
func worst(v ...float64) float64 {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return x
		}
	}
	return v[0]
}

// functions of up to four numbers, the whole surface.
func functions() map[string]func(x [4]float64) (float64, error) {
	steady := func(d func(float64) Drive) func(x [4]float64) (float64, error) {
		return func(x [4]float64) (float64, error) {
			p, err := Element{x[0], NewLaw(20, x[1], x[1]/100), x[2]}.Steady(25, d(x[3]))
			return worst(p.Rise, p.Power, p.Resistance, p.Temperature), err
		}
	}
	return map[string]func(x [4]float64) (float64, error){
		"Ratio":       func(x [4]float64) (float64, error) { return NewLaw(x[0], x[1], x[2]).Ratio(x[3]) },
		"Within":      func(x [4]float64) (float64, error) { return NewLaw(20, x[0], 0).Within(x[1], x[2]).Ratio(x[3]) },
		"Slope":       func(x [4]float64) (float64, error) { return NewLaw(x[0], x[1], x[2]).Slope(x[3]) },
		"Temperature": func(x [4]float64) (float64, error) { return NewLaw(x[0], x[1], x[2]).Temperature(x[3]) },
		"Correct":     func(x [4]float64) (float64, error) { return NewLaw(20, x[0], 0).Correct(x[1], x[2], x[3]) },
		"Change":      func(x [4]float64) (float64, error) { return NewLaw(20, x[0], x[1]).LargestChange(x[2], x[3]) },
		"Rebase": func(x [4]float64) (float64, error) {
			l, err := NewLaw(x[0], x[1], x[2]).Rebase(x[3])
			return worst(l.alpha, l.beta), err
		},
		"Extremum":     func(x [4]float64) (float64, error) { v, _ := NewLaw(x[0], x[1], x[2]).Extremum(); return v, nil },
		"InferredZero": func(x [4]float64) (float64, error) { v, _ := NewLaw(x[0], x[1], 0).InferredZero(); return v, nil },
		"FromZero":     func(x [4]float64) (float64, error) { return LawFromZero(x[0], x[1]).Ratio(x[2]) },
		"Copper":       func(x [4]float64) (float64, error) { l, err := CopperOfConductivity(x[0]); return l.alpha, err },
		"Mean": func(x [4]float64) (float64, error) {
			return MeanCoefficient(ResistanceAtTemperature{x[1], x[0]}, ResistanceAtTemperature{x[3], x[2]})
		},
		"Box": func(x [4]float64) (float64, error) {
			return BoxCoefficient(x[0], []float64{x[0], x[1]}, []float64{x[2], x[3]})
		},
		"Limit":  func(x [4]float64) (float64, error) { return WireWoundLimit(x[0]) },
		"R":      func(x [4]float64) (float64, error) { return Platinum(x[0]).Resistance(x[1]) },
		"T":      func(x [4]float64) (float64, error) { return Platinum(x[0]).Value(x[1]) },
		"Linear": func(x [4]float64) (float64, error) { return CopperLinear(x[0], x[1]).Value(x[2]) },
		"ClassR": func(x [4]float64) (float64, error) { return ClassB.ToleranceResistance(Nickel(x[0]), x[1]) },
		"I":      steady(Current), "V": steady(Voltage), "P": steady(Power),
		"Rise": func(x [4]float64) (float64, error) {
			return Element{x[0], NewLaw(20, x[1], 0), x[2]}.CurrentForRise(20, x[3])
		},
		"Load": func(x [4]float64) (float64, error) {
			return Element{x[0], NewLaw(20, x[1], 0), x[2]}.LoadCoefficient(x[3])
		},
		"ZeroPower": func(x [4]float64) (float64, error) {
			return ZeroPower(ResistanceAtCurrent{x[0], x[1]}, ResistanceAtCurrent{x[2], x[3]})
		},
		"PowerCo": func(x [4]float64) (float64, error) {
			return PowerCoefficient(ResistanceAtCurrent{x[0], x[1]}, ResistanceAtCurrent{x[2], x[3]})
		},
		"Fraction": func(x [4]float64) (float64, error) { return TwoTimeConstants(x[0], x[1], x[2]).Fraction(x[3]) },
		"Settling": func(x [4]float64) (float64, error) { return TwoTimeConstants(x[0], x[1], 7).SettlingTime(x[2], x[3]) },
		"First":    func(x [4]float64) (float64, error) { return FirstOrder(x[0]).SettlingTime(x[1], x[2]) },
		"Derating": func(x [4]float64) (float64, error) { return Derating{x[0], x[1], x[2]}.Power(x[3]) },
		"Rth":      func(x [4]float64) (float64, error) { return Derating{x[0], x[1], x[2]}.ThermalResistance() },
		"RatedI":   func(x [4]float64) (float64, error) { return RatedCurrent(x[0], x[1]) },
		"RatedV":   func(x [4]float64) (float64, error) { return RatedVoltage(x[0], x[1]) },
		"EMF":      func(x [4]float64) (float64, error) { return ConstantanEMF(x[0]) },
		"Seebeck":  func(x [4]float64) (float64, error) { return ConstantanSeebeck(x[0]) },
		"EMFT":     func(x [4]float64) (float64, error) { return ConstantanTemperature(x[0]) },
		"EMFError": func(x [4]float64) (float64, error) { return EMFError(x[0], x[1]) },
		"Reversal": func(x [4]float64) (float64, error) {
			r, e, err := CurrentReversal(x[0], x[1], x[2], x[3])
			return worst(r, e), err
		},
		"Offset": func(x [4]float64) (float64, error) {
			return OffsetCompensated(VoltageAtCurrent{x[0], x[1]}, VoltageAtCurrent{x[2], x[3]})
		},
		"Largest": func(x [4]float64) (float64, error) { return EMF{Low: -1e-6, High: 1e-6}.Largest(x[0]) },
		"Fit": func(x [4]float64) (float64, error) {
			f, err := FitLaw("r", x[0], 1, []float64{20, x[1], 30}, []float64{100, x[2], x[3]})
			if err != nil {
				return 0, err
			}
			return worst(f.Resistance.Estimate(), f.Law.Alpha.Estimate(), f.StdDev), f.Law.Alpha.Err()
		},
	}
}

// No combination of awkward numbers panics, gives NaN or an infinity, or an error of
// another shape.
func TestAwkwardNumbers(t *testing.T) {
	for name, f := range functions() {
		t.Run(name, func(t *testing.T) {
			var x [4]float64
			for _, x[0] = range awkward {
				for _, x[1] = range awkward {
					for _, x[2] = range awkward {
						for _, x[3] = range awkward {
							v, err := f(x)
							if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
								t.Fatalf("%v gives %v without an error", x, v)
							}
							if e, ok := errors.AsType[*Error](err); err != nil && (!ok || v != 0 || e.Error() == "") {
								t.Fatalf("%v gives %v, %v", x, v, err)
							}
						}
					}
				}
			}
		})
	}
}
