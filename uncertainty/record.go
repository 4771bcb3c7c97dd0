// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty/unit"
)

// A Record keeps results in a file with what correlates them: each quantity is
// written with its estimate and with its sensitivity to every source below it. It is
// first order, the law of propagation about the estimates, whatever the model was;
// the distributions of the sources are kept as they are.
//
// What is read shares its sources with the original, with other records and with the
// same file read twice, as far as the sources have equal IDs. A source without one is
// given the ID "record ID/name" when a record first writes it, and keeps it: two
// records of one program still share. This changes nothing in what [Evaluate]
// accepts.
//
// Sources that two programs write under one record ID and one name are taken as one where
// their values agree. Put a serial number and a date into the ID.
// examples/formats/README.md describes the file.
type Record struct {
	ID         string     // not empty; the same for the same results only
	Quantities []Quantity // each under a name of its own, see Named
}

// Quantity returns the quantity of the record with the given name. If there is none
// the result carries the error ([ErrUnknown]).
func (r Record) Quantity(name string) Quantity {
	for _, q := range r.Quantities {
		if q.Name() == name {
			return q
		}
	}
	return Fail(&Error{Op: "uncertainty.Record", Name: name,
		Err: unit.Errorf(ErrUnknown, "no such quantity in record %q; expected one of those in it",
			r.ID)})
}

// The file: sources and groups first, then what depends on them. Sources to which every
// quantity has one sensitivity share a column of the table of sensitivities: what a reading
// is made of reaches all elements in the same proportion, so that three sources in four
// need no figures of their own. Distributions that several sources have are listed once: one
// meter gives each of its readings the same few. So are notes that many sources have, and where a
// quantity depends on the first columns without a gap, as elements of a box depend on all that is
// common to the readings, their numbers are not repeated in every row.
type (
	jsonRecord struct {
		ID            string         `json:"id"`
		Notes         []string       `json:"notes,omitempty"`
		Distributions []jsonLaw      `json:"distributions,omitempty"`
		Sources       []jsonSource   `json:"sources,omitempty"`
		Groups        []jsonGroup    `json:"groups,omitempty"`
		Quantities    []jsonQuantity `json:"quantities"`
	}
	jsonSource struct {
		ID           string           `json:"id,omitempty"`   // empty: record ID/name
		Name         string           `json:"name,omitempty"` // empty: last part of the ID
		Unit         string           `json:"unit,omitempty"`
		Note         jsonNote         `json:"note,omitzero"`
		Pool         string           `json:"pool,omitempty"`
		Distribution jsonDistribution `json:"distribution"`
		// DOF nil: those of the distribution.
		DOF    *jsonDOF `json:"degreesOfFreedom,omitempty"`
		Column int      `json:"column,omitempty"` // from 1; 0: no figure in columns
	}
	// jsonDistribution is a distribution, or the number of one of those listed.
	jsonDistribution struct {
		number int // from 1; 0: law
		law    jsonLaw
	}
	jsonLaw struct {
		Kind         string   `json:"kind"`
		Estimate     float64  `json:"estimate"`
		U            *float64 `json:"standardUncertainty,omitempty"` // nil: as HalfWidth gives it
		HalfWidth    float64  `json:"halfWidth,omitempty"`
		Shape        float64  `json:"shape,omitempty"`
		DOF          *jsonDOF `json:"degreesOfFreedom,omitempty"` // nil: infinite
		Observations int      `json:"observations,omitempty"`
	}
	jsonGroup struct {
		ID         string         `json:"id"`
		Names      []string       `json:"names"`
		Units      []string       `json:"units,omitempty"`
		Estimates  []float64      `json:"estimates"`
		Covariance [][]float64    `json:"covariance"`
		DOF        jsonDOF        `json:"degreesOfFreedom"`
		Type       EvaluationType `json:"type"`

		Observations int   `json:"observations,omitempty"`
		Columns      []int `json:"columns,omitempty"` // by member
	}
	jsonQuantity struct {
		Name     string   `json:"name"`
		Unit     string   `json:"unit,omitempty"`
		Estimate float64  `json:"estimate"`
		U        float64  `json:"standardUncertainty"`
		DOF      *jsonDOF `json:"degreesOfFreedom,omitempty"` // nil: infinite

		// The sensitivity to the sources of column Columns[i] is C[i], where the columns 1 to
		// ColumnsTo, which are not listed, stand before Columns.
		ColumnsTo int       `json:"columnsTo,omitempty"`
		Columns   []int     `json:"columns,omitempty"`
		C         []float64 `json:"c,omitempty"`
		// Older files name the source of each sensitivity.
		Sensitivities []jsonSensitivity `json:"sensitivities,omitempty"`
	}
	jsonSensitivity struct {
		Source string  `json:"source"`
		C      float64 `json:"c"`
	}
)

// MarshalJSON writes the record. It refuses an empty ID, a quantity without a name
// or with that of another, whatever [EvaluateAll] refuses, and a source whose
// distribution is not one of this package: it could not be read back.
func (r Record) MarshalJSON() ([]byte, error) {
	if err := r.checkNames(); err != nil {
		return nil, err
	}
	out := jsonRecord{ID: r.ID, Quantities: []jsonQuantity{}}
	if len(r.Quantities) == 0 {
		return json.Marshal(out)
	}
	// Evaluation first: it refuses what cannot be written, with the texts that people know.
	all, err := EvaluateAll(r.Quantities...)
	if err != nil {
		return nil, err
	}
	roots := make([]*node, len(r.Quantities))
	for i, q := range r.Quantities {
		roots[i] = q.n
	}
	// A compiled model that stays: EvaluateAll gave its own back.
	m, err := compile(roots)
	if err != nil {
		return nil, err
	}
	for _, s := range m.inputs {
		if err := s.writable(); err != nil {
			return nil, err
		}
	}
	// Sensitivities by source, equal columns once.
	columns := newColumnTable(m, r.Quantities)
	out.sources(r.ID, m, columns)
	// Estimate and u are repeated in the file, so that a reader sees them and a reading is
	// checked.
	for i, q := range r.Quantities {
		b := all.Budgets[i]
		row := jsonQuantity{
			Name: q.Name(), Unit: b.Unit, Estimate: b.Estimate, U: b.StandardUncertainty,
			DOF: finite(b.DOF),
		}
		row.Columns, row.C = columns.row(i)
		row.shorten()
		out.Quantities = append(out.Quantities, row)
	}
	return json.Marshal(out)
}

// checkNames refuses a record that could not be read back by its names: also one that was just
// read.
func (r Record) checkNames() error {
	if err := readable("the id of the record", r.ID); err != nil {
		return refused("uncertainty.Record", "", err)
	}
	// Quantities are found by name.
	for i, q := range r.Quantities {
		if err := readable(fmt.Sprintf("name of quantity %d", i+1), q.Name()); err != nil {
			return &Error{Op: "uncertainty.Record", Name: q.Name(),
				Err: err}
		}
		if slices.ContainsFunc(r.Quantities[:i],
			func(p Quantity) bool { return p.Name() == q.Name() }) {
			return &Error{Op: "uncertainty.Record", Name: q.Name(),
				Err: unit.Errorf(ErrSameName,
					"two quantities with one name; expected a name for each")}
		}
	}
	return nil
}

// readable refuses a text that JSON would not give back, and an empty one. encoding/json writes
// U+FFFD for bytes that are not UTF-8, so that two names could become one. what names the text in
// the error.
func readable(what, text string) error {
	if text == "" {
		return unit.Errorf(ErrDomain, "%s is empty; expected a text", what)
	}
	if !utf8.ValidString(text) {
		return unit.Errorf(ErrDomain, "%s %q is not UTF-8; expected text that a file can keep",
			what, text)
	}
	return nil
}

// writable refuses a source that could not be read back. A distribution of somebody else's has
// methods alone, and no figures that a file could hold.
func (s *source) writable() error {
	refuse := func(err error) error { return refused("uncertainty.Record", s.name, err) }
	if err := readable("name of a source", s.name); err != nil {
		return refuse(err)
	}
	if !utf8.ValidString(s.id) || !utf8.ValidString(s.unit) || !utf8.ValidString(s.note) ||
		!utf8.ValidString(s.pool) {
		return refuse(unit.Errorf(ErrDomain, "ID, unit, note or pool is not UTF-8; expected text "+
			"that a file can keep"))
	}
	// A group keeps names, estimates and matrix, which JSON holds.
	if s.group != nil {
		return nil
	}
	l, own := s.dist.(law)
	if !own {
		return refuse(unit.Errorf(ErrDomain, "distribution %T cannot be read back; expected one "+
			"of this package", s.dist))
	}
	// The law is read back from what would be written, and must be the same in every bit.
	if back, err := writeLaw(l).read(); err != nil || back != l {
		return refuse(unit.Errorf(ErrDomain, "a %s distribution cannot be read back; expected "+
			"one that a record keeps", l))
	}
	return nil
}

// writeLaw leaves out what the constructor computes: u of a law with a half-width. A rectangle of ±
// 5 mΩ is {"kind": "rectangular", "estimate": 0, "halfWidth": 0.005}, and 2.886751345948129 mΩ is
// nowhere.
func writeLaw(l law) jsonLaw {
	out := jsonLaw{
		Kind: l.String(), Estimate: l.x, HalfWidth: l.halfWidth(), Shape: l.b,
		DOF: finite(l.dof), Observations: l.n,
	}
	// u is written where the half-width does not give the same bits.
	if made, ok := l.remade().(law); !ok || out.HalfWidth == 0 || made.u != l.u {
		out.U = &l.u
	}
	return out
}

// finite is nil for infinite degrees of freedom, which a record leaves out.
func finite(dof float64) *jsonDOF {
	if math.IsInf(dof, 1) {
		return nil
	}
	return new(jsonDOF(dof))
}

// halfWidth is that of a bounded law; others have none.
func (l law) halfWidth() float64 {
	if l.bounded() {
		return l.a
	}
	return 0
}

// bounded reports whether the law has a half-width: whether law.a is one, and not u.
func (l law) bounded() bool {
	switch l.kind {
	case rectangular, triangular, arcsine, trapezoidal, curvilinear:
		return true
	}
	return false
}

// sources lists the sources and groups of the model, and gives an ID to those that
// have none. Of ID and name one is left out where the other says it:
//
//	ID "2026-11 B17/R3", name "R3", record "2026-11 B17"   only the name
//	ID "standard 6/Rs", name "Rs", another record          only the ID: its last part is the name
//	ID "5c1f", name "Rs"                                   both
func (j *jsonRecord) sources(record string, m *model, columns *columnTable) {
	laws, notes := newLawTable(m), newNoteTable(m)
	j.Distributions, j.Notes = laws.listed, notes.listed
	for i, s := range m.inputs {
		if s.group != nil {
			continue
		}
		// A source without an ID gets one, so that the next record writes the same.
		s.record(record)
		l := s.dist.(law)
		row := jsonSource{
			ID: s.key(), Name: s.name, Unit: s.unit, Note: notes.of(s.note), Pool: s.pool,
			Distribution: laws.of(l), Column: columns.of[i],
		}
		// The whole ID is compared: one that is stated as the name alone is another than that of
		// the record.
		switch {
		case row.ID == record+"/"+row.Name:
			row.ID = ""
		case lastPart(row.ID) == row.Name:
			row.Name = ""
		}
		// Only degrees of freedom that were stated beside the distribution.
		if s.dof != l.dof {
			row.DOF = new(jsonDOF(s.dof))
		}
		j.Sources = append(j.Sources, row)
	}
	// A group is written whole, members on which no quantity depends included: its matrix and its
	// degrees of freedom are those of all of them.
	for _, g := range m.groups {
		g.record(record)
		row := jsonGroup{ID: g.key(), Names: g.names, Units: g.units, Estimates: g.estimates,
			DOF: jsonDOF(g.dof), Type: g.typ, Observations: g.observed}
		// 0 marks a member on which no quantity depends.
		row.Columns = make([]int, len(g.names))
		for i, s := range m.inputs {
			if s.group != nil && s.group.key() == row.ID {
				row.Columns[s.index] = columns.of[i]
			}
		}
		for i := range g.names {
			row.Covariance = append(row.Covariance, mat.Row(nil, i, g.cov))
		}
		j.Groups = append(j.Groups, row)
	}
}

// lastPart is what stands behind the last slash: the name in the IDs that records give.
func lastPart(id string) string { return id[strings.LastIndex(id, "/")+1:] }

// record gives a source without ID one for good. It is a part of the source that changes after it
// was built, the only one: several goroutines may write records of one source.
func (s *source) record(record string) {
	id := record + "/" + s.name
	// The first record that writes a source gives its ID; two at once cannot differ.
	s.recorded.CompareAndSwap(nil, &id)
}

// record gives a group without ID one, by its first name.
func (g *group) record(record string) {
	id := record + "/" + g.names[0]
	g.recorded.CompareAndSwap(nil, &id)
}
