// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// A twin that is worth having passes the first quarter of the pilot, and one that is nothing to
// the output does not. The pairs are equal with probability r and independent else: their counts
// below any level have the correlation r, and 1/(1 − r²) is the gain.
func TestFirstTrialsKeepWhatHelps(t *testing.T) {
	const times = 600
	for _, c := range []struct {
		gain float64
		tail float64
		most float64 // dropped, as a part
	}{{leastGain, 0.025, 0.001}, {curvedGain, 0.025, 0}, {leastGain, 0.005, 0.001}, {leastGain, 0.25, 0.001}} {
		rng := rand.New(rand.NewPCG(5, 17))
		r := math.Sqrt(1 - 1/c.gain)
		dropped, kept := 0, 0
		for range times {
			y, z, other := make([]float64, firstTrials), make([]float64, firstTrials), make([]float64, firstTrials)
			for i := range y {
				y[i], z[i], other[i] = rng.Float64(), rng.Float64(), rng.Float64()
				if rng.Float64() < r {
					z[i] = y[i]
				}
			}
			ys := slices.Sorted(slices.Values(y))
			if agreement(y, z, ys, slices.Sorted(slices.Values(z)), c.tail) < hopefulGain {
				dropped++
			}
			if agreement(y, other, ys, slices.Sorted(slices.Values(other)), c.tail) >= hopefulGain {
				kept++
			}
		}
		t.Logf("gain %v, tail %v: %d of %d dropped, %d independent ones kept", c.gain, c.tail, dropped, times, kept)
		if float64(dropped) > c.most*times+3*math.Sqrt(c.most*times) || kept > times/100 {
			t.Errorf("gain %v, tail %v: %d of %d dropped, %d independent ones kept", c.gain, c.tail,
				dropped, times, kept)
		}
	}
}
