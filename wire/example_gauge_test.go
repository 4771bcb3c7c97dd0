// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"encoding/json"
	"fmt"
	"log"
	"slices"

	"example.com/ohmwright/wire"
)

// A size of wire reads and writes as the trade writes it, in files too.
func ExampleGauge() {
	var order struct {
		Bare   wire.Gauge `json:"bare"`
		Metres float64    `json:"metres"`
	}
	if err := json.Unmarshal([]byte(`{"bare": "AWG 24", "metres": 25}`), &order); err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%v is %.3f mm\n", order.Bare, order.Bare.Diameter()*1e3)
	text, err := json.Marshal(order)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(string(text))
	// Output:
	// 24 AWG is 0.511 mm
	// {"bare":"24 AWG","metres":25}
}

// NBS Handbook 100, section 2.2: the two sizes that define the gauge, 0000 and 36.
func ExampleAWG() {
	for _, n := range []int{-3, 36} {
		g, err := wire.AWG(n)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: %.4f inch\n", g, g.Diameter()/0.0254)
	}
	// Output:
	// 4/0 AWG: 0.4600 inch
	// 36 AWG: 0.0050 inch
}

// The two diameters of one size.
func ExampleRoundedAWG() {
	exact, _ := wire.AWG(40)
	rounded, _ := wire.RoundedAWG(40)
	fmt.Printf("%v %.3f mil\n%v %.1f mil\n", exact, exact.Diameter()/25.4e-6, rounded, rounded.Diameter()/25.4e-6)
	// Output:
	// 40 AWG 3.145 mil
	// 40 AWG B258 3.1 mil
}

// Order in Council of 23 August 1883: 7/0 is half an inch, and 20 is 0.036 inch.
func ExampleSWG() {
	for _, n := range []int{-6, 20, 50} {
		g, err := wire.SWG(n)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: %.3f inch, %.4g mm\n", g, g.Diameter()/0.0254, g.Diameter()*1e3)
	}
	// Output:
	// 7/0 SWG: 0.500 inch, 12.7 mm
	// 20 SWG: 0.036 inch, 0.9144 mm
	// 50 SWG: 0.001 inch, 0.0254 mm
}

// Any diameter is a size, in metres: here one of an old spool that no series has.
func ExampleMetric() {
	g, err := wire.Metric(0.21e-3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(g)
	// Output: 0.21 mm
}

func ExampleParseGauge() {
	for _, s := range []string{"24 AWG", "4/0 AWG", "20 SWG", "0.2 mm"} {
		g, err := wire.ParseGauge(s)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%-8v %.4f mm %.5g mm² %.5g cmil\n", g, g.Diameter()*1e3, g.Area()*1e6, g.CircularMils())
	}
	// Output:
	// 24 AWG   0.5106 mm 0.20473 mm² 404.04 cmil
	// 4/0 AWG  11.6840 mm 107.22 mm² 2.116e+05 cmil
	// 20 SWG   0.9144 mm 0.65669 mm² 1296 cmil
	// 0.2 mm   0.2000 mm 0.031416 mm² 62 cmil
}

func ExampleNearest() {
	for _, s := range []wire.System{wire.American, wire.Imperial, wire.MetricSizes} {
		g, err := wire.Nearest(s, 0.33e-3)
		fmt.Println(g, err)
	}
	// Output:
	// 28 AWG <nil>
	// 29 SWG <nil>
	// 0.315 mm <nil>
}

// The American sizes nearest to the usual sections of flexible leads.
func ExampleNearestArea() {
	for _, mm2 := range []float64{0.75, 1.5, 2.5} {
		g, err := wire.NearestArea(wire.American, mm2*1e-6)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%g mm²: %v, %.2f mm²\n", mm2, g, g.Area()*1e6)
	}
	// Output:
	// 0.75 mm²: 18 AWG, 0.82 mm²
	// 1.5 mm²: 15 AWG, 1.65 mm²
	// 2.5 mm²: 13 AWG, 2.62 mm²
}

// The preferred metric sizes from 0.2 mm to 0.1 mm (series R 20 of ISO 3, from
// memory).
func ExampleGauges() {
	for g := range wire.Gauges(wire.MetricSizes) {
		if g.Diameter() < 0.21e-3 && g.Diameter() > 0.095e-3 {
			fmt.Println(g)
		}
	}
	// Output:
	// 0.2 mm
	// 0.18 mm
	// 0.16 mm
	// 0.14 mm
	// 0.125 mm
	// 0.112 mm
	// 0.1 mm
}

// The four series and the sizes at their ends.
func ExampleSystem() {
	for _, s := range []wire.System{wire.American, wire.AmericanRounded, wire.Imperial, wire.MetricSizes} {
		sizes := slices.Collect(wire.Gauges(s))
		fmt.Printf("%v: %d sizes, %v to %v\n", s, len(sizes), sizes[0], sizes[len(sizes)-1])
	}
	// Output:
	// AWG: 66 sizes, 6/0 AWG to 60 AWG
	// AWG B258: 66 sizes, 6/0 AWG B258 to 60 AWG B258
	// SWG: 57 sizes, 7/0 SWG to 50 SWG
	// metric: 49 sizes, 5 mm to 0.02 mm
}

// Three sizes thinner is half the section: two wires of 27 AWG beside each other
// stand for one of 24 AWG.
func ExampleGauge_Area() {
	thick, _ := wire.AWG(24)
	thin, _ := wire.AWG(27)
	fmt.Printf("%.4f mm², twice %.4f mm²\n", thick.Area()*1e6, thin.Area()*1e6)
	// Output: 0.2047 mm², twice 0.1021 mm²
}

// The traditional wire table (Lessons in Electric Circuits vol. 1, chapter 12):
// 404.0, 100.5 and 25.00 circular mils.
func ExampleGauge_CircularMils() {
	for _, n := range []int{24, 30, 36} {
		g, err := wire.AWG(n)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: %.4g cmil\n", g, g.CircularMils())
	}
	// Output:
	// 24 AWG: 404 cmil
	// 30 AWG: 100.5 cmil
	// 36 AWG: 25 cmil
}

// A drawer of spools in order, thinnest first.
func ExampleGauge_Compare() {
	var drawer []wire.Gauge
	for _, s := range []string{"20 SWG", "0.5 mm", "24 AWG"} {
		g, err := wire.ParseGauge(s)
		if err != nil {
			log.Fatal(err)
		}
		drawer = append(drawer, g)
	}
	slices.SortFunc(drawer, wire.Gauge.Compare)
	fmt.Println(drawer)
	// Output: [0.5 mm 24 AWG 20 SWG]
}

// How many turns of bare 30 AWG lie side by side on 10 mm.
func ExampleGauge_Diameter() {
	g, err := wire.AWG(30)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f\n", 10e-3/g.Diameter())
	// Output: 39.3
}

// A field that nobody filled in is not a wire.
func ExampleGauge_IsValid() {
	var unset wire.Gauge
	fmt.Println(unset, unset.IsValid())
	// Output: no wire false
}

// Sizes thicker than 0 count downwards: 4/0 is −3.
func ExampleGauge_Number() {
	for _, s := range []string{"24 AWG", "0 AWG", "4/0 AWG"} {
		g, err := wire.ParseGauge(s)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(g, g.Number())
	}
	// Output:
	// 24 AWG 24
	// 0 AWG 0
	// 4/0 AWG -3
}

// Whether a size that came in as text is one of rounded diameter.
func ExampleGauge_System() {
	g, err := wire.ParseGauge("40 AWG B258")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(g.System() == wire.AmericanRounded)
	// Output: true
}
