// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mathext"
)

// impl=gonum is the textbook formula with the integrals of the library, which loses
// digits towards both ends; impl=integrals is K and E alone.
func BenchmarkNagaoka(b *testing.B) {
	for _, u := range []float64{0.5, 3, 10} {
		for _, impl := range []struct {
			name string
			f    func(u float64) float64
		}{
			{"own", nagaoka},
			{"gonum", nagaokaByLibrary},
			{"integrals", func(u float64) float64 {
				m := u * u / (1 + u*u)
				return mathext.CompleteK(m) + mathext.CompleteE(m)
			}},
		} {
			b.Run(fmt.Sprintf("u=%v/impl=%s", u, impl.name), func(b *testing.B) {
				for b.Loop() {
					impl.f(u)
				}
			})
		}
	}
}

// No general library here has the modified Bessel functions of complex argument that
// skin effect needs. The nearest are the Airy function of gonum (impl=airy), whose
// argument is taken so that its Bessel functions have that of ours, and J0 with J1 of
// the standard library (impl=bessel), for a real argument only.
func BenchmarkResistanceRatio(b *testing.B) {
	for _, x := range []float64{0.5, 5, 30, 50} {
		b.Run(fmt.Sprintf("x=%v/impl=own", x), func(b *testing.B) {
			for b.Loop() {
				surfaceImpedance(x)
			}
		})
		b.Run(fmt.Sprintf("x=%v/impl=airy", x), func(b *testing.B) {
			z := airyArgument(x)
			for b.Loop() {
				mathext.AiryAi(z)
				mathext.AiryAiDeriv(z)
			}
		})
		b.Run(fmt.Sprintf("x=%v/impl=bessel", x), func(b *testing.B) {
			for b.Loop() {
				_ = math.J0(x) + math.J1(x)
			}
		})
	}
}

// airyArgument is the z with (2/3) z^(3/2) = x √j.
func airyArgument(x float64) complex128 {
	r, angle := math.Cbrt(2.25*x*x), math.Pi/6
	return complex(r*math.Cos(angle), r*math.Sin(angle))
}
