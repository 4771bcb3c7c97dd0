// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"math"
	"math/bits"
)

// transform replaces the complex numbers re + i·im, N of them, a power of two, by
//
//	X_j = Σ x_m·exp(−2πi·m·j/N)
//
// (J. W. Cooley and J. W. Tukey, Mathematics of Computation 19, 1965, 297). It takes N·log₂N/2
// turns of ten operations; a library's transform would not promise its bits on every processor.
func transform(re, im []float64) {
	n := len(re)
	shift := 64 - bits.Len(uint(n-1))
	// Places with their bits in reverse order, so that every stage works in place.
	for i := range re {
		if j := int(bits.Reverse64(uint64(i)) >> shift); j > i {
			re[i], re[j] = re[j], re[i]
			im[i], im[j] = im[j], im[i]
		}
	}
	sin, cos := make([]float64, n/2), make([]float64, n/2)
	for k := range sin {
		sin[k], cos[k] = sinCos(2 * math.Pi * float64(k) / float64(n))
	}
	// Each stage joins transforms of half places into those of twice as many: even part ± turned
	// odd part.
	for half := 1; half < n; half *= 2 {
		step := n / (2 * half)
		for first := 0; first < n; first += 2 * half {
			a, b := re[first:first+half], re[first+half:first+2*half]
			c, d := im[first:first+half], im[first+half:first+2*half]
			for k := range a {
				// exp(−2πi·k/(2·half)) times the odd part.
				s, t := sin[k*step], cos[k*step]
				x := float64(b[k]*t) + float64(d[k]*s)
				y := float64(d[k]*t) - float64(b[k]*s)
				b[k], d[k] = a[k]-x, c[k]-y
				a[k], c[k] = a[k]+x, c[k]+y
			}
		}
	}
}
