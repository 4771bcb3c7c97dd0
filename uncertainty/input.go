// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"sync/atomic"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// EvaluationType is the way in which an uncertainty component was evaluated (GUM 2.3.2, 2.3.3).
type EvaluationType uint8

const (
	EvaluationB EvaluationType = iota // by other means than statistics of observations
	EvaluationA                       // by statistical analysis of observations
)

var evaluationTypes = file.Words[EvaluationType]{Type: "uncertainty.EvaluationType",
	Texts: []string{"B", "A"}}

// String returns "A" or "B".
func (t EvaluationType) String() string { return evaluationTypes.String(t) }

// MarshalText returns "A" or "B"; another value is refused ([ErrDomain]).
func (t EvaluationType) MarshalText() ([]byte, error) { return evaluationTypes.Marshal(t) }

// UnmarshalText reads "A" or "B".
func (t *EvaluationType) UnmarshalText(text []byte) error {
	return evaluationTypes.Unmarshal(text, t)
}

// Input returns a new input quantity with a name and a distribution. Every call
// makes a source of its own: share the result, do not build it twice. It is the
// short form of [Source].
func Input(name string, d Distribution) Quantity {
	return Source{Name: name, Distribution: d}.Input()
}

// A Source describes an input quantity in full.
type Source struct {
	Name         string
	Distribution Distribution
	Unit         string // symbol as printed, "Ω"; empty: not stated
	Note         string // where the value comes from: "certificate 17/2026"

	// DOF replaces the degrees of freedom of the standard uncertainty (see
	// [Reliability]); 0 means those of the distribution. It enters the coverage
	// factor only, never the sampling of the distribution.
	DOF float64

	// Pool names the pooled standard deviation that u comes from. Sources of one pool have
	// one estimate of scale: they enter the degrees of freedom of a budget as one component.
	// Empty: each source has its own.
	Pool string

	// ID makes sources equal: two sources of one ID are one quantity, wherever and
	// however often they are built, and must be stated alike. Put a serial number
	// and a date in. Empty: every Input is a source of its own.
	ID string
}

// Input returns the input quantity that s describes.
func (s Source) Input() Quantity {
	src := &source{name: s.Name, unit: s.Unit, note: s.Note, id: s.ID, pool: s.Pool,
		dist: s.Distribution}
	if err := src.read(s.DOF); err != nil {
		src.err = refused("uncertainty.Input", s.Name, err)
		// What a constructor refused keeps its operation: "Normal" says more than "Input".
		if e, ok := err.(*Error); ok && e.Op != "" {
			src.err = &Error{Op: e.Op, Name: s.Name, Value: e.Value, Err: e.Err}
		}
	}
	return src.quantity()
}

// source is what an input node knows. It does not change once its node is made, except for
// recorded, so that goroutines may share it. Its address is the identity of the input, unless an
// ID says more.
type source struct {
	name, unit, note, id string // as in [Source]; unit is a symbol, not checked here
	pool                 string
	dist                 Distribution // nil for a member of a group that carries an error
	x, u, dof            float64      // estimate, standard uncertainty in the sense of JCGM 100, ν
	reach                float64      // half-width of the support, may be infinite
	factor               float64      // stated coverage factor, where it is below 1
	typ                  EvaluationType
	group                *group // correlated inputs; nil for an independent one
	index                int    // place in the group: row of its covariance matrix
	err                  error  // what is wrong with it; x and u are then of no use

	// recorded is the ID given by the first Record that wrote the source: what is read back finds
	// the source by it while the program runs.
	recorded atomic.Pointer[string]
}

// key is the ID by which equal sources are found: the stated one, or that of a record; empty for a
// source that is equal to itself alone.
func (s *source) key() string {
	// The ID that somebody stated is stronger than one that a record gave.
	if s.id != "" {
		return s.id
	}
	// A member is known by its group and its name.
	if s.group != nil {
		if g := s.group.key(); g != "" {
			return g + "/" + s.name
		}
		return ""
	}
	if id := s.recorded.Load(); id != nil {
		return *id
	}
	return ""
}

// quantity makes the node of a source; one with an error has no value.
func (s *source) quantity() Quantity {
	// The tag is where tables look for the node first; random ones collide seldom.
	n := &node{op: opInput, tag: rand.Uint32(), value: s.x, bound: s.u, aux: s}
	// What is above such a node is not computed: the error is all there is.
	if s.err != nil {
		n.bad, n.value, n.bound = true, math.NaN(), 0
	}
	return Quantity{n}
}

// read takes estimate, u and degrees of freedom from the distribution and checks
// it. The methods of a distribution of somebody else's may panic.
func (s *source) read(dof float64) (err error) {
	if s.dist == nil {
		return unit.Errorf(ErrNoDistribution, "no distribution; expected one, such as Normal(x, u)")
	}
	if l, ok := s.dist.(law); ok {
		if l.cause != nil {
			return l.cause
		}
		s.x, s.u, s.dof, s.reach = l.x, l.u, l.dof, l.reach()
		// Not part of the law: files do not keep it, and it changes no figure.
		if l.factor != 0 {
			s.factor, l.factor = l.factor, 0
			s.dist = l
		}
		// n observations make it Type A, whatever its law.
		if l.n > 0 {
			s.typ = EvaluationA
		}
	} else if err := s.probe(); err != nil {
		return err
		// Laws of readings that are none of the kinds of law, such as middleOfRange, say so here.
	} else if _, ok := s.dist.(interface{ observed() int }); ok {
		s.typ = EvaluationA
	}
	// Stated degrees of freedom replace those of the law for the coverage factor only.
	if dof != 0 {
		s.dof = dof
	}
	if err := freedom(s.dof); err != nil {
		return err
	}
	if err := number("estimate", s.x); err != nil {
		return err
	}
	return width("standard uncertainty", s.u)
}

// probe asks a foreign distribution for its moments and five quantiles, which must
// be finite and rise.
func (s *source) probe() (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = unit.Errorf(ErrDomain, "distribution %T panics: %v; expected valid parameters",
				s.dist, r)
		}
	}()
	// Without a method Uncertainty the moments of the law are all there is to know.
	s.x, s.u, s.dof, s.reach = s.dist.Mean(), s.dist.StdDev(), math.Inf(1), math.Inf(1)
	if d, ok := s.dist.(interface{ Uncertainty() (u, dof float64) }); ok {
		s.u, s.dof = d.Uncertainty()
	}
	// Five points catch a quantile function that falls, or does not end; they cannot prove it.
	last := math.Inf(-1)
	for _, p := range []float64{0.01, 0.25, 0.5, 0.75, 0.99} {
		q := s.dist.Quantile(p)
		if err := number(fmt.Sprintf("quantile %v of %T", p, s.dist), q); err != nil {
			return err
		}
		if q < last {
			return unit.Errorf(ErrDomain, "quantiles of %T fall at p = %v; expected them to rise",
				s.dist, p)
		}
		last = q
	}
	return nil
}

// agrees reports whether two sources of one ID are stated alike.
func (s *source) agrees(t *source) bool {
	// The note is not compared: it changes no figure.
	if s.name != t.name || s.unit != t.unit || s.x != t.x || s.u != t.u || s.dof != t.dof {
		return false
	}
	if (s.group == nil) != (t.group == nil) {
		return false
	}
	if s.group != nil {
		return s.index == t.index && s.group.agrees(t.group)
	}
	// Distributions of others may hold slices, which == cannot compare.
	return reflect.DeepEqual(s.dist, t.dist)
}

// drawnDOF is the degrees of freedom of the t-distribution that Monte Carlo draws from,
// infinite where it draws from another (see jointOf for readings of several quantities).
func (s *source) drawnDOF() float64 {
	if s.group != nil {
		if s.group.observed > 0 {
			// The number that is left for N quantities (JCGM 102 5.3.2.2).
			return s.group.dof - float64(len(s.group.names)-1)
		}
		return s.group.dof
	}
	if l, own := s.dist.(law); own && l.kind == student {
		return l.dof
	}
	return math.Inf(1)
}

// equal reports whether the input comes from readings that are all equal: u = 0 is then a matter of
// the display, not of the quantity.
// A single reading says nothing about scatter and is no series. Of readings made together with
// those of other quantities it is the group that knows how many there are.
func (s *source) equal() bool {
	if s.group != nil {
		return s.group.observed > 1 && s.u == 0
	}
	l, own := s.dist.(law)
	return own && l.n > 1 && s.u == 0
}

// distribution names the law for a budget: "normal", "joint t", or the type of a distribution of
// somebody else's that has no String.
func (s *source) distribution() string {
	switch d := s.dist.(type) {
	case nil:
		return "joint normal"
	case law:
		if s.group != nil {
			return "joint " + d.String()
		}
		return d.String()
	case fmt.Stringer:
		return d.String()
	default:
		return fmt.Sprintf("%T", d)
	}
}
