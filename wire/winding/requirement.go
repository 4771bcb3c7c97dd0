// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty/unit"
	"example.com/ohmwright/wire"
)

// Requirement is what a resistor has to be. Fields left at 0 have the default that their
// comment states.
type Requirement struct {
	Ohms   float64 // Ω at Temperature
	Former Former  // what there is to wind on

	Temperature     float64 // °C, of the value; 0: 20 °C
	Power           float64 // W; 0: no heating
	MaxRise         float64 // K above the air at Power; 0: 40 K
	MaxTimeConstant float64 // s, either sign, with the doubt of the model; 0: no limit
	MaxAlpha        float64 // 1/K, either sign, of the alloy's nominal coefficient; 0: no limit
	// MaxHeight in metres of the winding above the former; 0: half the radius, of a card its
	// thickness.
	MaxHeight float64
	// MinDiameter in metres of the bare wire; 0: 0.05 mm, below which it is hard to handle
	// (common practice).
	MinDiameter float64
	MinLength   float64 // m, of wire; 0: 0.1 m, so that a millimetre is 1 % at most

	Materials     []material.Material // none: manganin, constantan, two of nickel-chromium
	Gauges        wire.System         // 0: metric sizes
	Covering      wire.Covering       // none: enamel grade 2
	Medium        float64             // relative permittivity about the wires; 0: air
	Constructions []Construction      // none: all that the former can carry
	// Spare is by what fraction the wire is cut longer than computed, for trimming; 0: 0.02,
	// which manganin needs when its resistance falls by up to 1 % in ageing.
	Spare float64
}

// Plan is one way to meet a [Requirement].
type Plan struct {
	Conductor wire.Conductor
	Covering  wire.Covering
	Winding   Winding
	Residuals
	Cut     float64  // m, of wire in all, with what is spare for trimming; leads come on top
	Rise    float64  // K above still air at the required power
	GivenUp []string // drawbacks of the plan, in words, such as a long wire

	used   float64 // the largest part of any limit
	broken []excess
	fits   bool // on the former, so that its residuals can be computed
}

// A limit of a requirement.
type limit string

const (
	limitRise         limit = "temperature rise"
	limitTimeConstant limit = "time constant"
	limitAlpha        limit = "temperature coefficient"
	limitThin         limit = "thinnest wire"
	limitLength       limit = "shortest wire"
	limitTemperature  limit = "working temperature of the material"
	limitHeight       limit = "height of the winding"
	limitRoom         limit = "winding space"
	limitThick        limit = "thickest wire that the former takes"
)

// excess is a limit that a plan breaks.
type excess struct {
	limit limit
	times float64 // by how much
	text  string
}

// mostChoices bounds materials times constructions, each of which takes a search among
// gauges.
const mostChoices = 1000

// usualMaterials are those that are tried where none is stated.
var usualMaterials = [...]string{"manganin", "constantan", "nickel-chromium 80/20",
	"nickel-chromium-aluminium-copper"}

// checkStated refuses what no resistor can have.
func (r Requirement) checkStated(op string) error {
	if err := positive(op, arg{"Ohms", r.Ohms, "Ω"}); err != nil {
		return err
	}
	if !(r.Ohms >= 1e-12 && r.Ohms <= 1e18) {
		return domain(op, arg{"Ohms", r.Ohms, "Ω"}, "expected 1e-12 to 1e18 Ω")
	}
	// Each combination is a search among gauges: a list without end must be refused.
	if n := len(r.Constructions) * max(1, len(r.Materials)); n > mostChoices ||
		len(r.Materials) > mostChoices {
		return domain(op, arg{"Materials", float64(max(n, len(r.Materials))), ""},
			"expected at most 1000 materials times constructions")
	}
	if err := r.Former.checkShape(op); err != nil {
		return err
	}
	if err := finite(op, arg{"Temperature", r.Temperature, "°C"}); err != nil {
		return err
	}
	if err := notNegative(op, arg{"Power", r.Power, "W"}, arg{"MaxRise", r.MaxRise, "K"},
		arg{"MaxTimeConstant", r.MaxTimeConstant, "s"},
		arg{"MaxAlpha", r.MaxAlpha, "1/K"}, arg{"MaxHeight", r.MaxHeight, "m"},
		arg{"MinDiameter", r.MinDiameter, "m"},
		arg{"MinLength", r.MinLength, "m"}, arg{"Medium", r.Medium, ""},
		arg{"Spare", r.Spare, ""}); err != nil {
		return err
	}
	if r.Spare > 0.5 {
		return domain(op, arg{"Spare", r.Spare, ""},
			"expected 0.5 at most; a fraction, not per cent")
	}
	return nil
}

// defaults fills in what is not stated.
func (r Requirement) defaults() (Requirement, error) {
	if err := r.checkStated("winding.Requirement.Plans"); err != nil {
		return r, err
	}
	// Half the radius, or the thickness of a card.
	height := r.Former.Diameter / 4
	if r.Former.Diameter == 0 {
		height = r.Former.Thickness
	}
	for _, f := range []struct {
		field *float64
		value float64
	}{
		{&r.Temperature, 20}, {&r.MaxRise, 40}, {&r.MaxHeight, height}, {&r.MinDiameter,
			0.05e-3}, {&r.MinLength, 0.1}, {&r.Spare, 0.02},
	} {
		if *f.field == 0 {
			*f.field = f.value
		}
	}
	// Sizes in millimetres, where nothing is said.
	if r.Gauges == 0 {
		r.Gauges = wire.MetricSizes
	}
	if r.Covering == wire.CoveringNone {
		r.Covering = wire.CoveringGrade2
	}
	if len(r.Constructions) == 0 {
		r.Constructions = []Construction{PlainWinding, BifilarWinding, AyrtonPerryWinding,
			ReversedLayersWinding, ReversedTurnsWinding}
		if r.Former.Diameter == 0 {
			r.Constructions = append(r.Constructions, WovenWinding)
		}
	}
	if len(r.Materials) == 0 {
		for _, name := range usualMaterials {
			m, err := material.Find(name)
			if err != nil {
				return r, err
			}
			r.Materials = append(r.Materials, m)
		}
	}
	return r, nil
}

// Plans returns the ways in which the resistor can be wound, the best first: for each
// material and construction the best gauge. The rank is the largest part of any limit that
// a plan uses up, with 15 % of a limit more for each thing that it gives up and 2 % for each
// layer.
//
// No plan inside the limits is an error ([ErrUnreachable]) that names the limit that is not met,
// the one without which the nearest plan would do, and that plan's figure; or the limits, where
// no plan breaks one alone.
//
// The rise is that of the winding's outer surface in still air ([TemperatureRise]).
//
// Caution: a plan is arithmetic with stated assumptions. Measure the rise of what you
// build, in its case; ovens, varnish and solder have their own dangers.
func (r Requirement) Plans() ([]Plan, error) {
	const op = "winding.Requirement.Plans"
	r, err := r.defaults()
	if err != nil {
		return nil, err
	}
	var out, near []Plan
	for _, m := range r.Materials {
		for _, c := range r.Constructions {
			p, beyond, err := r.best(m, c)
			if err != nil {
				return nil, err
			}
			if p != nil {
				p.GivenUp = r.givenUp(*p)
				out = append(out, *p)
			}
			near = append(near, beyond...)
		}
	}
	// None: the nearest ones say what stands in the way.
	if len(out) == 0 {
		return nil, r.impossible(op, near)
	}
	slices.SortStableFunc(out, func(a, b Plan) int { return cmp.Compare(r.cost(a), r.cost(b)) })
	return out, nil
}

// cost is what plans are ranked by.
func (r Requirement) cost(p Plan) float64 {
	return p.used + float64(givenUpCost*float64(len(r.givenUp(p)))) +
		float64(layerCost*float64(p.Layers))
}

// For how much of a limit each thing that a plan gives up counts, and each layer.
const (
	givenUpCost = 0.15
	layerCost   = 0.02
)

const (
	patience = 4 // gauges that are worse than the best before the search ends
	hopeless = 3 // times the limit of the time constant, where thicker wire will not help
)

// best returns the best gauge for a material and a construction, nil if there is none,
// and the candidates that break limits.
func (r Requirement) best(m material.Material,
	c Construction) (best *Plan, near []Plan, err error) {
	// From the finest up: fine wire is short and soon computed, but hot. Once cooler wire
	// costs more in other ways, thicker wire costs yet more.
	worse := 0
	gauges := slices.Collect(wire.Gauges(r.Gauges))
	for _, g := range slices.Backward(gauges) {
		p, err := r.candidate(wire.Conductor{Material: m, Gauge: g}, c)
		if err != nil {
			return nil, nil, err
		}
		// The residuals take a thousand times longer than all the rest, so they come last.
		if len(p.broken) == 0 {
			if err := r.react(&p); err != nil {
				return nil, nil, err
			}
		}
		if len(p.broken) > 0 {
			near = append(near, p)
		}
		switch {
		case len(p.broken) == 1:
			// Beyond three times the limit thicker wire, which is longer, only makes it worse.
			if e := p.broken[0]; e.limit == limitTimeConstant {
				worse++
				if e.times > hopeless {
					worse = patience
				}
			}
		case len(p.broken) > 1:
		// A better one starts the patience anew.
		case best == nil || r.cost(p) < r.cost(*best):
			best, worse = &p, 0
		default:
			worse++
		}
		if worse >= patience {
			break
		}
	}
	return best, near, nil
}

// impossible names the limits that bind: those of the plan that breaks the fewest, and
// these the least.
func (r Requirement) impossible(op string, near []Plan) error {
	// The limit that is broken most.
	worst := func(p Plan) float64 {
		return slices.MaxFunc(p.broken,
			func(a, b excess) int { return cmp.Compare(a.times, b.times) }).times
	}
	slices.SortStableFunc(near, func(a, b Plan) int {
		if a.fits != b.fits { // what does not fit on the former comes last
			return cmp.Compare(boolean(b.fits), boolean(a.fits))
		}
		return cmp.Or(cmp.Compare(len(a.broken), len(b.broken)), cmp.Compare(worst(a), worst(b)))
	})
	for _, p := range near {
		// No wider limit would help this one.
		if math.IsInf(worst(p), 1) {
			continue
		}
		if p.fits && p.R == 0 { // it has to keep the time constant too
			count := len(p.broken)
			if err := r.react(&p); err != nil {
				return err
			}
			if len(p.broken) > count {
				continue
			}
		}
		var limits, texts []string
		for _, e := range p.broken {
			limits, texts = append(limits, string(e.limit)), append(texts, e.text)
		}
		word := "limit"
		if len(limits) > 1 {
			word = "limits"
		}
		return &Error{Op: op, Name: "Ohms", Value: r.Ohms, Err: unit.Errorf(ErrUnreachable,
			"%s not met: %s; the nearest plan, %s, has %s", word, strings.Join(limits, ", "),
			p.title(), strings.Join(texts, ", and "))}
	}
	return refuse(op, "Ohms", r.Ohms, ErrUnreachable,
		"no wire of the tables fits; expected more room, less power or wider limits")
}

// boolean makes flags comparable: cmp.Compare has no booleans.
func boolean(b bool) int {
	if b {
		return 1
	}
	return 0
}

// title names a plan in a few words.
func (p Plan) title() string {
	return fmt.Sprintf("%s %v, %v", p.Conductor.Material.Name, p.Conductor.Gauge,
		p.Winding.Construction)
}

// String returns material, gauge, covering, construction, turns and layers in one line.
func (p Plan) String() string {
	turns := "turns"
	switch p.Winding.Construction {
	case BifilarWinding:
		turns = "turns of the pair"
	case AyrtonPerryWinding:
		turns = "turns of each wire"
	case WovenWinding:
		turns = "runs"
	}
	layers := ""
	if p.Layers > 1 {
		layers = fmt.Sprintf(" in %d layers", p.Layers)
	}
	return fmt.Sprintf("%s, %v: %.1f %s%s", p.title(), p.Covering, p.Turns, turns, layers)
}

// useLimit notes which part of a limit a plan takes, and whether it breaks it.
func (p *Plan) useLimit(l limit, part float64, format string, a ...any) {
	// The tightest limit ranks a plan.
	p.used = max(p.used, part)
	if part > 1 {
		p.broken = append(p.broken, excess{l, part, fmt.Sprintf(format, a...)})
	}
}

// ruledOut marks a plan that no wider limit would save.
func (p Plan) ruledOut(limits ...limit) Plan {
	p.broken, p.fits = nil, false
	// The room is blamed too, so that the message never says that nothing binds.
	for _, l := range append(limits, limitRoom) {
		p.broken = append(p.broken, excess{l, math.Inf(1), ""})
	}
	return p
}

// candidate works out all but the reactance, which takes a thousand times longer. What breaks a
// limit is a plan all the same, with the limits that it breaks: the nearest of those names what
// stands in the way. Limits of the wire come first, those of the winding need its geometry.
func (r Requirement) candidate(c wire.Conductor, construction Construction) (Plan, error) {
	p := Plan{Conductor: c, Covering: r.Covering, Winding: Winding{Construction: construction}}
	// A covering ends where its table does.
	if _, refused := r.Covering.Diameter(c.Gauge); refused != nil {
		return p.ruledOut(limitThick), nil // the covering is not made in this size
	}
	w, err := NewWire(c, r.Covering, r.Temperature)
	if err != nil {
		return p, err
	}
	perMetre, err := c.PerMetre(r.Temperature)
	if err != nil {
		return p, err
	}
	length := r.Ohms / perMetre
	if construction == AyrtonPerryWinding {
		// Two wires in parallel, each of twice the resistance: four times the wire.
		length *= 4
	}
	p.Cut = length * (1 + r.Spare)
	if r.MaxAlpha > 0 {
		alpha := c.Material.Law.Alpha
		if !alpha.Stated() {
			return p.ruledOut(limitAlpha), nil
		}
		p.useLimit(limitAlpha, math.Abs(alpha.Value)/r.MaxAlpha, "%+.3g ppm/K, allowed %.3g ppm/K",
			alpha.Value*1e6, r.MaxAlpha*1e6)
	}
	p.Winding = Winding{Construction: construction, Former: r.Former, Wire: w, Ohms: r.Ohms,
		Medium: r.Medium}
	r.limitWire(&p, length)
	wound, err := p.Winding.WithWire(length)
	var g geometry
	if err == nil {
		g, err = wound.geometry("winding.Requirement.Plans")
	}
	if err != nil {
		return r.noRoom(p, length), nil
	}
	p.Winding = wound
	// One layer has nothing to reverse.
	if construction == ReversedLayersWinding && g.layers < 2 {
		return p.ruledOut(limitRoom), nil
	}
	p.fits = true
	p.Lay = g.result()
	p.useLimit(limitHeight, p.Build/r.MaxHeight, "a winding %.2g mm high, allowed %.2g mm",
		p.Build*1e3, r.MaxHeight*1e3)
	return p, r.heat(&p)
}

// limitWire marks the limits that a wire of a length in metres breaks before it is wound: the
// diameter, and the length.
func (r Requirement) limitWire(p *Plan, length float64) {
	w, construction := p.Winding.Wire, p.Winding.Construction
	p.useLimit(limitThin, r.MinDiameter/w.Bare, "wire of %.3g mm, least %.3g mm", w.Bare*1e3,
		r.MinDiameter*1e3)
	least := r.MinLength
	// A woven wire is not bent about the former, and has no turns.
	if construction != WovenWinding {
		most := r.Former.thickest()
		p.useLimit(limitThick, w.Covered/most, "wire of %.3g mm, thickest %.3g mm", w.Covered*1e3,
			most*1e3)
		// Of less than a turn neither L nor C can be said; 1.2 of the perimeter is a turn in the
		// middle of the wire.
		least = max(least, 1.2*(construction.wireCount()*r.Former.Perimeter()))
	}
	p.useLimit(limitLength, least/length, "%.3g m of wire, least %.3g m", length, least)
}

// noRoom marks a plan whose wire, of a length in metres, does not lie on the former, with how many
// times too much it is. That is rough: one layer holds Perimeter·Length/Covered of wire, and layers
// go up to the height. A plan that this does not explain, and no other limit, no wider one saves.
func (r Requirement) noRoom(p Plan, length float64) Plan {
	covered := p.Winding.Wire.Covered
	layer := r.Former.Perimeter() / covered * r.Former.Length
	times := length / layer
	if !p.Winding.Construction.oneLayer() {
		times /= max(1, r.MaxHeight/covered)
	}
	if times > 1 {
		p.useLimit(limitRoom, times, "%.3g m of wire, %.1f times what there is room for", length,
			times)
	} else if len(p.broken) == 0 {
		return p.ruledOut(limitRoom)
	}
	return p
}

// heat works out the rise.
func (r Requirement) heat(p *Plan) error {
	if r.Power == 0 {
		return nil
	}
	surface, err := r.Former.Surface(p.Lay)
	if err != nil {
		return err
	}
	if p.Rise, err = TemperatureRise(r.Power, surface, StillAir); err != nil {
		return err
	}
	p.useLimit(limitRise, p.Rise/r.MaxRise, "%.0f K, allowed %.0f K", p.Rise, r.MaxRise)
	// The material itself may end before the limit of the rise.
	if top := p.Conductor.Material.MaxTemperature; top.Stated() &&
		r.Temperature+p.Rise > top.Value {
		p.useLimit(limitTemperature, (r.Temperature+p.Rise)/top.Value, "%.0f °C, allowed %.0f °C",
			r.Temperature+p.Rise, top.Value)
	}
	return nil
}

// react works out the residuals.
func (r Requirement) react(p *Plan) error {
	residuals, err := p.Winding.Residuals()
	if err != nil {
		return err
	}
	p.Residuals = residuals
	tau, err := p.TimeConstantLimits()
	if err != nil {
		return err
	}
	worst := max(math.Abs(tau.Lower), math.Abs(tau.Upper))
	if r.MaxTimeConstant > 0 {
		p.useLimit(limitTimeConstant, worst/r.MaxTimeConstant,
			"%+.3g ns to %+.3g ns, allowed ± %.3g ns",
			tau.Lower*1e9, tau.Upper*1e9, r.MaxTimeConstant*1e9)
	} else { // without a limit a smaller one is still better: in parts of a microsecond
		p.used = max(p.used, min(worst/1e-6, 1))
	}
	return nil
}

// longWire is more than is wound in an hour, m.
const longWire = 50

// givenUp says what the plan costs.
func (r Requirement) givenUp(p Plan) (out []string) {
	// say adds a sentence where its condition holds.
	say := func(when bool, format string, a ...any) {
		if when {
			out = append(out, fmt.Sprintf(format, a...))
		}
	}
	alpha := p.Conductor.Material.Law.Alpha
	spread := max(math.Abs(alpha.Low), math.Abs(alpha.High), math.Abs(alpha.Value))
	// Limits of this size are what a purchaser notices: 25 ppm/K, 10 µV/K.
	say(spread > 25e-6, "coefficient up to %.0f ppm/K from spool to spool", spread*1e6)
	say(math.Abs(p.Conductor.Material.EMF.Value) > 10e-6,
		"%+.0f µV/K against copper: not for direct current at low voltage",
		p.Conductor.Material.EMF.Value*1e6)
	name := p.Conductor.Material.Name
	say(strings.HasPrefix(name, "nickel-chromium") || strings.HasPrefix(name, "iron-chromium"),
		"takes no ordinary solder: weld, braze or clamp its ends")
	say(p.Winding.Wire.Bare < 0.08e-3, "wire as fine as this breaks easily")
	say(p.WireLength > longWire, "%.0f m of wire to wind", p.WireLength)
	say(p.Layers > 1, "the inner layers run hotter than the rise of the surface")
	say(p.Winding.Construction == PlainWinding && p.L/p.R > math.Abs(p.R*p.C),
		"its inductance is not cancelled")
	say(p.Winding.Construction == BifilarWinding && p.R*p.C > p.L/p.R,
		"capacitive; both ends lie side by side, so that the whole voltage stands across the "+
			"covering")
	say(p.Winding.Construction == AyrtonPerryWinding,
		"four times the wire, and its crossings wear the covering")
	say(p.Winding.Construction == ReversedTurnsWinding,
		"a slot along the former and a bend after each turn")
	say(p.Winding.Construction == WovenWinding, "woven on a loom, or slowly by hand")
	say(p.Rise > 20, "%.0f K warm at full power", p.Rise)
	return out
}
