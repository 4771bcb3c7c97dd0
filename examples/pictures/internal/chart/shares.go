// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package chart

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.com/ohmwright/uncertainty"
)

// mostShares is the number of bars that stay readable; smaller shares are left out, and so
// are those that would be printed as 0.0 %.
const (
	mostShares = 14
	leastShare = 0.0005
)

// A share is one bar: of an input, or of the correlation of two.
type share struct {
	name, words string
	part        float64 // of the variance; that of a correlation may be negative
	pen         string
}

// Shares shows where the uncertainty of a result comes from, largest share at the top. The
// note may be empty: then it says the result. Shares of correlations may be negative.
func Shares(b *uncertainty.Budget, title, note string) (*Figure, error) {
	list, left := sharesOf(b)
	if len(list) == 0 {
		return nil, errors.New("the result has no uncertainty to share out")
	}
	if note == "" {
		note = "Result " + b.PlusMinus(2) +
			", 95 %. Beside a bar: distribution and contribution |c|·u."
	}
	if left > 0 {
		note += fmt.Sprintf(" Left out: %d smaller.", left)
	}
	p := panel("share of the variance / %", "input quantity")
	bars := map[string]*plotter.Polygon{
		"type A evaluation":         {Color: pale(orange, 0.9)},
		"type B evaluation":         {Color: pale(blue, 0.75)},
		"correlation of two inputs": {Color: pale(purple, 0.45)},
	}
	var names []string
	low, high := 0.0, 100.0
	for i, s := range list {
		part, y := 100*s.part, float64(i)
		bar := bars[s.pen]
		bar.XYs = append(bar.XYs, plotter.XYs{{X: 0, Y: y - 0.3}, {X: part, Y: y - 0.3},
			{X: part, Y: y + 0.3}, {X: 0, Y: y + 0.3}})
		names = append(names, s.name)
		label(p, max(part, 0), y, s.words, draw.XLeft)
		low, high = min(low, 1.1*part), max(high, 1.3*part)
	}
	f := &Figure{title: title, note: note, width: pageWidth,
		height: vg.Length(4+0.66*float64(len(list))) * vg.Centimeter, panels: [][]*plot.Plot{{p}},
		keyColumns: 3}
	for _, words := range []string{"type A evaluation", "type B evaluation",
		"correlation of two inputs"} {
		bar := bars[words]
		bar.LineStyle = draw.LineStyle{Color: black, Width: vg.Points(0.6)}
		if len(bar.XYs) > 0 {
			p.Add(bar)
		}
		if len(bar.XYs) > 0 || words[0] == 't' {
			f.key = append(f.key, entry{words, []plot.Thumbnailer{bar}})
		}
	}
	p.NominalY(names...)
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = low, high, -0.6, float64(len(list))-0.4
	return f, nil
}

// sharesOf lists the shares that are drawn, smallest first, and counts the others.
func sharesOf(b *uncertainty.Budget) (list []share, left int) {
	small := 0
	for _, c := range b.Components {
		if !(math.Abs(c.Share) >= leastShare) || !finite(c.Share) {
			small++
			continue
		}
		symbol, factor := scaled(b.Unit, math.Abs(c.Contribution))
		contribution := strconv.FormatFloat(rounded(math.Abs(c.Contribution)/factor), 'g', -1, 64)
		words := fmt.Sprintf("%.1f %%: %s, %s", 100*c.Share, c.Distribution,
			spaced(contribution, symbol))
		list = append(list, share{c.Name, words, c.Share, "type " + c.Type.String() +
			" evaluation"})
	}
	for _, c := range b.Correlations {
		if !(math.Abs(c.Share) >= leastShare) || !finite(c.Share) {
			continue
		}
		words := fmt.Sprintf("%.1f %%: r = %.2f", 100*c.Share, c.R)
		list = append(list, share{c.A + ", " + c.B, words, c.Share, "correlation of two inputs"})
	}
	slices.SortStableFunc(list,
		func(a, b share) int { return cmp.Compare(math.Abs(a.part), math.Abs(b.part)) })
	if more := len(list) - mostShares; more > 0 {
		return list[more:], more + small
	}
	return list, small
}

// rounded keeps two significant digits.
func rounded(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 2, 64), 64)
	if err != nil {
		return v
	}
	return r
}

func spaced(number, symbol string) string {
	if symbol == "" || symbol == "1" {
		return number
	}
	return number + " " + symbol
}
