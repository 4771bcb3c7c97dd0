// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"iter"
	"strings"

	"example.com/ohmwright/uncertainty/unit"
)

// standardSensor is a family of sensors by a standard: an element, its resistance at 0 °C
// and the mean coefficient from 0 °C to 100 °C in 1/K.
type standardSensor struct {
	element, alpha string
	make           func(r0 float64) Sensor
}

// standardSensors are the metals. The first of an element is the one that its name alone stands
// for.
var standardSensors = []standardSensor{
	{"Pt", "0.00385", Platinum},
	{"Pt", "0.00391", Platinum391},
	{"Cu", "0.00428", Copper},
	{"Cu", "0.00427", func(r0 float64) Sensor { return CopperLinear(r0, 0.00427) }},
	{"Cu", "0.00426", Copper426},
	{"Ni", "0.00618", Nickel},
	{"Ni", "0.00617", Nickel617},
	{"Ni", "0.00672", Nickel672},
	{"Ni", "0.00500", Nickel500},
}

// ambiguousSensors are names that mean one sensor by the rule of this file and mostly another
// one in the trade (common practice), by element and resistance: they need their coefficient, and
// the message says which there are.
var ambiguousSensors = []struct {
	element string
	r0      float64
	allowed string // the coefficient that leaves no doubt; empty: any
	message string
}{
	{"Ni", 120, "", "expected its coefficient: Ni120 0.00672 mostly, Ni120 0.00618 by DIN 43760"},
	{"Cu", 10, "0.00428", "expected Cu9.035 0.00427 for the usual sensor, which has 10 Ω at " +
		"25 °C, or Cu10 0.00428 for 10 Ω at 0 °C"},
}

// checkAmbiguous refuses a sensor that has more than one meaning.
func checkAmbiguous(element string, r0 float64, alpha string) error {
	for _, a := range ambiguousSensors {
		if a.element != element || a.r0 != r0 || alpha != "" && a.allowed == "" ||
			a.allowed != "" && sameNumber(alpha, a.allowed) {
			continue
		}
		return unit.Errorf(ErrUnknown, "%s", a.message)
	}
	return nil
}

// SensorForms returns the forms that [ParseSensor] reads, each with an example.
func SensorForms() iter.Seq2[string, string] {
	forms := [][2]string{
		{"metal, Ω at 0 °C, and coefficient in 1/K where it is not the usual one",
			"Pt100, Pt1000 0.00391, Ni120 0.00672, Cu50"},
		{"NTC, resistance at 25 °C, beta", "NTC 10 kΩ 3977 K"},
		{"strain gauge: resistance and gauge factor", "gauge 350 Ω 2.05"},
		{"two or more points, straight between them", "240 Ω at 0 %, 33 Ω at 100 %"},
	}
	return func(yield func(string, string) bool) {
		for _, f := range forms {
			if !yield(f[0], f[1]) {
				return
			}
		}
	}
}

// ParseSensor reads a sensor by name:
//
//	Pt100, Pt1000, Pt100 0.00391          [Platinum], [Platinum391]
//	Cu50, Cu100 0.00427, Cu50 0.00426     [Copper], [CopperLinear], [Copper426]
//	Ni100, Ni100 0.00617                  [Nickel], [Nickel617]
//	Ni120 0.00672, Ni1000 0.00500         [Nickel672], [Nickel500]
//	NTC 10 kΩ 3977 K                      [BetaThermistor], resistance at 25 °C
//	gauge 350 Ω 2.05                      [StrainGauge], gauge factor
//	240 Ω at 0 %, 33 Ω at 100 %           [Table] of two or more points, linear
//
// The number after a metal is the resistance at 0 °C in ohms, the one after it the mean
// coefficient from 0 °C to 100 °C in 1/K. Letter case does not matter before the first number.
// Ni120 needs its coefficient, and Cu10, which is 10 Ω at 25 °C in the trade, is refused unless
// it says 0.00428: either name stands for two sensors that differ by several kelvins. Any other
// text is an error ([ErrSyntax], [ErrUnknown]).
func ParseSensor(name string) (Sensor, error) {
	const op = "thermal.ParseSensor"
	words := strings.Fields(name)
	var s Sensor
	var err error
	switch {
	case strings.Contains(name, " at "):
		s, err = parsePoints(name)
	case len(words) > 0 && strings.EqualFold(words[0], "NTC"):
		s, err = parseThermistor(strings.Join(words[1:], " "))
	case len(words) > 0 && strings.EqualFold(words[0], "gauge"):
		s, err = parseGauge(strings.Join(words[1:], " "))
	default:
		s, err = parseMetal(words)
	}
	if err == nil {
		err = s.checkSensor(op)
	}
	if err != nil {
		cause := unit.Cause(err)
		if e, ok := errors.AsType[*Error](err); ok && e.Name != "" { // says which figure it is
			return Sensor{}, &Error{Op: op, Name: "sensor", Value: name,
				Err: unit.Errorf(cause, "%s: %s: %v", given(name), e.Name, cause)}
		}
		return Sensor{}, &Error{Op: op, Name: "sensor", Value: name,
			Err: unit.Errorf(cause, "%s: %v", given(name), cause)}
	}
	return s, nil
}

// parseMetal reads "Pt100", "Pt 100" and "Pt100 0.00391".
func parseMetal(words []string) (Sensor, error) {
	text := strings.Join(words, " ")
	known := false
	for _, s := range standardSensors {
		rest, ok := cutElement(text, s.element)
		if !ok {
			continue
		}
		known = true
		ohms, alpha, stated := strings.Cut(strings.TrimSpace(rest), " ")
		r0, err := unit.ParseNumber(ohms)
		if err != nil {
			return Sensor{},
				unit.Errorf(ErrSyntax, "expected %s and the resistance at 0 °C, such as %s100",
					s.element, s.element)
		}
		if err := checkAmbiguous(s.element, r0, alpha); err != nil {
			return Sensor{}, err
		}
		if !stated || sameNumber(alpha, s.alpha) {
			return s.make(r0), nil
		}
	}
	if known {
		// The metal is known and its coefficient is not: the message lists those there are.
		var alphas []string
		for _, s := range standardSensors {
			if _, ok := cutElement(text, s.element); ok {
				alphas = append(alphas, s.alpha)
			}
		}
		return Sensor{}, unit.Errorf(ErrUnknown, "expected one of the coefficients %s per kelvin",
			strings.Join(alphas, ", "))
	}
	var examples []string
	for _, e := range SensorForms() {
		examples = append(examples, e)
	}
	return Sensor{}, unit.Errorf(ErrUnknown, "expected a sensor such as %s",
		strings.Join(examples, "; "))
}

// cutElement cuts the symbol of an element from a text, in any case: PT100 is Pt100.
func cutElement(text, element string) (rest string, ok bool) {
	if len(text) < len(element) || !strings.EqualFold(text[:len(element)], element) {
		return text, false
	}
	return text[len(element):], true
}

// sameNumber reports whether two texts are one number: 0.005 is 0.00500.
func sameNumber(a, b string) bool {
	x, err := unit.ParseNumber(a)
	y, _ := unit.ParseNumber(b)
	return err == nil && x == y
}

// parseThermistor reads "10 kΩ 3977 K".
func parseThermistor(text string) (Sensor, error) {
	r, rest, err := leading(text, unit.Ohm)
	if err != nil {
		return Sensor{}, err
	}
	number, ok := strings.CutSuffix(rest, "K")
	beta, err := unit.ParseNumber(strings.TrimSpace(number))
	if !ok || err != nil {
		return Sensor{},
			unit.Errorf(ErrSyntax, "expected the beta in kelvins after the resistance at 25 °C, "+
				"such as NTC 10 kΩ 3977 K")
	}
	return BetaThermistor{R: r, At: 25, Beta: beta}.Sensor()
}

// parseGauge reads "350 Ω 2.05".
func parseGauge(text string) (Sensor, error) {
	r, rest, err := leading(text, unit.Ohm)
	if err != nil {
		return Sensor{}, err
	}
	factor, err := unit.ParseNumber(rest)
	if err != nil {
		return Sensor{},
			unit.Errorf(ErrSyntax, "expected the gauge factor after the resistance, such as "+
				"gauge 350 Ω 2.05")
	}
	return StrainGauge{R0: r, Factor: factor}.Sensor()
}

// leading reads a value at the beginning of a text, "10 kΩ" or "10kΩ", and returns the rest.
func leading(text string, d unit.Dimension) (v float64, rest string, err error) {
	words := strings.Fields(text)
	// With the unit as a word of its own first, "10 kΩ"; then "10kΩ".
	for n := min(2, len(words)); n > 0; n-- {
		if v, err = unit.Parse(strings.Join(words[:n], " "), d); err == nil {
			return v, strings.Join(words[n:], " "), nil
		}
	}
	return 0, "", unit.Errorf(ErrSyntax, "expected %s", d.Expected())
}

// parsePoints reads "240 Ω at 0 %, 33 Ω at 100 %".
func parsePoints(name string) (Sensor, error) {
	t := Table{Name: "sensor of " + name}
	for i, part := range strings.Split(name, ",") {
		ohms, value, ok := strings.Cut(part, " at ")
		if !ok {
			return Sensor{},
				unit.Errorf(ErrSyntax, "expected points such as 240 Ω at 0 %%, 33 Ω at 100 %%")
		}
		r, err := unit.Parse(strings.TrimSpace(ohms), unit.Ohm)
		if err != nil {
			return Sensor{}, err
		}
		number, symbol, err := unit.Split(strings.TrimSpace(value))
		if err != nil {
			return Sensor{}, err
		}
		x, err := unit.ParseNumber(number)
		if err != nil {
			return Sensor{}, err
		}
		if i == 0 {
			t.Unit = symbol
		}
		if symbol != t.Unit {
			return Sensor{},
				unit.Errorf(ErrSyntax, "expected all points in one unit, not %s beside %s",
					given(symbol), given(t.Unit))
		}
		t.Points = append(t.Points, TablePoint{Value: x, Resistance: r})
	}
	return t.Sensor()
}
