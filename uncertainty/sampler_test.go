// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// everyLaw has each kind of distribution, with the parameters that take another path
// in the sampler.
func everyLaw() map[string]Distribution {
	d := map[string]Distribution{
		"normal": Normal(3, 2), "rectangular": Rectangular(-1, 4), "triangular": Triangular(100, 4), "arcsine": Arcsine(0, 0.5),
		"trapezoidal": Trapezoidal(3, 3, 1.0/3), "trapezoidal, narrow top": Trapezoidal(0, 1, 0), "trapezoidal, rectangle": Trapezoidal(0, 1, 1),
		"curvilinear": CurvilinearTrapezoidal(0, 1, 0.5), "curvilinear, widest": CurvilinearTrapezoidal(5, 1, 1), "curvilinear, rectangle": CurvilinearTrapezoidal(5, 1, 0),
		"exponential": Exponential(2.5), "counts 0": Counts(0), "counts 7": Counts(7), "counts 1000": Counts(1000),
		"type A": TypeA(1, 2, 4, 5, 7), "foreign gamma": distuv.Gamma{Alpha: 3, Beta: 2}, "foreign lognormal": distuv.LogNormal{Mu: 0, Sigma: 0.5},
		"foreign beta": distuv.Beta{Alpha: 2, Beta: 0.5}, "foreign uniform": distuv.Uniform{Min: 1, Max: 2},
		"foreign with a gap": gap{},
	}
	for _, dof := range []float64{0.5, 1, 1.7, 2, 4, 25, 99, 1000, 1001, 1e6} {
		d[fmt.Sprintf("t %v", dof)] = StudentT(1, 0.5, dof)
	}
	return d
}

// gap is uniform on 0 to 1 and on 2 to 3: its quantile jumps.
type gap struct{}

func (gap) Mean() float64   { return 1.5 }
func (gap) StdDev() float64 { return math.Sqrt(13.0 / 12) }
func (gap) Quantile(p float64) float64 {
	if p < 0.5 {
		return 2 * p
	}
	return 1 + 2*p
}

func draws(t testing.TB, name string, d Distribution, n int) []float64 {
	t.Helper()
	s := &source{name: name, dist: d}
	if err := s.read(0); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return fillAll(samplerOf(s), n)
}

func fillAll(s sampler, n int) []float64 {
	out := make([]float64, n)
	for at, block := 0, 0; at < n; at, block = at+blockSize, block+1 {
		g := blockGenerator(42, 3, block)
		s.fill(out[at:min(n, at+blockSize)], &g)
	}
	return out
}

// chiSquared tests counts against equal expectations and returns the number of
// standard deviations by which the statistic is too large or too small, by the cube
// root that is nearly normal (Wilson and Hilferty 1931).
func chiSquared(counts []int) float64 {
	total := 0
	for _, c := range counts {
		total += c
	}
	e := float64(total) / float64(len(counts))
	x := 0.0
	for _, c := range counts {
		x += (float64(c) - e) * (float64(c) - e) / e
	}
	k := float64(len(counts) - 1)
	return (math.Cbrt(x/k) - (1 - 2/(9*k))) / math.Sqrt(2/(9*k))
}

// Each sampler against the quantiles of its distribution, which it does not use (but
// for foreign ones): equal shares between them, and in the outermost thousandths.
func TestSamplersFollowTheirQuantiles(t *testing.T) {
	const n, cells = 200_000, 200
	for name, d := range everyLaw() {
		edges := make([]float64, cells-1)
		for i := range edges {
			edges[i] = d.Quantile(float64(i+1) / cells)
		}
		counts := make([]int, cells)
		low, high := 0, 0
		below, above := d.Quantile(1e-3), d.Quantile(1-1e-3)
		for _, v := range draws(t, name, d, n) {
			counts[sort.SearchFloat64s(edges, v)]++
			if v < below {
				low++
			}
			if v > above {
				high++
			}
		}
		if z := chiSquared(counts); math.Abs(z) > 4 {
			t.Errorf("%s: chi-squared off by %.1f standard deviations", name, z)
		}
		for side, c := range map[string]int{"lower": low, "upper": high} {
			if z := (float64(c) - n*1e-3) / math.Sqrt(n*1e-3); math.Abs(z) > 4 {
				t.Errorf("%s: %d draws in the %s thousandth of %d", name, c, side, n)
			}
		}
	}
}

// Mean and variance against the closed forms of the distribution.
func TestSamplersHaveTheirMoments(t *testing.T) {
	const n = 200_000
	for name, d := range everyLaw() {
		want := d.StdDev()
		if l, ok := d.(law); ok && l.kind == student && l.dof <= 4 {
			continue // the variance of the variance does not exist
		}
		v := draws(t, name, d, n)
		var mean, square, fourth float64
		for _, x := range v {
			mean += x / n
		}
		for _, x := range v {
			e := (x - mean) * (x - mean)
			square += e / n
			fourth += e * e / n
		}
		if z := (mean - d.Mean()) / (want / math.Sqrt(n)); math.Abs(z) > 4 {
			t.Errorf("%s: mean %v, want %v", name, mean, d.Mean())
		}
		if z := (square - want*want) / math.Sqrt((fourth-square*square)/n); math.Abs(z) > 4 {
			t.Errorf("%s: standard deviation %v, want %v", name, math.Sqrt(square), want)
		}
	}
}

// The support of a bounded law is never left.
func TestSamplersStayInside(t *testing.T) {
	for name, d := range everyLaw() {
		l, ok := d.(law)
		if !ok {
			continue
		}
		low, high := l.x-l.reach(), l.x+l.reach()
		if l.kind == exponential || l.kind == gamma {
			low = 0
		}
		for _, v := range draws(t, name, d, 100_000) {
			if !(v >= low && v <= high) {
				t.Errorf("%s: draw %v outside %v to %v", name, v, low, high)
				break
			}
		}
	}
}

// Streams and blocks have generators of their own whose states are hashes: the first
// words of many of them must look like random words, and neighbours must not be
// correlated.
func TestBlocksAreIndependent(t *testing.T) {
	for _, along := range []string{"blocks", "streams", "seeds"} {
		const n = 1 << 16
		var bytes [8][256]int
		var flips [64]int
		last := uint64(0)
		for i := range n {
			g := blockGenerator(uint64(i), 0, 0)
			switch along {
			case "blocks":
				g = blockGenerator(1, 0, i)
			case "streams":
				g = blockGenerator(1, i, 0)
			}
			w := g.Uint64()
			for k := range bytes {
				bytes[k][w>>(8*uint(k))&255]++
			}
			for k := range flips {
				flips[k] += int((w ^ last) >> uint(k) & 1)
			}
			last = w
		}
		for k := range bytes {
			if z := chiSquared(bytes[k][:]); math.Abs(z) > 4 {
				t.Errorf("%s: byte %d: chi-squared off by %.1f standard deviations", along, k, z)
			}
		}
		for k, c := range flips {
			if z := (float64(c) - n/2) / math.Sqrt(n/4); math.Abs(z) > 4.5 {
				t.Errorf("%s: bit %d changes %d times in %d", along, k, c, n)
			}
		}
	}
}

// The radius and the area of the layers of the normal ziggurat.
func TestPublishedZiggurat(t *testing.T) {
	z := unitNormal()
	row := uncertaintytest.Published{
		Source: "Marsaglia and Tsang, The Ziggurat Method for Generating Random Variables, Journal of Statistical Software 5 (2000), no. 8",
		Place:  "section 3, 256 layers", Provenance: uncertaintytest.FromMemory,
	}
	row.Name, row.Printed = "radius", "3.6541528853610088"
	row.Run(t, z.radius)
	row.Name, row.Printed = "area", "0.00492867323399"
	row.Exception = "the area that belongs to the printed radius is 0.0049286732339747 (radius times density, plus the tail by math.Erfc, agrees): the last two printed digits are off"
	row.Run(t, z.x[0]*z.f[1])
	area := z.radius*math.Exp(-z.radius*z.radius/2) + math.Sqrt(math.Pi/2)*math.Erfc(z.radius/math.Sqrt2)
	if math.Abs(z.x[0]*z.f[1]/area-1) > 1e-13 {
		t.Errorf("area %v, by the error function %v", z.x[0]*z.f[1], area)
	}
}

// All layers have one area and cover the density.
func TestZigguratLayers(t *testing.T) {
	shapes := map[string]*ziggurat{"normal": unitNormal()}
	for _, dof := range []float64{1, 1.5, 4, 30, 1000} {
		shapes[fmt.Sprint("t ", dof)] = studentZiggurat(dof)
	}
	for name, z := range shapes {
		v := z.x[0] * z.f[1]
		for i := 1; i < layers; i++ {
			if a := z.x[i] * (z.f[i+1] - z.f[i]); math.Abs(a/v-1) > 1e-9 {
				t.Errorf("%s: layer %d has area %v of %v", name, i, a, v)
			}
		}
		total := 256 * v // twice it is the area under the density
		want := math.Sqrt(math.Pi / 2)
		if s, ok := z.shape.(studentShape); ok {
			a, _ := math.Lgamma(s.dof / 2)
			b, _ := math.Lgamma((s.dof + 1) / 2)
			want = math.Sqrt(s.dof*math.Pi) / 2 * math.Exp(a-b)
		}
		if total < want || total > 1.05*want {
			t.Errorf("%s: layers cover %v, area under the density %v", name, total, want)
		}
	}
}

// Where the chord decides, it decides as the density does.
func TestZigguratChords(t *testing.T) {
	g := rand.New(rand.NewPCG(5, 6))
	for name, z := range map[string]*ziggurat{"normal": unitNormal(), "t 1": studentZiggurat(1), "t 1.5": studentZiggurat(1.5), "t 4": studentZiggurat(4), "t 1000": studentZiggurat(1000)} {
		asked := 0.0
		for layer := 1; layer < layers; layer++ {
			asked += z.sag[layer] / layers
			for range 300 {
				x := z.x[layer+1] + g.Float64()*(z.x[layer]-z.x[layer+1])
				f := (z.shape.density(x) - z.f[layer]) / (z.f[layer+1] - z.f[layer])
				if d := math.Abs(f - z.chord(layer, x)); d >= z.sag[layer] {
					t.Errorf("%s: layer %d at %v: %v from the chord, bound %v", name, layer, x, d, z.sag[layer])
				}
			}
		}
		if asked > 0.1 {
			t.Errorf("%s: the density is asked in a share of %v", name, 2*asked)
		}
	}
	z := unitNormal()
	for layer, c := range z.core {
		if float64(float64(c.inner)*c.unit) > z.x[layer+1]*(1+1e-15) {
			t.Errorf("layer %d: core ends at %v, next layer at %v", layer, float64(c.inner)*c.unit, z.x[layer+1])
		}
	}
}

func TestSameExpAndLog(t *testing.T) {
	g := rand.New(rand.NewPCG(1, 2))
	for range 100_000 {
		x := 700 * (2*g.Float64() - 1)
		if got, want := sameExp(x), math.Exp(x); math.Abs(got-want) > 1e-15*want {
			t.Fatalf("sameExp(%v) = %v, want %v", x, got, want)
		}
		y := math.Exp(x)
		if got, want := sameLog(y), math.Log(y); math.Abs(got-want) > 5e-16*math.Abs(want)+1e-16 {
			t.Fatalf("sameLog(%v) = %v, want %v", y, got, want)
		}
		y = 1 + 1e-3*(g.Float64()-0.5)
		if got, want := sameLog(y), math.Log(y); math.Abs(got-want) > 5e-16*math.Abs(want) {
			t.Fatalf("sameLog(%v) = %v, want %v", y, got, want)
		}
	}
	if sameExp(-1000) != 0 || !math.IsInf(sameExp(1000), 1) || sameExp(0) != 1 || sameLog(1) != 0 {
		t.Error("special values of sameExp or sameLog")
	}
}

// A table reproduces the quantile; where the quantile jumps it asks again.
func TestTableReproducesQuantiles(t *testing.T) {
	g := rand.New(rand.NewPCG(3, 4))
	for name, d := range everyLaw() {
		u := d.StdDev()
		if math.IsInf(u, 0) {
			continue
		}
		table := newTable(d, u)
		for range 2000 {
			q := 0.5 * math.Exp2(-40*g.Float64())
			for half, want := range []float64{d.Quantile(q), d.Quantile(1 - q)} {
				if got := table.value(half, q); math.Abs(got-want) > 1e-5*u+math.Abs(want-d.Mean())*0x1p-52/q {
					t.Fatalf("%s: half %d at %v: %v, want %v", name, half, q, got, want)
				}
			}
		}
	}
}

func TestSemidefiniteFactor(t *testing.T) {
	for name, c := range map[string][][]float64{
		"full":          {{4, 1, 0.5}, {1, 9, -2}, {0.5, -2, 1}},
		"r = 1":         {{4, 6}, {6, 9}},
		"r = -1":        {{4, -6, 0}, {-6, 9, 0}, {0, 0, 1}},
		"no variance":   {{0, 0}, {0, 1}},
		"none at all":   {{0}},
		"three of rank": {{1, 1, 0}, {1, 2, 1}, {0, 1, 1}},
	} {
		l := semidefiniteFactor(c)
		for i := range c {
			for k := range c {
				sum := 0.0
				for j := range l[i] {
					sum += l[i][j] * l[k][j]
				}
				if math.Abs(sum-c[i][k]) > 1e-12*math.Sqrt(c[i][i]*c[k][k]) {
					t.Errorf("%s: element %d, %d of L·Lᵀ is %v, want %v", name, i, k, sum, c[i][k])
				}
			}
		}
	}
	// Indefinite by rounding: variances stay, correlations move a little.
	c := [][]float64{{1, 0.9, 0.44}, {0.9, 1, 0.79}, {0.44, 0.79, 1}}
	l := semidefiniteFactor(c)
	for i := range c {
		for k := range c {
			sum := 0.0
			for j := range l[i] {
				sum += l[i][j] * l[k][j]
			}
			if math.Abs(sum-c[i][k]) > 0.03 || i == k && math.Abs(sum-1) > 1e-14 {
				t.Errorf("element %d, %d is %v, want about %v", i, k, sum, c[i][k])
			}
		}
	}
}

// sortedByKey is a sort by comparison.
func sortedByKey(x []float64) []float64 {
	want := slices.Clone(x)
	sort.Slice(want, func(i, k int) bool {
		a, b := want[i], want[k]
		return a < b || a == b && math.Signbit(a) && !math.Signbit(b)
	})
	return want
}

func sameBits(a, b []float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return math.Float64bits(x) == math.Float64bits(y) })
}

func TestSortFloats(t *testing.T) {
	g := rand.New(rand.NewPCG(7, 8))
	laws := map[string]func() float64{
		"normal": g.NormFloat64, "zeros": func() float64 { return 0 * (g.Float64() - 0.5) },
		"whole": func() float64 { return math.Floor(3 * g.NormFloat64()) }, "tiny": func() float64 { return 1e-310 * g.NormFloat64() },
		"huge": func() float64 { return 1e306 * g.NormFloat64() }, "narrow": func() float64 { return 10000.053 + 1e-9*g.Float64() },
		"heavy":       func() float64 { return math.Pow(g.Float64(), -40) * math.Copysign(1, g.NormFloat64()) },
		"one outlier": func() float64 { return 1 + 1e-13*g.Float64() - 1e300*math.Floor(g.Float64()+0.0005) },
		"negative":    func() float64 { return -1 - g.ExpFloat64() },
	}
	for name, draw := range laws {
		for _, n := range []int{0, 1, 2, 255, 256, 257, 10_000} {
			x := make([]float64, n)
			for i := range x {
				x[i] = draw()
			}
			want := sortedByKey(x)
			if sortFloats(x, make([]float64, n), nil); !sameBits(x, want) {
				t.Errorf("%s: %d numbers are not in order", name, n)
			}
		}
	}
}

// The words of the input are numbers, repeated often enough to pass the limit of the
// short sort.
func FuzzSortFloats(f *testing.F) {
	f.Add([]byte{}, uint16(0))
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 0x80, 0, 0, 0, 0, 0, 0, 0, 0}, uint16(300))                      // ±0
	f.Add([]byte{1, 0, 0, 0, 0, 0, 0, 0, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xef, 0xff}, uint16(777)) // least and largest
	f.Fuzz(func(t *testing.T, words []byte, n uint16) {
		x := make([]float64, n%2048)
		for i := range x {
			var w uint64
			for k := range min(8, len(words)) {
				w |= uint64(words[(8*i+k)%len(words)]) << (8 * uint(k))
			}
			if v := math.Float64frombits(w + uint64(i/64)); v-v == 0 {
				x[i] = v
			}
		}
		want := sortedByKey(x)
		if sortFloats(x, make([]float64, len(x)), nil); !sameBits(x, want) {
			t.Fatalf("%v, want %v", x, want)
		}
	})
}

// What is kept beyond the limits is what a loop with branches keeps.
func FuzzOutside(f *testing.F) {
	f.Add(uint64(1), -1.0, 1.0)
	f.Add(uint64(2), 0.5, 0.5)  // a value at both limits is kept twice
	f.Add(uint64(3), 2.0, -2.0) // all are
	f.Add(uint64(4), math.Inf(-1), math.Inf(1))
	f.Fuzz(func(t *testing.T, seed uint64, below, above float64) {
		column, low, high := make([]float64, blockSize), make([]float64, blockSize), make([]float64, blockSize)
		g := generator{seed}
		for i := range column {
			column[i] = math.Round(8*signed(g.Uint64())) / 4
		}
		var wantLow, wantHigh []float64
		for _, v := range column {
			if v <= below {
				wantLow = append(wantLow, v)
			}
			if v >= above {
				wantHigh = append(wantHigh, v)
			}
		}
		if l, h := outside(column, below, above, low, high); !sameBits(low[:l], wantLow) || !sameBits(high[:h], wantHigh) {
			t.Fatalf("%v and %v, want %v and %v", low[:l], high[:h], wantLow, wantHigh)
		}
	})
}

func TestSortFloatsStops(t *testing.T) {
	x := make([]float64, 1000)
	for i := range x {
		x[i] = float64(-i)
	}
	sortFloats(x, make([]float64, len(x)), func() bool { return true })
	if x[1] != -1 {
		t.Error("sorted although it was to stop")
	}
}

func TestRanks(t *testing.T) {
	for _, c := range []struct {
		trials int
		p      float64
		q, r   int
		ok     bool
	}{
		{1_000_000, 0.95, 950_000, 25_000, true}, {100, 0.95, 95, 3, true}, {101, 0.95, 96, 3, true},
		{40, 0.95, 38, 1, true}, {20, 0.95, 19, 1, true}, {10, 0.95, 10, 0, false}, {0, 0.95, 0, 0, false}, {1, 0.2, 0, 1, false},
	} {
		q, r, ok := ranks(c.trials, c.p)
		if q != c.q || r != c.r || ok != c.ok {
			t.Errorf("ranks(%d, %v) = %d, %d, %v", c.trials, c.p, q, r, ok)
		}
	}
}
