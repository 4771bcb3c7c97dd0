// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"example.com/ohmwright/uncertainty"
)

func formulaInputs() []uncertainty.Quantity {
	return []uncertainty.Quantity{
		uncertainty.Input("x", uncertainty.Normal(2, 0.1)),
		uncertainty.Input("y", uncertainty.Normal(0.5, 0.1)),
	}
}

func TestFormula(t *testing.T) {
	for text, want := range map[string]float64{
		"x + y":                      2.5,
		"x - y - 1":                  0.5,
		"x*y + 1/2":                  1.5,
		"-x + +y":                    -1.5,
		"x - -y":                     2.5,
		"(x + y)*(x - y)":            3.75,
		"x/y/2":                      2,
		"sqrt(x*y*4) ":               2,
		"exp(log(x)) * y":            1,
		"sin(y)*0 + cos(0) + x":      3,
		"tan(atan(x)) - y":           1.5,
		"asin(sin(y)) + acos(1) + x": 2.5,
		"pow(x, 3)*y":                4,
		"pow(x, y)":                  math.Sqrt2,
		"1.5e3*x*y + 0x10":           1516,
		"sin(pi*y) + x":              3,
		"1_000*x*y":                  1000,
		"x * // the ratio\n y":       1,
		"0.5*x + 0*y":                1,
	} {
		q, err := uncertainty.Formula(text, formulaInputs()...)
		if err != nil || !near(q.Estimate(), want, 1e-15) {
			t.Errorf("%q = %v, error %v, %v; want %v", text, q.Estimate(), err, q.Err(), want)
		}
	}
	// The same graph as the methods build, sensitivities included.
	q, err := uncertainty.Formula("x*x/y", formulaInputs()...)
	if err != nil {
		t.Fatal(err)
	}
	if c := sensitivities(t, q); c["x"] != 8 || c["y"] != -16 {
		t.Errorf("sensitivities %v; want 8 and −16", c)
	}
	// An input may have the name of the circle constant, or of a function.
	pi := uncertainty.Input("pi", uncertainty.Normal(3, 0.1))
	if q, err := uncertainty.Formula("2*pi", pi); err != nil || q.Estimate() != 6 {
		t.Errorf("input pi: %v, %v", q, err)
	}
	if q, err := uncertainty.Formula("sqrt(sqrt)", uncertainty.Input("sqrt", uncertainty.Normal(9, 1))); err != nil || q.Estimate() != 3 {
		t.Errorf("input sqrt: %v, %v", q, err)
	}
	// Names of other alphabets, and results by a name of their own.
	rho := formulaInputs()[0].Named("ρ20")
	if q, err := uncertainty.Formula("ρ20 + ρ20", rho, rho); err != nil || q.Estimate() != 4 {
		t.Errorf("input ρ20, given twice: %v, %v", q, err)
	}
	// Out of a domain: carried, as in every model.
	if q, err := uncertainty.Formula("sqrt(-x)*y", formulaInputs()...); err != nil || !errors.Is(q.Err(), uncertainty.ErrDomain) {
		t.Errorf("root of a negative: %v, %v", q.Err(), err)
	}
}

func TestFormulaRefuses(t *testing.T) {
	for _, c := range []struct {
		text string
		want error
		say  string
	}{
		{"", uncertainty.ErrSyntax, "column 1: the formula ends here"},
		{")", uncertainty.ErrSyntax, "column 1: a closing parenthesis"},
		{"x +", uncertainty.ErrSyntax, "the formula ends here"},
		{"(x + y", uncertainty.ErrSyntax, "the formula ends here"},
		{"x y", uncertainty.ErrSyntax, "column 3: nothing between x and y; expected an operator"},
		{"x^2 + y", uncertainty.ErrSyntax, "column 2: operator ^ is no power; expected pow(x, y)"},
		{"x ** y", uncertainty.ErrSyntax, "is no power"},
		{"x % y", uncertainty.ErrSyntax, "% is not understood"},
		{"x == y", uncertainty.ErrSyntax, "column 3: a formula has no equals sign"},
		{"!x + y", uncertainty.ErrSyntax, "! is not understood"},
		{"&x", uncertainty.ErrSyntax, "operator &"},
		{"x[0] + y", uncertainty.ErrSyntax, "column 2: [ is not understood; expected ("},
		{"x.y", uncertainty.ErrSyntax, "a point before y"},
		{`"x" + y`, uncertainty.ErrSyntax, "quotation marks are not read"},
		{"x > 0 ? x : y", uncertainty.ErrSyntax, "column 7: ? is not understood; expected a formula without conditions"},
		{"x - func", uncertainty.ErrSyntax, "column 5: the word func has no place in a formula"},
		{"089*x*y", uncertainty.ErrSyntax, "column 2: a number that begins with 0"},
		{"0x*x*y", uncertainty.ErrSyntax, "a number that begins with 0"},
		{"2i*x*y", uncertainty.ErrSyntax, "2i; expected a number"},
		{"'a'*x*y", uncertainty.ErrSyntax, "' is not understood"},
		{"func() {}()", uncertainty.ErrSyntax, "column 8: { is not understood"},
		{"x\n y", uncertainty.ErrSyntax, "column 4: nothing between x and y"},
		{"x y", uncertainty.ErrSyntax, "one of + - * /"},
		{"2x + y", uncertainty.ErrSyntax, "column 2: nothing between 2 and x"},
		{"2(x + y)", uncertainty.ErrSyntax, "column 2: nothing between 2 and the parenthesis"},
		{"(x)y", uncertainty.ErrSyntax, "column 4: nothing between the parenthesis and y"},
		{"x(1 + y)", uncertainty.ErrSyntax, "x is an input, not a function"},
		{"1,5*x + y", uncertainty.ErrSyntax, "column 2: a comma outside a function; expected a point in numbers, 1.5"},
		{"(1,5)*x + y", uncertainty.ErrSyntax, "column 3: a comma outside a function"},
		{"x × y", uncertainty.ErrSyntax, "column 3: × is not understood; expected *"},
		{"x − y", uncertainty.ErrSyntax, "column 3: − is not understood; expected -"},
		{"x·y", uncertainty.ErrSyntax, "column 2: · is not understood; expected *"},
		{"R = x + y", uncertainty.ErrSyntax, "column 3: a formula has no equals sign; expected its right-hand side alone"},
		{"x² + y", uncertainty.ErrSyntax, "column 2: ² is not understood; expected pow(x, 2)"},
		{"power(x, 2) + y", uncertainty.ErrUnknown, "expected pow(x, y)"},
		{"x + y)", uncertainty.ErrSyntax, "column 6: a closing parenthesis without an opening one"},
		{"x + (y", uncertainty.ErrSyntax, "the formula ends here; expected a ) for each ("},
		{"x + * y", uncertainty.ErrSyntax, ""},
		{"010*x*y", uncertainty.ErrSyntax, "octal"},
		{"1e400*x*y", uncertainty.ErrNotFinite, "literal 1e400"},
		{"1e1000000000*x*y", uncertainty.ErrNotFinite, "literal 1e1000000000"},
		{strings.Repeat("9", 400) + "*x*y", uncertainty.ErrNotFinite, "literal 9999999999999999999999999999999999999999… is +Inf"},
		{"x*z + y", uncertainty.ErrUnknown, `column 3: unknown name "z"; expected one of x, y`},
		{"x + sqrt", uncertainty.ErrUnknown, "column 5: sqrt is a function"},
		{"lb(x) + y", uncertainty.ErrUnknown, `unknown function "lb"`},
		{"sqrt(x, y)", uncertainty.ErrSyntax, "sqrt with 2 arguments; expected one"},
		{"pow(x) + y", uncertainty.ErrSyntax, "pow with 1 argument; expected pow(x, y)"},
		{"sqrt(x...) + y", uncertainty.ErrSyntax, "call"},
		{"x/0 + y", uncertainty.ErrDomain, "column 3: division by 0"},
		{"x/(-(0.00)) + y", uncertainty.ErrDomain, "division by 0"},
		{"2*x", uncertainty.ErrUnused, "y: input not used"},
		{"µ*x*y", uncertainty.ErrUnknown, "column 1"},
		{"x*µ*ß", uncertainty.ErrUnknown, "column 3"},
		{strings.Repeat("x+", 40000) + "y", uncertainty.ErrSyntax, "80001 bytes; expected at most 65536"},
		{strings.Repeat("(", 60000) + "x", uncertainty.ErrSyntax, ""},
	} {
		q, err := uncertainty.Formula(c.text, formulaInputs()...)
		if !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.say) || !q.IsZero() {
			t.Errorf("%.40q: %v; want an error with %q that is %q", c.text, err, c.say, c.want)
		}
		if strings.Contains(err.Error(), "\n") {
			t.Errorf("%.40q: error of several lines: %v", c.text, err)
		}
	}
}

func TestFormulaRefusesInputs(t *testing.T) {
	x := formulaInputs()[0]
	var zero uncertainty.Quantity
	for _, c := range []struct {
		name   string
		inputs []uncertainty.Quantity
		want   error
	}{
		{"zero Quantity", []uncertainty.Quantity{x, zero}, uncertainty.ErrNoQuantity},
		{"no name", []uncertainty.Quantity{x, x.Add(x)}, uncertainty.ErrSyntax},
		{"name of two words", []uncertainty.Quantity{x, x.Named("x 2")}, uncertainty.ErrSyntax},
		{"a word of Go", []uncertainty.Quantity{x, x.Named("range")}, uncertainty.ErrSyntax},
		{"one name for two", []uncertainty.Quantity{x, uncertainty.Exact(2).Named("x")}, uncertainty.ErrSameName},
		{"carries an error", []uncertainty.Quantity{x, uncertainty.Input("y", uncertainty.Normal(1, -1))}, uncertainty.ErrDomain},
	} {
		if _, err := uncertainty.Formula("x + 1", c.inputs...); !errors.Is(err, c.want) {
			t.Errorf("%s: %v; want %v", c.name, err, c.want)
		}
	}
}

func FuzzFormula(f *testing.F) {
	for _, seed := range []string{
		"x + y", "(x+y)*2e3/-y", "sqrt(x)*pow(y, 2)", "x^2", "1/0", "x y", "", "((((", "x /* note */ + y", "pi*x + y", // syntax, valid and not
		"log(x-2)*y", "x/(y-0.5)", "pow(-x, 0.5) + y", "asin(x)+y", "exp(1e3*x)*y", "1e-400*x + y", // domains
		"ρ\n+x", "x\x00+y", "µ*ß", "0b2", "010", "1e999999999", "x...", "x.(type)", "[]int{x}", "func(){", "<-x", "\xff", // tokens
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		q, err := uncertainty.Formula(text, formulaInputs()...)
		if err != nil {
			e, ok := errors.AsType[*uncertainty.Error](err)
			if !ok || !q.IsZero() {
				t.Fatalf("%q: error %v of type %T, result %v", text, err, err, q)
			}
			if strings.Contains(err.Error(), ": column ") && !inside(e.Value, text) {
				t.Fatalf("%q: column %v outside the text", text, e.Value)
			}
			return
		}
		b, err := uncertainty.Evaluate(q)
		if (q.Err() == nil) != !math.IsNaN(q.Estimate()) || (b == nil) == (err == nil) {
			t.Fatalf("%q: estimate %v, error %v; budget %v, error %v", text, q.Estimate(), q.Err(), b, err)
		}
		if b != nil && !(b.StandardUncertainty >= 0) {
			t.Fatalf("%q: u = %v", text, b.StandardUncertainty)
		}
	})
}

// inside reports whether v is a column of the text, or the one after it.
func inside(v any, text string) bool {
	column, ok := v.(float64)
	return ok && column >= 1 && column <= float64(utf8.RuneCountInString(text)+1)
}

// What is written on paper and in other programs is answered with what to write, and nothing
// behind // is left out without a word.
func TestFormulaSlips(t *testing.T) {
	in := func(name string) uncertainty.Quantity { return uncertainty.Input(name, uncertainty.Normal(2, 0.1)) }
	for text, want := range map[string]string{
		"R**2 + U": "column 2: ** is no power; expected pow(x, y)", "R + U // I": "column 7: // is not understood; expected one /",
		"R + U /* I */": "column 7: /* is not understood", "R*U + 5 %": "column 9: % is not understood; expected a factor, such as 0.01",
		"sin(90°) * R": "column 7: ° is not understood", "|R| + U": "column 1: | is not understood; expected abs(x)",
		"max(R; U)": "column 6: ; is not understood; expected a comma", "R' + U": "column 2: ' is not understood", "R! + U": "column 2: ! is not understood",
		"“R” + U": "column 1: quotation marks", `"R" + U`: "column 1: quotation marks", "π * R + U": "column 1: π is not one of the inputs; expected pi",
		"R.U": "column 2: a point before U", "R + *U": "column 5: nothing before *", "if(R, U, 1)": "column 1: function if jumps",
		"R + for": "column 5: the word for has no place in a formula", "R + U#": "column 6: # is not understood; expected numbers", "R + 1e+ * U": "an exponent without digits",
	} {
		_, err := uncertainty.Formula(text, in("R"), in("U"))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v; want %q", text, err, want)
		}
	}
	if q, err := uncertainty.Formula("π * R * U", in("π"), in("R"), in("U")); err != nil || q.Estimate() != 8 {
		t.Errorf("an input π: %v, %v", q, err)
	}
}

// A formula may go on in the next line before an operator as well as behind it.
func TestFormulaOfSeveralLines(t *testing.T) {
	x, y := formulaInputs()[0], formulaInputs()[1]
	want := x.Add(y).Estimate()
	for _, text := range []string{"x\n+ y", "x +\n y", "x\r\n+ y", "x + // the first\n y"} {
		q, err := uncertainty.Formula(text, x, y)
		if err != nil || q.Estimate() != want {
			t.Errorf("%q: %v, error %v; want %v", text, q, err, want)
		}
	}
}

// A name of thousands of letters does not stand in a message, nor do thousands of names.
func TestFormulaErrorsAreShort(t *testing.T) {
	long := strings.Repeat("a", 5000)
	number := strings.Repeat("7", 5000)
	x := uncertainty.Input("x", uncertainty.Normal(1, 0.1))
	named := uncertainty.Input(long, uncertainty.Normal(1, 0.1))
	var many []uncertainty.Quantity
	for i := range 2000 {
		many = append(many, uncertainty.Input(fmt.Sprint("input", i), uncertainty.Normal(1, 0.1)))
	}
	for _, c := range []struct {
		formula string
		inputs  []uncertainty.Quantity
	}{
		{"x + " + long, []uncertainty.Quantity{x}}, {long + "(x)", []uncertainty.Quantity{x}}, {"x " + long, []uncertainty.Quantity{x}},
		{long + " x", []uncertainty.Quantity{x}}, {"x." + long, []uncertainty.Quantity{x}}, {number + " x", []uncertainty.Quantity{x}},
		{"x + 0" + number, []uncertainty.Quantity{x}}, {"x + " + number, []uncertainty.Quantity{x}}, {"x + '" + long, []uncertainty.Quantity{x}},
		{"x + `" + long + "`", []uncertainty.Quantity{x}}, {"x[" + long, []uncertainty.Quantity{x}}, {"x + 1e" + number, []uncertainty.Quantity{x}},
		{"x", []uncertainty.Quantity{x, named}}, {long + "(x)", []uncertainty.Quantity{x, named}}, {"x + 1", []uncertainty.Quantity{x, uncertainty.Input(long+" b", uncertainty.Normal(1, 0.1))}},
		{"x + 1", []uncertainty.Quantity{x, named, uncertainty.Input(long, uncertainty.Normal(1, 0.1))}}, {"x + 1", []uncertainty.Quantity{x, uncertainty.Exact(1).Div(named.Sub(named)).Named(long)}},
		{"x / (" + long + " - " + long + ")", []uncertainty.Quantity{x, named}}, {"y", many},
	} {
		q, err := uncertainty.Formula(c.formula, c.inputs...)
		if err == nil {
			err = q.Err()
		}
		if err == nil || len(err.Error()) > 250 {
			t.Errorf("%.20s…: error %.400v; want one of 250 bytes at most", c.formula, err)
		}
	}
	for _, input := range []string{
		`{"name":"` + long + `","distribution":"normal","estimate":1}`, `{"name":"b ` + long + `"}`, `{"name":"x","distribution":"` + long + `"}`,
		`{"name":"x","distribution":"normal","estimate":[` + number + `]}`, `{"name":"x","distribution":"normal","estimate":"` + long + `"}`,
	} {
		_, err := uncertainty.ReadModel(strings.NewReader(`{"formula":"x","inputs":[` + input + `]}`))
		if err == nil || len(err.Error()) > 350 {
			t.Errorf("%.40s…: error %.500v; want one of 350 bytes at most", input, err)
		}
	}
}
