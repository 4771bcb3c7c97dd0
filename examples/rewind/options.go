// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty/unit"
	"example.com/ohmwright/wire"
	"example.com/ohmwright/wire/winding"
)

// options are what the flags say.
type options struct {
	requirement       winding.Requirement
	measured, reading float64
	plans             int
	given             map[string]bool
}

// former names what is wound on.
func (o options) former() string {
	f := o.requirement.Former
	if f.Diameter == 0 {
		return fmt.Sprintf("a card of %.4g mm by %.4g mm, %.4g mm of it to wind on", f.Breadth*1e3, f.Thickness*1e3, f.Length*1e3)
	}
	return fmt.Sprintf("a rod of %.4g mm, %.4g mm of it to wind on", f.Diameter*1e3, f.Length*1e3)
}

// quantity is a flag with a unit; a number without one is in the unit bare.
type quantity struct {
	value     *float64
	dimension unit.Dimension
	bare      string
}

func (q quantity) String() string { // of the default
	if q.value == nil || *q.value == 0 {
		return ""
	}
	return unit.Format(*q.value, q.dimension)
}

func (q quantity) Set(text string) error {
	v, err := unit.Parse(text+q.bare, q.dimension) // "10", "10k"
	if err != nil || q.bare == "" {
		v, err = unit.Parse(text, q.dimension)
	}
	*q.value = v
	return err
}

// run reads the flags and plans.
func run(out io.Writer, arguments []string) error {
	var o options
	r := &o.requirement
	*r = winding.Requirement{Ohms: 10, Power: 0.5, MaxRise: 40, Medium: 3, Spare: 0.02, MinDiameter: 0.05e-3}
	rod, card, thick, length := 0.020, 0.0, 0.001, 0.040
	set := flag.NewFlagSet("rewind", flag.ContinueOnError)
	set.SetOutput(io.Discard) // the error says it
	for _, f := range []struct {
		name, usage string
		quantity
	}{
		{"ohms", "`resistance` wanted", quantity{&r.Ohms, unit.Ohm, "Ω"}},
		{"power", "`power` that it has to bear", quantity{&r.Power, unit.Watt, "W"}},
		{"rise", "highest `rise` over the air at that power", quantity{&r.MaxRise, unit.Kelvin, "K"}},
		{"tau", "largest time constant of either sign, a `time` (none: no limit)", quantity{&r.MaxTimeConstant, unit.Second, "s"}},
		{"tcr", "largest temperature `coefficient` of either sign (none: no limit)", quantity{&r.MaxAlpha, unit.PerKelvin, "1/K"}},
		{"rod", "`diameter` of a round former", quantity{&rod, unit.Metre, "mm"}},
		{"card", "`breadth` of a flat former, in place of a rod", quantity{&card, unit.Metre, "mm"}},
		{"thick", "`thickness` of the flat former", quantity{&thick, unit.Metre, "mm"}},
		{"length", "`length` of the space to wind on", quantity{&length, unit.Metre, "mm"}},
		{"height", "greatest `height` of the winding above the former (none: half the radius, or the thickness)", quantity{&r.MaxHeight, unit.Metre, "mm"}},
		{"finest", "least bare `diameter` of the wire", quantity{&r.MinDiameter, unit.Metre, "mm"}},
		{"spare", "`part` that the wire is cut longer, for trimming", quantity{&r.Spare, unit.Fraction, ""}},
		{"measured", "measured `resistance` of a metre of the spool", quantity{&o.measured, unit.OhmPerMetre, "Ω/m"}},
		{"reading", "`resistance` of the baked resistor that is to be trimmed", quantity{&o.reading, unit.Ohm, "Ω"}},
	} {
		set.Var(f.quantity, f.name, f.usage)
	}
	name := set.String("material", "", "`name` of the wire's material (none: the resistance alloys)")
	file := set.String("materials", "", "`file` with materials of your own")
	covering := set.String("covering", "enamel grade 2", "`covering` of the wire")
	gauges := set.String("gauges", "metric", "gauge `system`: metric, AWG, AWG B258 or SWG")
	construction := set.String("construction", "", "one `construction` alone: "+strings.Join(constructions(), ", "))
	set.Float64Var(&r.Medium, "medium", r.Medium, "relative `permittivity` about the wires: 1 in air, 3 in varnish or wax")
	set.IntVar(&o.plans, "plans", 3, "`number` of plans to print")
	if err := set.Parse(arguments); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			set.SetOutput(out)
			set.PrintDefaults()
			return nil
		}
		return err
	}
	if set.NArg() > 0 {
		return fmt.Errorf("%q: expected flags only", set.Arg(0))
	}
	if o.plans < 1 {
		return fmt.Errorf("plans: %d; expected 1 or more", o.plans)
	}
	for _, v := range []struct {
		name  string
		value float64
	}{{"measured", o.measured}, {"reading", o.reading}} {
		if v.value < 0 {
			return fmt.Errorf("%s: %g; expected more than 0", v.name, v.value)
		}
	}
	o.given = map[string]bool{}
	set.Visit(func(f *flag.Flag) { o.given[f.Name] = true })
	r.Former = winding.Cylinder(rod, length)
	if card != 0 {
		r.Former = winding.Card(card, thick, length)
	}
	if err := choose(r, *name, *file, *covering, *gauges, *construction); err != nil {
		return err
	}
	return rewind(out, o)
}

// choose finds what the names mean.
func choose(r *winding.Requirement, name, file, covering, gauges, construction string) (err error) {
	if r.Covering, err = wire.ParseCovering(covering); err != nil {
		return err
	}
	if err := r.Gauges.UnmarshalText([]byte(gauges)); err != nil {
		return err
	}
	if construction != "" {
		i := slices.Index(constructions(), construction)
		if i < 0 {
			return fmt.Errorf("construction: %q; expected one of %q", construction, constructions())
		}
		r.Constructions = []winding.Construction{winding.Construction(i)}
	}
	var table material.Table // that of the library, and a file of one's own
	if file != "" {
		f, err := os.Open(file)
		if err != nil {
			return err
		}
		defer f.Close()
		if table, err = material.Read(f); err != nil {
			return fmt.Errorf("%s: %w", file, err)
		}
	}
	if name == "" {
		return nil
	}
	m, err := table.Find(name)
	r.Materials = []material.Material{m}
	return err
}

func constructions() (names []string) {
	for c := winding.PlainWinding; c <= winding.WovenWinding; c++ {
		names = append(names, c.String())
	}
	return names
}

// ageing is by how much the resistance may fall in the oven.
func ageing(p winding.Plan) float64 {
	if m := p.Conductor.Material; strings.HasPrefix(m.Name, "manganin") || strings.Contains(m.Composition, "Mn 12") {
		return 0.01
	}
	return 0.002
}

// rounded keeps three digits.
func rounded(v float64) float64 {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return v
	}
	text := strconv.FormatFloat(v, 'e', 2, 64)
	v, _ = strconv.ParseFloat(text, 64)
	return v
}
