// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package life

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
)

// A specimen is the box as it truly is, with the meter that reads it. It is written down here
// once more and shares no code with the library: a dial is a row of elements, and its
// resistance at a position is the sum of those below it.
type specimen struct {
	elements [][]float64 // Ω at 23 °C, by dial and number
	residual float64     // Ω
	meter    []meterRange
	noise    *rand.Rand
}

// A meterRange errs by a share of the reading and by a constant, both within the limits that
// testdata/01-sheet/files/meter.json states.
type meterRange struct{ fullScale, resolution, gain, offset float64 }

// steps are those of the seven dials, in Ω. The 100 Ω dial has no position 7: its seventh
// element has two steps.
var steps = []float64{1e5, 1e4, 1000, 100, 10, 1, 0.1}

const (
	missing      = 7     // position that the 100 Ω dial does not have
	faulty       = 4     // element of the 1 kΩ dial, between positions 3 and 4
	overheated   = 0.012 // by which it is high
	temperature  = 23.2  // °C
	contactNoise = 5e-5  // Ω, standard deviation
)

// newSpecimen is the box as it was found.
func newSpecimen() *specimen {
	s := &specimen{residual: 0.0183, noise: rand.New(rand.NewPCG(718, 2026))}
	for dial, step := range steps {
		tolerance := []float64{2e-4, 2e-4, 2e-4, 2e-4, 5e-4, 1e-3, 1e-2}[dial]
		number := 10
		if step == 100 {
			number = 9
		}
		row := make([]float64, number)
		for i := range row {
			row[i] = step * (1 + 0.4*tolerance*(2*s.noise.Float64()-1))
			if step == 100 && i == missing-1 {
				row[i] *= 2
			}
		}
		s.elements = append(s.elements, row)
	}
	s.element(faulty, s.elements[2][faulty-1]*(1+overheated))
	s.meter = []meterRange{{100, 1e-4, 15e-6, 1e-4}, {1e3, 1e-3, -11e-6, 1e-3},
		{1e4, 1e-2, 9e-6, -0.01}, {1e5, 0.1, 13e-6, 0.1}, {1e6, 1, -16e-6, -1}}
	return s
}

// element gives an element of the 1 kΩ dial another value.
func (s *specimen) element(number int, ohms float64) { s.elements[2][number-1] = ohms }

// age lets a year pass: elements rise by 4 ppm, a new one by 80 ppm.
func (s *specimen) age(renewed int) {
	for dial, row := range s.elements {
		for i := range row {
			if dial == 2 && i == renewed-1 {
				row[i] *= 1 + 80e-6
			} else {
				row[i] *= 1 + 4e-6
			}
		}
	}
}

// ohms is the true resistance at the terminals, at 23 °C.
func (s *specimen) ohms(setting string) float64 {
	sum := s.residual
	for dial, text := range strings.Split(setting, "-") {
		position, err := strconv.Atoi(text)
		if err != nil {
			panic(err)
		}
		if steps[dial] == 100 && position > missing {
			position--
		}
		for _, ohms := range s.elements[dial][:position] {
			sum += ohms
		}
	}
	return sum
}

// read dials a setting and reads it a number of times on the smallest range that shows it.
func (s *specimen) read(setting string, repeats int) (values []string) {
	// The dials that state a law have 6 ppm/K in truth too; the others have none.
	const alpha = 6e-6
	ohms := s.ohms(setting) + contactNoise*s.noise.NormFloat64()
	positions := strings.Split(setting, "-")
	for _, dial := range []int{2, 3} {
		part := make([]string, len(positions))
		for i := range part {
			part[i] = "0"
		}
		part[dial] = positions[dial]
		ohms += alpha * (temperature - 23) * (s.ohms(strings.Join(part, "-")) - s.residual)
	}
	r := s.meter[0]
	for _, next := range s.meter[1:] {
		if ohms > 1.2*r.fullScale {
			r = next
		}
	}
	decimals := int(math.Round(-math.Log10(r.resolution)))
	for range repeats {
		shown := ohms*(1+r.gain) + r.offset + 0.4*r.resolution*s.noise.NormFloat64()
		text := strconv.FormatFloat(shown, 'f', decimals, 64)
		values = append(values, strings.Replace(text, ".", ",", 1))
	}
	return values
}

// A sheet is a table as a spreadsheet with decimal commas saves it: a byte-order mark,
// semicolons, and the line ends of Windows.
type sheet struct{ strings.Builder }

func newSheet() *sheet {
	s := new(sheet)
	s.WriteString("\ufeffsetting;dialling;range;temperature (°C);value 1 (Ω);value 2 (Ω);" +
		"value 3 (Ω);remarks;time;stage\r\n")
	return s
}

// dialled writes the line of a setting; without values it was not read.
func (s *sheet) dialled(setting string, dialling int, values []string, time, stage string) {
	warm := strings.Replace(fmt.Sprint(temperature), ".", ",", 1)
	if values == nil {
		values, warm, time, stage = []string{"", "", ""}, "", "", ""
	}
	fmt.Fprintf(s, "%s;%d;;%s;%s;;%s;%s\r\n", setting, dialling, warm,
		strings.Join(values, ";"), time, stage)
}
