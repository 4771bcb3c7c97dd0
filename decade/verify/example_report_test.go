// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify_test

import (
	"encoding/json"
	"fmt"
	"log"
	"os"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

// newDial is a box with one dial, three steps of 100 Ω with 0.1 %.
func newDial() *decade.Box {
	box, err := decade.New(decade.Spec{Name: "one dial", Residual: 0.02, ResidualTolerance: 0.01,
		Decades: []decade.Decade{
			{Name: "×100", Step: 100, Positions: 3, Tolerance: 0.001},
		}})
	if err != nil {
		log.Fatal(err)
	}
	return box
}

// newMeter has one range of 1 kΩ, ±(0.01 % of reading + 4 ppm of range).
func newMeter() *verify.Meter {
	return &verify.Meter{Name: "bench meter", Wiring: verify.WiringFourWire,
		OffsetCompensated: true, Ranges: []verify.Range{
			{Name: "1 kΩ", FullScale: 1000, OfReading: 0.0001, OfRange: 4e-6, Resolution: 0.001},
		}}
}

// judged is the report of readings of that box with that meter.
func judged(table string) *verify.Report {
	box := newDial()
	readings, err := verify.ReadReadings(strings.NewReader(table), box)
	if err != nil {
		log.Fatal(err)
	}
	report, err := verify.Evaluate(box, newMeter(), readings, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	return report
}

// A sound box, and one whose second element is 1 Ω high.
const (
	soundTable = "setting, value\n0, 0.021\n1, 100.026\n2, 200.030\n3, 300.033"
	highTable  = "setting, value\n0, 0.021\n1, 100.026\n2, 201.030\n3, 301.033"
)

// Readings of a box and the specification of a meter make a report.
func ExampleEvaluate() {
	box := newDial()
	s, err := box.At(1)
	if err != nil {
		log.Fatal(err)
	}
	readings := []verify.Reading{
		{Setting: box.Zero(), Values: []float64{0.021}},
		{Setting: s, Values: []float64{100.026}},
	}
	report, err := verify.Evaluate(box, newMeter(), readings, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	for _, row := range report.Rows {
		fmt.Println(row.Setting, row.Verdict)
	}
	// Output:
	// 0 conforms
	// 1 conforms
}

func ExampleReport() {
	for _, table := range []string{soundTable, highTable} {
		report := judged(table)
		fmt.Println(report.Verdict(), "-", len(report.Findings), "findings")
	}
	// Output:
	// conforms - 0 findings
	// does not conform - 1 findings
}

// Every dialling of one setting.
func ExampleReport_At() {
	report := judged("setting, value\n0, 0.021\n2, 200.030\n1, 100.026\n2, 200.034")
	s, _ := report.Box.At(2)
	for _, row := range report.At(s) {
		fmt.Printf("dialling %d of %v: %+.3f Ω\n", row.Reading.Dialling, row.Setting, row.Deviation.Estimate())
	}
	// Output:
	// dialling 1 of 2: +0.009 Ω
	// dialling 2 of 2: +0.013 Ω
}

func ExampleReport_Conforms() {
	fmt.Println(judged(soundTable).Conforms(), judged(highTable).Conforms())
	// Output:
	// true false
}

// The verdict on the box is that of its last stage.
func ExampleReport_Verdict() {
	report := judged(`setting, value, stage
0, 0.021,   as found
1, 100.521, as found
0, 0.021,   as left
1, 100.026, as left`)
	fmt.Println(report.Verdict())
	// Output:
	// conforms
}

// What all diallings of a setting say together. Two that lie half an ohm apart leave open what
// the setting is worth: the scatter of the contact is in both.
func ExampleReport_SettingVerdict() {
	report := judged("setting, value\n0, 0.021\n1, 100.026\n0, 0.021\n1, 100.521")
	s, _ := report.Box.At(1)
	v, isJudged := report.SettingVerdict(s, verify.StageAsFound)
	fmt.Println(v, isJudged)
	// Output:
	// cannot be decided true
}

func ExampleReport_Stages() {
	report := judged("setting, value, stage\n0, 0.021, as found\n1, 100.026, as found\n0, 0.020, as left\n1, 100.026, as left")
	for _, stage := range report.Stages() {
		fmt.Printf("%v: %v\n", stage, report.Summary(stage))
	}
	// Output:
	// as found: 2 settings: 2 conform, 0 do not conform
	// as left: 2 settings: 2 conform, 0 do not conform
}

func ExampleReport_Summary() {
	fmt.Println(judged(highTable).Summary(verify.StageAsFound))
	// Output:
	// 4 settings: 2 conform, 2 do not conform
}

// How the results were obtained, for the record.
// A report of one's own, from the parts of the report.
func ExampleReport_Sections() {
	for _, s := range judged(highTable).Sections() {
		fmt.Printf("%-28s detail %-5v %d sentences, %d rows\n", s.Title, s.Detail, len(s.Texts), len(s.Rows))
	}
	// Output:
	// What was found               detail false 3 sentences, 0 rows
	// Settings                     detail true  0 sentences, 4 rows
	// Common deviations            detail true  0 sentences, 3 rows
	// Class still met              detail true  2 sentences, 0 rows
	// How the results were obtained detail true  9 sentences, 0 rows
	// Warnings                     detail true  2 sentences, 0 rows
}

func ExampleReport_Notes() {
	for _, note := range judged(soundTable).Notes()[:3] {
		fmt.Println(note)
	}
	// Output:
	// Deviation is measured minus nominal above the zero setting: the mean of the readings at zero of the same session is subtracted.
	// Temperature: not corrected, because the description of the box states no temperature law.
	// Wiring: four-wire.
}

// The whole report as data.
func ExampleReport_MarshalJSON() {
	text, err := json.Marshal(judged(soundTable))
	if err != nil {
		log.Fatal(err)
	}
	var report struct {
		Verdict string `json:"verdict"`
		Rows    []struct{ Setting, Verdict string }
	}
	if err := json.Unmarshal(text, &report); err != nil {
		log.Fatal(err)
	}
	fmt.Println(report.Verdict, report.Rows[1])
	// Output:
	// conforms {1 conforms}
}

func ExampleReport_String() {
	text := judged(soundTable).String()
	line, _, _ := strings.Cut(text, "\n")
	fmt.Println(line)
	// Output:
	// Box            one dial
}

func ExampleReport_WriteText() {
	if err := judged(highTable).WriteText(os.Stdout); err != nil {
		log.Fatal(err)
	}
	// Output:
	// Box            one dial
	// Class          ±0.1 % (×100) of the dialled value of each dial; residual 20 mΩ ± 10 mΩ, not
	//                included; limits in Ω
	// Meter          bench meter
	// Meter limits   1 kΩ: ±(0.01 % of reading + 4 ppm of range), one limit
	// Decision rule  guard band w = 1·U on each side of a limit, U at 95 %
	//
	// What was found
	//   - 4 of 4 settings judged: 2 conform, 2 do not conform.
	//   - The box does not conform: not every setting does.
	//   - The step from position 1 to 2 of the ×100 dial is high by 1 Ω, 1 % of it, U = 12.3 mΩ; its
	//     class allows 0.1 Ω. Positions 2 to 3 show it.
	//
	// Settings
	// Setting  Nominal/Ω  Measured/Ω  Deviation/Ω  relative  U(95 %)/Ω  Limits/Ω      TUR  Probability  Verdict
	// 0        0          0.0210      +0.0210                0.0039     0.01 to 0.03       > 99.9 %     conforms
	// 1        100        100.026     +0.005       +50 ppm   0.013      ±0.1          7.8  > 99.9 %     conforms
	// 2        200        201.030     +1.009       +0.504 %  0.023      ±0.2          8.9  < 0.1 %      does not conform
	// 3        300        301.033     +1.012       +0.337 %  0.032      ±0.3          9.3  < 0.1 %      does not conform
	//
	// Common deviations
	// Readings    Shift    U(95 %)  Values  Meter     Temperature  Class
	// all         +38 ppm  130 ppm  2       ±110 ppm  ±0           ±0.1 %
	// range 1 kΩ  +38 ppm  130 ppm  2       ±110 ppm  ±0           ±0.1 %
	// ×100 dial   +38 ppm  130 ppm  2       ±110 ppm  ±0           ±0.1 %
	//
	// Class still met
	//   - The ×100 dial meets 1 %: it needs 0.516 %, at 2 (stated 0.1 %; 3 settings).
	//   - The box meets 1 %: it needs 0.516 %, at 2 (stated up to 0.1 %; 3 settings).
	//
	// How the results were obtained
	//   - Deviation is measured minus nominal above the zero setting: the mean of the readings at zero of
	//     the same session is subtracted.
	//   - Temperature: not corrected, because the description of the box states no temperature law.
	//   - Wiring: four-wire.
	//   - Meter range 1 kΩ: ±(0.01 % of reading + 4 ppm of range), one limit, linearity ±1 mΩ (assumed),
	//     noise not stated.
	//   - One limit bounds gain, zero and their common part, for all readings of a range; linearity is
	//     what differs from value to value. Where no coverage factor is stated, the limit bounds all of
	//     these together, and their contribution to a result is rectangular. Where linearity is not
	//     stated, it is assumed to be 25 % of the range part, and at least a step of the display. Half of
	//     each variance is assumed common to all sessions under one certificate of the meter, half to one
	//     session.
	//   - Contacts: not stated; no setting was dialled twice under the same conditions.
	//   - U has the stated coverage probability. Its coverage factor follows from the effective degrees
	//     of freedom; where that is wrong by more than 5 %, U follows from the distributions of all
	//     contributions (convolution).
	//   - Probability is that of conformity: of a true deviation inside its limits, by this reading
	//     alone, without a prior.
	//   - TUR is the test uncertainty ratio, half the width of the limits over U. #2 is the second
	//     dialling of a setting.
	//
	// Warnings
	//   - No setting was dialled twice and no switching variation is stated: contact variation is not in
	//     the budgets.
	//   - The box was out of its class as found: earlier work with it may be affected.
}

// Here the table alone, without what is said before and after it.
func ExampleReport_WriteMarkdown() {
	var text strings.Builder
	if err := judged(highTable).WriteMarkdown(&text); err != nil {
		log.Fatal(err)
	}
	for line := range strings.Lines(text.String()) {
		if strings.HasPrefix(line, "|") {
			fmt.Print(line)
		}
	}
	// Output:
	// | Setting | Nominal/Ω | Measured/Ω | Deviation/Ω | relative | U(95 %)/Ω | Limits/Ω | TUR | Probability | Verdict |
	// |---|--:|--:|--:|--:|--:|--:|--:|--:|---|
	// | 0 | 0 | 0.0210 | +0.0210 |  | 0.0039 | 0.01 to 0.03 |  | > 99.9 % | conforms |
	// | 1 | 100 | 100.026 | +0.005 | +50 ppm | 0.013 | ±0.1 | 7.8 | > 99.9 % | conforms |
	// | 2 | 200 | 201.030 | +1.009 | +0.504 % | 0.023 | ±0.2 | 8.9 | < 0.1 % | does not conform |
	// | 3 | 300 | 301.033 | +1.012 | +0.337 % | 0.032 | ±0.3 | 9.3 | < 0.1 % | does not conform |
	// | Readings | Shift | U(95 %) | Values | Meter | Temperature | Class |
	// |---|--:|--:|--:|--:|--:|--:|
	// | all | +38 ppm | 130 ppm | 2 | ±110 ppm | ±0 | ±0.1 % |
	// | range 1 kΩ | +38 ppm | 130 ppm | 2 | ±110 ppm | ±0 | ±0.1 % |
	// | ×100 dial | +38 ppm | 130 ppm | 2 | ±110 ppm | ±0 | ±0.1 % |
}

// One line a dialling, with a head.
func ExampleReport_WriteCSV() {
	var text strings.Builder
	if err := judged(soundTable).WriteCSV(&text); err != nil {
		log.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(text.String()), "\n")
	fmt.Println(len(lines)-1, "rows of", strings.Join(strings.Split(lines[0], ",")[:6], ", "))
	// Output:
	// 4 rows of stage, setting, dialling, range, nominal, measured
}

// What stands above the report in every form.
func ExampleReport_Heading() {
	for _, line := range judged(soundTable).Heading() {
		fmt.Println(line[0]+":", line[1])
	}
	// Output:
	// Box: one dial
	// Class: ±0.1 % (×100) of the dialled value of each dial; residual 20 mΩ ± 10 mΩ, not included; limits in Ω
	// Meter: bench meter
	// Meter limits: 1 kΩ: ±(0.01 % of reading + 4 ppm of range), one limit
	// Decision rule: guard band w = 1·U on each side of a limit, U at 95 %
}

// What supports an answer stands after it.
func ExampleSection() {
	found := verify.Section{Title: "What was found", Texts: []string{"All is well."}}
	settings := verify.Section{Title: "Settings", Head: []string{"Setting", "Measured/Ω"},
		Rows: [][]string{{"0", "0.02"}}, Detail: true}
	for _, s := range []verify.Section{found, settings} {
		fmt.Println(s.Title, s.Detail)
	}
	// Output:
	// What was found false
	// Settings true
}

// Readings come one by one: each costs what it changes, not what all cost.
func ExampleReport_Reevaluate() {
	report := judged("setting,value\n0,0.02\n1,100.03\n")
	readings := []verify.Reading{report.Rows[0].Reading, report.Rows[1].Reading}
	setting, err := report.Box.At(2)
	if err != nil {
		log.Fatal(err)
	}
	next, err := report.Reevaluate(append(readings, verify.Reading{Setting: setting, Values: []float64{200.9}}))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(report.Summary(verify.StageAsFound))
	fmt.Println(next.Summary(verify.StageAsFound))
	// Output:
	// 2 settings: 2 conform, 0 do not conform
	// 3 settings: 2 conform, 1 does not conform
}

// Readings of a box that nobody has described: as many dials as the settings have.
func ExampleReadUnidentified() {
	readings, err := verify.ReadUnidentified(strings.NewReader("setting,value\n0-0,0.012\n10-0,1000.02\n0-6,60.01\n"))
	if err != nil {
		log.Fatal(err)
	}
	for _, r := range readings {
		fmt.Println(r.Setting, r.Values)
	}
	for _, d := range readings[0].Setting.Box().Decades() {
		fmt.Println(d.Name, "from 0 to", d.Positions)
	}
	// Output:
	// 0-0 [0.012]
	// 10-0 [1000.02]
	// 0-6 [60.01]
	// dial 1 from 0 to 10
	// dial 2 from 0 to 6
}
