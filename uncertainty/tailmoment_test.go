// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
)

// x^p of a t-distribution has a variance where 2p < ν; where it has none, that is said whatever the
// seed, and where the tails add nothing that anybody would notice, nothing is said.
func TestFarValuesThatDecideAreSaid(t *testing.T) {
	T := func(name string, x, u, dof float64) uncertainty.Quantity {
		return uncertainty.Input(name, uncertainty.StudentT(x, u, dof))
	}
	N := func(name string, x, u float64) uncertainty.Quantity {
		return uncertainty.Input(name, uncertainty.Normal(x, u))
	}
	square := func(q uncertainty.Quantity) uncertainty.Quantity { return q.Mul(q) }
	x5 := T("x", 0, 1, 5)
	joint := uncertainty.JointSource{Names: []string{"p", "q"}, Estimates: []float64{0, 0}, Covariance: mat.NewSymDense(2, []float64{1, 0.5, 0.5, 1}), DOF: 3}.Inputs()
	for name, c := range map[string]struct {
		y    uncertainty.Quantity
		want bool
	}{
		"t(3)²":                {square(T("x", 0, 1, 3)), true},
		"t(3)² beside 1":       {square(T("x", 1, 1, 3)), true},
		"t(4)²":                {square(T("x", 0, 1, 4)), true},
		"t(5)²":                {square(x5), false},
		"t(5)³":                {square(x5).Mul(x5), true},
		"a function":           {uncertainty.Call("f", func(v []float64) float64 { return v[0] * v[0] }, T("x", 0, 1, 3)), true},
		"z·t(3)², z about 0":   {square(T("x", 0, 1, 3)).Mul(N("z", 0, 1)), true},
		"correlated":           {joint[0].Mul(joint[1]), true},
		"exp of t(3)":          {uncertainty.Exp(T("x", 0, 1, 3)), true},
		"exp of 3 u":           {uncertainty.Exp(N("x", 0, 3)), true},
		"exp of u":             {uncertainty.Exp(N("x", 0, 1)), false},
		"exp of little t(3)":   {uncertainty.Exp(T("x", 0, 0.01, 3)), false},
		"t(3)² of 100 ± 1":     {square(T("x", 100, 1, 3)), false},
		"t(3)² beside more":    {square(T("x", 0, 1, 3)).Add(N("n", 0, 1e5)), false},
		"product":              {T("x", 1, 0.1, 3).Mul(N("y", 5, 0.2)), false},
		"sine":                 {uncertainty.Sin(T("x", 0, 1, 3)), false},
		"a quotient of series": {uncertainty.Input("V", uncertainty.TypeA(1.2501, 1.2502, 1.25, 1.2503)).Div(uncertainty.Input("I", uncertainty.TypeA(0.01, 0.0100021, 0.0100012, 0.0099989))), false},
	} {
		for seed := range uint64(3) {
			s := simulate(t, uncertainty.MonteCarlo{Trials: 20_000, Seed: seed}, c.y)
			got := slices.ContainsFunc(s.Warnings, func(err error) bool { return errors.Is(err, uncertainty.ErrNoMoments) })
			// Without the warning trials of one seed may still show that their u is uncertain.
			if c.want && (!got || s.Outputs[0].HasStandardUncertainty()) || !c.want && got && s.Outputs[0].Sampling.StandardUncertainty < 0.1*s.Outputs[0].StandardUncertainty {
				t.Errorf("%s, seed %d: warnings %v; want one: %v", name, seed, s.Warnings, c.want)
			}
		}
	}
}
