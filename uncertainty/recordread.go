// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// A record is read in the order in which a result is made: laws, sources, groups, and of these the
// quantities, each as one linear node
//
//	y = y° + Σ c_i·(x_i − x°_i)
//
// which is all that a record knows of the model. Redundant figures are not skipped but checked: the
// half-width against u, both halves of a matrix, u of a quantity against its sources. Somebody may
// have mended a digit by hand and not the others, and what is read is taken for the calibration of
// a standard.

// UnmarshalJSON reads what MarshalJSON writes. Unknown keys, an unknown source, a
// source listed twice and a standard uncertainty that does not follow from the
// sources are refused: the record would not be what was written.
func (r *Record) UnmarshalJSON(text []byte) error {
	var in jsonRecord
	if err := file.DecodePart("uncertainty.Record", text, &in); err != nil {
		return err
	}
	// Sources first: every row is built of them. Groups are sources, too, and found by their
	// members.
	sources, err := in.inputs()
	if err != nil {
		return err
	}
	// After the file is known to be right: a nil receiver is the mistake of a program.
	if r == nil {
		return &Error{Op: "uncertainty.Record.UnmarshalJSON", Err: unit.Errorf(unit.ErrNotStated,
			"nil; expected the address of a Record")}
	}
	ids, columns, err := in.listed()
	if err != nil {
		return err
	}
	// Into a record of its own: an error must not leave half of a file in *r.
	out := Record{ID: in.ID}
	for _, row := range in.Quantities {
		of, err := row.sensitivities(ids, columns)
		if err != nil {
			return refused("uncertainty.Record", row.Name, err)
		}
		q, err := row.read(sources, of)
		if err != nil {
			return err
		}
		out.Quantities = append(out.Quantities, q)
	}
	if err := out.checkNames(); err != nil {
		return err
	}
	*r = out
	return nil
}

// inputs builds the sources and groups, by ID: that of the source, or group ID/name for a member.
// The inputs are new nodes, and one with those of other records and of the program as far as their
// IDs are equal, which is found when they are evaluated together.
func (j *jsonRecord) inputs() (map[string]Quantity, error) {
	sources := make(map[string]Quantity)
	// enter refuses what the constructors refused, and an ID that is taken.
	enter := func(id string, q Quantity) error {
		if err := q.Err(); err != nil {
			return refused("uncertainty.Record", id, err)
		}
		// Two sources of one ID could not be told apart by the sensitivities.
		if _, ok := sources[id]; ok || id == "" {
			return &Error{Op: "uncertainty.Record", Name: id,
				Err: unit.Errorf(ErrSyntax,
					"source without an id or with that of another; expected one for each")}
		}
		sources[id] = q
		return nil
	}
	for _, s := range j.Sources {
		s.ID = s.id(j.ID)
		l, err := s.Distribution.read(j.Distributions)
		if err != nil {
			return nil, refused("uncertainty.Record", s.ID, err)
		}
		note, err := s.Note.read(j.Notes)
		if err != nil {
			return nil, refused("uncertainty.Record", s.ID, err)
		}
		// A certificate may state degrees of freedom beside a law that has none of its own.
		dof := 0.0 // those of the distribution
		if s.DOF != nil {
			dof = float64(*s.DOF)
		}
		q := Source{
			// The name was left out where it is the last part of the ID.
			Name: cmp.Or(s.Name, lastPart(s.ID)), Distribution: l, Unit: s.Unit, Note: note,
			DOF: dof, Pool: s.Pool, ID: s.ID,
		}.Input()
		if err := enter(s.ID, q); err != nil {
			return nil, err
		}
	}
	for _, g := range j.Groups {
		joint, err := g.read()
		if err != nil {
			return nil, err
		}
		// The same ID as Inputs gives to the members.
		for i, q := range joint.Inputs() {
			if err := enter(g.ID+"/"+g.Names[i], q); err != nil {
				return nil, err
			}
		}
	}
	return sources, nil
}

// id is the ID of a source: that of the record and the name, where it states none, as
// [source.record] gives it. A source without either has none, and is refused.
func (s *jsonSource) id(record string) string {
	if s.ID == "" && s.Name != "" {
		return record + "/" + s.Name
	}
	return s.ID
}

// read builds the law and checks that its figures belong together. What may be left out, and what
// it then is:
//
//	halfWidth             of a law without ends: u; of one with ends it is needed
//	standardUncertainty   of a law with ends: as the half-width gives it; else it is needed
//	shape                 0: no top of a trapezoid, exact limits of a curvilinear one
//	degreesOfFreedom      infinite
//	observations          0: not of Type A
func (j jsonLaw) read() (law, error) {
	// The place in the table of kinds is the kind.
	k := slices.Index(kindNames[:], j.Kind)
	if k < 0 {
		return law{}, unit.Errorf(ErrSyntax, "unknown kind of distribution %q; expected one of %s",
			j.Kind, strings.Join(kindNames[:], ", "))
	}
	l := law{
		kind: kind(k), x: j.Estimate, a: j.HalfWidth, b: j.Shape, dof: math.Inf(1),
		n: j.Observations,
	}
	if j.DOF != nil {
		l.dof = float64(*j.DOF)
	}
	// u is stated, or follows from the half-width; the constructor computes it as when it was
	// written.
	switch made, ok := l.remade().(law); {
	case j.U != nil:
		l.u = *j.U
	case ok && l.bounded():
		l.u = made.u // with a half-width that is none, the refusal below says so
	// A bell without u: nothing else in the file says how wide it is.
	default:
		return law{}, unit.Errorf(ErrSyntax,
			"no standard uncertainty of a %s distribution; expected one", l)
	}
	// 0 is what a bell has in the file; inside, a is its scale.
	if !l.bounded() && l.a == 0 { // older files repeat u as a half-width
		l.a = l.u
	}
	err := firstRefusal("Record", number("estimate", l.x), width("half-width", l.a),
		number("shape", l.b), width("standard uncertainty", l.u), freedom(l.dof))
	if err != nil {
		return law{}, errors.Unwrap(err)
	}
	if l.n < 0 {
		return law{}, unit.Errorf(ErrSyntax, "%d observations; expected 0 or more", l.n)
	}
	// Constructors and file must agree on what the figures mean. The estimate and the half-width in
	// every bit; u to 1e-12, some thousand roundings, since a writer may take them in another
	// order.
	made, ok := l.remade().(law)
	if !ok || made.cause != nil || made.x != l.x || made.a != l.a ||
		math.Abs(made.u-l.u) > 1e-12*l.u {
		return law{}, unit.Errorf(ErrSyntax, "%s distribution with standard uncertainty %v and "+
			"half-width %v; expected figures that belong together (%v and %v)",
			l, l.u, l.a, made.u, made.a)
	}
	return l, nil
}

// remade is the distribution that its constructor would make of the same parameters: the estimate,
// and the half-width and shape of a law with ends or the u and degrees of freedom of one without.
// Exponential and counts have one parameter, which the estimate gives: a mean, and q + 1 for q
// counts (JCGM 101 6.4.10 and 6.4.11). Nil for a kind that no constructor makes.
func (l law) remade() Distribution {
	switch l.kind {
	case normal:
		return Normal(l.x, l.u)
	case student:
		return StudentT(l.x, l.u, l.dof)
	case rectangular:
		return Rectangular(l.x, l.a)
	case triangular:
		return Triangular(l.x, l.a)
	case arcsine:
		return Arcsine(l.x, l.a)
	case trapezoidal:
		return Trapezoidal(l.x, l.a, l.b)
	case curvilinear:
		return CurvilinearTrapezoidal(l.x, l.a, l.b)
	case exponential:
		return Exponential(l.x)
	case gamma:
		return Counts(int(l.x) - 1)
	}
	return nil
}

// read checks the matrix of a group; what it means is checked by [JointSource.Inputs]: variances
// that are not negative, correlations inside ± 1, one estimate for each name. The covariances are
// in the products of the units of the members.
func (g jsonGroup) read() (JointSource, error) {
	refuse := func(text string) (JointSource, error) {
		return JointSource{}, &Error{Op: "uncertainty.Record", Name: g.ID,
			Err: unit.Errorf(ErrSyntax, "%s", text)}
	}
	n := len(g.Names)
	if n == 0 || len(g.Covariance) != n {
		return refuse(fmt.Sprintf("%s of the covariance matrix for %s; expected as many, and at "+
			"least one", unit.Counted(len(g.Covariance), "row", "rows"),
			unit.Counted(n, "name", "names")))
	}
	c := mat.NewSymDense(n, nil)
	for i, row := range g.Covariance {
		if len(row) != n {
			return refuse(fmt.Sprintf("row %d of the covariance matrix has %s; expected %d", i+1,
				unit.Counted(len(row), "figure", "figures"), n))
		}
		// Both halves are written, and one of them could be changed by hand.
		for k := range i + 1 {
			if row[k] != g.Covariance[k][i] {
				return refuse(fmt.Sprintf("covariance matrix differs from its mirror image at "+
					"row %d, column %d; expected a symmetric one", i+1, k+1))
			}
			c.SetSym(i, k, row[k])
		}
	}
	if err := freedom(float64(g.DOF)); err != nil {
		return refuse(err.Error())
	}
	return JointSource{Names: g.Names, Units: g.Units, Estimates: g.Estimates, Covariance: c,
		DOF: float64(g.DOF), ID: g.ID, Type: g.Type, Observations: g.Observations}, nil
}

// read builds the quantity as one linear node with exactly the estimate of the file: the constant
// is c0 = y° − Σ c_i·x°_i, so that displaced sources, in a simulation for example, move it as they
// would have moved the original to first order. The node is given y° itself, which the sum would
// miss by its rounding.
func (row jsonQuantity) read(sources map[string]Quantity, of []sensitivity) (Quantity, error) {
	refuse := func(err error) (Quantity, error) {
		return Quantity{}, refused("uncertainty.Record", row.Name, err)
	}
	// Units that do not belong together mark a result as mixed, which is compared with none.
	m := &many{about: &about{unit: cmp.Or(row.Unit, mixed)}, c0: row.Estimate}
	for _, s := range of {
		q := sources[s.source]
		m.args, m.d = append(m.args, q.n), append(m.d, s.c)
		// Linear about the estimates: c0 is what is left of the estimate.
		m.c0 -= float64(s.c * q.n.value)
	}
	q := finishMany(opLinear, m, row.Estimate)
	// The u of the file must follow from the sources, or one of the two was changed.
	b, err := Evaluate(q)
	if err != nil {
		return refuse(err)
	}
	// Written and read by different programs: 1e-9 of u is far below what anybody states. What
	// correlation cancels leaves rounding behind, in proportion to the bound.
	if math.Abs(b.StandardUncertainty-row.U) > float64(1e-9*row.U)+float64(1e-12*q.n.bound) {
		return refuse(unit.Errorf(ErrSyntax, "standard uncertainty is %v; expected %v by the "+
			"sources", row.U, b.StandardUncertainty))
	}
	return q.Named(row.Name), nil
}
