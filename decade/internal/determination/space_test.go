// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package determination

import (
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
)

// The rank of random rows of zeros and ones against the singular values of the matrix.
func TestRankAgainstSingularValues(t *testing.T) {
	rnd := rand.New(rand.NewPCG(8, 9))
	for range 500 {
		n, m := 1+rnd.IntN(9), 1+rnd.IntN(9)
		s := NewSpace(n)
		a := mat.NewDense(m, n, nil)
		added := 0
		for i := range m {
			row := 1 + rnd.UintN(1<<n-1)
			var ones []int
			for j := range n {
				if row>>j&1 == 1 {
					ones = append(ones, j)
					a.Set(i, j, 1)
				}
			}
			if len(ones) != bits.OnesCount(row) {
				t.Fatal("rows of the test are wrong")
			}
			if s.Add(ones) {
				added++
			}
		}
		var svd mat.SVD
		if !svd.Factorize(a, mat.SVDNone) {
			t.Fatal("no singular values")
		}
		if want := svd.Rank(1e-9); s.Rank() != want || added != want {
			t.Fatalf("rank %d, %d rows added; want %d of\n%v", s.Rank(), added, want, mat.Formatted(a))
		}
	}
}

func TestGroups(t *testing.T) {
	s := NewSpace(5)
	s.Add([]int{0})
	s.Add([]int{0, 1, 2})
	open := s.Undetermined()
	linked, missing := s.Groups(open)
	if !slices.Equal(open, []int{1, 2, 3, 4}) || len(linked) != 1 ||
		!slices.Equal(linked[0], []int{1, 2}) || !slices.Equal(missing, []int{3, 4}) {
		t.Errorf("undetermined %v, linked %v, missing %v", open, linked, missing)
	}
}

func TestUnknowns(t *testing.T) {
	box, err := decade.New(decade.Spec{Name: "two", Residual: 0.02, Decades: []decade.Decade{
		{Name: "×10", Step: 10, Positions: 2}, {Name: "×1", Step: 1, Code: decade.Code1225()},
	}})
	if err != nil {
		t.Fatal(err)
	}
	u := New(box)
	s, err := box.At(2, 5)
	if err != nil {
		t.Fatal(err)
	}
	if u.N != 7 || !slices.Equal(u.Of(s), []int{0, 1, 2, 6}) {
		t.Errorf("%d unknowns, of %v %v; want 7 and 0 1 2 6", u.N, s, u.Of(s))
	}
	if got := u.Names([]int{0, 2, 6}); !slices.Equal(got, []string{"residual", "×10 element 2", "×1 element 4"}) {
		t.Errorf("names %q", got)
	}
	if u.Nominal(0) != 0.02 || u.Nominal(1) != 10 || u.Nominal(6) != 5 || len(u.Singles()) != 13 {
		t.Errorf("nominal %v, %v, %v; %d settings of one dial", u.Nominal(0), u.Nominal(1),
			u.Nominal(6), len(u.Singles()))
	}
}
