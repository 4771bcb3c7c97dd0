// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
)

// of returns a quantity with a unit; the unit is its name too.
func of(unit string) uncertainty.Quantity { return unitInput("in "+unit, unit) }

func unitInput(name, unit string) uncertainty.Quantity {
	return uncertainty.Source{Name: name, Unit: unit, Distribution: uncertainty.Normal(0.5, 0.01)}.Input()
}

// Two spellings add if they are the same unit, and do not if they are not (SI brochure,
// 9th edition: definitions of the derived units and prefixes).
func TestUnitsThatAdd(t *testing.T) {
	for _, c := range []struct {
		a, b string
		add  bool
	}{
		{"Ω", "ohm", true}, {"Ω", "V/A", true}, {"Ω", "V·A⁻¹", true}, {"Ω", "kg·m²/s³/A²", true}, {"Ω", "kg m^2 s^-3 A^-2", true}, {"\u2126", "\u03a9", true},
		{"Ω", "V", false}, {"Ω", "mΩ", false}, {"kΩ", "MΩ", false}, {"µΩ", "uΩ", true}, {"W", "V·A", true}, {"W", "J/s", true}, {"H", "Ω·s", true},
		{"F", "s/Ω", true}, {"S", "Ω⁻¹", true}, {"S", "1/Ω", true}, {"Hz", "s⁻¹", true}, {"C", "A·s", true}, {"Wb", "V·s", true}, {"T", "Wb/m²", true},
		{"N", "kg·m/s²", true}, {"J", "N·m", true}, {"Pa", "N/m²", true}, {"°C", "K", true}, {"K", "mK", false}, {"ppm/K", "1/K", false}, {"ppm/K", "ppm/°C", true},
		{"ppm", "1", false}, {"%", "ppm", false}, {"1", "rad", true}, {"1", "°", false}, {"m", "mm", false}, {"Ω·m", "Ω·mm²/m", false}, {"Ω·m", "Ω m", true},
		{"1/(Ω·m)", "S/m", true}, {"V/(A·s)", "Ω/s", true}, {"min", "s", false}, {"d", "s", false}, {"m⁰", "1", true}, {"cd", "mol", false},
		// What is not stated is not checked; what is not known adds to itself alone.
		{"Ω", "", true}, {"division", "division", true}, {"Bq/g", "Bq/g", true},
		{"Ω", "division", false}, {"Ω", "m^x", false}, {"Ω", "(V", false}, {"Ω", "V)", false}, {"Ω", "V//A", false}, {"Ω", "m^99", false}, {"m", "km ", false},
		{"Ω", "milliohm", false}, {"Pa", "bar", false}, {"mm", "in", false}, {"g", "Bq/g", false}, {"V", "Ohms", false}, {"V", "v", false}, {"bar", "1", false},
	} {
		b, err := uncertainty.Evaluate(unitInput("a", c.a).Add(unitInput("b", c.b)))
		if (err == nil) != c.add || err != nil && !errors.Is(err, uncertainty.ErrUnitMismatch) {
			t.Errorf("%q + %q: error %v; want them to add: %v", c.a, c.b, err, c.add)
		}
		if err == nil && b.Unit != c.a {
			t.Errorf("%q + %q: unit of the sum %q", c.a, c.b, b.Unit)
		}
	}
}

func TestHonestModelsPass(t *testing.T) {
	r, other, v, i, temperature, alpha := of("Ω"), of("ohm"), of("V"), of("A"), of("°C"), of("1/K")
	exact := uncertainty.Exact
	for _, c := range []struct {
		name string
		q    uncertainty.Quantity
		unit string
	}{
		{"temperature law", r.Mul(exact(1).Add(alpha.Mul(temperature.Sub(exact(20))))), "Ω"},
		{"coefficient as a constant", r.Mul(exact(1).Add(temperature.Sub(exact(20)).Mul(exact(4e-3)))), ""},
		{"ohm's law", v.Div(i).Add(r), "Ω"},
		{"power", v.Mul(i), "W"}, {"parallel", r.Mul(other).Div(r.Add(other)), "Ω"},
		{"root", uncertainty.Sqrt(r.Mul(r)), "Ω"}, {"square", uncertainty.Pow(v, exact(2)).Div(r), "W"}, {"scaled to milliohms", r.Scale(1e3).Add(of("mΩ")), "mΩ"},
		{"exponential", r.Mul(uncertainty.Exp(of("mV").Scale(1e-3).Div(v))), ""},
		{"logarithm of a ratio", uncertainty.Log(r.Div(of("ohm"))), ""},
		{"phase", uncertainty.Cos(of("rad")).Mul(v), "V"}, {"angle", uncertainty.Atan(v.Div(of("V/1"))), "1"},
		{"a line at x = 1", uncertainty.LinearInUnit("Ω", 0, []float64{1, 1}, []uncertainty.Quantity{r, of("Ω/K")}).Add(r), "Ω"},
		{"a combination of unknown unit", uncertainty.LinearInUnit("", 0, []float64{1, 1}, []uncertainty.Quantity{r, v}), ""},
		{"a mean", uncertainty.Linear(0, []float64{0.5, 0.5}, []uncertainty.Quantity{of("mΩ"), unitInput("second", "mΩ")}).Add(unitInput("third", "mΩ")), "mΩ"},
		{"uncertain exponent", uncertainty.Pow(r, of("1")), ""}, {"number to an uncertain power", uncertainty.Pow(of("1"), of("rad")), "1"},
		{"function", uncertainty.Call("f", func(x []float64) float64 { return x[0] + x[1] }, r, v), ""},
		{"sum", uncertainty.Sum(r, of("ohm"), exact(1)), "Ω"},
		{"a factor of an unknown unit", r.Mul(of("bar").Div(unitInput("other", "bar"))), "Ω"}, {"product with an unknown unit", of("division").Mul(exact(2)), "division"},
		{"square of an unknown unit", uncertainty.Sqrt(of("bar").Mul(unitInput("other", "bar"))).Add(unitInput("third", "bar")), "bar"},
		{"kilohms by name", v.Div(of("mA")), "kΩ"},
		{"temperature and a difference", temperature.Add(of("K")), "°C"}, {"difference and a temperature", of("K").Add(temperature), "°C"},
		{"sum of a difference and a temperature", uncertainty.Sum(of("K"), temperature), "°C"}, {"temperature less a difference", temperature.Sub(of("K")), "°C"},
		{"joint", uncertainty.JointSource{Names: []string{"U", "I"}, Units: []string{"V", "A"}, Estimates: []float64{1, 1}, Covariance: mat.NewSymDense(2, []float64{1, 0, 0, 1})}.Inputs()[0].Add(v), "V"},
	} {
		if b, err := uncertainty.Evaluate(c.q); err != nil || b.Unit != c.unit {
			unit := ""
			if b != nil {
				unit = b.Unit
			}
			t.Errorf("%s: unit %q, error %v; want %q", c.name, unit, err, c.unit)
		}
	}
}

func TestUnitsAreRefused(t *testing.T) {
	r, v := of("Ω"), of("V")
	for _, c := range []struct {
		name, text string
		q          uncertainty.Quantity
	}{
		{"sum", "a sum of in Ω in Ω and in V in V", r.Add(v)},
		{"difference of products", "a difference of a result of in V, in A in W and in V in V", v.Mul(of("A")).Sub(v)},
		{"sum of many", "Linear adds", uncertainty.Sum(r, r, v)},
		{"combination", "expected terms of one unit, or LinearInUnit", uncertainty.Linear(0, []float64{1, 0.004}, []uncertainty.Quantity{r, of("K")})},
		{"combination of another size", "Linear adds in Ω in Ω and in mΩ in mΩ", uncertainty.Linear(0, []float64{1, 2}, []uncertainty.Quantity{r, of("mΩ")})},
		{"combination and another unit", "a sum of a result of in Ω in Ω and in V in V", uncertainty.Linear(0, []float64{2}, []uncertainty.Quantity{r}).Add(v)},
		{"combination in a unit, and another", "in Ω and in V in V", uncertainty.LinearInUnit("Ω", 0, []float64{2}, []uncertainty.Quantity{of("K")}).Add(v)},
		{"prefix", "a sum of in Ω in Ω and in mΩ in mΩ", r.Add(of("mΩ"))},
		{"per cent not taken off", "another unit (0.01 times", r.Sub(r.Mul(of("%")))},
		{"sine of degrees", "Sin of in ° in °; expected a number", uncertainty.Sin(of("°"))},
		{"exponential of volts", "Exp of", uncertainty.Exp(v)},
		{"logarithm of ohms", "Log of", uncertainty.Log(r)},
		{"unknown after a product", "a unit made of bar", r.Add(of("bar").Mul(v))},
		{"unknown to a function", "Exp of", uncertainty.Exp(of("bar"))},
		{"said to be unknown", "in milliohm (not a known unit)", r.Add(of("milliohm"))},
		{"temperatures in kelvin", "t0 in K of 293.15 K, a temperature and no difference", of("°C").Sub(uncertainty.Source{Name: "t0", Unit: "K", Distribution: uncertainty.Normal(293.15, 0.01)}.Input())},
		{"exponent in volts", "Pow has the exponent", uncertainty.Pow(r, v)},
		{"deep inside", "a sum of", uncertainty.Call("f", func(x []float64) float64 { return x[0] }, r.Add(v).Named("total")).Scale(2)},
	} {
		_, err := uncertainty.Evaluate(c.q)
		if !errors.Is(err, uncertainty.ErrUnitMismatch) || !strings.Contains(err.Error(), c.text) {
			t.Errorf("%s: error %v; want ErrUnit with %q", c.name, err, c.text)
		}
	}
	_, err := uncertainty.EvaluateAll(r.Add(v), uncertainty.Exp(v))
	if err == nil || !strings.Contains(err.Error(), "a sum of") || !strings.Contains(err.Error(), "Exp of") {
		t.Errorf("two mistakes: %v; want both", err)
	}
}

func TestInUnit(t *testing.T) {
	v := of("V")
	for _, c := range []struct {
		name string
		q    uncertainty.Quantity
		unit string // empty: none, or refused
		err  error
	}{
		{"after an exact factor", v.Mul(uncertainty.Exact(50)).InUnit("W"), "W", nil},
		{"same unit in other words", v.Div(of("A")).InUnit("V/A"), "V/A", nil},
		{"taken away", v.InUnit(""), "", nil},
		{"contradiction", v.InUnit("A"), "", uncertainty.ErrUnitMismatch},
		{"used in a sum", v.Scale(3).InUnit("A").Add(of("A")), "A", nil},
		{"refused in a sum", v.Scale(3).InUnit("A").Add(of("mV")), "", uncertainty.ErrUnitMismatch},
		{"of nothing", uncertainty.Quantity{}.InUnit("V"), "", uncertainty.ErrNoQuantity},
	} {
		b, err := uncertainty.Evaluate(c.q)
		if !errors.Is(err, c.err) || err == nil && b.Unit != c.unit {
			t.Errorf("%s: %v, error %v; want unit %q, error %v", c.name, c.q, err, c.unit, c.err)
		}
	}
	named := v.Named("x").InUnit("V")
	if b, err := uncertainty.Evaluate(named.Sub(v)); named.Name() != "x" || err != nil || b.StandardUncertainty != 0 {
		t.Errorf("%q is another quantity: %v, %v", named.Name(), b, err)
	}
}

func TestDefaultUnit(t *testing.T) {
	v, plain := of("V"), uncertainty.Input("x", uncertainty.Normal(1, 0.1))
	for _, c := range []struct {
		name string
		q    uncertainty.Quantity
		unit string
		err  error
	}{
		{"nothing stated", plain.DefaultUnit("Ω"), "Ω", nil},
		{"an exact divisor", v.Div(uncertainty.Exact(2)).DefaultUnit("Ω"), "Ω", nil},
		{"told by the inputs", v.Div(of("mA")).DefaultUnit("Ω"), "kΩ", nil},
		{"another kind", v.DefaultUnit("Ω"), "", uncertainty.ErrUnitMismatch},
		{"an unknown unit", of("bar").DefaultUnit("Pa"), "", uncertainty.ErrUnitMismatch},
		{"nothing asked", v.DefaultUnit(""), "V", nil},
		{"of nothing", uncertainty.Quantity{}.DefaultUnit("V"), "", uncertainty.ErrNoQuantity},
	} {
		b, err := uncertainty.Evaluate(c.q)
		if !errors.Is(err, c.err) || err == nil && b.Unit != c.unit {
			t.Errorf("%s: error %v; want unit %q, error %v", c.name, err, c.unit, c.err)
		}
	}
}

// A function of one's own says in which unit its result is, whatever the inputs state.
func ExampleQuantity_DefaultUnit() {
	ohms := func(voltage, current uncertainty.Quantity) uncertainty.Quantity {
		return voltage.Div(current).DefaultUnit("Ω")
	}
	v := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(1.25, 0.001)}.Input()
	i := uncertainty.Source{Name: "I", Unit: "mA", Distribution: uncertainty.Normal(0.5, 0.0001)}.Input()
	fmt.Println(ohms(v, uncertainty.Exact(0.5e-3)))
	fmt.Println(ohms(v, i))
	// Output:
	// 2500.0(2.0) Ω
	// 2.5000(21) kΩ
}

func FuzzUnit(f *testing.F) {
	f.Add("kg·m²/s³/A²") // products and powers
	f.Add("V/(A·(s))")   // parentheses
	f.Add("m^-")         // an exponent without digits
	f.Fuzz(func(t *testing.T, unit string) {
		if _, err := uncertainty.Evaluate(unitInput("a", unit).Add(unitInput("b", unit))); err != nil {
			t.Errorf("%q does not add to itself: %v", unit, err)
		}
	})
}

func ExampleQuantity_InUnit() {
	v := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(1.25, 0.001)}.Input()
	current := v.Div(uncertainty.Exact(50)) // ohms, exactly
	fmt.Println(current.InUnit("A"))
	// Output: 0.025000(20) A
}

// A result without its conversion factor is caught by the units that the inputs state.
func ExampleErrUnitMismatch() {
	lead := uncertainty.Source{Name: "lead", Unit: "mΩ", Distribution: uncertainty.Rectangular(12, 2)}.Input()
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(100, 0.01)}.Input()
	_, err := uncertainty.Evaluate(r.Sub(lead))
	fmt.Println(err)
	fmt.Println(r.Sub(lead.Scale(1e-3)))
	// Output:
	// uncertainty.Evaluate: R, lead: a difference of R in Ω and lead in mΩ; expected terms of one unit
	// 99.988(10) Ω
}
