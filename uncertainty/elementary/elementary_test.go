// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package elementary_test

import (
	"bufio"
	"math"
	"math/big"
	"os"
	"strconv"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty/elementary"
)

// functions of one argument, with the error that their comments promise in units of the
// last digit.
var functions = map[string]struct {
	f     func(float64) float64
	units float64
}{
	"Exp": {elementary.Exp, 1}, "Expm1": {elementary.Expm1, 1},
	"Log": {elementary.Log, 1}, "Log1p": {elementary.Log1p, 1},
	"Sin": {elementary.Sin, 1}, "Cos": {elementary.Cos, 1}, "Tan": {elementary.Tan, 1},
	"Asin": {elementary.Asin, 1}, "Acos": {elementary.Acos, 1}, "Atan": {elementary.Atan, 1},
	"Erf": {elementary.Erf, 2}, "Erfc": {elementary.Erfc, 6},
	"NormalDensity": {elementary.NormalDensity, 2}, "NormalQuantile": {elementary.NormalQuantile, 8},
	"Acosh": {elementary.Acosh, 3}, "Asinh": {elementary.Asinh, 3},
	"NormalCDF": {elementary.NormalCDF, 6},
}

// unitsApart is the difference of a result from a value with more digits, in units of the
// result's last digit.
func unitsApart(t *testing.T, got float64, want string) float64 {
	t.Helper()
	w, _, err := big.ParseFloat(want, 10, 200, big.ToNearestEven)
	if err != nil {
		t.Fatal(err)
	}
	if math.IsNaN(got) || math.IsInf(got, 0) {
		return math.Inf(1)
	}
	nearest, _ := w.Float64()
	unit := math.Nextafter(math.Abs(nearest), math.Inf(1)) - math.Abs(nearest)
	d, _ := w.Sub(new(big.Float).SetPrec(200).SetFloat64(got), w).Float64()
	return math.Abs(d) / unit
}

func TestPublishedElementary(t *testing.T) {
	file, err := os.Open("testdata/elementary.tsv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	worst := make(map[string]float64)
	lines := bufio.NewScanner(file)
	for lines.Scan() {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		fields := strings.Split(lines.Text(), "\t")
		var x []float64
		for text := range strings.FieldsSeq(fields[1]) {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			x = append(x, v)
		}
		name, promised := fields[0], 1.0
		var got float64
		switch name {
		case "Hypot":
			got, promised = elementary.Hypot(x[0], x[1]), 2
		case "Pow":
			got = elementary.Pow(x[0], x[1])
			if x[1] == math.Trunc(x[1]) && math.Abs(x[1]) <= 4 {
				promised = 3
			}
		default:
			f := functions[name]
			got, promised = f.f(x[0]), f.units
			if name == "NormalCDF" && x[0] < 0 {
				promised += x[0] * x[0]
			}
		}
		off := unitsApart(t, got, fields[2])
		worst[name] = max(worst[name], off)
		if !(off <= promised) {
			t.Errorf("%s(%v) = %v, want %s: %.2f units of the last digit, promised %v", name, x,
				got, fields[2], off, promised)
		}
	}
	if len(worst) != len(functions)+2 {
		t.Errorf("the table has %d functions, want %d", len(worst), len(functions)+2)
	}
	t.Logf("largest errors in units of the last digit: %v", worst)
}

// Special values are those of package math.
func TestSpecialValues(t *testing.T) {
	same := func(name string, x, got, want float64) {
		t.Helper()
		if got != want && !(math.IsNaN(got) && math.IsNaN(want)) ||
			math.Signbit(got) != math.Signbit(want) && got == 0 {
			t.Errorf("%s(%v) = %v, want %v", name, x, got, want)
		}
	}
	inf := math.Inf(1)
	tiny := math.SmallestNonzeroFloat64
	for _, x := range []float64{0, math.Copysign(0, -1), 1, -1, 2, -2, 1000, -1000, 1e300, inf,
		-inf, math.NaN(), tiny, -tiny, 0.5, -0.5} {
		if !(x > 0) || x == inf || x == 1 {
			same("Log", x, elementary.Log(x), math.Log(x))
		}
		if math.IsNaN(x) || math.Abs(x) <= tiny || math.Abs(x) >= 1000 {
			same("Exp", x, elementary.Exp(x), math.Exp(x))
			same("Expm1", x, elementary.Expm1(x), math.Expm1(x))
			same("Erf", x, elementary.Erf(x), math.Erf(x))
			same("Erfc", x, elementary.Erfc(x), math.Erfc(x))
		}
		if math.IsNaN(x) || math.IsInf(x, 0) || math.Abs(x) <= tiny {
			same("Atan", x, elementary.Atan(x), math.Atan(x))
			same("Sin", x, elementary.Sin(x), math.Sin(x))
			same("Cos", x, elementary.Cos(x), math.Cos(x))
			same("Tan", x, elementary.Tan(x), math.Tan(x))
			same("Log1p", x, elementary.Log1p(x), math.Log1p(x))
		}
		if !(math.Abs(x) > tiny && math.Abs(x) < 1) {
			same("Asin", x, elementary.Asin(x), math.Asin(x))
			same("Acos", x, elementary.Acos(x), math.Acos(x))
		}
		for _, y := range []float64{0, 1, -1, 2, -3, 0.5, inf, -inf, math.NaN(), 1e300, -1e300} {
			same("Pow", x, elementary.Pow(x, y), math.Pow(x, y))
		}
	}
	for _, x := range []float64{0, math.Copysign(0, -1), inf, -inf, math.NaN(), 0.5} {
		same("Acosh", x, elementary.Acosh(x), math.Acosh(x))
		if x != 0.5 {
			same("Asinh", x, elementary.Asinh(x), math.Asinh(x))
		}
		for _, y := range []float64{0, 3, inf, -inf, math.NaN()} {
			same("Hypot", x, elementary.Hypot(x, y), math.Hypot(x, y))
		}
	}
	same("Acosh", 1, elementary.Acosh(1), 0)
	same("Log1p", -1, elementary.Log1p(-1), -inf)
	same("Log1p", -1.5, elementary.Log1p(-1.5), math.NaN())
	same("Pow", -2, elementary.Pow(-2, 0.3), math.NaN())
	same("Pow", 1e300, elementary.Pow(1e300, 1.5), inf)
	same("Pow", 1e300, elementary.Pow(1e300, -1.5), 0)
	for p, want := range map[float64]float64{0: -inf, 1: inf, -0.1: math.NaN(), 1.1: math.NaN(), 0.5: 0} {
		same("NormalQuantile", p, elementary.NormalQuantile(p), want)
	}
	for _, x := range []float64{inf, -inf, 40, -40} {
		same("NormalDensity", x, elementary.NormalDensity(x), 0)
		same("NormalCDF", x, elementary.NormalCDF(x), map[bool]float64{true: 1}[x > 0])
	}
	for _, x := range []float64{elementary.NormalDensity(math.NaN()), elementary.NormalCDF(math.NaN()),
		elementary.NormalQuantile(math.NaN()), elementary.NormalUpper(-1, 1.5), elementary.NormalUpper(0.6, -0.1)} {
		same("of NaN", x, x, math.NaN())
	}
	same("NormalUpper", 0, elementary.NormalUpper(0, 0.5), inf)
}

// The speed beside that of package math.
func BenchmarkElementary(b *testing.B) {
	for _, c := range []struct {
		name      string
		own, math func(float64) float64
	}{
		{"Exp", elementary.Exp, math.Exp}, {"Log", elementary.Log, math.Log}, {"Sin", elementary.Sin, math.Sin},
		{"Atan", elementary.Atan, math.Atan}, {"Asin", elementary.Asin, math.Asin}, {"Erfc", elementary.Erfc, math.Erfc},
		{"Pow", func(x float64) float64 { return elementary.Pow(x, 1.3) }, func(x float64) float64 { return math.Pow(x, 1.3) }},
	} {
		for impl, f := range map[string]func(float64) float64{"own": c.own, "math": c.math} {
			b.Run("f="+c.name+"/impl="+impl, func(b *testing.B) {
				x, sum := 0.001, 0.0
				for b.Loop() {
					sum += f(x)
					if x += 0.0123; x > 0.99 {
						x -= 0.98
					}
				}
				if math.IsNaN(sum) {
					b.Fatal(sum)
				}
			})
		}
	}
}

func TestDecimalExponent(t *testing.T) {
	for x, want := range map[float64]int{
		1: 0, 10: 1, 1000: 3, 999.9999999999999: 2, -0.001: -3, 5e-324: -324, 1e300: 300, 0: 0, math.NaN(): 0, math.Inf(-1): 0,
	} {
		if got := elementary.DecimalExponent(x); got != want {
			t.Errorf("DecimalExponent(%v) = %d, want %d", x, got, want)
		}
	}
}

// Far out in the tail, where the start of the iteration is nearly right by chance, the last
// digits are iterated too. From arithmetic of 90 digits (mpmath).
func TestNormalQuantileFarOut(t *testing.T) {
	for p, want := range farQuantiles {
		if units := unitsApart(t, elementary.NormalQuantile(p), want); units > 8 {
			t.Errorf("NormalQuantile(%v) is off by %.3g units", p, units)
		}
	}
}

// In the lower tail the rounding of the argument counts: at most 2x² units and 6.
func TestNormalCDFFarOut(t *testing.T) {
	for x, want := range farProbabilities {
		if units := unitsApart(t, elementary.NormalCDF(x), want); units > 6+2*x*x {
			t.Errorf("NormalCDF(%v) is off by %.3g units", x, units)
		}
	}
}

var farQuantiles = map[float64]string{
	5.843432798123353e-47:  "-14.3435795483864991182447580711",
	1.0030921372853858e-44: "-13.9820522341745805959841410472",
	9.1674286e-45:          "-13.9884562850268757651890581936",
	1e-30:                  "-11.4640246884436157197669737714",
	4e-46:                  "-14.2094952850747767221466080671",
	1e-50:                  "-14.9333375347884889806582114809",
	1e-100:                 "-21.2734535609653242941795170354",
	1e-300:                 "-37.0470962993611992365470425049",
}

var farProbabilities = map[float64]string{
	-2.930671637983775:  "0.00169115044404431552886813648253",
	-6.8529132:          "3.61804984177601827982290914826e-12",
	-12.578129128163354: "1.39274311766953478285613593229e-36",
	-22.83732021525454:  "9.76720764581316312844898857301e-116",
	-31.078451557776866: "2.35485273891976069362857008347e-212",
	-36.9:               "2.31052448114061750611920153155e-298",
}
