// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"bufio"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// studentError is the promised relative error of t.
func studentError(nu float64) float64 { return 2e-14 / min(nu, 1) }

func TestStudentTAgainstReference(t *testing.T) {
	file, err := os.Open("testdata/studentt.tsv") // made with 80 digits, see its header
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, worst := 0, 0.0
	for lines := bufio.NewScanner(file); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		rows++
		kind, nu, p, want := referenceRow(t, lines.Text())
		got := studentTQuantile(p, nu)
		if kind == "factor" {
			if got, err = CoverageFactor(p, nu); err != nil {
				t.Fatal(err)
			}
		}
		relative := math.Abs(got-want) / math.Abs(want)
		if nu >= 1 {
			worst = max(worst, relative)
		}
		if !(relative <= studentError(nu)) {
			t.Errorf("%s(%v, %v) = %v, want %v: relative error %.1e, promised %.0e", kind, p, nu, got, want, relative, studentError(nu))
		}
	}
	if rows != 30*(22+12) {
		t.Errorf("%d rows in the reference table, want %d", rows, 30*(22+12))
	}
	t.Logf("largest relative error for nu ≥ 1: %.1e", worst)
}

func referenceRow(t *testing.T, line string) (kind string, nu, p, want float64) {
	t.Helper()
	fields := strings.Split(line, "\t")
	if len(fields) != 4 {
		t.Fatalf("row %q: %d fields, want 4", line, len(fields))
	}
	var numbers [3]float64
	for i, text := range fields[1:] {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatalf("row %q: %v", line, err)
		}
		numbers[i] = v
	}
	return fields[0], numbers[0], numbers[1], numbers[2]
}

// For 1, 2 and 4 degrees of freedom the quantile has closed forms: cot(πq) is that of
// the Cauchy distribution, the others follow from the distribution functions, which
// are algebraic there (4: with α = 4q(1-q), t² = 4 (cos(arccos(√α)/3)/√α - 1)).
func TestStudentTClosedForms(t *testing.T) {
	closed := map[float64]func(q float64) float64{
		1: func(q float64) float64 { return 1 / math.Tan(math.Pi*q) },
		2: func(q float64) float64 { return (1 - 2*q) / math.Sqrt(2*q*(1-q)) },
		4: func(q float64) float64 {
			root := math.Sqrt(4 * q * (1 - q))
			return 2 * math.Sqrt(math.Cos(math.Acos(root)/3)/root-1)
		},
	}
	for nu, f := range closed {
		for _, q := range []float64{1e-300, 1e-100, 1e-15, 1e-7, 0.001, 0.025, 0.1, 0.2, 0.3} {
			want := f(q)
			if got := -studentTQuantile(q, nu); math.Abs(got/want-1) > studentError(nu) {
				t.Errorf("nu %v: quantile of the tail %v is %v, closed form %v", nu, q, got, want)
			}
		}
	}
}

// A second way: the probability of the quantile is the one asked for. The
// probability is gonum's incomplete beta function where that is good, nu ≤ 100.
func TestStudentTAgainstGonum(t *testing.T) {
	for _, nu := range []float64{0.2, 1, 1.5, 2.7, 8, 16.8, 39, 41, 99} {
		d := distuv.StudentsT{Sigma: 1, Nu: nu}
		for _, q := range []float64{1e-6, 1e-4, 0.00135, 0.005, 0.025, 0.1, 0.25, 0.4} {
			x := studentTQuantile(q, nu)
			if got := d.CDF(x); math.Abs(got/q-1) > 1e-11 {
				t.Errorf("nu %v: quantile of %v is %v, whose probability is %v", nu, q, x, got)
			}
		}
	}
}

// finiteProbability is the probability between −t and t for whole nu, a finite sum
// (Handbook of Mathematical Functions, NBS 1964, 26.7.3 and 26.7.4).
func finiteProbability(t float64, nu int) float64 {
	sin, cos := math.Sincos(math.Atan(t / math.Sqrt(float64(nu))))
	odd := nu % 2
	sum, term := 0.0, 1.0
	if odd == 1 {
		term = cos
	}
	for k := 1 + odd; k < nu; k += 2 {
		sum += term
		term *= float64(k) / float64(k+1) * cos * cos
	}
	if odd == 0 {
		return sin * sum
	}
	return (math.Atan(t/math.Sqrt(float64(nu))) + sin*sum) * 2 / math.Pi
}

// Random whole degrees of freedom and probabilities; the tail is left with the digits
// that 1 − p keeps.
func TestStudentTAgainstFiniteSums(t *testing.T) {
	rnd := rand.New(rand.NewPCG(41, 42))
	for range 5000 {
		nu, p := 1+rnd.IntN(400), rnd.Float64()
		if rnd.IntN(2) == 0 {
			p = 1 - math.Pow(10, -6*rnd.Float64())
		}
		if p == 0 {
			continue
		}
		k, err := CoverageFactor(p, float64(nu))
		if err != nil {
			t.Fatal(err)
		}
		// The powers of the cosine in the sum lose more digits the higher they are.
		if got := finiteProbability(k, nu); math.Abs(got-p) > 2e-15+2e-17*float64(nu) {
			t.Errorf("nu %d: the factor for %v is %v, whose probability is %v", nu, p, k, got)
		}
	}
}

// The baseline of the benchmark gives the same quantiles there.
func TestBaselineOfStudentT(t *testing.T) {
	for _, nu := range []float64{1.5, 2.7, 16.8, 100, 1000, 1e4} {
		d := distuv.StudentsT{Sigma: 1, Nu: nu}
		for _, p := range studentProbabilities {
			if got, want := d.Quantile(p), studentTQuantile(p, nu); math.Abs(got/want-1) > 1e-10 {
				t.Errorf("nu %v: gonum's quantile of %v is %v, ours %v", nu, p, got, want)
			}
		}
	}
}

// The quantile is odd about p = 1/2 and rises with p, across all changes of method.
func TestStudentTQuantileRises(t *testing.T) {
	for _, nu := range []float64{0.3, 1, 1.5, 3, 39.9, 40.1, 999, 1001, 5000, 1e7, math.Inf(1)} {
		if got := studentTQuantile(0.5, nu); got != 0 {
			t.Errorf("nu %v: median %v, want 0", nu, got)
		}
		last := 0.0
		for i := 1; i < 512; i++ {
			p := 0.5 + float64(i)/1024
			x := studentTQuantile(p, nu)
			if !(x > last) {
				t.Errorf("nu %v: quantile of %v is %v, not above %v", nu, p, x, last)
			}
			if y := studentTQuantile(1-p, nu); y != -x {
				t.Errorf("nu %v: quantiles of %v and %v are %v and %v; expected opposite numbers", nu, p, 1-p, x, y)
			}
			last = x
		}
	}
}

// No probability and no number of degrees of freedom, however extreme, gives NaN or a
// wrong sign.
func TestStudentTExtremes(t *testing.T) {
	nus := []float64{5e-324, 1e-300, 1e-10, 1e-3, 0.02, 0.5, 1, 3, 1e3, 1e5, 1e18, 1e300, math.MaxFloat64, math.Inf(1)}
	ps := []float64{5e-324, 1e-300, 1e-20, 1e-10, 0.1, 0.5, 0.9, 0.9999, 1 - 1e-12, math.Nextafter(1, 0)}
	for _, nu := range nus {
		last := 0.0
		for _, p := range ps {
			k, err := CoverageFactor(p, nu)
			if err != nil && nu >= 1 {
				t.Errorf("CoverageFactor(%v, %v): %v", p, nu, err)
			}
			if err != nil {
				k = math.Inf(1)
			}
			if !(k >= last) {
				t.Errorf("CoverageFactor(%v, %v) = %v, below %v", p, nu, k, last)
			}
			last = k
			if x := studentTQuantile(p, nu); math.IsNaN(x) || x > 0 != (p > 0.5) && x != 0 {
				t.Errorf("quantile(%v, %v) = %v", p, nu, x)
			}
		}
	}
	// In the limit of a small p the factor is p over twice the density at the centre,
	// 1/π for one degree of freedom.
	if got, _ := CoverageFactor(1e-300, 1); math.Abs(got/(math.Pi/2*1e-300)-1) > 1e-14 {
		t.Errorf("CoverageFactor(1e-300, 1) = %v, want π/2 1e-300", got)
	}
	if tiny, want := -studentTQuantile(1e-300, math.Inf(1)), 37.0470962993611992; math.Abs(tiny/want-1) > 1e-15 {
		t.Errorf("normal quantile of 1e-300 is -%v, want -%v", tiny, want)
	}
}

func TestCoverageFactorRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		p, dof float64
		name   string
		cause  error
	}{
		{nan, 5, "p", ErrNotFinite},
		{inf, 5, "p", ErrNotFinite},
		{0, 5, "p", ErrDomain},
		{1, 5, "p", ErrDomain},
		{95, 5, "p", ErrDomain},
		{-0.5, 5, "p", ErrDomain},
		{0.95, nan, "dof", ErrNotFinite},
		{0.95, 0, "dof", ErrDomain},
		{0.95, -1, "dof", ErrDomain},
		{0.95, -inf, "dof", ErrDomain},
		{0.95, 1e-3, "dof", ErrDomain}, // k is beyond float64
	} {
		k, err := CoverageFactor(c.p, c.dof)
		e, ok := errors.AsType[*Error](err)
		if !ok || k != 0 || e.Op != "CoverageFactor" || e.Name != c.name || !errors.Is(err, c.cause) {
			t.Errorf("CoverageFactor(%v, %v) = %v, %v; want an Error about %s that wraps %q", c.p, c.dof, k, err, c.name, c.cause)
		}
	}
}

// publishedFactors runs a table of factors: one column for each coverage probability.
func publishedFactors(t *testing.T, row uncertaintytest.Published, p []float64, table map[float64]string) {
	for dof, line := range table {
		for i, printed := range strings.Fields(line) {
			k, err := CoverageFactor(p[i], dof)
			if err != nil {
				t.Fatal(err)
			}
			row.Name, row.Printed = fmt.Sprintf("p=%.4f,dof=%v", p[i], dof), printed
			row.Run(t, k)
		}
	}
}

// within is the probability of a normal deviate between -k and k: the columns headed
// 68.27, 95.45 and 99.73 stand for k = 1, 2, 3 (note to the table).
func within(k float64) float64 { return math.Erf(k / math.Sqrt2) }

func TestPublishedStudentFactors(t *testing.T) {
	publishedFactors(t, uncertaintytest.Published{
		Source: "JCGM 100:2008", Place: "Table G.2, printed p. 78", Provenance: uncertaintytest.Seen,
	}, []float64{within(1), 0.90, 0.95, within(2), 0.99, within(3)}, map[float64]string{
		1:           "1.84 6.31 12.71 13.97 63.66 235.80",
		2:           "1.32 2.92 4.30 4.53 9.92 19.21",
		3:           "1.20 2.35 3.18 3.31 5.84 9.22",
		4:           "1.14 2.13 2.78 2.87 4.60 6.62",
		5:           "1.11 2.02 2.57 2.65 4.03 5.51",
		8:           "1.07 1.86 2.31 2.37 3.36 4.28",
		10:          "1.05 1.81 2.23 2.28 3.17 3.96",
		16:          "1.03 1.75 2.12 2.17 2.92 3.54",
		20:          "1.03 1.72 2.09 2.13 2.85 3.42",
		50:          "1.01 1.68 2.01 2.05 2.68 3.16",
		math.Inf(1): "1.000 1.645 1.960 2.000 2.576 3.000",
	})
}

func TestPublishedCalibrationFactors(t *testing.T) {
	table := map[float64]string{math.Inf(1): "2.00", 10: "2.28", 20: "2.13", 50: "2.05"}
	for i, printed := range strings.Fields("13.97 4.53 3.31 2.87 2.65 2.52 2.43 2.37") {
		table[float64(i+1)] = printed
	}
	publishedFactors(t, uncertaintytest.Published{
		Source: "EA-4/02 M:2022", Place: "Appendix E, Table E.1", Provenance: uncertaintytest.FromMemory,
	}, []float64{within(2)}, table)
}

func TestPublishedNormalFactors(t *testing.T) {
	publishedFactors(t, uncertaintytest.Published{
		Source: "JCGM 100:2008", Place: "G.1.3, Table G.1, printed p. 70", Provenance: uncertaintytest.Seen,
	}, []float64{0.90, 0.95, 0.99}, map[float64]string{math.Inf(1): "1.645 1.960 2.576"})
}

// The worked examples whose effective degrees of freedom are not whole or were
// truncated.
func TestPublishedExampleFactors(t *testing.T) {
	for _, c := range []struct {
		row    uncertaintytest.Published
		p, dof float64
	}{
		{uncertaintytest.Published{Name: "t95(19)", Source: "JCGM 100:2008", Place: "G.4.1, example", Printed: "2.09", Provenance: uncertaintytest.Seen}, 0.95, 19},
		{uncertaintytest.Published{Name: "t99(16)", Source: "JCGM 100:2008", Place: "H.1.6", Printed: "2.92", Provenance: uncertaintytest.Seen}, 0.99, 16},
	} {
		k, err := CoverageFactor(c.p, c.dof)
		if err != nil {
			t.Fatal(err)
		}
		c.row.Run(t, k)
	}
}

func TestStudentTAllocations(t *testing.T) {
	for _, nu := range []float64{0.5, 1.5, 16.8, 900, 1e6, math.Inf(1)} {
		for _, p := range []float64{1e-9, 0.5000001, 0.95, 0.9999} {
			if n := testing.AllocsPerRun(20, func() {
				studentTQuantile(p, nu)
				CoverageFactor(p, nu)
			}); n != 0 {
				t.Errorf("nu %v, p %v: %v allocations, want 0", nu, p, n)
			}
		}
	}
}

var studentProbabilities = []float64{0.975, 0.995, 0.99865}

func BenchmarkStudentT(b *testing.B) {
	for _, nu := range []float64{1.5, 2.7, 16.8, 100, 1000, 1e4, 1e6, math.Inf(1)} {
		gonum := distuv.StudentsT{Sigma: 1, Nu: nu}
		impls := map[string]func(p float64) float64{
			"own":   func(p float64) float64 { return studentTQuantile(p, nu) },
			"gonum": gonum.Quantile,
		}
		for _, name := range []string{"own", "gonum"} {
			if name == "gonum" && nu > 1e4 {
				continue // wrong there
			}
			b.Run(fmt.Sprintf("nu=%v/impl=%s", nu, name), func(b *testing.B) {
				i := 0
				for b.Loop() {
					impls[name](studentProbabilities[i%len(studentProbabilities)])
					i++
				}
			})
		}
	}
}
