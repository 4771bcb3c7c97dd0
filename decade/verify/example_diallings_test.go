// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify_test

import (
	"fmt"
	"log"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// redialled is a report of a box with one dial whose position 1 was dialled five times.
func redialled() *verify.Report {
	return judged("setting, dialling, value\n0, 1, 0.021\n1, 1, 100.026\n1, 2, 100.031\n1, 3, 100.022\n1, 4, 100.029\n1, 5, 100.024\n2, 1, 200.030\n")
}

// Three results of one setting have three names. The scatter of its diallings is in all but
// the first of them, in those of every other setting too.
func ExampleSettingResult() {
	x := redialled().Settings[0]
	for _, r := range []struct {
		name string
		verify.DiallingResult
	}{{"this dialling", x.ThisDialling}, {"mean of the setting", x.Mean}, {"next dialling", x.Next}} {
		fmt.Printf("%-19s %+.1f mΩ, U = %.1f mΩ\n", r.name, 1e3*r.Budget.Estimate, 1e3*r.Expanded.U)
	}
	// Output:
	// this dialling       +3.0 mΩ, U = 18.8 mΩ
	// mean of the setting +5.4 mΩ, U = 17.3 mΩ
	// next dialling       +5.4 mΩ, U = 19.1 mΩ
}

func ExampleSettingResult_String() {
	fmt.Println(redialled().Settings[0])
	// Output:
	// 1, 5 diallings; this dialling +3 mΩ, U = 18.8 mΩ; mean of the setting +5.4 mΩ, U = 17.3 mΩ; next dialling +5.4 mΩ, U = 19.1 mΩ.
}

func ExampleDiallingResult() {
	mean := redialled().Settings[0].Mean
	fmt.Println(mean.Deviation.Name(), mean.Budget.PlusMinus(2))
	// Output:
	// mean of the setting 1 (0.005 ± 0.017) Ω
}

// What is stated of the contacts stays unless the diallings show more.
func ExampleSwitching() {
	spec := newDial().Spec()
	spec.Contact = 5e-3
	box, err := decade.New(spec)
	if err != nil {
		log.Fatal(err)
	}
	for _, values := range []string{"1, 1, 100.026\n1, 2, 100.031\n1, 3, 100.022",
		"1, 1, 100.026\n1, 2, 100.061\n1, 3, 100.022"} {
		readings, err := verify.ReadReadings(strings.NewReader("setting, dialling, value\n"+values), box)
		if err != nil {
			log.Fatal(err)
		}
		report, err := verify.Evaluate(box, newMeter(), readings, conformity.Guarded(1))
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(report.Switching)
	}
	// Output:
	// Contacts: stated 5 mΩ; the diallings show 4.5 mΩ a closed contact beside noise (2 degrees of freedom): no more than stated (chi-squared 1.62, 95 % point 5.99), which is in the budgets.
	// Contacts: stated 5 mΩ; 1 scatters by 21.5 mΩ (2 degrees of freedom), beyond all others (Cochran's test, 1 %): it is in every budget with dial 1 at position 1 and not pooled into the contacts of the others.
}

func ExampleSwitching_String() {
	fmt.Println(redialled().Switching)
	// Output:
	// Contacts: not stated; the diallings show 3.64 mΩ a closed contact beside noise (4 degrees of freedom), which is in every budget.
}

func ExampleDialSwitching() {
	for _, d := range redialled().Switching.Dials {
		fmt.Println(d.Dial, d.Estimated)
	}
	fmt.Println("dials apart:", len(redialled().Switching.Dials))
	// Output:
	// dials apart: 0
}

// One bad pair does not widen what the other diallings say of their contacts.
func ExampleSettingSwitching() {
	table := "setting, dialling, value\n1, 1, 100.026\n1, 2, 100.027\n1, 3, 100.025\n" +
		"2, 1, 200.031\n2, 2, 200.030\n3, 1, 300.031\n3, 2, 300.331"
	box := newDial()
	readings, err := verify.ReadReadings(strings.NewReader(table), box)
	if err != nil {
		log.Fatal(err)
	}
	report, err := verify.Evaluate(box, newMeter(), readings, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	for _, x := range report.Switching.Outlying {
		fmt.Printf("%v scatters by %.2f Ω, the others by %.4f Ω\n", x.Setting, x.Estimated, report.Switching.Estimated)
	}
	// Output:
	// 3 scatters by 0.21 Ω, the others by 0.0009 Ω
}

// Who looks for causes sets aside what the diallings show: a bad contact cannot explain itself.
func ExampleFromDiallings() {
	row := redialled().Rows[1]
	b, err := uncertainty.Evaluate(row.Measured)
	if err != nil {
		log.Fatal(err)
	}
	for _, c := range b.Components {
		if verify.FromDiallings(c) {
			fmt.Printf("%s: %.1f mΩ with %.0f degrees of freedom, stated %.1f mΩ\n", c.Name,
				1e3*c.StandardUncertainty, c.DOF, 1e3*row.StatedScatter)
		}
	}
	// Output:
	// diallings at 1, 1 kΩ: 3.6 mΩ with 4 degrees of freedom, stated 1.0 mΩ
}
