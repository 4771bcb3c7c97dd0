// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package chart

import (
	"bytes"
	"fmt"
	"html"
	"regexp"
	"strconv"
)

// families are fonts of the same widths: an SVG file names its fonts and carries none.
const families = "Liberation Sans,Arial,Helvetica,sans-serif"

var (
	svgText = regexp.MustCompile(`(?s)<text ([^>]*)style="font-family:Liberation Sans;[^>]*` +
		`font-size:([0-9.]+)px([^>]*)>([^<]*)</text>`)
	generator = regexp.MustCompile(`(?s)<!--.*?-->\n`)
)

// finished gives every text the width that it was laid out for, whatever font a viewer
// has, states the fonts once, and puts the title where screen readers look for it.
func finished(svg []byte, title string) []byte {
	svg = generator.ReplaceAll(svg, nil)
	svg = svgText.ReplaceAllFunc(svg, fitted)
	head := fmt.Appendf(nil, "<svg role=\"img\" font-family=%q ", families)
	svg = bytes.Replace(svg, []byte("<svg "), head, 1)
	return bytes.Replace(svg, []byte("<g "), fmt.Appendf(nil, "<title>%s</title>\n<g ",
		html.EscapeString(title)), 1)
}

func fitted(text []byte) []byte {
	m := svgText.FindSubmatch(text)
	at, size, rest, words := bytes.TrimSpace(m[1]), m[2], m[3], m[4]
	points, err := strconv.ParseFloat(string(size), 64)
	if err != nil {
		return text
	}
	width := lettering(points, 0, 0).Width(html.UnescapeString(string(words))).Points()
	const format = `<text %s textLength="%.2f" lengthAdjust="spacingAndGlyphs" ` +
		`style="font-size:%spx%s>%s</text>`
	return fmt.Appendf(nil, format, at, width, size, rest, words)
}
