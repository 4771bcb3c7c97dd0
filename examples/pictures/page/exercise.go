// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"strconv"
	"strings"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// A task is an exercise: readings of a resistor, with what is known of the meter. A seed
// gives the same one to everybody.
type task struct {
	Seed       uint64
	Readings   []float64 // Ω
	Decimals   int       // of the display
	Step       float64   // Ω, of the display
	Correction float64   // Ω, from the certificate of the meter
	U          float64   // Ω, of the correction, k = 2
	budget     *uncertainty.Budget
}

// newTask draws an exercise. The data are invented.
func newTask(seed uint64) (*task, error) {
	rng := rand.New(rand.NewPCG(seed, 0x6f686d))
	nominal := []float64{10, 100, 1000}[rng.IntN(3)]
	decimals := []int{4, 3, 2}[int(math.Log10(nominal))-1]
	step := math.Pow10(-decimals)
	t := &task{Seed: seed, Decimals: decimals, Step: step}
	// Scatter and certificate are of one size, so that neither can be forgotten unseen, and
	// five readings at most make k differ from that of the normal.
	scatter := step * (4 + 8*rng.Float64())
	n := 4 + rng.IntN(3)
	middle := nominal * (1 + 2e-4*(rng.Float64()-0.5))
	for range n {
		t.Readings = append(t.Readings, rounded(middle+scatter*rng.NormFloat64(), decimals))
	}
	t.Correction = rounded(step*float64(3+rng.IntN(6))*[]float64{-1, 1}[rng.IntN(2)], decimals)
	t.U = rounded(max(2*step, scatter*(0.3+0.4*rng.Float64())), decimals)
	y := uncertainty.Sum(
		uncertainty.Source{Name: "readings", Unit: "Ω",
			Distribution: uncertainty.TypeA(t.Readings...)}.Input(),
		uncertainty.Source{Name: "correction", Unit: "Ω",
			Distribution: uncertainty.Certificate(t.Correction, t.U, 2)}.Input(),
		uncertainty.Source{Name: "display", Unit: "Ω", Distribution: uncertainty.Resolution(0,
			t.Step)}.Input())
	var err error
	t.budget, err = uncertainty.Evaluate(y.Named("R"))
	return t, err
}

func rounded(v float64, decimals int) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', decimals, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// Text writes a resistance as the display shows it.
func (t *task) Text(v float64) string { return strconv.FormatFloat(v, 'f', t.Decimals, 64) }

// An entry is one answer of the student with its judgement.
type entry struct {
	Field, Label, Hint, Given string
	Right                     bool
	Message                   string
}

type exercisePage struct {
	Task    *task
	Entries []*entry
	Judged  bool
	Right   int
	Error   string
}

func newEntries() []*entry {
	return []*entry{
		{Field: "estimate", Label: "Estimate of the resistance, in Ω",
			Hint: "mean of the readings and what belongs to it"},
		{Field: "scatter", Label: "Standard uncertainty of the mean of the readings, in Ω",
			Hint: "Type A"},
		{Field: "u", Label: "Combined standard uncertainty, in Ω"},
		{Field: "dof", Label: "Effective degrees of freedom"},
		{Field: "k", Label: "Coverage factor for 95 %"},
		{Field: "U", Label: "Expanded uncertainty, in Ω"},
		{Field: "statement", Label: "Complete statement", Hint: "such as: 100.12 ± 0.05"},
	}
}

// exercise shows a task, and judges what was entered for it.
func (s *server) exercise(w http.ResponseWriter, r *http.Request) {
	seed := uint64(1)
	if text := strings.TrimSpace(r.Form.Get("seed")); text != "" {
		var err error
		if seed, err = strconv.ParseUint(text, 10, 32); err != nil {
			s.refuse(w, http.StatusBadRequest,
				fmt.Errorf("seed %.20q; expected a whole number from 0 to 4294967295", text))
			return
		}
	}
	t, err := newTask(seed)
	if err != nil {
		s.refuse(w, http.StatusInternalServerError, unit.Cause(err))
		return
	}
	page := &exercisePage{Task: t, Entries: newEntries()}
	if r.Method == http.MethodPost {
		page.Judged = true
		judge := t.judges()
		for _, e := range page.Entries {
			e.Given = strings.TrimSpace(r.PostForm.Get(e.Field))
			if len(e.Given) > 60 {
				e.Given = e.Given[:0]
			}
			if e.Message, e.Right = judge[e.Field](e.Given); e.Right {
				page.Right++
			}
		}
	}
	s.show(w, http.StatusOK, "exercisePage", page)
}

// A slip is a wrong value that a known mistake leads to.
type slip struct {
	value   float64
	message string
}

// An accepted value is right within a tolerance, with a remark where there is something to say.
type accepted struct {
	value, tolerance float64
	remark           string
}

// judges say of what was entered whether it is right, and else where it went wrong.
func (t *task) judges() map[string]func(string) (string, bool) {
	b := t.budget
	n := float64(len(t.Readings))
	mean, s, err := uncertainty.MeanStdDev(t.Readings)
	if err != nil {
		mean, s = math.NaN(), math.NaN()
	}
	uA, uCert, uStep := s/math.Sqrt(n), t.U/2, t.Step/math.Sqrt(12)
	combined := func(a, c, d float64) float64 { return math.Sqrt(a*a + c*c + d*d) }
	k, U := b.Expanded.K, b.Expanded.U
	half := halfUnit(b.StandardUncertainty)
	// The examples of the guide look t up in a table, at degrees of freedom truncated to a
	// whole number (GUM G.4.1): who does so gets another k and U, and is as right.
	whole := math.Floor(b.DOF)
	kWhole := mustFactor(whole)
	UWhole := kWhole * b.StandardUncertainty
	truncated := fmt.Sprintf(", with the degrees of freedom truncated to %.0f", whole)
	return map[string]func(string) (string, bool){
		"estimate": number([]accepted{{mean + t.Correction, half, ""}}, []slip{
			{mean, "this is the mean alone: the correction of the certificate belongs to the " +
				"estimate"},
			{mean - t.Correction, "the correction was subtracted: it is added to the reading"},
		}),
		"scatter": number([]accepted{{uA, halfUnit(uA), ""}}, []slip{
			{s, "this is the standard deviation of one reading: that of the mean is smaller by √n"},
			{s * math.Sqrt((n-1)/n), "this is s with n in place of n − 1, and not divided by √n"},
			{uA * math.Sqrt((n-1)/n), "s was computed with n in place of n − 1"},
			{s / n, "s was divided by n; expected √n"},
		}),
		"u": number([]accepted{{b.StandardUncertainty, half, ""}}, []slip{
			{combined(s, uCert, uStep), "√n was forgotten: the scatter counts as that of the mean"},
			{combined(uA, t.U, uStep), "U of the certificate was taken for u: divide it by k = 2"},
			{uA + uCert + uStep, "the contributions were added as they are: their squares add"},
			{combined(uA, t.U/math.Sqrt(3), uStep),
				"the certificate was taken as a rectangle: it states U with k = 2"},
			{combined(uA, uCert, t.Step),
				"the step of the display was taken as a standard uncertainty: divide it by √12"},
			{combined(uA, uCert, 0), "the resolution of the display was left out"},
			{combined(uA, 0, uStep), "the certificate was left out"},
			{uA, "this is the Type A contribution alone"},
			{U, "this is the expanded uncertainty"},
		}),
		"dof": number([]accepted{{b.DOF, max(0.02*b.DOF, b.DOF-whole+1e-9), ""}}, []slip{
			{n - 1, "this is n − 1 of the readings alone: by Welch and Satterthwaite the other " +
				"contributions add to it"},
			{n, "this is the number of readings"},
		}),
		"k": number([]accepted{{k, 0.015, ""}, {kWhole, 0.015, truncated}}, []slip{
			{1.96, fmt.Sprintf("this is k of the normal distribution; for %.1f degrees of "+
				"freedom Student's t is larger", b.DOF)},
			{2, fmt.Sprintf("k = 2 is usual for many degrees of freedom; here there are %.1f",
				b.DOF)},
			{mustFactor(n - 1), "this is t for n − 1; take the effective degrees of freedom"},
		}),
		"U": number([]accepted{{U, halfUnit(U), ""}, {UWhole, halfUnit(UWhole), truncated}}, []slip{
			{1.96 * b.StandardUncertainty, "this is u times k of the normal distribution"},
			{2 * b.StandardUncertainty, "this is 2·u; k follows from the effective degrees of " +
				"freedom"},
			{k * oneDigit(b.StandardUncertainty),
				"u was rounded before it was multiplied: round at the end"},
			{b.StandardUncertainty, "this is the standard uncertainty"},
		}),
		"statement": statement(mean+t.Correction, []accepted{{U, 0, ""}, {UWhole, 0, truncated}}),
	}
}

func mustFactor(dof float64) float64 {
	k, err := uncertainty.CoverageFactor(0.95, dof)
	if err != nil {
		return math.NaN()
	}
	return k
}

// halfUnit is half a unit of the second significant digit.
func halfUnit(v float64) float64 {
	return 0.5 * math.Pow10(int(math.Floor(math.Log10(v)))-1)
}

func oneDigit(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 0, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// number judges a number, which may carry the unit of its field: right within the tolerance
// that its digits allow.
func number(wants []accepted, slips []slip) func(string) (string, bool) {
	return func(text string) (string, bool) {
		if text == "" {
			return "not answered", false
		}
		v, err := unit.ParseNumber(strings.TrimSpace(strings.TrimSuffix(text, "Ω")))
		if err != nil {
			return unit.Cause(err).Error(), false
		}
		for _, w := range wants {
			if math.Abs(v-w.value) <= w.tolerance*(1+1e-9) {
				return "right" + w.remark, true
			}
		}
		// Mistakes may lead to nearly the same number: the nearest one is meant.
		nearest, message := math.Inf(1), ""
		for _, s := range slips {
			off := math.Abs(v - s.value)
			within := math.Min(wants[0].tolerance, 0.05*math.Abs(s.value)) * (1 + 1e-9)
			if off <= within && off < nearest {
				nearest, message = off, s.message
			}
		}
		if message != "" {
			return message, false
		}
		if v < wants[0].value {
			return "too small", false
		}
		return "too large", false
	}
}

// statement judges "estimate ± U": two digits of U, or one, rounded to nearest or up (GUM
// 7.2.6), and the estimate to the same place.
func statement(estimate float64, wants []accepted) func(string) (string, bool) {
	return func(text string) (string, bool) {
		if text == "" {
			return "not answered", false
		}
		text = strings.TrimSpace(strings.TrimSuffix(strings.Trim(text, "() "), "Ω"))
		text = strings.NewReplacer("+-", "±", "+/-", "±").Replace(text)
		left, right, ok := strings.Cut(text, "±")
		if !ok {
			return "expected estimate ± U, such as 100.12 ± 0.05", false
		}
		left, right = strings.Trim(left, "() Ω"), strings.Trim(right, "() Ω")
		v, err := unit.ParseNumber(left)
		if err != nil {
			return "estimate " + unit.Cause(err).Error(), false
		}
		u, err := unit.ParseNumber(right)
		if err != nil {
			return "U " + unit.Cause(err).Error(), false
		}
		// Half a unit of the last place that is written, and a little for the arithmetic.
		half := 0.5 * math.Pow10(-places(left)) * (1 + 1e-6)
		digits := len(strings.TrimLeft(strings.ReplaceAll(right, ".", ""), "0"))
		near := false
		for _, w := range wants {
			unitOfU := math.Pow10(-places(right))
			if off := u - w.value; off < -0.5*unitOfU*(1+1e-6) || off >= unitOfU {
				near = near || math.Abs(off) <= 0.1*w.value
				continue
			}
			switch {
			case digits > 2:
				return "U has too many digits: two are enough", false
			case places(left) != places(right):
				return "estimate and U are given to different places", false
			case math.Abs(v-estimate) > half && math.Abs(v-estimate) <= 4*half:
				return "the last digit of the estimate is not rounded correctly", false
			case math.Abs(v-estimate) > half:
				return "the estimate is not that of the first question", false
			}
			return "right: U to " + unit.Counted(digits, "significant digit",
				"significant digits") + ", the estimate to the same place" + w.remark, true
		}
		if near {
			return "U is not rounded correctly", false
		}
		return "U is not the expanded uncertainty", false
	}
}

func places(text string) int {
	_, after, _ := strings.Cut(text, ".")
	return len(after)
}
