// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"iter"

	"example.com/ohmwright/uncertainty/file"
)

// heatingAlloy is a row of the factors R(t)/R(20 °C) at 20, 100, 200 … 1200 °C; 0 where no
// value was found, which the interpolation bridges.
type heatingAlloy struct {
	name    string
	factors [13]float64
}

// Factors as a vendor of alloys prints them for the grades of GB/T 1234, seen; of Cr20Ni80
// those at 200, 500, 800 and 1100 °C are from memory of that standard. CuNi44 is of another
// data sheet. A melt may differ by some parts in a thousand.
var heatingAlloys = []heatingAlloy{
	{"Cr20Ni80", [13]float64{1, 1.006, 1.012, 1.018, 1.025, 1.026, 1.018, 1.010, 1.008, 1.010,
		1.014, 1.021, 1.025}},
	{"Cr30Ni70", [13]float64{1, 1.007, 0, 1.028, 0, 1.044, 0, 0, 0, 1.029, 1.033}},
	{"Cr15Ni60", [13]float64{1, 1.011, 1.024, 0, 0, 1.064, 0, 1.073, 0, 0, 1.095, 1.109}},
	{"Cr20Ni35", [13]float64{1, 0, 1.061, 1.090, 0, 0, 0, 1.173, 0, 1.208, 0, 1.228}},
	{"Cr20Ni30", [13]float64{1, 1.023, 0, 1.079, 0, 1.125, 0, 0, 0, 1.187, 1.201}},
	{"1Cr13Al4", [13]float64{1, 1.005, 1.014, 0, 0, 1.064, 0, 1.120, 0, 0, 1.150}},
	{"0Cr25Al5", [13]float64{1, 1.002, 0, 1.008, 0, 1.021, 0, 0, 0, 1.042, 1.044}},
	{"0Cr21Al6", [13]float64{1, 1.000, 1.002, 0, 0, 1.020, 0, 1.043, 0, 0, 1.052, 1.055}},
	{"0Cr21Al4", [13]float64{1, 0, 1.025, 1.042, 0, 0, 0, 1.142, 0, 1.172, 0, 1.186}},
	{"0Cr27Al7Mo2", [13]float64{1, 0.992, 0, 0.981, 0, 0.976, 0, 0, 0, 0.969, 0.968}},
	{"CuNi44", [13]float64{1, 1.002, 1.002, 0, 1.005, 1.017}},
}

// HeatingAlloys returns the names of the alloys that [HeatingAlloy] knows, in the order of
// the table.
func HeatingAlloys() iter.Seq[string] {
	return func(yield func(string) bool) {
		for _, a := range heatingAlloys {
			if !yield(a.name) {
				return
			}
		}
	}
}

// HeatingAlloy returns R(t)/R(20 °C) of a heating alloy from 20 °C up, by the name of its
// grade in GB/T 1234, such as "Cr20Ni80" for nickel-chromium 80/20 or "0Cr25Al5" for
// iron-chromium-aluminium. The factors are typical ones, printed in steps of 100 °C, some
// of which are missing (see the table in the source); between them the law is straight.
//
// Caution: an element at red heat can burn and ignite, and usually runs on mains. These figures
// serve for planning and are no rating; local codes and licensed practice come first.
func HeatingAlloy(name string) (TableLaw, error) {
	var names []string
	for _, a := range heatingAlloys {
		if a.name == name {
			return a.law()
		}
		names = append(names, a.name)
	}
	return TableLaw{}, &Error{Op: "thermal.HeatingAlloy", Name: "alloy", Value: name,
		Err: file.Unknown("alloy", name, names...)}
}

// law is the table of an alloy without the places that have no value.
func (a heatingAlloy) law() (TableLaw, error) {
	var points []RatioAtTemperature
	for i, f := range a.factors {
		if f != 0 {
			points = append(points,
				// The first column is 20 °C, the others are hundreds of degrees.
				RatioAtTemperature{Ratio: f, Temperature: max(20, 100*float64(i))})
		}
	}
	return NewTableLaw(points, InterpolationLinear)
}
