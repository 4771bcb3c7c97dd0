// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package chart

import (
	"image/color"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// The palette of eight colours that readers with any of the usual forms of colour
// blindness tell apart: "Points of view: Color blindness", Nature Methods 8 (2011) 441.
// The values are from memory. Yellow is left out: it is too faint on paper.
var (
	black     = color.RGBA{A: 255}
	orange    = color.RGBA{R: 230, G: 159, A: 255}
	skyBlue   = color.RGBA{R: 86, G: 180, B: 233, A: 255}
	green     = color.RGBA{G: 158, B: 115, A: 255}
	blue      = color.RGBA{G: 114, B: 178, A: 255}
	vermilion = color.RGBA{R: 213, G: 94, A: 255}
	purple    = color.RGBA{R: 204, G: 121, B: 167, A: 255}

	grey = color.Gray{Y: 0xc8} // grid
)

// A pen is a colour with the dashes and the marker that go with it, so that lines stay
// apart in a grey copy. Orange and sky blue are for areas: lines want more contrast.
type pen struct {
	colour color.Color
	dashes []vg.Length
	shape  draw.GlyphDrawer
}

var pens = []pen{
	{blue, nil, draw.CircleGlyph{}},
	{vermilion, []vg.Length{7, 3}, draw.PyramidGlyph{}},
	{green, []vg.Length{2, 2}, draw.BoxGlyph{}},
	{black, []vg.Length{9, 2, 2, 2}, hollow{draw.CircleGlyph{}}},
	{purple, []vg.Length{12, 4}, hollow{draw.BoxGlyph{}}},
}

// hollow is a filled shape with a white middle: no line shows through.
type hollow struct{ draw.GlyphDrawer }

// DrawGlyph draws the shape, and the middle over it.
func (h hollow) DrawGlyph(c *draw.Canvas, style draw.GlyphStyle, at vg.Point) {
	h.GlyphDrawer.DrawGlyph(c, style, at)
	c.SetColor(color.White)
	style.Radius *= 0.55
	h.GlyphDrawer.DrawGlyph(c, style, at)
}

func (n pen) line() draw.LineStyle {
	return draw.LineStyle{Color: n.colour, Width: vg.Points(1.4), Dashes: n.dashes}
}

func (n pen) glyph() draw.GlyphStyle {
	return draw.GlyphStyle{Color: n.colour, Radius: vg.Points(2.6), Shape: n.shape}
}

// pale is a colour for areas under lines, mixed with white: opaque, so that it prints.
func pale(c color.RGBA, share float64) color.RGBA {
	mix := func(v uint8) uint8 { return uint8(math.Round(255 - share*(255-float64(v)))) }
	return color.RGBA{R: mix(c.R), G: mix(c.G), B: mix(c.B), A: 255}
}

// lettering is sans-serif text of a size in points.
func lettering(size float64, x draw.XAlignment, y draw.YAlignment) text.Style {
	return text.Style{
		Color: black, Font: font.From(font.Font{Typeface: "Liberation", Variant: "Sans"},
			vg.Points(size)),
		XAlign: x, YAlign: y, Handler: plot.DefaultTextHandler,
	}
}

// panel returns an empty plot in the style of all pictures. Axis labels are "quantity /
// unit", so that the numbers at the axis are the quotient (SI Brochure, 5.4.1).
func panel(x, y string) *plot.Plot {
	p := plot.New()
	p.X.Label.Text, p.Y.Label.Text = x, y
	p.Title.TextStyle = lettering(9, draw.XCenter, draw.YTop)
	p.Title.Padding = vg.Points(3)
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Label.TextStyle.Font = lettering(8.5, 0, 0).Font
		a.Tick.Label.Font = lettering(8, 0, 0).Font
		a.Tick.Marker = linearTicks
		a.Padding = vg.Points(2)
	}
	return p
}

// gridded returns an empty plot with a grid.
func gridded(x, y string) *plot.Plot {
	p := panel(x, y)
	grid := plotter.NewGrid()
	grid.Horizontal.Color, grid.Vertical.Color = grey, grey
	grid.Horizontal.Width, grid.Vertical.Width = vg.Points(0.3), vg.Points(0.3)
	p.Add(grid)
	return p
}

// linearTicks label about five values of the form 1, 2 or 5 times a power of ten, with a
// minus sign in place of a hyphen.
var linearTicks = plot.TickerFunc(func(low, high float64) []plot.Tick {
	power := math.Floor(math.Log10((high - low) / 4))
	step, minor := math.Pow(10, power), 5.0
	switch times := (high - low) / 4 / step; {
	case times >= 5:
		step *= 5
	case times >= 2:
		step, minor = 2*step, 2
	}
	decimals := int(max(0, -math.Floor(math.Log10(step)+1e-9)))
	var ticks []plot.Tick
	slack := 1e-9 * (high - low) / step
	for i := math.Ceil(minor * (low/step - slack)); i <= minor*(high/step+slack); i++ {
		tick := plot.Tick{Value: i / minor * step}
		if math.Mod(i, minor) == 0 {
			tick.Label = strings.Replace(strconv.FormatFloat(tick.Value+0, 'f', decimals, 64), "-",
				"−", 1)
		}
		ticks = append(ticks, tick)
	}
	return ticks
})

// decadeTicks are those of an axis of which the data are decimal logarithms: every power
// of ten labelled as a plain decimal. The logarithmic scale of the plotting package takes
// room for a vertical axis label in the wrong place.
var decadeTicks = plot.TickerFunc(func(low, high float64) []plot.Tick {
	var ticks []plot.Tick
	for e := math.Floor(low); e <= high; e++ {
		for m := 1.0; m < 10; m++ {
			tick := plot.Tick{Value: e + math.Log10(m)}
			if m == 1 {
				tick.Label = strconv.FormatFloat(math.Pow10(int(e)), 'f', -1, 64)
			}
			if low <= tick.Value && tick.Value <= high {
				ticks = append(ticks, tick)
			}
		}
	}
	return ticks
})

// label writes text beside a point of the data: to the right of it, to the left, or in
// the middle above it.
func label(p *plot.Plot, x, y float64, words string, side draw.XAlignment) {
	style, offset := lettering(8, side, draw.YCenter), vg.Point{Y: 1}
	switch side {
	case draw.XLeft:
		offset.X = 6
	case draw.XRight:
		offset.X = -6
	default:
		style.YAlign = draw.YBottom
	}
	p.Add(&plotter.Labels{XYs: plotter.XYs{{X: x, Y: y}}, Labels: []string{words}, Offset: offset,
		TextStyle: []text.Style{style}})
}
