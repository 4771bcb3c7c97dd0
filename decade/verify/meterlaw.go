// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty"
)

// This file is the joint law of the parts of a meter's error, of which metererror.go makes the
// sources. They are uncorrelated, so that
// budgets take them one by one, but not independent: a limit that holds for every reading
// bounds them together.
//
// Of one limit, (z_g, z_0, z_c) is a point on the unit sphere, evenly. What a reading R takes of
// it is L times the projection on the direction (aR, √(2abVR), bV)/L, whose length is 1, since
// (aR)² + 2abVR + (bV)² = (aR + bV)² = L²; and the
// projection of the even sphere on any direction is a rectangle from −1 to 1 (Archimedes: a
// zone of the sphere has the area of its height). So each reading alone has the rectangle ±L
// that the maker states, and every linear combination of readings of the range, such as a
// difference or what a standard leaves, a rectangle too, with the root of the sum of squares of
// what is left of the three limits. No other law of the three does both.
//
// The part of the session stands at a right angle to that of the certificate, in a direction
// drawn evenly: each is even on its sphere, and so is their sum, which is what one session
// shows. Of two limits each has a sphere of its own. The linearity is independent of them.
//
// What this changes: three rectangles that add as if they were independent have nearly the
// normal law, and a 95 % interval of 1.96·u in place of the 0.95·√3·u = 1.65·u of one rectangle:
// a fifth too wide. The standard uncertainty is the same in both, since the coordinates of an even
// point on the sphere are uncorrelated, each with the variance 1/3 of a rectangle from −1 to 1.
//
// An example: ±(0.01 % of reading + 4 mΩ) at 100 Ω and at 50 Ω. The difference keeps the gain,
// 10 mΩ − 5 mΩ, and of the cross term √(2·10·4) mΩ − √(2·5·4) mΩ = 2.62 mΩ; the zero is gone. It
// is one rectangle of ±√(5² + 2.62²) mΩ = ±5.64 mΩ, beside the two linearities.

// bound says which parts of an error are bounded together: those with one label and one session.
type bound struct {
	label   string  // of what shares a sphere; empty: of an internal reference
	session string  // empty: of the certificate
	limit   float64 // half-width of the rectangle that the part is by itself
}

// sessionOf is what a bound calls the session of a reading, which may have no name: empty means
// the certificate there.
func sessionOf(rd *Reading) string { return "session " + rd.Session }

// noteBound notes that q, a source that addShared made, is a part of an error within a limit, in
// the unit of q. A source of several readings is noted again by each, with the same bound.
func (s *sources) noteBound(q uncertainty.Quantity, rg Range, p sharedPart, session string,
	limit float64) {
	if rg.K > 0 {
		return // a normal law has no bounds
	}
	// By default the range, and "after its certificate" apart from its own limits: a drift since
	// the certificate is bounded by the stability, whatever the certificate says.
	label := rg.Name + p.of
	switch {
	case p.reference:
		label = ""
	case rg.Combine == CombineTwoLimits:
		label = p.name // gain and zero each for itself
	}
	s.bounds[q] = bound{label, session, limit}
}

// spheres are the parts of one label in a result: sums of squares of half-widths, of the
// certificate and of each session, in Ω².
type spheres struct {
	certificate float64
	sessions    map[string]float64
	parts       int // sources that were joined; of one alone the law is known already
}

// law returns a result in which the parts of the meter's error that are bounded together are
// the rectangles that they are together; false where there is nothing to join. The new sources
// belong to this result alone: it has the law of r, but no longer what r shares with others. name
// makes their names differ from those of another result.
func (s *sources) law(r result, name string) (result, bool) {
	out := r
	out.c, out.q = nil, nil
	net := make(map[uncertainty.Quantity]float64) // coefficient of each bounded source
	var bounded []uncertainty.Quantity
	for i, q := range r.q {
		if _, ok := s.bounds[q]; !ok {
			out.with(r.c[i], q)
			continue
		}
		if _, seen := net[q]; !seen {
			bounded = append(bounded, q)
		}
		// A source that stands in two readings, such as a gain in a difference, enters with the
		// sum of its coefficients (GUM F.1.2.3).
		net[q] += r.c[i]
	}
	labels := make(map[string]*spheres)
	var order []string
	for _, q := range bounded {
		b := s.bounds[q]
		g := labels[b.label]
		if g == nil {
			g = &spheres{sessions: make(map[string]float64)}
			labels[b.label] = g
			order = append(order, b.label)
		}
		g.parts++
		g.join(b.session, square(net[q]*b.limit))
	}
	if reference := labels[""]; reference != nil && len(order) == 2 {
		// Of one range alone the reference is a part of its gain.
		order = slices.DeleteFunc(order, func(label string) bool { return label == "" })
		g := labels[order[0]]
		g.parts += reference.parts
		g.certificate += reference.certificate
		for session, square := range reference.sessions {
			g.sessions[session] += square
		}
	}
	joined := false
	for _, label := range order {
		g := labels[label]
		joined = joined || g.parts > 1
		for k, half := range g.rectangles() {
			part := fmt.Sprintf("limits of the meter, %s, part %d, %s", label, k+1, name)
			out.with(1, uncertainty.Input(part, uncertainty.Rectangular(0, half)))
		}
	}
	return out, joined
}

// join adds the square of a half-width to the sphere of a session, or of the certificate: what is
// left of the coordinates is a vector, and its length the half-width of the projection.
func (g *spheres) join(session string, square float64) {
	if session == "" {
		g.certificate += square
	} else {
		g.sessions[session] += square
	}
}

// rectangles are the half-widths of what is left: of one session all together; of several, that
// of the certificate and that of each session. They come in one order, whatever that of the map.
func (g *spheres) rectangles() []float64 {
	squares := []float64{g.certificate}
	for _, session := range slices.Sorted(maps.Keys(g.sessions)) {
		squares = append(squares, g.sessions[session])
	}
	if len(g.sessions) == 1 {
		squares = []float64{squares[0] + squares[1]}
	}
	var out []float64
	for _, x := range squares {
		if x > 0 {
			out = append(out, math.Sqrt(x))
		}
	}
	return out
}

// withLaw is the budget of a result with its law as far as it is known: that of b where the law
// of the sum of the parts is all there is.
func (s *sources) withLaw(r result, b *uncertainty.Budget) *uncertainty.Budget {
	if joint, ok := s.law(r, b.Name); ok {
		if known := budgetInOhms(joint.quantity(b.Name)); known != nil {
			return known
		}
	}
	return b
}

// lawOf is the deviation of a row with its law: of one reading alone the limit of the meter is
// the law of its error; of several the parts that they share are.
func (e *evaluation) lawOf(i int) (uncertainty.Quantity, bool) {
	rd := &e.readings[i]
	// A zero that was read is a second reading.
	_, read := e.zero(rd)
	difference := read && !e.spec.ResidualIncluded && !rd.Setting.AllZero() &&
		e.meter.Leads.Null != NullBoxAtZero
	if v, ok := e.single(i); ok && !difference {
		_, deviation := e.convention(rd, v)
		return deviation.quantity(""), true
	}
	_, deviation := e.convention(rd, e.values[i])
	joint, ok := e.law(deviation, e.ranges[i].Name)
	return joint.quantity(""), ok
}
