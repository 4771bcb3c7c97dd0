// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"example.com/ohmwright/examples/internal/files"
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
	powerGiven        bool
	spaceGiven        bool
}

// former names what is wound on.
func (o options) former() string {
	f := o.requirement.Former
	if f.Diameter == 0 {
		return fmt.Sprintf("a card of %.4g mm by %.4g mm, %.4g mm of it to wind on", f.Breadth*1e3,
			f.Thickness*1e3, f.Length*1e3)
	}
	return fmt.Sprintf("a rod of %.4g mm, %.4g mm of it to wind on", f.Diameter*1e3, f.Length*1e3)
}

// run reads the flags and plans.
func run(out io.Writer, arguments []string) error {
	var o options
	r := &o.requirement
	*r = winding.Requirement{Ohms: 10, Power: 0.5, MaxRise: 40, Medium: 3, Spare: 0.02,
		MinDiameter: 0.05e-3}
	rod, card, thick, length := 0.020, 0.0, 0.001, 0.040
	p := files.New("rewind", nil,
		`go run ./examples/rewind -ohms "1 kΩ" -card "30 mm" -thick "1 mm" -material manganin`,
		`go run ./examples/rewind -ohms 100 -measured "29.1 Ω/m" -reading "100.31 Ω" `+
			`-out mybox/rewind`)
	for _, f := range []struct {
		name, usage string
		value       *float64
		dimension   unit.Dimension
		bare        string
	}{
		{"ohms", "`resistance` wanted", &r.Ohms, unit.Ohm, "Ω"},
		{"power", "`power` that it must dissipate", &r.Power, unit.Watt, "W"},
		{"rise", "highest `rise` over the air at that power", &r.MaxRise, unit.Kelvin, "K"},
		{"tau", "largest time constant of either sign, a `time` (none: no limit)",
			&r.MaxTimeConstant, unit.Second, "s"},
		{"tcr", "largest temperature `coefficient` of either sign (none: no limit)", &r.MaxAlpha,
			unit.PerKelvin, "1/K"},
		{"rod", "`diameter` of a round former", &rod, unit.Metre, "mm"},
		{"card", "`breadth` of a flat former, in place of a rod", &card, unit.Metre, "mm"},
		{"thick", "`thickness` of the flat former", &thick, unit.Metre, "mm"},
		{"length", "`length` of the space to wind on", &length, unit.Metre, "mm"},
		{"height", "greatest `height` of the winding above the former (none: half the radius, or " +
			"the thickness)", &r.MaxHeight, unit.Metre, "mm"},
		{"finest", "least bare `diameter` of the wire", &r.MinDiameter, unit.Metre, "mm"},
		{"spare", "`part` by which the wire is cut longer, for trimming", &r.Spare,
			unit.Fraction, ""},
		{"measured", "measured `resistance` of a metre of the spool", &o.measured, unit.OhmPerMetre,
			"Ω/m"},
		{"reading", "`resistance` of the baked resistor that is to be trimmed", &o.reading,
			unit.Ohm, "Ω"},
	} {
		p.Quantity(f.value, f.name, f.usage, f.dimension, f.bare)
	}
	name := p.Flags.String("material", "", "`name` of the wire's material (none: the resistance "+
		"alloys)")
	materials := p.File("materials")
	covering := p.Flags.String("covering", "enamel grade 2", "`covering` of the wire")
	gauges := p.Flags.String("gauges", "metric", "gauge `system`: metric, AWG, AWG B258 or SWG")
	construction := p.Flags.String("construction", "",
		"one `construction` alone: "+strings.Join(constructions(), ", "))
	p.Flags.Float64Var(&r.Medium, "medium", r.Medium,
		"relative `permittivity` about the wires: 1 in air, 3 in varnish or wax")
	p.Flags.IntVar(&o.plans, "plans", 3, "`number` of plans")
	p.Formats("text", "json")
	if run, err := p.Parse(arguments, out); !run {
		return err
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
	if r.Ohms <= 0 {
		return fmt.Errorf("-ohms %g; expected more than 0", r.Ohms)
	}
	o.powerGiven, o.spaceGiven = p.Given("power"), p.Given("length") || p.Given("height")
	r.Former = winding.Cylinder(rod, length)
	if card != 0 {
		r.Former = winding.Card(card, thick, length)
	}
	var table material.Table // that of the library, and a file of one's own
	if *materials != "" {
		var err error
		if table, err = files.Open(p, *materials, "", material.Read); err != nil {
			return err
		}
	}
	if err := choose(r, table, *name, *covering, *gauges, *construction); err != nil {
		return err
	}
	w, err := newWork(o)
	if err != nil {
		return err
	}
	a, err := w.answer()
	if err != nil {
		return err
	}
	return p.Write(out, "rewind", files.Form{Format: "text", Write: w.writeText}, files.JSON(a))
}

// choose finds what the names mean.
func choose(r *winding.Requirement, table material.Table, name, covering, gauges,
	construction string) (err error) {
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
	if name == "" {
		return nil
	}
	m, err := table.Find(name)
	if cause := unit.Cause(err); cause != nil {
		if strings.Contains(cause.Error(), "did you mean") {
			return cause
		}
		var names []string // with commas in some of them
		for m := range table.All() {
			names = append(names, m.Name)
		}
		return fmt.Errorf("%w: %s", cause, strings.Join(names, "; "))
	}
	r.Materials = []material.Material{m}
	return nil
}

func constructions() (names []string) {
	for c := winding.PlainWinding; c <= winding.WovenWinding; c++ {
		names = append(names, c.String())
	}
	return names
}

// ageing is by how much the resistance may fall in the oven.
func ageing(p winding.Plan) float64 {
	if m := p.Conductor.Material; strings.HasPrefix(m.Name, "manganin") ||
		strings.Contains(m.Composition, "Mn 12") {
		return 0.01
	}
	return 0.002
}

// rounded keeps three digits.
func rounded(v float64) float64 { return files.Rounded(v, 3) }
