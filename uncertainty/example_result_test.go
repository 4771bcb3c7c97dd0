// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"

	"example.com/ohmwright/uncertainty"
)

// What a result is worth, and which input to improve first: four readings of 1 kΩ, and
// a meter with a limit of error of 45 mΩ.
func ExampleBudget() {
	readings := uncertainty.Source{Name: "readings", Unit: "Ω",
		Distribution: uncertainty.TypeA(1000.21, 1000.24, 1000.22, 1000.23)}.Input()
	meter := uncertainty.Source{Name: "meter", Unit: "Ω", Distribution: uncertainty.Rectangular(0, 0.045)}.Input()
	b, err := uncertainty.Evaluate(readings.Sub(meter))
	if err != nil {
		fmt.Println(err)
		return
	}
	worst := slices.MaxFunc(b.Components, func(a, b uncertainty.Component) int {
		return int(1e6 * (a.Share - b.Share))
	})
	fmt.Println(b.Concise(2))
	fmt.Printf("%.0f %% of the variance is of the %s\n", 100*worst.Share, worst.Name)
	// Output:
	// 1000.225(27) Ω
	// 94 % of the variance is of the meter
}

// The second of the four ways of JCGM 100:2008, 7.2.2, with its numbers.
func ExampleBudget_Concise() {
	m := uncertainty.Source{Name: "mass", Unit: "g", Distribution: uncertainty.Normal(100.02147, 0.35e-3)}.Input()
	b, err := uncertainty.Evaluate(m)
	fmt.Println(b.Concise(2), err)
	// Output: 100.02147(35) g <nil>
}

// The same mass with its expanded uncertainty, for 9 degrees of freedom, as JCGM
// 100:2008, 7.2.4 states it.
func ExampleBudget_PlusMinus() {
	m := uncertainty.Source{Name: "mass", Unit: "g", Distribution: uncertainty.StudentT(100.02147, 0.35e-3, 9)}.Input()
	b, err := uncertainty.Evaluate(m)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s, k = %.2f\n", b.PlusMinus(2), b.Expanded.K)
	// Output: (100.02147 ± 0.00079) g, k = 2.26
}

// A table for a screen, with its warning: the certain bound of a display step is
// narrower than k·u.
func ExampleBudget_WriteText() {
	reading := uncertainty.Source{Name: "reading", Unit: "Ω", Distribution: uncertainty.Resolution(47.2, 0.1)}.Input()
	b, err := uncertainty.Evaluate(reading.Named("R"))
	if err == nil {
		err = b.WriteText(os.Stdout)
	}
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// Quantity  Estimate  Standard     Type  Distribution  Degrees of  Sensitivity  Uncertainty
	//                     uncertainty                      freedom     coefficient  contribution
	// reading   47.200 Ω  0.029 Ω      B     rectangular   ∞           1.000        0.029 Ω
	// R         47.200 Ω  0.029 Ω                          ∞
	//
	// R = (47.200 ± 0.047) Ω, coverage probability 95 %, from the distributions of the inputs
	// k·u = 0.057 Ω with k = 1.96 would hold for a normal distribution
	// R = 47.200(29) Ω, standard uncertainty in parentheses
	//
	// Share of variance
	// reading  100.00 %  ████████████████████
	//
	// warning: reading: U = 0.0566 exceeds ±0.05, which the result cannot leave: state the interval from the distributions of the inputs
	//
	// warning: reading: the result is not normally distributed: about ±0.0475 covers 95 %, where k·u gives ±0.0566
}

// Of many inputs those that matter.
func ExampleBudget_WriteLargest() {
	var parts []uncertainty.Quantity
	for i, u := range []float64{0.1, 3, 0.2, 4, 0.3} {
		name := fmt.Sprintf("element %d", i+1)
		parts = append(parts, uncertainty.Source{Name: name, Unit: "Ω",
			Distribution: uncertainty.Normal(1000, u)}.Input())
	}
	b, err := uncertainty.Evaluate(uncertainty.Sum(parts...).Named("R"))
	if err == nil {
		err = b.WriteLargest(os.Stdout, 2)
	}
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// Quantity   Estimate  Standard     Type  Distribution  Degrees of  Sensitivity  Uncertainty
	//                      uncertainty                      freedom     coefficient  contribution
	// element 4  1000.0 Ω  4.0 Ω        B     normal        ∞           1.000        4.0 Ω
	// element 2  1000.0 Ω  3.0 Ω        B     normal        ∞           1.000        3.0 Ω
	// R          5000.0 Ω  5.0 Ω                            ∞
	// and 3 more, together 0.6 % of the variance
	//
	// R = (5000.0 ± 9.8) Ω, k = 1.96, coverage probability 95 %
	// R = 5000.0(5.0) Ω, standard uncertainty in parentheses
	//
	// Share of variance
	// element 4   63.64 %  █████████████
	// element 2   35.80 %  ███████
}

// For a spreadsheet: numbers in full precision, the measurand in the last row.
func ExampleBudget_WriteCSV() {
	reading := uncertainty.Source{Name: "reading", Unit: "Ω", Distribution: uncertainty.Normal(100002, 0.75)}.Input()
	leads := uncertainty.Source{Name: "leads", Unit: "Ω", Distribution: uncertainty.Normal(0.5, 1),
		Note: "two wires"}.Input()
	b, err := uncertainty.Evaluate(reading.Sub(leads).Named("R"))
	if err == nil {
		err = b.WriteCSV(os.Stdout)
	}
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// Quantity,Estimate,Standard uncertainty,Type,Distribution,Degrees of freedom,Sensitivity coefficient,Uncertainty contribution,Share of variance,Unit,ID,Note
	// reading,100002,0.75,B,normal,infinite,1,0.75,0.36,Ω,,
	// leads,0.5,1,B,normal,infinite,-1,-1,0.64,Ω,,two wires
	// R,100001.5,1.25,,,infinite,,,,Ω,,
}

// A budget from a file gives the interval at another coverage probability.
func ExampleBudget_UnmarshalJSON() {
	made, err := uncertainty.Evaluate(uncertainty.Input("R", uncertainty.Normal(10000.178, 0.0083)))
	if err != nil {
		fmt.Println(err)
		return
	}
	file, err := json.Marshal(made)
	if err != nil {
		fmt.Println(err)
		return
	}
	var b uncertainty.Budget
	if err := json.Unmarshal(file, &b); err != nil {
		fmt.Println(err)
		return
	}
	e, err := b.ExpandedAt(0.99)
	fmt.Printf("99 %%: %.3f Ω ± %.3f Ω %v\n", b.Estimate, e.U, err)
	// Output: 99 %: 10000.178 Ω ± 0.021 Ω <nil>
}

// A table of one's own: sensitivities 1/I and −V/I² of R = V/I.
func ExampleComponent() {
	v := uncertainty.Input("V", uncertainty.Normal(1, 1e-3))
	i := uncertainty.Input("I", uncertainty.Normal(0.01, 5e-6))
	b, err := uncertainty.Evaluate(v.Div(i))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range b.Components {
		fmt.Printf("%s: c = %.0f, c·u = %.2f Ω, share %.0f %%\n", c.Name, c.Sensitivity, c.Contribution, 100*c.Share)
	}
	// Output:
	// V: c = 100, c·u = 0.10 Ω, share 80 %
	// I: c = -10000, c·u = -0.05 Ω, share 20 %
}

// What voltage, current and phase angle have in common that were observed together
// (JCGM 100:2008, table H.2 prints −0.36, 0.86 and −0.65).
func ExampleCorrelation() {
	v, i, phi := measured()
	b, err := uncertainty.Evaluate(v.Div(i).Mul(uncertainty.Cos(phi)))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range b.Correlations {
		fmt.Printf("r(%s, %s) = %.2f\n", c.A, c.B, c.R)
	}
	// Output:
	// r(V, I) = -0.36
	// r(V, phi) = 0.86
	// r(I, phi) = -0.65
}

// From statistics of readings (A) or from elsewhere (B), on paper and in files.
func ExampleEvaluationType() {
	fmt.Println(uncertainty.EvaluationA, uncertainty.EvaluationB)
	text, err := json.Marshal(map[string]uncertainty.EvaluationType{"readings": uncertainty.EvaluationA})
	fmt.Println(string(text), err)
	var read map[string]uncertainty.EvaluationType
	err = json.Unmarshal(text, &read)
	fmt.Println(read["readings"] == uncertainty.EvaluationA, err)
	// Output:
	// A B
	// {"readings":"A"} <nil>
	// true <nil>
}

// The mean of four readings, with the factor for 3 degrees of freedom (JCGM 100:2008,
// table G.2 prints 3.18).
func ExampleExpanded() {
	b, err := uncertainty.Evaluate(uncertainty.Input("R", uncertainty.TypeA(1000.21, 1000.24, 1000.22, 1000.23)))
	if err != nil {
		fmt.Println(err)
		return
	}
	e := b.Expanded
	fmt.Printf("%.2f · %.4f Ω = %.3f Ω\n", e.K, b.StandardUncertainty, e.U)
	fmt.Printf("%.2f Ω to %.2f Ω\n", e.Lower, e.Upper)
	// Output:
	// 3.18 · 0.0065 Ω = 0.021 Ω
	// 1000.20 Ω to 1000.25 Ω
}

// With factor and probability, as a statement needs them: the weight of 10 kg of
// EA-4/02, S2 (from memory), for which U = 0.059 g is printed.
func ExampleExpanded_Format() {
	b, err := uncertainty.Evaluate(uncertainty.Input("mass", uncertainty.Normal(10000.025, 0.0293)))
	if err != nil {
		fmt.Println(err)
		return
	}
	e, err := b.ExpandedAt(uncertainty.P2)
	fmt.Printf("%.3f %v\n", e, err)
	// Output: U = 0.059 (k = 2, 95.45 %) <nil>
}

// In one piece, with the digits of a float64: good for a log.
func ExampleExpanded_String() {
	e := uncertainty.Expanded{P: 0.95, K: 2, U: 0.0125}
	fmt.Println(e)
	// Output: U = 0.0125 (k = 2, 95 %)
}

// Many results, of which the budgets are not wanted.
func ExamplePropagate() {
	common := uncertainty.Input("gain", uncertainty.Normal(0, 1e-4))
	for _, volts := range []float64{1, 10} {
		noise := uncertainty.Input(fmt.Sprint("noise at ", volts, " V"), uncertainty.TypeAPooled(1e-4, 9, 0))
		u, dof, err := uncertainty.Propagate(common.Scale(volts).Add(noise))
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%v V: u = %.2g V, %.3g degrees of freedom\n", volts, u, dof)
	}
	// Output:
	// 1 V: u = 0.00014 V, 36 degrees of freedom
	// 10 V: u = 0.001 V, 9.18e+04 degrees of freedom
}
