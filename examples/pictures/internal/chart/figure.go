// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package chart

import (
	"bytes"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// A Figure is a title, a note, panels in rows, of which the last may be shorter, and a key below
// them.
type Figure struct {
	title, note   string
	width, height vg.Length
	panels        [][]*plot.Plot
	key           []entry
	keyColumns    int
}

// An entry of the key has samples of what it explains.
type entry struct {
	words   string
	samples []plot.Thumbnailer
}

// DPI is the resolution of a PNG, in dots an inch.
const DPI = 200

const (
	pageWidth = 17 * vg.Centimeter // the text width of a printed page
	margin    = vg.Length(6)
	keyLine   = vg.Length(13)
)

// Title is what stands above the figure.
func (f *Figure) Title() string { return f.title }

// Size returns width and height in points of 1/72 inch.
func (f *Figure) Size() (width, height float64) { return f.width.Points(), f.height.Points() }

// AxisLabels are the labels of all axes, panel by panel.
func (f *Figure) AxisLabels() (labels []string) {
	for _, row := range f.panels {
		for _, p := range row {
			labels = append(labels, p.X.Label.Text, p.Y.Label.Text)
		}
	}
	return labels
}

// KeyWords are the words of the key.
func (f *Figure) KeyWords() (words []string) {
	for _, e := range f.key {
		words = append(words, e.words)
	}
	return words
}

// Encode draws the figure in a format, "svg" or "png". It is an error where there is nothing
// to draw on an axis.
func (f *Figure) Encode(format string) ([]byte, error) {
	if err := f.checkAxes(); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	switch format {
	case "svg":
		c := vgsvg.New(f.width, f.height)
		f.draw(draw.New(c))
		if _, err := c.WriteTo(&b); err != nil {
			return nil, err
		}
		return finished(b.Bytes(), f.title), nil
	case "png":
		c := vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(f.width, f.height),
			vgimg.UseDPI(DPI))}
		f.draw(draw.New(c))
		_, err := c.WriteTo(&b)
		return b.Bytes(), err
	}
	return nil, fmt.Errorf("format %q; expected svg or png", format)
}

// checkAxes refuses what would be drawn as nothing at all.
func (f *Figure) checkAxes() error {
	for _, row := range f.panels {
		for _, p := range row {
			for _, a := range []plot.Axis{p.X, p.Y} {
				if width := a.Max - a.Min; !(width > 0) || math.IsInf(width, 0) {
					return fmt.Errorf("axis %q runs from %v to %v; expected a finite range",
						a.Label.Text, a.Min, a.Max)
				}
			}
		}
	}
	return nil
}

func (f *Figure) draw(c draw.Canvas) {
	c.FillPolygon(pale(black, 0), []vg.Point{c.Min, {X: c.Max.X, Y: c.Min.Y}, c.Max,
		{X: c.Min.X, Y: c.Max.Y}})
	c = draw.Crop(c, margin, -margin, margin, -margin)
	heading := lettering(11, draw.XLeft, draw.YTop)
	c.FillText(heading, vg.Point{X: c.Min.X, Y: c.Max.Y}, f.title)
	c.FillText(lettering(8.5, draw.XLeft, draw.YTop), vg.Point{X: c.Min.X, Y: c.Max.Y - 15}, f.note)
	lines := (len(f.key) + f.columns() - 1) / f.columns()
	below := keyLine*vg.Length(lines) + margin
	f.drawKey(draw.Crop(c, 0, 0, 0, below-(c.Max.Y-c.Min.Y)))
	f.drawPanels(draw.Crop(c, 0, 0, below, -32))
}

func (f *Figure) columns() int { return max(f.keyColumns, 1) }

func (f *Figure) drawPanels(c draw.Canvas) {
	tiles := draw.Tiles{Rows: len(f.panels), Cols: len(f.panels[0]), PadX: 10, PadY: 8}
	// The last row may be shorter: a box has any number of dials. Nil is a place left empty.
	panels := make([][]*plot.Plot, len(f.panels))
	for i, row := range f.panels {
		panels[i] = append(slices.Clone(row), make([]*plot.Plot, tiles.Cols-len(row))...)
	}
	for i, row := range plot.Align(panels, tiles, c) {
		for j, tile := range row {
			if panels[i][j] != nil {
				panels[i][j].Draw(tile)
			}
		}
	}
}

func (f *Figure) drawKey(c draw.Canvas) {
	columns := vg.Length(f.columns())
	width := (c.Max.X - c.Min.X) / columns
	for i, e := range f.key {
		l := plot.NewLegend()
		l.TextStyle = lettering(8.5, draw.XLeft, draw.YBottom)
		l.Left, l.Top, l.ThumbnailWidth = true, true, vg.Points(26)
		l.Add(e.words, e.samples...)
		cell := c
		cell.Min.X += width * vg.Length(i%f.columns())
		cell.Max.X = cell.Min.X + width
		cell.Max.Y -= margin + keyLine*vg.Length(i/f.columns())
		l.Draw(cell)
	}
}
