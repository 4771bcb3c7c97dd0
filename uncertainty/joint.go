// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync/atomic"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty/unit"
)

// Joint returns correlated input quantities with the given estimates and
// covariance matrix (GUM 5.2, F.1.2). There are always len(names) results; what is
// wrong is carried by all of them and reported once. It is the short form of
// [JointSource].
func Joint(names []string, estimates []float64, covariance mat.Symmetric) []Quantity {
	return JointSource{Names: names, Estimates: estimates, Covariance: covariance}.Inputs()
}

// A JointSource describes input quantities that are known together.
type JointSource struct {
	Names      []string
	Units      []string // as many as Names, or none
	Estimates  []float64
	Covariance mat.Symmetric // positive semidefinite, within what two printed digits leave open

	// DOF of the whole covariance matrix; 0: infinite. The group enters the
	// Welch–Satterthwaite formula as one component: exact where the covariance comes from
	// observations (Type A), cautious otherwise; the budget says so ([ErrJointDOF]).
	DOF float64

	// Observations is the number n of joint observations whose scatter gave the whole
	// matrix: Monte Carlo then draws N quantities with n − N degrees of freedom (JCGM 102
	// 5.3.2.2). 0: the matrix is known except for one factor, as that of the scatter about a
	// line, and is drawn with DOF. JointTypeA sets it.
	Observations int

	// ID makes groups equal, as in [Source].
	ID string

	Type EvaluationType // of the evaluation; zero: B. JointTypeA sets A

	cause error // what is wrong with the observations
}

// JointTypeA returns the input quantities of n ≥ 2 joint observations:
// observations[i] holds the series of the quantity names[i], all equally long and
// in the order in which they were observed. Estimates are the means, covariances
// those of the means, Σ(x−x̄)(y−ȳ)/(n(n−1)) (GUM 5.2.3, eq. 17), DOF is n−1.
func JointTypeA(names []string, observations [][]float64) JointSource {
	j := JointSource{Names: names, Type: EvaluationA}
	// Kept for Inputs, which reports it once for all quantities.
	if j.cause = checkObservations(names, observations); j.cause != nil {
		return j
	}
	n := len(observations[0])
	for i, series := range observations {
		m, err := mean("JointTypeA", series)
		if err != nil {
			j.cause = unit.Errorf(err, "series %s: %v", unit.Quoted(names[i]), errors.Unwrap(err))
			return j
		}
		j.Estimates = append(j.Estimates, m)
	}
	j.DOF, j.Observations = float64(n-1), n
	// GUM eq. 17 with the mean of each series.
	c := mat.NewSymDense(len(names), nil)
	for a := range names {
		for b := range a + 1 {
			var s float64
			for i := range n {
				s += float64((observations[a][i] - j.Estimates[a]) * (observations[b][i] -
					j.Estimates[b]))
			}
			// (n − 1) of the covariance and n of the mean. Readings 1, 2, 3 beside 2, 4, 9 have the
			// sum 1·3 + 0·1 + 1·4 = 7, and the covariance of the means 7/6.
			c.SetSym(a, b, s/float64(n*(n-1)))
		}
	}
	j.Covariance = c
	return j
}

// checkObservations refuses series that were not observed together: observations[i] belongs to
// names[i], and element k of all series is the k-th joint reading. Every number must be finite.
func checkObservations(names []string, observations [][]float64) error {
	if len(names) == 0 || len(observations) != len(names) {
		return unit.Errorf(ErrObservations,
			"%d series for %d names; expected one series for each name, and at least one",
			len(observations), len(names))
	}
	n := len(observations[0])
	for i, series := range observations {
		if len(series) != n {
			return unit.Errorf(ErrObservations,
				"%s of %q, %d of %q; expected joint observations, equally many of each quantity",
				unit.Counted(n, "observation", "observations"), names[0], len(series), names[i])
		}
	}
	if n < 2 {
		return unit.Errorf(ErrObservations, "%d joint observations; expected 2 or more", n)
	}
	return nil
}

// group is the shared part of correlated sources. It does not change once its sources are made,
// except for recorded. Member i has row and column i of cov; all slices are copies of its own.
type group struct {
	id        string // stated; empty: the group is equal to itself alone
	names     []string
	units     []string // as many, or none
	estimates []float64
	cov       *mat.SymDense // of the estimates, in the products of their units
	dof       float64       // of the whole matrix, may be infinite; n − 1 for n joint observations
	typ       EvaluationType
	observed  int                    // joint observations; 0: stated
	recorded  atomic.Pointer[string] // as in source
}

// key is the stated ID or that of a record; empty for none.
func (g *group) key() string {
	// A stated ID is stronger than one given by a record.
	if id := g.recorded.Load(); g.id == "" && id != nil {
		return *id
	}
	return g.id
}

// is reports whether two groups are one: the same, or of one ID, which at least one of
// them states. IDs that records gave to both are no statement: two records of one name may hold
// different groups.
func (g *group) is(h *group) bool {
	return g == h || g != nil && h != nil && (g.id != "" || h.id != "") && g.key() == h.key()
}

// agrees reports whether two groups of one ID are stated alike, to the last bit: a file that was
// written in full precision is read back as it was. Units are compared with the members.
func (g *group) agrees(h *group) bool {
	return g == h || slices.Equal(g.names, h.names) && slices.Equal(g.estimates, h.estimates) &&
		g.dof == h.dof && g.observed == h.observed && mat.Equal(g.cov, h.cov)
}

// Inputs returns the input quantities that j describes, in the order of its names.
func (j JointSource) Inputs() []Quantity {
	g := &group{id: j.ID, names: slices.Clone(j.Names), units: slices.Clone(j.Units),
		estimates: slices.Clone(j.Estimates), dof: j.DOF, typ: j.Type, observed: j.Observations}
	// As everywhere, 0 means that nothing was stated.
	if j.DOF == 0 {
		g.dof = math.Inf(1)
	}
	err := j.checkStated()
	if err != nil {
		err = refused("uncertainty.Joint", "", err)
	} else {
		// A copy: the caller may change his matrix, and sources may not change.
		g.cov = mat.NewSymDense(len(j.Names), nil)
		g.cov.CopySym(j.Covariance)
	}
	// Even a wrong group gives as many quantities as names, so that callers can index them; all of
	// them carry one error, which an evaluation reports once.
	out := make([]Quantity, len(j.Names))
	for i, name := range j.Names {
		s := &source{name: name, group: g, index: i, err: err, reach: math.Inf(1), typ: j.Type}
		if j.ID != "" {
			s.id = j.ID + "/" + name
		}
		// The units may be as wrong as the rest: with an error their number is not known to fit.
		if len(j.Units) > 0 && err == nil {
			s.unit = j.Units[i]
		}
		if err == nil {
			s.x, s.u, s.dof = j.Estimates[i], math.Sqrt(g.cov.At(i, i)), g.dof
			// The marginal law of one member, for names and quantiles in a budget; how members are
			// drawn together is said by jointOf.
			s.dist = bell(student, s.x, s.u, g.dof, nil)
		}
		out[i] = s.quantity()
	}
	return out
}

// checkStated finds what is wrong with j, in the order in which one check relies on the others:
// lengths, names and numbers, the matrix. The methods of a matrix of somebody else's, or
// of a nil one, may panic, which is an error of the matrix.
func (j JointSource) checkStated() (err error) {
	if j.Observations < 0 || j.Observations == 1 {
		return &Error{Value: float64(j.Observations), Err: unit.Errorf(ErrObservations,
			"%s; expected 2 or more, or 0 for none",
			unit.Counted(j.Observations, "joint observation", "joint observations"))}
	}
	defer func() {
		if r := recover(); r != nil {
			err = unit.Errorf(ErrCovariance, "covariance matrix %T panics: %v; expected a valid "+
				"matrix", j.Covariance, r)
		}
	}()
	if err := j.checkLengths(); err != nil {
		return err
	}
	for i, name := range j.Names {
		// One name for two columns of the matrix would make a formula ambiguous.
		if slices.Contains(j.Names[:i], name) {
			return unit.Errorf(ErrSameName, "name %s twice in one group; expected different names",
				unit.Quoted(name))
		}
		if err := number("estimate of "+unit.Shown(name), j.Estimates[i]); err != nil {
			return err
		}
	}
	if j.DOF != 0 {
		if err := freedom(j.DOF); err != nil {
			return err
		}
	}
	return checkCovariance(j.Names, j.Covariance)
}

// checkLengths refuses lists and a matrix that are not all of one length, that of the names.
func (j JointSource) checkLengths() error {
	n := len(j.Names)
	switch {
	case j.cause != nil:
		return j.cause
	case n == 0:
		return unit.Errorf(ErrCovariance, "no names; expected at least one")
	case len(j.Estimates) != n:
		return unit.Errorf(ErrCovariance, "%s for %s; expected as many of one as of the other",
			unit.Counted(len(j.Estimates), "estimate", "estimates"),
			unit.Counted(n, "name", "names"))
	case len(j.Units) != 0 && len(j.Units) != n:
		return unit.Errorf(ErrCovariance, "%s for %s; expected as many, or none",
			unit.Counted(len(j.Units), "unit", "units"), unit.Counted(n, "name", "names"))
	case j.Covariance == nil:
		return unit.Errorf(ErrCovariance, "no covariance matrix; expected one")
	case j.Covariance.SymmetricDim() != n:
		return unit.Errorf(ErrCovariance, "covariance matrix of order %d for %d names; expected "+
			"the same", j.Covariance.SymmetricDim(), n)
	}
	return nil
}

// What a covariance matrix may be off by, as printed or computed.
const (
	// printedCorrelation is what a correlation of two printed digits may be off by.
	printedCorrelation = 0.005
	// roundedCorrelation is what rounding may carry a computed one beyond ±1.
	roundedCorrelation = 1e-9
	// roundedEigenvalue is what the solver may make of an eigenvalue of 0.
	roundedEigenvalue = 1e-12
)

// checkCovariance refuses a matrix that belongs to no quantities. Correlations
// printed with two digits are off by up to 0.005 each, which moves an eigenvalue of
// the correlation matrix by no more than 0.005·(n−1), the largest sum of magnitudes along a row
// of what was rounded off: so much is allowed. Of three quantities −0.486, −0.506 and −0.506 are
// possible, −0.49, −0.51 and −0.51 as printed are not. What is negative is taken out where the
// matrix is factored.
func checkCovariance(names []string, c mat.Symmetric) error {
	n := len(names)
	for i := range n {
		// The diagonal holds variances.
		if err := width("variance of "+names[i], c.At(i, i)); err != nil {
			return noCovariance(err)
		}
		for k := range i {
			v := c.At(i, k)
			if err := number(fmt.Sprintf("covariance of %s and %s", names[k], names[i]),
				v); err != nil {
				return noCovariance(err)
			}
			limit := math.Sqrt(c.At(i, i)) * math.Sqrt(c.At(k, k))
			if math.Abs(v) > limit*(1+roundedCorrelation) {
				return &Error{Value: v / limit, Err: unit.Errorf(ErrCovariance,
					"correlation of %s and %s is %.4g; expected -1 to 1", names[k], names[i],
					v/limit)}
			}
		}
	}
	// Correlations, not covariances, so that one tolerance serves quantities of every size. A
	// quantity without uncertainty has a row of zeros, and an eigenvalue of 0, which is allowed.
	r := mat.NewSymDense(n, nil)
	for i := range n {
		for k := range i + 1 {
			if v := c.At(i, k); v != 0 {
				r.SetSym(i, k, v/(math.Sqrt(c.At(i, i))*math.Sqrt(c.At(k, k))))
			}
		}
	}
	var e mat.EigenSym
	if !e.Factorize(r, false) {
		return unit.Errorf(ErrCovariance, "eigenvalues not found; expected a finite covariance "+
			"matrix")
	}
	// The smallest eigenvalue comes first.
	if low := e.Values(nil)[0]; low <
		float64(-printedCorrelation*float64(n-1))-roundedEigenvalue {
		return unit.Errorf(ErrCovariance, "smallest eigenvalue of the correlation matrix is "+
			"%.3g; expected a positive semidefinite matrix", low)
	}
	return nil
}

// noCovariance is the refusal of an element as one of the whole matrix: its cause is
// [ErrCovariance], whatever the check of the number found.
func noCovariance(err error) error {
	e := refused("", "", err)
	return &Error{Value: e.Value, Err: unit.Errorf(ErrCovariance, "%v", e.Err)}
}
