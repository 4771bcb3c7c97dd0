// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package studentt

import (
	"bufio"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// studentError is the promised relative error of t.
func studentError(nu float64) float64 { return 2e-14 / min(nu, 1) }

func TestAgainstReference(t *testing.T) {
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
		got := Quantile(p, nu)
		if kind == "factor" {
			got = Factor(p, nu)
		}
		relative := math.Abs(got-want) / math.Abs(want)
		if nu >= 1 {
			worst = max(worst, relative)
		}
		if !(relative <= studentError(nu)) {
			t.Errorf("%s(%v, %v) = %v, want %v: relative error %.1e, promised %.0e", kind, p, nu,
				got, want, relative, studentError(nu))
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
func TestClosedForms(t *testing.T) {
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
			if got := -Quantile(q, nu); math.Abs(got/want-1) > studentError(nu) {
				t.Errorf("nu %v: quantile of the tail %v is %v, closed form %v", nu, q, got, want)
			}
		}
	}
}

// A second way: the probability of the quantile is the one asked for. The
// probability is gonum's incomplete beta function where that is good, nu ≤ 100.
func TestAgainstGonum(t *testing.T) {
	for _, nu := range []float64{0.2, 1, 1.5, 2.7, 8, 16.8, 39, 41, 99} {
		d := distuv.StudentsT{Sigma: 1, Nu: nu}
		for _, q := range []float64{1e-6, 1e-4, 0.00135, 0.005, 0.025, 0.1, 0.25, 0.4} {
			x := Quantile(q, nu)
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
func TestAgainstFiniteSums(t *testing.T) {
	rnd := rand.New(rand.NewPCG(41, 42))
	for range 5000 {
		nu, p := 1+rnd.IntN(400), rnd.Float64()
		if rnd.IntN(2) == 0 {
			p = 1 - math.Pow(10, -6*rnd.Float64())
		}
		if p == 0 {
			continue
		}
		k := Factor(p, float64(nu))
		// The powers of the cosine in the sum lose more digits the higher they are.
		if got := finiteProbability(k, nu); math.Abs(got-p) > 2e-15+2e-17*float64(nu) {
			t.Errorf("nu %d: the factor for %v is %v, whose probability is %v", nu, p, k, got)
		}
	}
}

// The baseline of the benchmark gives the same quantiles there.
func TestBaseline(t *testing.T) {
	for _, nu := range []float64{1.5, 2.7, 16.8, 100, 1000, 1e4} {
		d := distuv.StudentsT{Sigma: 1, Nu: nu}
		for _, p := range studentProbabilities {
			if got, want := d.Quantile(p), Quantile(p, nu); math.Abs(got/want-1) > 1e-10 {
				t.Errorf("nu %v: gonum's quantile of %v is %v, ours %v", nu, p, got, want)
			}
		}
	}
}

// The quantile is odd about p = 1/2 and rises with p, across all changes of method.
func TestQuantileRises(t *testing.T) {
	for _, nu := range []float64{0.3, 1, 1.5, 3, 39.9, 40.1, 999, 1001, 5000, 1e7, math.Inf(1)} {
		if got := Quantile(0.5, nu); got != 0 {
			t.Errorf("nu %v: median %v, want 0", nu, got)
		}
		last := 0.0
		for i := 1; i < 512; i++ {
			p := 0.5 + float64(i)/1024
			x := Quantile(p, nu)
			if !(x > last) {
				t.Errorf("nu %v: quantile of %v is %v, not above %v", nu, p, x, last)
			}
			if y := Quantile(1-p, nu); y != -x {
				t.Errorf("nu %v: quantiles of %v and %v are %v and %v; expected opposite numbers", nu, p, 1-p, x, y)
			}
			last = x
		}
	}
}

func TestAllocations(t *testing.T) {
	for _, nu := range []float64{0.5, 1.5, 16.8, 900, 1e6, math.Inf(1)} {
		for _, p := range []float64{1e-9, 0.5000001, 0.95, 0.9999} {
			if n := testing.AllocsPerRun(20, func() {
				Quantile(p, nu)
				Factor(p, nu)
			}); n != 0 {
				t.Errorf("nu %v, p %v: %v allocations, want 0", nu, p, n)
			}
		}
	}
}

var studentProbabilities = []float64{0.975, 0.995, 0.99865}

func BenchmarkQuantile(b *testing.B) {
	for _, nu := range []float64{1.5, 2.7, 16.8, 100, 1000, 1e4, 1e6, math.Inf(1)} {
		gonum := distuv.StudentsT{Sigma: 1, Nu: nu}
		impls := map[string]func(p float64) float64{
			"own":   func(p float64) float64 { return Quantile(p, nu) },
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

// The tail is that of gonum's distribution, and the quantile is where it leads back to.
func TestUpperTail(t *testing.T) {
	for _, nu := range []float64{0.5, 1, 2.5, 4, 16.8, 1000, math.Inf(1)} {
		for _, x := range []float64{-40, -3, -0.2, 0, 0.7, 2, 12} {
			got := UpperTail(x, nu)
			want := distuv.StudentsT{Sigma: 1, Nu: nu}.Survival(x)
			if math.IsInf(nu, 1) {
				want = distuv.UnitNormal.Survival(x)
			}
			if math.Abs(got-want) > 1e-12*want+1e-15 {
				t.Errorf("ν = %v: Pr(T > %v) = %v; want %v", nu, x, got, want)
			}
		}
		for _, p := range []float64{0.6, 0.95, 0.999} {
			if got := UpperTail(Quantile(p, nu), nu); math.Abs(got-(1-p)) > 1e-13 {
				t.Errorf("ν = %v: tail beyond the quantile of %v is %v", nu, p, got)
			}
		}
	}
}
