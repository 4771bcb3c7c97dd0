// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package chart

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
)

// mostCauses is the number of bars; a cause below leastCause is not drawn.
const (
	mostCauses = 6
	leastCause = 0.005

	mostLetters = 110 // above a bar, on a page
)

// Causes shows what may be wrong with a box, with probabilities, the most probable at the
// top. The words beside a bar never claim more than 99 %.
func Causes(d *fault.Diagnosis, title, note string) (*Figure, error) {
	if d == nil {
		return nil, errors.New("no diagnosis")
	}
	type bar struct {
		name, words string
		probability float64
	}
	var bars []bar
	if d.Probability >= leastCause {
		bars = append(bars,
			bar{"nothing wrong", fmt.Sprintf("%.0f %%", math.Min(99, 100*d.Probability)),
				d.Probability})
	}
	for _, c := range d.Causes {
		if c.Probability >= leastCause && len(bars) < mostCauses {
			words, _, _ := strings.Cut(c.String(), ":") // "More than 99 %"
			bars = append(bars, bar{causeName(d.Box, c), words, c.Probability})
		}
	}
	if len(bars) == 0 {
		return nil, errors.New("no cause is probable enough to draw")
	}
	p := panel("probability / %", "")
	p.HideY()
	blocks := &plotter.Polygon{Color: pale(blue, 0.75), LineStyle: draw.LineStyle{Color: black,
		Width: vg.Points(0.6)}}
	for i, b := range bars {
		y := float64(len(bars) - 1 - i)
		share := 100 * b.probability
		blocks.XYs = append(blocks.XYs, plotter.XYs{{X: 0, Y: y - 0.35}, {X: share, Y: y - 0.35},
			{X: share, Y: y}, {X: 0, Y: y}})
		label(p, share, y-0.175, b.words, draw.XLeft)
		label(p, 0, y+0.2, b.name, draw.XLeft)
	}
	p.Add(blocks)
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 118, -0.5, float64(len(bars))-0.5
	return &Figure{title: title, note: note, width: pageWidth,
		height: vg.Length(3+1.1*float64(len(bars))) * vg.Centimeter,
		panels: [][]*plot.Plot{{p}}}, nil
}

// causeName says in a few words what and where.
func causeName(b *decade.Box, c fault.Cause) string {
	var parts []string
	for _, f := range c.Faults {
		parts = append(parts, f.In(b))
	}
	name := strings.Join(parts, " and ")
	if name == "" {
		name = c.Kind.String()
	}
	if n := len(c.Equal); n > 0 {
		name += ", or what reads the same"
	}
	if letters := []rune(name); len(letters) > mostLetters {
		name = string(letters[:mostLetters-1]) + "…"
	}
	return name
}
