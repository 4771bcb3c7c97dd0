// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"fmt"
	"iter"
	"strconv"
)

// ConductorClass is a class of conductors of cables in IEC 60228.
type ConductorClass uint8

// The classes. The standard has no 3 and no 4.
const (
	ClassSolid        ConductorClass = 1 // for fixed installation
	ClassStranded     ConductorClass = 2 // for fixed installation
	ClassFlexible     ConductorClass = 5
	ClassVeryFlexible ConductorClass = 6 // resistances as class 5, thinner wires
)

// ConductorMetal is what the wires of a conductor are made of.
type ConductorMetal uint8

// The metals of IEC 60228.
const (
	MetalCopper ConductorMetal = iota
	MetalTinnedCopper
	MetalAluminium
)

var conductorMetals = [...]string{"copper", "tinned copper", "aluminium"}

// String returns "copper", "tinned copper" or "aluminium".
func (m ConductorMetal) String() string {
	if int(m) < len(conductorMetals) {
		return conductorMetals[m]
	}
	return fmt.Sprintf("metal %d", uint8(m))
}

// cableSize is a nominal section in mm² with the greatest resistances at 20 °C in Ω/km: of
// classes 1 and 2 in copper, tinned copper and aluminium, of classes 5 and 6 in copper and
// tinned copper; 0: not in the table.
type cableSize struct {
	section                   float64
	copper, tinned, aluminium float64
	flexible, flexibleTinned  float64
}

// cableTable is IEC 60228, tables 1 to 4. Classes 1 and 2 of copper up to 35 mm², 400 mm²
// of class 1 and aluminium of 500, 630, 1000 and 1200 mm² were seen in documents that
// restate it, the rest is from memory.
var cableTable = [...]cableSize{
	{0.5, 36, 36.7, 0, 39, 40.1},
	{0.75, 24.5, 24.8, 0, 26, 26.7},
	{1, 18.1, 18.2, 0, 19.5, 20},
	{1.5, 12.1, 12.2, 0, 13.3, 13.7},
	{2.5, 7.41, 7.56, 0, 7.98, 8.21},
	{4, 4.61, 4.7, 0, 4.95, 5.09},
	{6, 3.08, 3.11, 0, 3.3, 3.39},
	{10, 1.83, 1.84, 3.08, 1.91, 1.95},
	{16, 1.15, 1.16, 1.91, 1.21, 1.24},
	{25, 0.727, 0.734, 1.2, 0.78, 0.795},
	{35, 0.524, 0.529, 0.868, 0.554, 0.565},
	{50, 0.387, 0.391, 0.641, 0.386, 0.393},
	{70, 0.268, 0.27, 0.443, 0.272, 0.277},
	{95, 0.193, 0.195, 0.32, 0.206, 0.21},
	{120, 0.153, 0.154, 0.253, 0.161, 0.164},
	{150, 0.124, 0.126, 0.206, 0.129, 0.132},
	{185, 0.0991, 0.1, 0.164, 0.106, 0.108},
	{240, 0.0754, 0.0762, 0.125, 0.0801, 0.0817},
	{300, 0.0601, 0.0607, 0.1, 0.0641, 0.0654},
	{400, 0.047, 0, 0.0778, 0, 0},
	{500, 0.0366, 0, 0.0605, 0, 0},
	{630, 0.0283, 0, 0.0469, 0, 0},
	{800, 0, 0, 0.0367, 0, 0},
	{1000, 0, 0, 0.0291, 0, 0},
	{1200, 0, 0, 0.0247, 0, 0},
}

// solidCopper400 is the resistance of 400 mm² of class 1, the only one that differs from
// that of class 2.
const solidCopper400 = 0.0465

// CableSection is the section of a conductor of a cable. Its resistance is limited; its
// geometric section is not: a conductor of 10 mm² that keeps to the limit has that size.
type CableSection struct {
	Section float64 // m², nominal
	Class   ConductorClass
	Metal   ConductorMetal
}

// MaxResistance returns the greatest resistance of the conductor in Ω/m at 20 °C that IEC
// 60228 allows. Sections and classes that its tables do not have are refused
// ([ErrNoGauge]). The factor to another temperature is that of [material.CopperZero] and
// [material.AluminiumZero].
//
// Caution: what a cable may carry is another matter, decided by local codes and licensed
// practice.
func (c CableSection) MaxResistance() (float64, error) {
	const op = "wire.CableSection.MaxResistance"
	if err := positive(op, "Section", c.Section, "m²"); err != nil {
		return 0, err
	}
	// Sections are nominal values: a rounded 1.5e-6 m² must find 1.5 mm².
	for _, s := range cableTable {
		if d := c.Section*1e6 - s.section; d > 1e-6*s.section || d < -1e-6*s.section {
			// The next line of the table.
			continue
		}
		if r := s.limit(c); r > 0 {
			return r / 1000, nil
		}
	}
	switch c.Class {
	case ClassSolid, ClassStranded, ClassFlexible, ClassVeryFlexible:
	default:
		return 0, refuse(op, "Class", float64(c.Class), ErrNoGauge, "expected 1, 2, 5 or 6")
	}
	return 0, refuse(op, "Section", strconv.FormatFloat(c.Section*1e6, 'g', 6, 64)+" mm²",
		ErrNoGauge,
		fmt.Sprintf("expected a section of class %d, %v; CableSections lists them", c.Class,
			c.Metal))
}

// limit is the resistance in Ω/km, 0 where the table has none.
func (s cableSize) limit(c CableSection) float64 {
	switch c.Class {
	case ClassSolid, ClassStranded:
		return s.fixedLimit(c)
	case ClassFlexible, ClassVeryFlexible: // IEC 60228 tables 3 and 4: one limit for both
		switch c.Metal {
		case MetalCopper:
			return s.flexible
		case MetalTinnedCopper:
			return s.flexibleTinned
		}
	}
	return 0
}

// fixedLimit is the limit for fixed installation (IEC 60228 tables 1 and 2).
func (s cableSize) fixedLimit(c CableSection) float64 {
	switch c.Metal {
	case MetalTinnedCopper:
		return s.tinned
	case MetalAluminium:
		return s.aluminium
	case MetalCopper:
		switch {
		case c.Class != ClassSolid || s.section < 400:
			return s.copper
		case s.section == 400:
			return solidCopper400
		}
		// Class 1 of copper ends at 400 mm².
	}
	return 0
}

// CableSections returns the sections in m² that IEC 60228 has for a class and a metal, in
// rising order.
func CableSections(class ConductorClass, metal ConductorMetal) iter.Seq[float64] {
	return func(yield func(float64) bool) {
		for _, s := range cableTable {
			if s.limit(CableSection{Class: class, Metal: metal}) > 0 && !yield(s.section*1e-6) {
				return
			}
		}
	}
}
