// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package unit reads and writes quantities as people write them ("10 kΩ", "0.05 %",
// "8 ppm/K", "20 °C") and declares the causes of errors that every package shares.
//
// [Parse] reads a quantity of one [Dimension] and [Format] writes it. Values in Go are
// always in the coherent SI unit of their dimension; only text carries prefixes. A
// [Unit] is one that stands by itself, as inputs of a measurement model state theirs.
//
// There is one list of units, and it is closed:
//
//	f p n µ m k M G T    Ω m g s Hz A V W J C F H S Wb T N Pa K mol cd rad
//	c d h                m g Pa only
//	no prefix            % ‰ ppm ppb 1 °C min h d a ° sr in ft mil cmil
//
// Ω is also ohm, Ohm, ohms and R; °C also degC; a also yr; the prefix µ also u. Products
// and powers are made of them: "µΩ·cm", "g/cm³", "ppm/K²", "kg m^2 s^-3 A^-2"; of lengths
// alone also "mm2" and "cm3". Factors stand between ·, * or blanks, and each / divides by the
// next factor alone.
//
// Scaling moves the decimal point of the text, and nothing is rounded twice: "10.1 kΩ" is
// the float64 nearest to 10100. What is not a power of ten (min, ft) is divided exactly.
// Format writes the shortest digits that Parse reads back as the same float64.
package unit
