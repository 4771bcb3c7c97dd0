// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/uncertainty"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"gonum.org/v1/gonum/mat"
)

// anyResults invents some measurands of common sources: every distribution of the package,
// a correlated pair, units, notes, IDs.
func anyResults(r *rand.Rand, id int) []uncertainty.Quantity {
	x := func() float64 { return 1 + r.Float64() }
	u := func() float64 { return 0.001 * (0.1 + r.Float64()) }
	laws := []func() uncertainty.Distribution{
		func() uncertainty.Distribution { return uncertainty.Normal(x(), u()) },
		func() uncertainty.Distribution { return uncertainty.Certificate(x(), u(), 2) },
		func() uncertainty.Distribution {
			return uncertainty.CertificateDOF(uncertainty.CertificateStatement{X: x(), U: u(), P: 0.95, DOF: 3 + 20*r.Float64()})
		},
		func() uncertainty.Distribution { return uncertainty.StudentT(x(), u(), 3+20*r.Float64()) },
		func() uncertainty.Distribution { return uncertainty.Rectangular(x(), u()) },
		func() uncertainty.Distribution { return uncertainty.Between(1, 1+r.Float64()) },
		func() uncertainty.Distribution { return uncertainty.Triangular(x(), u()) },
		func() uncertainty.Distribution { return uncertainty.Arcsine(x(), u()) },
		func() uncertainty.Distribution { return uncertainty.Trapezoidal(x(), u(), r.Float64()) },
		func() uncertainty.Distribution {
			a := u()
			return uncertainty.CurvilinearTrapezoidal(x(), a, a*r.Float64())
		},
		func() uncertainty.Distribution { return uncertainty.Resolution(x(), u()) },
		func() uncertainty.Distribution { return uncertainty.Exponential(x()) },
		func() uncertainty.Distribution { return uncertainty.Counts(1 + r.IntN(1000)) },
		func() uncertainty.Distribution { return uncertainty.TypeA(x(), x(), x(), x(), x()) },
		func() uncertainty.Distribution { return uncertainty.TypeAPooled(u(), 12, x(), x()) },
	}
	var inputs []uncertainty.Quantity
	for i := range 2 + r.IntN(8) {
		s := uncertainty.Source{Name: fmt.Sprintf("x%d \"<µ>\"", i),
			Note:         []string{"", "certificate 17/2026"}[r.IntN(2)],
			Distribution: laws[r.IntN(len(laws))]()}
		if r.IntN(3) == 0 {
			s.ID = fmt.Sprintf("source %d/%d", id, i)
		}
		if r.IntN(4) == 0 {
			s.DOF = 1 + 50*r.Float64()
		}
		inputs = append(inputs, s.Input())
	}
	if r.IntN(2) == 0 {
		ua, ub := u(), u()
		pair := mat.NewSymDense(2, []float64{ua * ua, 0.5 * ua * ub, 0.5 * ua * ub, ub * ub})
		inputs = append(inputs, uncertainty.Joint([]string{"a", "b"}, []float64{x(), x()}, pair)...)
	}
	var out []uncertainty.Quantity
	for i := range 1 + r.IntN(4) {
		y := uncertainty.Exact(x())
		for range 1 + r.IntN(6) {
			q := inputs[r.IntN(len(inputs))]
			switch r.IntN(3) {
			case 0:
				y = y.Add(q)
			case 1:
				y = y.Mul(q)
			default:
				y = uncertainty.Sqrt(y.Mul(y).Add(q.Mul(q)))
			}
		}
		out = append(out, y.Named(fmt.Sprintf("y%d", i)))
	}
	return out
}

// A record that is written and read has the same estimates, the same covariance to first
// order, and is written the same again.
func TestRecordsRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for id := range 200 {
		want := uncertainty.Record{ID: fmt.Sprintf("record %d", id), Quantities: anyResults(r, id)}
		text, err := json.Marshal(want)
		if err != nil {
			t.Fatal(err)
		}
		var got uncertainty.Record
		if err := json.Unmarshal(text, &got); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		a, errA := uncertainty.EvaluateAll(want.Quantities...)
		b, errB := uncertainty.EvaluateAll(got.Quantities...)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		for i := range want.Quantities {
			if x, y := want.Quantities[i], got.Quantities[i]; x.Name() != y.Name() || x.Estimate() != y.Estimate() {
				t.Errorf("%s = %v is read as %s = %v", x.Name(), x.Estimate(), y.Name(), y.Estimate())
			}
			for k := range i + 1 {
				scale := math.Sqrt(a.Covariance.At(i, i) * a.Covariance.At(k, k))
				if x, y := a.Covariance.At(i, k), b.Covariance.At(i, k); math.Abs(x-y) > 1e-9*scale {
					t.Errorf("record %d: covariance (%d, %d) is %v; expected %v", id, i, k, y, x)
				}
			}
		}
		again, err := json.Marshal(got)
		if err != nil {
			t.Fatal(err)
		}
		var second uncertainty.Record
		if err := json.Unmarshal(again, &second); err != nil {
			t.Fatalf("%v\n%s", err, again)
		}
		// Shared sources: what was written and what was read are fully correlated.
		for i, q := range want.Quantities {
			d, err := uncertainty.Evaluate(q.Sub(second.Quantities[i]))
			if err != nil {
				t.Fatal(err)
			}
			if bound := 1e-6 * math.Sqrt(a.Covariance.At(i, i)); d.Estimate != 0 || d.StandardUncertainty > bound {
				t.Errorf("record %d: %s differs from itself by %v, u = %v", id, q.Name(),
					d.Estimate, d.StandardUncertainty)
			}
		}
	}
}

// A budget that is written and read is equal in every figure; warnings become texts.
func TestBudgetsRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	asText := cmp.Comparer(func(a, b error) bool { return a.Error() == b.Error() })
	for id := range 200 {
		for _, y := range anyResults(r, id) {
			evaluate := uncertainty.Evaluate
			if r.IntN(2) == 0 {
				evaluate = uncertainty.SecondOrder
			}
			want, err := evaluate(y)
			if err != nil {
				t.Fatal(err)
			}
			text, err := json.Marshal(want)
			if err != nil {
				t.Fatal(err)
			}
			var got uncertainty.Budget
			if err := json.Unmarshal(text, &got); err != nil {
				t.Fatalf("%v\n%s", err, text)
			}
			if diff := cmp.Diff(want, &got, cmpopts.IgnoreUnexported(uncertainty.Budget{}),
				cmpopts.EquateEmpty(), asText); diff != "" {
				t.Fatalf("written and read (-, +):\n%s\n%s", diff, text)
			}
		}
	}
}
