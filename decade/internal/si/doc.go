// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package si reads and writes quantities as people write them: "10 kΩ", "0.05 %",
// "20 ppm/K". Values in Go are always in the coherent SI unit of their [Dimension];
// only text carries prefixes.
//
// Every unit is a power of ten times the coherent one, so scaling moves the decimal
// point of the text and nothing is rounded twice: [Parse] of "10.1 kΩ" is the float64
// nearest to 10100. [Format] writes the shortest digits that read back as the same
// float64.
package si
