// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/examples/pictures/internal/chart"
)

func build(t *testing.T, p picture) *chart.Figure {
	t.Helper()
	f, err := p.build()
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func encode(t *testing.T, f *chart.Figure, format string) []byte {
	t.Helper()
	data, err := f.Encode(format)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestPNG(t *testing.T) {
	for _, p := range pictures {
		t.Run(p.name, func(t *testing.T) {
			f := build(t, p)
			m, err := png.Decode(bytes.NewReader(encode(t, f, "png")))
			if err != nil {
				t.Fatal(err)
			}
			size := m.Bounds().Size()
			width, height := f.Size()
			for _, side := range []struct{ got, want float64 }{
				{float64(size.X), width / 72 * chart.DPI}, {float64(size.Y), height / 72 * chart.DPI},
			} {
				if math.Abs(side.got-side.want) > 1 {
					t.Errorf("%v pixels, want %.1f", side.got, side.want)
				}
			}
			if share := inked(m); share < 0.01 || share > 0.5 {
				t.Errorf("%.2g of the picture is not white, want something between 0.01 and 0.5", share)
			}
		})
	}
}

// inked is the share of a picture that is not white.
func inked(m image.Image) float64 {
	n, b := 0, m.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			if color.GrayModel.Convert(m.At(x, y)).(color.Gray).Y < 250 {
				n++
			}
		}
	}
	return float64(n) / float64(b.Dx()*b.Dy())
}

// svgWords reads an SVG file as XML: the size of its root and all its texts.
func svgWords(t *testing.T, data []byte) (root xml.StartElement, words []string) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return root, words
		}
		if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			if token.Name.Local == "svg" {
				root = token.Copy()
			}
		case xml.CharData:
			if s := strings.TrimSpace(string(token)); s != "" {
				words = append(words, s)
			}
		}
	}
}

func TestSVG(t *testing.T) {
	for _, p := range pictures {
		t.Run(p.name, func(t *testing.T) {
			f := build(t, p)
			data := encode(t, f, "svg")
			root, words := svgWords(t, data)
			width := slices.IndexFunc(root.Attr, func(a xml.Attr) bool {
				return a.Name.Local == "width" && a.Value == "481.89pt"
			})
			if width < 0 {
				t.Errorf("root %v, want a width of 481.89pt: 17 cm", root)
			}
			// Title element and heading.
			if n := len(slices.DeleteFunc(slices.Clone(words), func(s string) bool { return s != f.Title() })); n != 2 {
				t.Errorf("title %q occurs %d times, want 2", f.Title(), n)
			}
			for _, want := range f.AxisLabels() {
				if !slices.Contains(words, want) {
					t.Errorf("no axis label %q", want)
				}
			}
			for _, want := range f.KeyWords() {
				if !slices.Contains(words, want) {
					t.Errorf("nothing in the key about %q", want)
				}
			}
			if texts, set := bytes.Count(data, []byte("<text")),
				bytes.Count(data, []byte("textLength=")); texts != set {
				t.Errorf("%d texts, %d of them with a width", texts, set)
			}
			if bytes.Contains(data, []byte("NaN")) || bytes.Contains(data, []byte("Inf")) {
				t.Error("coordinates that are not finite")
			}
		})
	}
}

// The form "quantity / unit" is that of the SI Brochure, 9th edition, 5.4.1.
func TestAxesCarryUnits(t *testing.T) {
	units := []string{"Ω", "kΩ", "mΩ", "mA", "(1/mA)", "%", "°C", "(mΩ/Ω)", "(µΩ/Ω)", "kHz", "year", "1000"}
	for _, p := range pictures {
		for _, label := range build(t, p).AxisLabels() {
			quantity, unit, found := strings.Cut(label, " / ")
			named := label == "input quantity" // names stand at this axis, no numbers
			if !named && (!found || quantity == "" || !slices.Contains(units, unit)) {
				t.Errorf("%s: axis label %q; want a quantity and one of %q", p.name, label, units)
			}
		}
	}
}

// Readings off the scale keep their values: the dirty contact of the demonstration.
func TestOffScale(t *testing.T) {
	f, err := deviations()
	if err != nil {
		t.Fatal(err)
	}
	if _, words := svgWords(t, encode(t, f, "svg")); !slices.Contains(words, "+343, +129") {
		t.Errorf("texts %q; want one of the two readings off the scale", words)
	}
}

func TestGalleryIsCurrent(t *testing.T) {
	for _, name := range []string{"deviations", "montecarlo"} {
		i := slices.IndexFunc(pictures, func(p picture) bool { return p.name == name })
		want, err := os.ReadFile(filepath.Join("gallery", name+".svg"))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(encode(t, build(t, pictures[i]), "svg"), want) {
			t.Errorf("gallery/%s.svg is not what the program draws: go run . -out gallery "+
				"-format svg -only deviations,montecarlo", name)
		}
	}
}
