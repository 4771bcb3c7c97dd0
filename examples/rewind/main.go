// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Rewind plans a resistor in place of a burnt-out element of a decade box: which wire,
// how long, how many turns, what it will do at frequency and under load, and how to trim it.
//
//	go run ./examples/rewind
//	go run ./examples/rewind -ohms 100 -material constantan
//	go run ./examples/rewind -material "spool 3" -materials examples/formats/files/materials.json
//
// Disconnect and discharge the box before opening it. Ageing ovens, varnish, solvents and
// solder have their own dangers; local codes and licensed practice come first.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire"
	"example.com/ohmwright/wire/winding"
)

const (
	power        = 0.5         // W, the rating of one step of the box
	reference    = 20.0        // °C, the reference temperature of the box
	rod          = 0.020       // m, diameter of the former
	width        = 0.040       // m, of its winding space
	enamel       = 0.035e-3    // m, that the insulation adds to the diameter of the wire
	high         = 1.005       // wind half a per cent high: a pad only lowers, and so does ageing
	series       = winding.E24 // of the pads at hand
	permittivity = 3           // of the enamel and of the varnish about it, relative
)

// job prints the plan and keeps the first error, so that the lesson reads straight down.
type job struct {
	out io.Writer
	err error
}

func (j *job) printf(format string, a ...any) {
	if j.err == nil {
		fmt.Fprintf(j.out, format, a...)
	}
}

func (j *job) failed(err error) bool {
	if j.err == nil {
		j.err = err
	}
	return j.err != nil
}

func (j *job) number(v float64, err error) float64 { j.failed(err); return v }

// budget returns estimate and expanded uncertainty (95 %).
func (j *job) budget(q uncertainty.Quantity) (estimate, expanded float64) {
	b, err := uncertainty.Evaluate(q)
	if j.failed(err) {
		return 0, 0
	}
	return b.Estimate, b.Expanded.U
}

func main() {
	ohms := flag.Float64("ohms", 10, "`resistance` wanted, in ohms")
	name := flag.String("material", "manganin", "`name` of the wire's material")
	file := flag.String("materials", "", "`file` with materials of your own")
	flag.Parse()
	if err := run(os.Stdout, *ohms, *name, *file); err != nil {
		fmt.Fprintln(os.Stderr, "rewind:", err)
		os.Exit(1)
	}
}

func plan(out io.Writer, ohms float64, m material.Material) error {
	j := &job{out: out}
	// 1. Which wire? Thick wire runs cool but wants length; the former holds some metres.
	choices, err := wire.Choose(m, ohms, reference, wire.MetricSizes, wire.Limits{MinDiameter: 0.05e-3, MaxLength: 4, Power: power, MaxLoading: 1000})
	if j.failed(err) {
		return j.err
	}
	c := choices[0]
	j.printf("%v Ω of %s (%s), %v: %.3f m; %v W load its surface with %.0f W/m²\n", ohms, m.Name, m.Composition, c.Gauge, c.Length, power, c.Loading)

	// 2. How long? By the table only roughly, alloys differ by maker; so measure a metre of the spool.
	cold := uncertainty.Exact(reference)
	rough, u := j.budget(c.Spool("spool", 0.005e-3).LengthOf(uncertainty.Exact(ohms), cold))
	j.printf("\nby the table %.2f m ± %.2f m\n", rough, u)
	nominal := j.number(c.PerMetre(reference))
	perMetre := uncertainty.Input("ohms per metre", uncertainty.Normal(1.013*nominal, 0.0005*nominal)) // what a meter might say
	spool := wire.MeasuredSpool("spool", perMetre, c.Gauge.Diameter(), thermal.ExactLaw(m.Law.Exact()))
	length, u := j.budget(spool.LengthOf(uncertainty.Exact(ohms*high), cold))
	j.printf("with %.3f Ω/m measured %.4f m ± %.1f mm, half a per cent high; cut 20 mm more for the ends\n", perMetre.Estimate(), length, u*1e3)

	// 3. How many turns? Fold the wire in the middle and wind the pair: bifilar.
	former := winding.Cylinder(rod, width)
	bifilar, err := winding.Winding{
		Construction: winding.BifilarWinding, Former: former, Ohms: ohms, Medium: permittivity,
		Wire: winding.Wire{Bare: c.Gauge.Diameter(), Covered: c.Gauge.Diameter() + enamel, Permittivity: permittivity, Resistivity: m.ReferenceResistivity.Value},
	}.WithWire(length)
	if j.failed(err) {
		return j.err
	}
	lay, err := bifilar.Residuals()
	j.failed(err)
	j.printf("\n%.1f turns of the pair on a rod of %.0f mm, layers: %d, %.1f mm wide\n", lay.Turns, rod*1e3, lay.Layers, lay.Width*1e3)

	// 4. What does the fold gain? The same turns wound singly, in one layer, would be a coil.
	coil := j.number(winding.SolenoidInductance(2*lay.Turns, (rod+bifilar.Wire.Covered)/2, bifilar.Wire.Covered, bifilar.Wire.Bare))
	j.printf("inductance %.2f µH in place of %.1f µH, capacitance %.0f pF, time constant %+.1f ns\n",
		lay.L*1e6, coil*1e6, lay.C*1e12, j.number(lay.TimeConstant())*1e9)
	j.printf("|Z| within 0.1 %% of R up to %.0f kHz\n", j.number(lay.FrequencyForMagnitude(0.001))/1e3)

	// 5. How warm? In still air and alone; a larger former is cooler. Measure it in its case.
	rise := j.number(winding.TemperatureRise(power, j.number(former.Surface(lay.Lay)), winding.StillAir))
	j.printf("at %v W, that is %.0f mA, about %.0f K above still air\n", power, j.number(winding.MaxCurrent(power, ohms))*1e3, rise)

	// 6. Wound, aged and read: say 0.31 % high, by a meter good to 50 ppm. Trim by wire, or by a pad.
	reading := uncertainty.Input("reading", uncertainty.Normal(1.0031*ohms, 50e-6*ohms))
	change, u := j.budget(winding.WireChangeOf(reading, uncertainty.Exact(ohms), spool.PerMetreOf(cold)))
	j.printf("\nreads %.4f Ω: take off %.1f mm ± %.1f mm of wire, or put a pad across it:\n", reading.Estimate(), -change*1e3, u*1e3)
	pads, err := winding.Pads(reading.Estimate(), ohms, series)
	j.failed(err)
	for _, p := range pads {
		v, u := j.budget(winding.PaddedOf(reading, uncertainty.Input("pad", uncertainty.Rectangular(p.Added, 0.01*p.Added))))
		law, err := p.Law(m.Law.Exact(), thermal.NewLaw(reference, 100e-6, 0)) // a film resistor of 100 ppm/K
		j.failed(err)
		j.printf("%7.0f Ω ± 1 %%: %.4f Ω ± %.4f Ω, the pad's share of it %.0f ppm; its 100 ppm/K become %+.2f ppm/K\n",
			p.Added, v, u, 0.01*p.Share*1e6, (law.Alpha()-m.Law.Alpha.Value)*1e6)
	}
	return j.err
}
