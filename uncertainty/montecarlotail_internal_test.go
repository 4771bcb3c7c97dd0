// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"testing"
)

// Where a tail has too few trials the next level towards the middle that has enough takes its
// place, from below upwards and from above downwards.
func TestLevelsTowardsTheMiddle(t *testing.T) {
	c := &control{levels: []float64{0.0001, 0.001, 0.01, 0.3, 0.8, 0.99, 0.999, 0.9999}}
	for _, x := range []struct{ level, trials, want int }{
		{0, 2_000_000, 0}, {0, 200_000, 1}, {0, 20_000, 2}, {7, 2_000_000, 7}, {7, 200_000, 6}, {7, 20_000, 5}, {6, 20_000, 5},
		{0, 1000, 3}, {7, 1000, 4}, {0, 10, -1}, {7, 10, -1},
	} {
		if got := c.counted(x.level, x.trials); got != x.want {
			t.Errorf("level %v, %d trials: %d; want %d", c.levels[x.level], x.trials, got, x.want)
		}
	}
}

// The shortest interval is at the minimum of a parabola through its neighbours, and is itself
// where it has none on one side.
func TestVertex(t *testing.T) {
	const minimum = 7.25
	var found [tailLevels]Interval
	var lengths [tailLevels]float64
	for k := range found {
		off := float64(k) - minimum
		lengths[k] = 4 + 0.1*off*off
		found[k] = Interval{Lower: float64(k), Upper: float64(k) + lengths[k]}
	}
	if got := vertex(found, lengths, 7); math.Abs(got.Width()-4) > 1e-12 ||
		math.Abs((got.Lower+got.Upper)/2-(minimum+2)) > 0.02 {
		t.Errorf("%+v; want a width of 4 about 9.25", got)
	}
	for _, best := range []int{1, tailLevels - 1} {
		if got := vertex(found, lengths, best); got != found[best] {
			t.Errorf("the last level %d: %+v; want %+v", best, got, found[best])
		}
	}
}

// Means of N quantities read together n times are of a t-distribution of n − N degrees of
// freedom, (n − 1)/(n − N) times as wide squared (JCGM 102:2011, 5.3.2): so is their sum.
func TestGroupTermOfJointReadings(t *testing.T) {
	a, b := []float64{1, 2, 4, 3, 6, 5.5}, []float64{2, 1, 3, 5, 4, 7}
	qs := JointTypeA([]string{"a", "b"}, [][]float64{a, b}).Inputs()
	y := qs[0].Add(qs[1]).n
	m := models.Get().(*model)
	defer m.free()
	if err := m.compile(y); err != nil {
		t.Fatal(err)
	}
	c, _ := m.backward(y)
	_, variance, ok := m.groupTerm(m.groups[0], c)
	mean, square := 0.0, 0.0
	for i := range a {
		mean += (a[i] + b[i]) / 6
	}
	for i := range a {
		square += (a[i] + b[i] - mean) * (a[i] + b[i] - mean) / (5 * 6)
	}
	scale := square * 5 / 4
	if !ok || math.Abs(variance/(scale*4/2)-1) > 1e-12 {
		t.Errorf("variance %v, %v; want %v", variance, ok, scale*4/2)
	}
}

// Sums of powers are those of a loop, whether the number of values is even or odd.
func TestPowers(t *testing.T) {
	values := []float64{1.5, -2, 0.25, 7, -3.5}
	for n := range len(values) + 1 {
		first, second, fourth := powers(values[:n], scaling{shift: 1, scale: 2})
		var want [3]float64
		for _, v := range values[:n] {
			d := 2 * (v - 1)
			want[0], want[1], want[2] = want[0]+d, want[1]+float64(d*d), want[2]+float64(d*d*d*d)
		}
		if got := [3]float64{first, second, fourth}; got != want {
			t.Errorf("%d values: %v; want %v", n, got, want)
		}
	}
}
