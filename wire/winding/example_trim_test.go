// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire/winding"
)

// 8.635 Ω are to be 8.5 Ω. What is too low already no pad can mend.
func ExamplePad() {
	p, err := winding.Pad(8.635, 8.5)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f Ω\n", p)

	_, err = winding.Pad(998.9, 1000)
	fmt.Println(err)
	// Output:
	// 543.7 Ω
	// winding.Pad: target: 1000; expected less than the resistance: a pad in parallel only lowers it
}

// Reading the part to 20 mΩ tells the pad to 14 kΩ of 834 kΩ: a pad of 1 % will do.
func ExamplePadOf() {
	r := uncertainty.Input("part", uncertainty.Normal(1001.2, 0.020))
	b, err := uncertainty.Evaluate(winding.PadOf(r, uncertainty.Exact(1000)).Scale(1e-3))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f kΩ, u = %.0f kΩ\n", b.Estimate, b.StandardUncertainty)
	// Output: 834 kΩ, u = 14 kΩ
}

// How coarse a pad may be that brings 1001.2 Ω to 1 kΩ within 50 ppm.
func ExamplePadRange() {
	span, err := winding.PadRange(1001.2, 1000, 50e-6)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f kΩ to %.1f kΩ\n", span.Lower/1e3, span.Upper/1e3)
	// Output: 800.9 kΩ to 870.7 kΩ
}

// 8.635 Ω with the 555 Ω that were at hand.
func ExamplePadded() {
	t, err := winding.Padded(8.635, 555)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f Ω, the pad counts with %.1f %%\n", t.Value, t.Share*100)
	// Output: 8.5027 Ω, the pad counts with 1.5 %
}

// The same in a budget: reading 1001.2 Ω, u 20 mΩ; pad 820 kΩ ± 1 %.
func ExamplePaddedOf() {
	r := uncertainty.Input("part", uncertainty.Normal(1001.2, 0.020))
	pad := uncertainty.Input("pad", uncertainty.Rectangular(820e3, 8.2e3))
	b, err := uncertainty.Evaluate(winding.PaddedOf(r, pad))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f Ω, u %.4f Ω\n", b.Estimate, b.StandardUncertainty)
	// Output: 999.979 Ω, u 0.0212 Ω
}

// A step that reads 1001.2 Ω is to be 1000 Ω, with a pad at hand in steps of E24.
func ExamplePads() {
	pads, err := winding.Pads(1001.2, 1000, winding.E24)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range pads {
		fmt.Printf("%.0f kΩ: %.3f Ω; 5 %% of the pad are %.0f ppm\n", p.Added/1e3, p.Value, 0.05*p.Share*1e6)
	}
	// Output:
	// 820 kΩ: 999.979 Ω; 5 % of the pad are 61 ppm
	// 910 kΩ: 1000.100 Ω; 5 % of the pad are 55 ppm
}

// A step of 998.9 Ω lacks 1.1 Ω.
func ExampleLink() {
	s, err := winding.Link(998.9, 1000)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f Ω\n", s)
	// Output: 1.10 Ω
}

// What is not known of the part is not known of the link either, all of it.
func ExampleLinkOf() {
	r := uncertainty.Input("part", uncertainty.Normal(998.9, 0.020))
	b, err := uncertainty.Evaluate(winding.LinkOf(r, uncertainty.Exact(1000)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f Ω, u = %.2f Ω\n", b.Estimate, b.StandardUncertainty)
	// Output: 1.10 Ω, u = 0.02 Ω
}

// To be within 100 ppm of 1 kΩ the link may be 0.1 Ω off.
func ExampleLinkRange() {
	span, err := winding.LinkRange(998.9, 1000, 100e-6)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f Ω to %.2f Ω\n", span.Lower, span.Upper)
	// Output: 1.00 Ω to 1.20 Ω
}

// A link of 1.1 Ω makes 0.11 % of the whole: 5 % of it are 55 ppm.
func ExampleLinked() {
	t, err := winding.Linked(998.9, 1.1)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f Ω, %.2f %%, %.0f ppm\n", t.Value, t.Share*100, 0.05*t.Share*1e6)
	// Output: 1000.0 Ω, 0.11 %, 55 ppm
}

// A link of 1.1 Ω ± 5 % beside a part that was read to 20 mΩ.
func ExampleLinkedOf() {
	r := uncertainty.Input("part", uncertainty.Normal(998.9, 0.020))
	link := uncertainty.Input("link", uncertainty.Rectangular(1.1, 0.055))
	b, err := uncertainty.Evaluate(winding.LinkedOf(r, link))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f Ω, u = %.3f Ω\n", b.Estimate, b.StandardUncertainty) // 20 mΩ and 32 mΩ
	// Output: 1000.00 Ω, u = 0.038 Ω
}

// 1.35 Ω are wanted; E24 has 1.3 and 1.5.
func ExampleLinks() {
	links, err := winding.Links(998.65, 1000, winding.E24)
	if err != nil {
		log.Fatal(err)
	}
	for _, t := range links {
		fmt.Printf("%g Ω: %+.0f ppm\n", t.Added, (t.Value/1000-1)*1e6)
	}
	// Output:
	// 1.3 Ω: -50 ppm
	// 1.5 Ω: +150 ppm
}

// What ageing of 0.1 % in the pad, and in the part, does to the trimmed resistor.
func ExampleTrim() {
	t, err := winding.Padded(1001.2, 820e3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω: by the pad %.1f ppm, by the part %.0f ppm\n", t.Value, t.Share*1e3, (1-t.Share)*1e3)
	// Output: 999.979 Ω: by the pad 1.2 ppm, by the part 999 ppm
}

// The value with a pad of 820 kΩ ± 5 %.
func ExampleTrim_Limits() {
	t, err := winding.Padded(1001.2, 820e3)
	if err != nil {
		log.Fatal(err)
	}
	span, err := t.Limits(0.05)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω to %.3f Ω\n", span.Lower, span.Upper)
	// Output: 999.915 Ω to 1000.037 Ω
}

// A coarse pad of carbon film on a good resistor: what remains of its temperature coefficient.
func ExampleTrim_Law() {
	t, _ := winding.Padded(1001.2, 820e3)
	law, err := t.Law(thermal.NewLaw(20, 5e-6, 0), thermal.NewLaw(20, -300e-6, 0))
	fmt.Printf("%.2f ppm/K %v\n", law.Alpha()*1e6, err)
	// Output: 4.63 ppm/K <nil>
}

// 30 mΩ too many on a wire of 13.61 Ω/m. Take off less, let it cool, measure again.
func ExampleWireChange() {
	l, err := winding.WireChange(100.03, 100, 13.61)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%+.1f mm\n", l*1e3)
	// Output: -2.2 mm
}

// A reading to 2 mΩ places the cut to 0.15 mm.
func ExampleWireChangeOf() {
	r := uncertainty.Input("reading", uncertainty.Normal(100.03, 0.002))
	l := winding.WireChangeOf(r, uncertainty.Exact(100), uncertainty.Exact(13.61))
	b, err := uncertainty.Evaluate(l.Scale(1e3))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mm, u = %.2f mm\n", b.Estimate, b.StandardUncertainty)
	// Output: -2.2 mm, u = 0.15 mm
}
