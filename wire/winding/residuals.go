// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"
	"math/cmplx"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Residuals are the inductance and the capacitance of a [Winding], with the lay of its wire.
type Residuals struct {
	// Equivalent circuit: R, the inductance L in series with it and the capacitance C
	// across both, each lumped so that the time constant is right to the first order
	// in frequency.
	Equivalent
	Lay // how the wire lies; WireLength is that of all wires together

	// InductanceWithin and CapacitanceWithin are how far the model may be off, as
	// fractions of L and C, with the sizes as stated; see [Winding.Residuals].
	InductanceWithin, CapacitanceWithin float64

	folded bool
	skin   float64 // x at 1 Hz, 0 without skin effect
}

// Residuals computes inductance and capacitance of the winding.
//
// The inductance is the sum of the self and mutual inductances of the turns, each turn
// a closed loop: circles by [Circles.MutualInductance], rectangles and runs by
// [Filaments.MutualInductance]. Opposite turns of an Ayrton–Perry winding are averaged
// over the crossing, so that the coupling follows from the sizes. The way along the
// former counts as a tube of current; leads are left out. Integration along the helices
// themselves differs by 1 % at most on round formers, by 2 % on cards and woven. What
// is stated is more where the lay of the wire decides: 10 % where wires or layers cross, 20 %
// where they do so on a card and for several layers of a pair, in which the order of the two
// changes the sum.
//
// The capacitance is that between the turns, from the field in a cut through the wires
// with their coverings: of the neighbours in the layer, and of those in the next layer.
// It is within about 10 % for a pair, 30 % for layers and 50 % for the rest, in which it
// matters little, and as well as thickness and permittivity of the covering are known:
// enamel of one grade varies by a third. Capacitance to a case, to a metal former and of
// the leads comes on top, 1 pF to 10 pF in a box (common practice).
//
// Turns that overlap, wire too thick for the former and constructions that it cannot
// carry are refused. A turn of a figure of eight counts as two circles.
func (w Winding) Residuals() (Residuals, error) {
	const op = "winding.Winding.Residuals"
	g, err := w.geometry(op)
	if err != nil {
		return Residuals{}, err
	}
	rows := w.rows(g)
	c, err := g.capacitance(rows)
	if err != nil {
		// The equations of very thin coverings are singular.
		return Residuals{}, domain(op, arg{"Covered", w.Wire.Covered, ""},
			"expected a covering that is not so thin: its capacitance cannot be computed")
	}
	out := Residuals{folded: w.Construction == BifilarWinding}
	out.R, out.L, out.C = w.Ohms, g.inductance(rows), c
	out.Lay = g.result()
	out.InductanceWithin, out.CapacitanceWithin = w.Construction.within(g)
	if w.Wire.Resistivity > 0 {
		// At 1 Hz: x grows with the root of the frequency.
		out.skin, err = SkinEffect{Resistivity: w.Wire.Resistivity,
			Permeability: w.Wire.permeability(), Frequency: 1}.Parameter(w.Wire.Bare)
		if err != nil {
			return Residuals{}, err
		}
	}
	if _, err := result(op, "inductance", out.L+out.C); err != nil {
		return Residuals{}, err
	}
	return out, nil
}

// result is how the wire lies.
func (g geometry) result() Lay {
	l := Lay{
		Turns: g.winding.Turns, PerLayer: g.perLayer, Layers: g.layers,
		WireLength: g.wire * g.winding.Construction.wireCount(),
		Build:      float64(g.layers) * g.winding.Wire.Covered,
		Width:      min(g.winding.Turns, g.perLayer) * g.pitch,
	}
	return l
}

// within is how far L and C may be off: what the loops leave out, by comparison with the
// integral along the wires, and how differently such windings turn out.
func (c Construction) within(g geometry) (inductance, capacitance float64) {
	inductance, capacitance = 0.02, 0.5
	switch c {
	case PlainWinding, FigureEightWinding:
		inductance = 0.01
	case AyrtonPerryWinding, ReversedLayersWinding:
		inductance = 0.1
		if g.winding.Former.Diameter == 0 {
			inductance = 0.2 // where on the card the wires cross
		}
	case BifilarWinding:
		capacitance = 0.1
		if g.layers > 1 {
			inductance = 0.2
		}
	}
	// A closed rectangle leaves out that the wire advances between its sides.
	if g.winding.Former.Diameter == 0 {
		inductance = max(inductance, 0.03)
	}
	if g.layers > 1 {
		capacitance = 0.3
	}
	return inductance, capacitance
}

// TimeConstantLimits returns the limits in seconds of the time constant when L and C are
// off by as much as the model may be.
func (r Residuals) TimeConstantLimits() (uncertainty.Interval, error) {
	tau, err := r.TimeConstant()
	if err != nil {
		return uncertainty.Interval{}, err
	}
	// Both doubts at once, in the worst directions.
	half := r.L/r.R*r.InductanceWithin + float64(r.R*r.C)*r.CapacitanceWithin
	if math.IsNaN(half) || math.IsInf(half, 0) {
		return uncertainty.Interval{}, &Error{Op: "winding.Residuals.TimeConstantLimits",
			Name: "limits", Value: half,
			Err: unit.Errorf(ErrNotFinite,
				"%v s; expected InductanceWithin and CapacitanceWithin as fractions", half)}
	}
	return uncertainty.Interval{Lower: tau - half, Upper: tau + half}, nil
}

// Impedance returns the impedance at a frequency in Hz, with the skin effect of the
// single wire if the wire states its resistivity. A bifilar pair is a [Line]. The proximity
// of other wires is left out: it comes to several times the skin effect in close
// windings, and both are small wherever resistance wire is thinner than the skin depth.
func (r Residuals) Impedance(frequency float64) (Impedance, error) {
	const op = "winding.Residuals.Impedance"
	if err := r.checkEquivalent(op); err != nil {
		return Impedance{}, err
	}
	if err := positive(op, arg{"frequency", frequency, "Hz"}); err != nil {
		return Impedance{}, err
	}
	// x at the frequency asked for.
	increase, _ := surfaceImpedance(r.skin * math.Sqrt(frequency))
	// What skin effect adds is a small change of R, which enters before L and C.
	e := Equivalent{r.R * (1 + increase), r.L, r.C}
	var z Impedance
	var err error
	// Equivalent has C/3, the line takes C.
	if r.folded {
		z, err = Line{e.R, e.L, 3 * e.C}.Impedance(frequency)
	} else {
		z, err = e.Impedance(frequency)
	}
	if err != nil || increase == 0 {
		return z, err
	}
	d := z.Z/complex(r.R, 0) - 1
	// A change below 1e-3 would lose its digits in Z/R − 1.
	if !cmplx.IsNaN(d) && cmplx.Abs(d) < 1e-3 { // keep the digits of a small change
		d = complex(z.Resistance+float64(increase*(1+z.Resistance)), z.Reactance*(1+increase))
	}
	return impedance(op, r.R, d)
}

// FrequencyForMagnitude returns the lowest frequency in Hz at which |Z| differs from R
// by the given fraction (0.001 for 0.1 %), with all that [Residuals.Impedance] counts.
// If it stays nearer up to 10 GHz, where no such model holds, it is [ErrUnreachable].
func (r Residuals) FrequencyForMagnitude(fraction float64) (float64, error) {
	const op = "winding.Residuals.FrequencyForMagnitude"
	if err := r.limit(op, fraction, 1); err != nil {
		return 0, err
	}
	if f := r.firstBeyond(fraction, func(z Impedance) float64 { return z.Magnitude }); f > 0 {
		return f, nil
	}
	return 0, unreachable(op, arg{"fraction", fraction, ""},
		"the magnitude stays nearer to R up to 10 GHz")
}

// FrequencyForPhase returns the lowest frequency in Hz at which the phase of Z reaches the given
// angle in radians, of either sign, below π/2, with all that [Residuals.Impedance] counts: a
// bifilar pair as a line, where [Equivalent.FrequencyForPhase] lumps it. If it stays nearer to 0
// up to 10 GHz, where no such model holds, it is [ErrUnreachable].
func (r Residuals) FrequencyForPhase(radians float64) (float64, error) {
	const op = "winding.Residuals.FrequencyForPhase"
	if err := r.limit(op, radians, math.Pi/2); err != nil {
		return 0, err
	}
	if f := r.firstBeyond(radians, func(z Impedance) float64 { return z.Phase }); f > 0 {
		return f, nil
	}
	return 0, unreachable(op, arg{"radians", radians, ""},
		"the phase stays nearer to 0 up to 10 GHz")
}

// firstBeyond is the lowest frequency at which a figure of the impedance reaches a limit of
// either sign; 0 where it does not up to 10 GHz.
func (r Residuals) firstBeyond(limit float64, figure func(Impedance) float64) float64 {
	beyond := func(f float64) bool {
		z, err := r.Impedance(f)
		// Where the impedance cannot be computed the model has ended too.
		return err != nil || math.Abs(figure(z)) >= limit
	}
	// The figure may pass 0 between two maxima: steps of 5 % find the first.
	const first, last, step = 1e-3, 1e10, 1.05
	for f := first; f < last; f *= step {
		if beyond(f) {
			return bisect(f/step, f, beyond)
		}
	}
	return 0
}
