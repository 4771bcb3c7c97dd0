// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// A Calibration holds what the residual and the elements of one box measured at reference
// conditions on one day, in ohms. The values are quantities with their sources of error: what
// two elements, two settings or two calibrations share stays shared.
//
// As JSON it is an object with the keys box, serial, date (RFC 3339), ohm and values, an
// [uncertainty.Record]. The names of the values are [ResidualName] and those of
// [Box.ElementName]. Any number of goroutines may read one at once.
type Calibration struct {
	Box    string    `json:"box"`
	Serial string    `json:"serial,omitempty"`
	Date   time.Time `json:"date"`
	// Ohm says in a file in which ohm the values are: [OhmSince1990], [OhmUSBefore1990], or
	// by how much the ohm was smaller than that since 1990 ("1.69 ppm"). Values are converted
	// when a file is read; Ohm is then OhmSince1990. Empty: since 1990, not stated.
	Ohm    string             `json:"ohm,omitempty"`
	Values uncertainty.Record `json:"values"`
}

// UnmarshalJSON reads a calibration strictly: unknown keys are refused.
func (c *Calibration) UnmarshalJSON(text []byte) error {
	type plain Calibration // without this method
	if c == nil {
		return &Error{Op: "decade.Calibration.UnmarshalJSON", Err: unit.Errorf(ErrNotStated,
			"nil; expected the address of a Calibration")}
	}
	var in plain
	if err := file.DecodePart("decade.Calibration", text, &in); err != nil {
		return err
	}
	out := Calibration(in)
	if err := out.setOhm(); err != nil {
		return &Error{Op: "decade.Calibration", Name: "ohm", Value: in.Ohm, Err: err}
	}
	*c = out
	return nil
}

// ReadCalibration reads one calibration as json.Marshal writes it. Unknown keys, anything after
// the object and more than 64 MiB are errors. examples/formats/README.md describes the file in
// full.
func ReadCalibration(r io.Reader) (*Calibration, error) {
	const limit = 64 << 20
	type plain Calibration // without UnmarshalJSON, which knows no lines
	var in plain
	places, err := file.DecodePlaces("decade.ReadCalibration", r, limit, &in)
	if err != nil {
		return nil, err
	}
	c := Calibration(in)
	if err := c.setOhm(); err != nil {
		return nil, places.Refuse("ohm", err)
	}
	return &c, nil
}

// With returns the box with measured values: [Setting.Value], [Setting.Resistance] and
// what builds on them answer from the calibration. Nominal values, limits and ratings stay
// those of the description. Settings of b belong to b; [Setting.On] takes them over.
//
// It returns an error where the calibration is of a box of another name or serial number, lacks
// an element, or has a value that does not belong to the box; the error names it
// ([ErrCalibration]). Values whose sources state another unit than the ohm are one too
// ([unit.ErrUnitMismatch]).
func (b *Box) With(c *Calibration) (*Box, error) {
	const op = "decade.Box.With"
	if b.none() {
		return nil, noBox(op)
	}
	if c == nil {
		return nil, &Error{Op: op,
			Err: unit.Errorf(ErrCalibration, "no calibration; expected one of %s", b.title())}
	}
	// Name and serial number must both agree: the values of a sister box would fit without a
	// sign.
	if c.Box != b.Name() || c.Serial != b.Serial() {
		other := Box{spec: Spec{Name: c.Box, Serial: c.Serial}}
		return nil, &Error{Op: op, Name: "calibration",
			Err: unit.Errorf(ErrCalibration, "of %s; expected one of %s", other.title(), b.title())}
	}
	m, err := b.match(op, c)
	if err != nil {
		return nil, err
	}
	// Estimates are taken as ohms from here on: kΩ or V would be wrong without a sign.
	_, err = uncertainty.Evaluate(uncertainty.Sum(c.Values.Quantities...).InUnit("Ω"))
	if errors.Is(err, unit.ErrUnitMismatch) {
		return nil, &Error{Op: op, Name: "calibration", Err: err}
	}
	// A copy, since a Box is immutable: settings of b go on to answer with nominal values.
	out := *b
	out.measured = m
	out.values = m.table(&out.spec)
	out.deviations = new(deviations)
	out.setSearch()
	out.calibration = c.clone()
	return &out, nil
}

// title names the box in a message: its name and, where there is one, its serial number.
func (b *Box) title() string {
	s := fmt.Sprintf("box %q", b.spec.Name)
	if b.spec.Serial != "" {
		s += fmt.Sprintf(", serial %q", b.spec.Serial)
	}
	return s
}

// Calibration returns a copy of the calibration from which the values of the box come, nil
// for a box that has nominal values.
func (b *Box) Calibration() *Calibration {
	if b.none() || b.calibration == nil {
		return nil
	}
	return b.calibration.clone()
}

// clone copies the list of quantities too, so that a caller cannot change a box through it.
func (c *Calibration) clone() *Calibration {
	out := *c
	out.Values.Quantities = slices.Clone(c.Values.Quantities)
	return &out
}

// largestMeasured bounds the measured value of an element in Ω, of 255 of the largest steps.
const largestMeasured = 1e3 * largestOhms

// match finds the measured value of every element by its name, and refuses a calibration that
// lacks one or has one too many.
func (b *Box) match(op string, c *Calibration) (*measured, error) {
	found := make(map[string]uncertainty.Quantity)
	for _, q := range c.Values.Quantities {
		// A quantity that carries an error would surface only in the first setting that uses it.
		if err := q.Err(); err != nil {
			return nil, &Error{Op: op, Name: q.Name(), Err: err}
		}
		if v := q.Estimate(); math.Abs(v) > largestMeasured {
			return nil, &Error{Op: op, Name: q.Name(), Value: v,
				Err: unit.Errorf(ErrDomain, "%v Ω; expected at most ± %.0e Ω", v, largestMeasured)}
		}
		if _, twice := found[q.Name()]; twice {
			return nil, &Error{Op: op, Name: q.Name(),
				Err: unit.Errorf(ErrCalibration, "twice in calibration %q; expected once",
					c.Values.ID)}
		}
		found[q.Name()] = q
	}
	var missing []string
	take := func(name string) uncertainty.Quantity {
		q, ok := found[name]
		if !ok {
			missing = append(missing, name)
		}
		// What is left when every element has taken its value belongs to no element of this box.
		delete(found, name)
		return q
	}
	m := &measured{residual: take(ResidualName),
		elements: make([][]uncertainty.Quantity, b.NumDecades())}
	for i := range b.spec.Decades {
		d := &b.spec.Decades[i]
		for e := 1; e <= d.NumElements(); e++ {
			m.elements[i] = append(m.elements[i], take(elementName(d, e)))
		}
	}
	if len(missing) > 0 {
		return nil, &Error{Op: op, Name: "calibration", Value: float64(len(missing)),
			Err: unit.Errorf(ErrCalibration, "no value of %s; expected the residual and all %d "+
				"elements", firstNames(missing), b.NumElements())}
	}
	if len(found) > 0 {
		// A map has no order: the first name in the alphabet keeps the message the same every
		// time.
		name := slices.Min(slices.Collect(maps.Keys(found)))
		return nil, &Error{Op: op, Name: "calibration", Value: float64(len(found)),
			Err: unit.Errorf(ErrCalibration, "value %q; expected only the residual and elements "+
				"of %s", name, b.title())}
	}
	return m, nil
}

// firstNames joins the first names of a list.
func firstNames(names []string) string {
	const most = 4
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}
