// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"io"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

const (
	maxFile      = 16 << 20 // bytes
	tooTolerant  = 0.2      // fraction above which per cent must have been meant
	knownPresets = "1-1-2-5, 1-2-2-2-2, 1-2-2-5, 1-2-3-4, 1-2-3-6, 1-2-4-2, 1-2-4-8, 1-3-3-2, " +
		"2-2-2-2-2-1"
)

// presets are the codes that a file may name by their weights.
var presets = map[string]func() Code{
	"1-1-2-5": Code1125, "1-2-2-2-2": Code12222, "1-2-2-5": Code1225, "1-2-3-4": Code1234,
	"1-2-3-6": Code1236,
	"1-2-4-2": Code1242, "1-2-4-8": Code1248, "1-3-3-2": Code1332, "2-2-2-2-2-1": Code222221,
}

// ReadBox reads the description of a box as one JSON object and checks it like [New]:
//
//	{
//	  "name": "bench box", "serial": "17",
//	  "residual": "20 mΩ", "residualTolerance": "5 mΩ",
//	  "decades": [
//	    {"step": "1 kΩ", "positions": 10, "tolerance": "0.05 %",
//	     "temperature": {"reference": "20 °C", "alpha": "8 ppm/K", "beta": "-0.5 ppm/K²"}},
//	    {"step": "100 Ω", "tolerance": "0.05 %", "code": "1-2-2-5"},
//	    {"step": "10 Ω", "tolerance": "0.05 %", "missing": [7]}
//	  ]
//	}
//
// The keys are those of [Spec] and [Decade] in lower camel case, except: the laws are
// "temperature" (with "reference", "alpha", "beta", the range "low" to "high" that the law
// holds in and, of a decade, "alphaTolerance" and "betaTolerance") and
// "residualTemperature"; "spread" is "per decade", "per element" or "per box"; "code" is
// the weights of a preset or {"weights": [...], "inCircuit": [[...], ...], "contacts":
// [...]}. A number is in SI units (tolerances as fractions), a string carries its unit. The
// tolerance "0.05 % + 5 mΩ" states the floor too, and a residual "max 30 mΩ" or "≤ 30 mΩ"
// lies from 0 to there: 15 mΩ ± 15 mΩ.
//
// Unknown and doubled keys, anything after the object, an empty file, more than 16 MiB and a
// tolerance above 0.2, where per cent must have been meant, are errors. They name the field,
// what was given and what was expected.
//
// examples/formats/README.md describes the file in full.
func ReadBox(r io.Reader) (*Box, error) {
	const op = "decade.ReadBox"
	o, err := file.Read(op, r, maxFile)
	if err != nil {
		return nil, err
	}
	return read(op, o)
}

// unmarshal is ReadBox for a part of a file.
func unmarshal(op string, text []byte) (*Box, error) {
	o, err := file.Unmarshal(op, text)
	if err != nil {
		return nil, err
	}
	return read(op, o)
}

// read makes a box of an object that is open.
func read(op string, o *file.Object) (*Box, error) {
	s := readSpec(o)
	if err := o.Close(); err != nil {
		return nil, err
	}
	return build(op, s)
}

// readSpec reads the keys of a box; those it does not ask for are refused when the object
// closes, as is a value that is none. A key that is absent leaves its field zero, "not stated".
func readSpec(o *file.Object) (s Spec) {
	o.Text("name", &s.Name)
	o.Text("serial", &s.Serial)
	s.Residual, s.ResidualTolerance = readResidual(o)
	o.Bool("residualIncluded", &s.ResidualIncluded)
	s.Tolerance, s.Floor = readLimits(o)
	o.Quantity("contact", unit.Ohm, &s.Contact)
	o.Quantity("capacitance", unit.Farad, &s.Capacitance)
	o.Quantity("strayTolerance", unit.Fraction, &s.StrayTolerance)
	o.Optional("referenceTemperature", unit.Celsius, &s.ReferenceTemperature)
	if l := o.Object("residualTemperature"); l != nil {
		s.ResidualLaw = readLaw(l)
	}
	o.Require("decades")
	for _, d := range o.Objects("decades", maxDials) {
		s.Decades = append(s.Decades, readDecade(d))
	}
	return s
}

// readDecade reads the keys of one dial. What makes sense only together is left to checkDecade,
// which descriptions written in Go pass, too.
func readDecade(o *file.Object) (d Decade) {
	o.Text("name", &d.Name)
	o.Require("step")
	o.Quantity("step", unit.Ohm, &d.Step)
	// 0 in a file is no default: there the key is left out.
	if o.Whole("positions", &d.Positions) && d.Positions < 1 {
		o.Fail("positions", unit.Errorf(ErrDomain, "%d; expected 1 to %d", d.Positions,
			maxPosition))
	}
	o.Wholes("missing", &d.Missing)
	d.Code = readCode(o)
	d.Tolerance, d.Floor = readLimits(o)
	levels.Read(o, "spread", &d.Spread)
	o.Text("switch", &d.Switch)
	o.Bool("wiperFirst", &d.WiperFirst)
	if l := o.Object("temperature"); l != nil {
		d.Law = readLaw(l)
		l.Quantity("alphaTolerance", unit.PerKelvin, &d.AlphaTolerance)
		l.Quantity("betaTolerance", unit.PerKelvinSquared, &d.BetaTolerance)
	}
	o.Text("spool", &d.Spool)
	o.Quantity("batchTolerance", unit.Fraction, &d.BatchTolerance)
	o.Quantity("elementPower", unit.Watt, &d.ElementPower)
	o.Quantity("maxVoltage", unit.Volt, &d.MaxVoltage)
	o.Quantity("thermalResistance", unit.KelvinPerWatt, &d.ThermalResistance)
	o.Quantity("inductance", unit.Henry, &d.Inductance)
	o.Quantity("capacitance", unit.Farad, &d.Capacitance)
	o.Quantity("dialInductance", unit.Henry, &d.DialInductance)
	o.Quantity("dialCapacitance", unit.Farad, &d.DialCapacitance)
	return d
}

// readCode reads a preset by its weights, or a code written out; the zero Code where the key is
// absent, and after an error.
func readCode(o *file.Object) (c Code) {
	if o.IsText("code") {
		var name string
		o.Text("code", &name)
		preset, ok := presets[name]
		if !ok {
			o.Fail("code", unit.Errorf(ErrCode, "%s; expected one of %s, or an object with "+
				"weights and inCircuit", shortened(name), knownPresets))
			return c
		}
		return preset()
	}
	part := o.Object("code")
	if part == nil { // no such key, or no object, which has been noted
		return c
	}
	part.Require("weights")
	part.Wholes("weights", &c.Weights)
	part.Require("inCircuit")
	part.WholeLists("inCircuit", &c.InCircuit)
	part.Wholes("contacts", &c.Contacts)
	if len(c.Weights) == 0 {
		part.Fail("weights", unit.Errorf(ErrCode, "no elements; expected their resistances in "+
			"steps (a tapped ladder has no code)"))
	}
	return c
}

// readLaw reads a temperature law. Beside a coefficient its reference may not be left out:
// it would be 0 °C.
func readLaw(o *file.Object) thermal.Law {
	var reference, alpha, beta float64
	if o.Has("alpha") || o.Has("beta") {
		o.Require("reference")
	}
	o.Quantity("reference", unit.Celsius, &reference)
	o.Quantity("alpha", unit.PerKelvin, &alpha)
	o.Quantity("beta", unit.PerKelvinSquared, &beta)
	law := thermal.NewLaw(reference, alpha, beta)
	if o.Has("low") || o.Has("high") {
		// One end alone is no range, and the other is not guessed.
		var low, high float64
		for _, key := range []string{"reference", "low", "high"} {
			o.Require(key)
		}
		o.Quantity("low", unit.Celsius, &low)
		o.Quantity("high", unit.Celsius, &high)
		law = law.Within(low, high)
	}
	return law
}
