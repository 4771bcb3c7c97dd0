// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package variate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// The radius and the area of the layers of the normal ziggurat.
func TestPublishedZiggurat(t *testing.T) {
	z := unitNormal()
	row := uncertaintytest.Published{
		Source: "Marsaglia and Tsang, The Ziggurat Method for Generating Random Variables, " +
			"Journal of Statistical Software 5 (2000), no. 8",
		Place: "section 3, 256 layers", Provenance: uncertaintytest.FromMemory,
	}
	row.Name, row.Printed = "radius", "3.6541528853610088"
	row.Run(t, z.radius)
	row.Name, row.Printed = "area", "0.00492867323399"
	row.Exception = "the area that belongs to the printed radius is 0.0049286732339747 (radius " +
		"times density, plus the tail by math.Erfc, agrees): the last two printed digits are off"
	row.Run(t, z.x[0]*z.f[1])
	area := z.radius*math.Exp(-z.radius*z.radius/2) + math.Sqrt(math.Pi/2)*math.Erfc(z.radius/math.Sqrt2)
	if math.Abs(z.x[0]*z.f[1]/area-1) > 1e-13 {
		t.Errorf("area %v, by the error function %v", z.x[0]*z.f[1], area)
	}
}

// All layers have one area and cover the density.
func TestZigguratLayers(t *testing.T) {
	shapes := map[string]*ziggurat{"normal": unitNormal()}
	for _, dof := range []float64{1, 1.5, 4, 30, 1000} {
		shapes[fmt.Sprint("t ", dof)] = studentZiggurat(dof)
	}
	for name, z := range shapes {
		v := z.x[0] * z.f[1]
		for i := 1; i < layers; i++ {
			if a := z.x[i] * (z.f[i+1] - z.f[i]); math.Abs(a/v-1) > 1e-9 {
				t.Errorf("%s: layer %d has area %v of %v", name, i, a, v)
			}
		}
		total := 256 * v // twice it is the area under the density
		want := math.Sqrt(math.Pi / 2)
		if s, ok := z.law.(studentDensity); ok {
			a, _ := math.Lgamma(s.dof / 2)
			b, _ := math.Lgamma((s.dof + 1) / 2)
			want = math.Sqrt(s.dof*math.Pi) / 2 * math.Exp(a-b)
		}
		if total < want || total > 1.05*want {
			t.Errorf("%s: layers cover %v, area under the density %v", name, total, want)
		}
	}
}

// Where the chord decides, it decides as the density does.
func TestZigguratChords(t *testing.T) {
	g := rand.New(rand.NewPCG(5, 6))
	for name, z := range map[string]*ziggurat{"normal": unitNormal(), "t 1": studentZiggurat(1),
		"t 1.5": studentZiggurat(1.5), "t 4": studentZiggurat(4), "t 1000": studentZiggurat(1000)} {
		asked := 0.0
		for layer := 1; layer < layers; layer++ {
			asked += z.sag[layer] / layers
			for range 300 {
				x := z.x[layer+1] + g.Float64()*(z.x[layer]-z.x[layer+1])
				f := (z.law.density(x) - z.f[layer]) / (z.f[layer+1] - z.f[layer])
				if d := math.Abs(f - z.chord(layer, x)); d >= z.sag[layer] {
					t.Errorf("%s: layer %d at %v: %v from the chord, bound %v", name, layer, x, d, z.sag[layer])
				}
			}
		}
		if asked > 0.1 {
			t.Errorf("%s: the density is asked in a share of %v", name, 2*asked)
		}
	}
	z := unitNormal()
	for layer, c := range z.core {
		if float64(float64(c.inner)*c.unit) > z.x[layer+1]*(1+1e-15) {
			t.Errorf("layer %d: core ends at %v, next layer at %v", layer, float64(c.inner)*c.unit, z.x[layer+1])
		}
	}
}
