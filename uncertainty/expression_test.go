// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// readBack builds the model that Expression prints, line by line.
func readBack(t testing.TB, text string, inputs ...uncertainty.Quantity) uncertainty.Quantity {
	t.Helper()
	known := make(map[string]uncertainty.Quantity)
	for _, q := range inputs {
		known[q.Name()] = q
	}
	var last uncertainty.Quantity
	for line := range strings.Lines(text) {
		name, formula, assigned := strings.Cut(line, " = ")
		if !assigned {
			formula = line
		}
		used := make(map[string]uncertainty.Quantity)
		for _, word := range regexp.MustCompile(`[A-Za-z_]\w*`).FindAllString(formula, -1) {
			if q, ok := known[word]; ok {
				used[word] = q
			}
		}
		var qs []uncertainty.Quantity
		for _, q := range used {
			qs = append(qs, q)
		}
		q, err := uncertainty.Formula(strings.TrimSuffix(formula, "\n"), qs...)
		if err != nil {
			t.Fatalf("%v\nin %.300s", err, formula)
		}
		if assigned {
			known[name] = q.Named(name)
		}
		last = q
	}
	return last
}

// What is printed is the same model to the last bit: random graphs with shared parts.
func TestExpressionReadsBack(t *testing.T) {
	for seed := range uint64(300) {
		random := rand.New(rand.NewPCG(seed, 5))
		inputs := make([]uncertainty.Quantity, 4)
		for i := range inputs {
			inputs[i] = uncertainty.Input(fmt.Sprint("x", i), uncertainty.Normal(1+random.Float64(), 0.01))
		}
		q := randomModel(random, inputs, 2+random.IntN(60))
		if q.Err() != nil {
			continue // left a domain
		}
		text := q.Expression()
		back := readBack(t, text, inputs...)
		if back.Estimate() != q.Estimate() {
			t.Fatalf("seed %d: read back as %v; want %v\n%s", seed, back.Estimate(), q.Estimate(), text)
		}
		if got, want := evaluate(t, back).StandardUncertainty,
			evaluate(t, q).StandardUncertainty; !near(got, want, 1e-9) {
			t.Fatalf("seed %d: u = %v; want %v\n%s", seed, got, want, text)
		}
	}
}

// A part that is used twice has a line of its own from 41 characters on; one that is used once
// stays where it is used.
func TestLinesOfExpression(t *testing.T) {
	input := func(name string) uncertainty.Quantity {
		return uncertainty.Input(name, uncertainty.Normal(1, 0.1))
	}
	a, c := strings.Repeat("a", 18), input("c")
	for _, last := range []string{strings.Repeat("b", 19), strings.Repeat("b", 20)} {
		part := input(a).Add(input(last))
		text := a + " + " + last
		if got, want := part.Mul(c).Expression(), "("+text+") * c"; got != want {
			t.Errorf("used once: %q; expected %q", got, want)
		}
		got := part.Mul(part).Expression()
		lines := strings.Split(got, "\n")
		if len(text) <= 40 {
			if want := "(" + text + ") * (" + text + ")"; got != want {
				t.Errorf("used twice: %q; expected %q", got, want)
			}
			continue
		}
		name, formula, _ := strings.Cut(lines[0], " = ")
		if len(lines) != 2 || formula != text || lines[len(lines)-1] != name+" * "+name {
			t.Errorf("used twice: %q; expected a line for %q", got, text)
		}
	}
}

// randomModel combines earlier results at random.
func randomModel(random *rand.Rand, inputs []uncertainty.Quantity, steps int) uncertainty.Quantity {
	all := append([]uncertainty.Quantity{}, inputs...)
	for range steps {
		a, b := all[random.IntN(len(all))], all[random.IntN(len(all))]
		constant := random.NormFloat64()
		var q uncertainty.Quantity
		switch random.IntN(14) {
		case 0:
			q = a.Add(b)
		case 1:
			q = a.Sub(b)
		case 2:
			q = a.Mul(b)
		case 3:
			q = a.Div(b)
		case 4:
			q = a.Neg()
		case 5:
			q = a.Scale(constant)
		case 6:
			q = a.Add(uncertainty.Exact(constant))
		case 7:
			q = uncertainty.Atan(a)
		case 8:
			q = uncertainty.Sin(a)
		case 9:
			q = uncertainty.Linear(constant, []float64{1, -1, constant, -constant},
				[]uncertainty.Quantity{a, b, a, all[0]})
		case 10:
			q = uncertainty.Sum(b, a, b)
		case 11:
			q = uncertainty.Pow(a, uncertainty.Exact(2))
		case 12:
			q = a.Mul(b).Named(fmt.Sprint("y", len(all)))
		case 13:
			q = uncertainty.Linear(0, []float64{-1, 3}, []uncertainty.Quantity{a, b}).InUnit("1")
		}
		if q.Err() == nil && math.Abs(q.Estimate()) < 1e6 && math.Abs(q.Estimate()) > 1e-6 {
			all = append(all, q)
		}
	}
	return all[len(all)-1]
}

func TestExpression(t *testing.T) {
	x, y := uncertainty.Input("x", uncertainty.Normal(1, 0.1)), uncertainty.Input("y", uncertainty.Normal(2, 0.1))
	box := uncertainty.Input("box temperature", uncertainty.Normal(23, 0.1))
	exact := uncertainty.Exact
	long := x.Add(y).Mul(x.Sub(y)).Div(x.Mul(y).Add(exact(1.2345678))).Add(exact(2.3456789))
	for _, c := range []struct {
		q    uncertainty.Quantity
		want string
	}{
		{x, "x"}, {exact(-2), "-2"}, {x.Named("z"), "x"}, {x.Add(y).Named("total"), "x + y"},
		{x.Sub(y.Sub(x)), "x - (y - x)"}, {x.Sub(y).Sub(x), "x - y - x"}, {x.Add(y).Mul(x), "(x + y) * x"}, {x.Div(y.Mul(x)), "x / (y * x)"},
		{x.Mul(y).Div(x), "x * y / x"}, {x.Neg().Neg(), "-(-x)"}, {x.Sub(exact(-2)), "x - -2"}, {x.Mul(y).Neg(), "-(x * y)"}, {x.Neg().Mul(y), "-x * y"},
		{x.Mul(y.Neg()), "x * -y"}, {x.Add(y).Scale(-3), "-3 * (x + y)"}, {uncertainty.Sqrt(x.Add(y)), "sqrt(x + y)"},
		{uncertainty.Pow(x.Add(y), exact(0.5)), "pow(x + y, 0.5)"}, {exact(1e-7).Mul(x), "1e-07 * x"},
		{uncertainty.Linear(1, []float64{1, -1, 2, -2}, []uncertainty.Quantity{x, y, x.Add(y), y}), "1 + x - y + 2 * (x + y) - 2 * y"},
		{uncertainty.Linear(0, []float64{-1, 1}, []uncertainty.Quantity{x.Mul(y), y}), "-(x * y) + y"}, {uncertainty.Sum(), "0"},
		{uncertainty.Call("mean of two", func(v []float64) float64 { return v[0] }, x.Add(y), y), `"mean of two"(x + y, y)`}, {uncertainty.Call("", func(v []float64) float64 { return v[0] }, x), "f(x)"},
		{box.Mul(x), `"box temperature" * x`}, {box.Named("t").Mul(x), "t * x"}, {box.Named("x").Mul(x), `"box temperature" * x`},
		{x.Add(y).Named("s").Mul(x), "s = x + y\ns * x"}, {x.Add(y).Named("s").Mul(x.Add(y).Named("s")), "(x + y) * (x + y)"},
		{long.Mul(long), "part1 = (x + y) * (x - y) / (x * y + 1.2345678) + 2.3456789\npart1 * part1"},
		{x.Add(y).Named("not an identifier").Mul(x), "(x + y) * x"}, {x.Sub(y).InUnit("V").Mul(x), "(x - y) * x"},
		{x.Div(exact(0)), "!(" + x.Div(exact(0)).Err().Error() + ")"}, {uncertainty.Quantity{}, "!(" + uncertainty.Quantity{}.Err().Error() + ")"},
	} {
		if got := c.q.Expression(); got != c.want {
			t.Errorf("got %s\nwant %s", got, c.want)
		}
	}
}

// Long and deep models stay within what Formula reads.
func TestExpressionOfLongModels(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(1, 0.1))
	chain, root := x, x
	var many []uncertainty.Quantity
	steps := 2_000
	if uncertaintytest.Long() {
		steps = 10_000
	}
	for i := range steps {
		chain = chain.Mul(uncertainty.Exact(1 + 1e-6*float64(i%7))).Add(x.Scale(1e-5))
		root = uncertainty.Sqrt(root)
		many = append(many, x)
	}
	for name, q := range map[string]uncertainty.Quantity{"chain": chain, "nested": root,
		"sum": uncertainty.Sum(many...)} {
		if got := readBack(t, q.Expression(), x).Estimate(); got != q.Estimate() {
			t.Errorf("%s: read back as %v; want %v", name, got, q.Estimate())
		}
	}
	// Every step uses the last one twice: without names, 2^200 of them.
	doubled := x
	for range 200 {
		doubled = doubled.Add(doubled).Scale(0.5)
	}
	if got := readBack(t, doubled.Expression(), x).Estimate(); got != 1 {
		t.Errorf("shared parts: read back as %v; want 1", got)
	}
}

func ExampleQuantity_Expression() {
	in := func(name string, x float64) uncertainty.Quantity {
		return uncertainty.Input(name, uncertainty.Normal(x, 1e-6*x))
	}
	v, i, lead := in("V", 1.25), in("I", 0.01), in("lead", 0.012)
	r := v.Div(i).Sub(lead.Scale(2)).Named("R")
	power := r.Mul(uncertainty.Pow(i, uncertainty.Exact(2)))
	fmt.Println(power.Expression())
	// Output:
	// R = V / I - 2 * lead
	// R * pow(I, 2)
}
