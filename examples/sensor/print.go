// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/uncertainty/unit"
)

// printer keeps the first error of writing.
type printer struct {
	out  io.Writer
	unit string // of differences
	err  error
}

func (p *printer) printf(format string, a ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintf(p.out, format, a...)
	}
}

// value is a number with its unit.
func (p *printer) value(v float64, symbol string) string {
	return strings.TrimSpace(fmt.Sprintf("%g %s", v, symbol))
}

// over is a heading with its unit.
func over(name, symbol string) string {
	if symbol == "" {
		return name
	}
	return name + "/" + symbol
}

func (p *printer) table(symbol string, rows []decade.SensorPoint) {
	width := len("set to")
	for _, r := range rows {
		width = max(width, len(r.Setting.String()))
	}
	digits := places(rows)
	p.printf("%10s  %11s  %-*s  %11s  %10s  %10s\n", over("value", symbol), "sensor/Ω", width,
		"set to", over("error", p.unit), over("class", p.unit), over("U", p.unit))
	for _, r := range rows {
		p.printf("%10.4g  %11s  %-*v  %+11.*f  %10.*f  %10.*f\n", r.Value, ohms(r.Resistance),
			width, r.Setting, digits, r.Error, digits, r.Limit, digits, r.U)
	}
}

// places are the decimals that show two digits of the smallest uncertainty.
func places(rows []decade.SensorPoint) int {
	least := math.Inf(1)
	for _, r := range rows {
		if r.U > 0 {
			least = min(least, r.U)
		}
	}
	return int(min(max(1-math.Floor(math.Log10(least)), 0), 6))
}

// coarse warns where the steps of the box are not fit for the sensor.
func (p *printer) coarse(b *decade.Box, rows []decade.SensorPoint, step float64) {
	worst := rows[0]
	for _, r := range rows {
		if math.Abs(r.Error) > math.Abs(worst.Error) {
			worst = r
		}
	}
	// A dial may have fewer positions than it takes to reach the next one.
	ohms := worst.Setting.Value() - worst.Resistance
	if math.Abs(worst.Error) > step/4 && math.Abs(ohms) > 10*smallestStep(b) {
		p.printf("\nNo setting of the box comes nearer: %+.3g %s at %g, %s off.\n", worst.Error,
			p.unit, worst.Value, files.Ohms(math.Abs(ohms), 3))
		return
	}
	if math.Abs(worst.Error) > step/4 {
		p.printf("\nThe steps of the box are too coarse for this: %+.3g %s at %g, with a "+
			"smallest step of %s.\n",
			worst.Error, p.unit, worst.Value, unit.Format(smallestStep(b), unit.Ohm))
	}
}

// ohms prints mΩ as far as they are worth it.
func ohms(r float64) string {
	if r >= 1000 {
		return fmt.Sprintf("%.1f", r)
	}
	return fmt.Sprintf("%.3f", r)
}

// heating says what the current does.
func (p *printer) heating(x decade.StandIn, rows []decade.SensorPoint) {
	if x.Current == 0 {
		return
	}
	most, box, known := 0.0, 0.0, true
	for _, r := range rows {
		most, known = max(most, r.SelfHeating), known && r.BoxHeatingKnown
		box = max(box, r.BoxHeating, -r.BoxHeating)
	}
	p.printf("\nThe current of %s:\n", unit.Format(x.Current, unit.Ampere))
	if x.ThermalResistance > 0 {
		p.printf("  the sensor warms by up to %.2g K, which the box does not show\n", most)
	}
	if known {
		p.printf("  the box changes by up to %.2g %s by warming\n", box, p.unit)
	} else {
		p.printf("  how far the box changes by warming is not stated in its description\n")
	}
}

func withLeads(l decade.SensorLeads) string {
	if counted, _, _ := l.Counted(); counted != 0 {
		return ", leads included"
	}
	return ""
}

func withUnequal(l decade.SensorLeads) string {
	if l.Unequal > 0 {
		return ", unequal leads included"
	}
	return ""
}
