// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"fmt"
	"slices"
	"strconv"
	"unicode"
	"unicode/utf8"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/uncertainty/unit"
)

// A description is checked as a whole before a box is made of it: everything after New relies on
// it. Errors name the field as it stands in a file, with the place of the decade.

// Bounds of a description.
const (
	maxDials         = 16
	maxPosition      = 255
	defaultPositions = 10
	longestName      = 200 // bytes
	boxName          = "box"
	absoluteZero     = -273.15
)

// Bounds of a resistance in a description, in Ω: a millionth of the smallest contact and a
// million times the largest resistor there are. A value beyond them is a slip of the pen, and
// its square would leave no digits to compute with.
const (
	smallestOhms = 1e-12
	largestOhms  = 1e18
)

// checkOhms refuses resistances beyond these bounds; 0 is not stated.
func checkOhms(op, where string, list []stated) error {
	for _, f := range list {
		if err := numbers.NotNegative(op, where+f.name, " Ω", f.value); err != nil {
			return err
		}
		// Negated, so that NaN would not pass.
		if f.value != 0 && !(f.value >= smallestOhms && f.value <= largestOhms) {
			return &Error{Op: op, Name: where + f.name, Value: f.value,
				Err: unit.Errorf(ErrDomain, "%v Ω; expected 0 or %.0e to %.0e Ω", f.value,
					smallestOhms, largestOhms)}
		}
	}
	return nil
}

// stated is a number of a description that may not be negative.
type stated struct {
	name, unit string
	value      float64
}

// checkAll refuses the first number of a list that is negative or not finite.
func checkAll(op, where string, list []stated) error {
	for _, f := range list {
		if err := numbers.NotNegative(op, where+f.name, f.unit, f.value); err != nil {
			return err
		}
	}
	return nil
}

// checkText refuses what would break a line of a report or not come back from a file.
func checkText(op, name, s string) error {
	switch {
	case len(s) > longestName:
		return &Error{Op: op, Name: name, Value: float64(len(s)),
			Err: unit.Errorf(ErrName, "text of %d bytes; expected at most %d", len(s), longestName)}
	case !utf8.ValidString(s):
		return &Error{Op: op, Name: name,
			Err: unit.Errorf(ErrName, "%q is not UTF-8; expected printable text", s)}
	}
	for _, r := range s {
		if unicode.IsControl(r) {
			return &Error{Op: op, Name: name,
				Err: unit.Errorf(ErrName, "%q has a control character; expected printable text", s)}
		}
	}
	return nil
}

// checkSpec completes the defaults of s and returns the first thing that makes no sense.
func (s *Spec) checkSpec(op string) error {
	for _, f := range []struct{ name, text string }{{"name", s.Name}, {"serial", s.Serial}} {
		if err := checkText(op, f.name, f.text); err != nil {
			return err
		}
	}
	if n := len(s.Decades); n < 1 || n > maxDials {
		return &Error{Op: op, Name: "decades", Value: float64(n),
			Err: unit.Errorf(ErrDomain, "%d decades; expected 1 to %d", n, maxDials)}
	}
	for i := range s.Decades {
		if err := s.Decades[i].checkDecade(op, i); err != nil {
			return err
		}
	}
	if err := s.checkNames(op); err != nil {
		return err
	}
	if err := s.checkSpools(op); err != nil {
		return err
	}
	if err := checkOhms(op, "", []stated{
		{"residual", "Ω", s.Residual}, {"residualTolerance", "Ω", s.ResidualTolerance},
		{"floor", "Ω", s.Floor}, {"contact", "Ω", s.Contact},
	}); err != nil {
		return err
	}
	if err := checkAll(op, "", []stated{{"capacitance", " F", s.Capacitance}}); err != nil {
		return err
	}
	if !(s.StrayTolerance >= 0 && s.StrayTolerance <= 1) {
		return &Error{Op: op, Name: "strayTolerance", Value: s.StrayTolerance,
			Err: unit.Errorf(ErrDomain, "%v; expected a fraction from 0 to 1", s.StrayTolerance)}
	}
	return numbers.Fraction(op, "tolerance", s.Tolerance)
}

// where names a decade in a message: by its place and, where it has one, its name.
func (d *Decade) where(i int) string {
	if d.Name == "" {
		return "decades[" + strconv.Itoa(i) + "]: "
	}
	return fmt.Sprintf("decades[%d] %.40q: ", i, d.Name)
}

// checkDecade completes the defaults of a decade and refuses the first thing that makes no
// sense.
func (d *Decade) checkDecade(op string, i int) error {
	where := d.where(i)
	for _, f := range []struct{ name, text string }{{"name", d.Name}, {"switch", d.Switch},
		{"spool", d.Spool}} {
		if err := checkText(op, where+f.name, f.text); err != nil {
			return err
		}
	}
	if err := numbers.Finite(op, where+"step", d.Step); err != nil {
		return err
	}
	if d.Step <= 0 {
		return &Error{Op: op, Name: where + "step", Value: d.Step,
			Err: unit.Errorf(ErrDomain, "%v Ω; expected more than 0 Ω", d.Step)}
	}
	if err := checkOhms(op, where, []stated{{"step", "Ω", d.Step},
		{"floor", "Ω", d.Floor}}); err != nil {
		return err
	}
	if err := d.checkPositions(op, where); err != nil {
		return err
	}
	if err := numbers.Fraction(op, where+"tolerance", d.Tolerance); err != nil {
		return err
	}
	if !levels.Has(d.Spread) {
		return &Error{Op: op, Name: where + "spread", Value: float64(d.Spread),
			Err: unit.Errorf(ErrDomain, "level %d; expected per decade, per element or per box",
				d.Spread)}
	}
	if err := checkAll(op, where, []stated{
		{"alphaTolerance", " 1/K", d.AlphaTolerance}, {"betaTolerance", " 1/K²", d.BetaTolerance},
		{"elementPower", " W", d.ElementPower}, {"maxVoltage", " V", d.MaxVoltage},
		{"thermalResistance", " K/W", d.ThermalResistance},
		{"inductance", " H", d.Inductance}, {"capacitance", " F", d.Capacitance},
		{"dialInductance", " H", d.DialInductance}, {"dialCapacitance", " F", d.DialCapacitance},
	}); err != nil {
		return err
	}
	if err := d.checkBatch(op, where); err != nil {
		return err
	}
	if d.Name == "" {
		d.Name = "×" + unit.Format(d.Step, unit.Ohm)
	}
	return nil
}

// checkBatch refuses a batch tolerance that is no part of a tolerance with its own source.
func (d *Decade) checkBatch(op, where string) error {
	if err := numbers.Fraction(op, where+"batchTolerance", d.BatchTolerance); err != nil {
		return err
	}
	switch {
	case d.BatchTolerance > d.Tolerance:
		return &Error{Op: op, Name: where + "batchTolerance", Value: d.BatchTolerance,
			Err: unit.Errorf(ErrDomain, "%v, above the tolerance of %v; expected at most that, "+
				"of which it is a part", d.BatchTolerance, d.Tolerance)}
	case d.BatchTolerance > 0 && d.Spool == "":
		return &Error{Op: op, Name: where + "batchTolerance", Value: d.BatchTolerance,
			Err: unit.Errorf(ErrDomain, "%v without a spool; expected the label of the spool "+
				"that dials share", d.BatchTolerance)}
	case d.BatchTolerance > 0 && d.Spread == LevelBox:
		return &Error{Op: op, Name: where + "batchTolerance", Value: d.BatchTolerance,
			Err: unit.Errorf(ErrDomain,
				"%v of a tolerance that is common to the box; expected none", d.BatchTolerance)}
	}
	return nil
}

// checkSpools refuses a spool whose dials state different wire.
func (s *Spec) checkSpools(op string) error {
	first := make(map[string]int)
	for i := range s.Decades {
		d := &s.Decades[i]
		j, ok := first[d.Spool]
		switch {
		case d.Spool == "":
		case !ok:
			first[d.Spool] = i
		default:
			e := &s.Decades[j]
			if d.Law != e.Law || d.AlphaTolerance != e.AlphaTolerance ||
				d.BetaTolerance != e.BetaTolerance || d.BatchTolerance != e.BatchTolerance {
				return &Error{Op: op, Name: d.where(i) + "spool", Value: d.Spool,
					Err: unit.Errorf(ErrDomain,
						"%.40q with another temperature law, tolerance of it or batch tolerance "+
							"than decades[%d]; expected the same for all dials of one spool",
						d.Spool, j)}
			}
		}
	}
	return nil
}

// checkPositions takes the positions from the code where they are left out, and refuses others.
func (d *Decade) checkPositions(op, where string) error {
	if !d.Code.IsZero() {
		if err := d.Code.checkCode(d.Missing); err != nil {
			return &Error{Op: op, Name: where + "code", Err: err}
		}
		if n := len(d.Code.InCircuit) - 1; d.Positions != 0 && d.Positions != n {
			return &Error{Op: op, Name: where + "positions", Value: float64(d.Positions),
				Err: unit.Errorf(ErrCode, "%d, and a code with %d; expected the same, or 0 for "+
					"that of the code", d.Positions, n)}
		}
	}
	d.Positions = d.highest()
	if d.Positions < 1 || d.Positions > maxPosition {
		return &Error{Op: op, Name: where + "positions", Value: float64(d.Positions),
			Err: unit.Errorf(ErrDomain, "%d; expected 1 to %d", d.Positions, maxPosition)}
	}
	return d.checkMissing(op, where)
}

// checkMissing brings the missing positions into order. Zero and the highest position are
// always there: without them the switch would have another zero, or fewer positions.
func (d *Decade) checkMissing(op, where string) error {
	slices.Sort(d.Missing)
	for i, p := range d.Missing {
		refuse := func(expected string) error {
			return &Error{Op: op, Name: where + "missing", Value: float64(p),
				Err: unit.Errorf(ErrDomain, "position %d; expected %s", p, expected)}
		}
		switch {
		case p < 1 || p >= d.Positions:
			return refuse(fmt.Sprintf("positions between 0 and %d, the highest", d.Positions))
		case i > 0 && d.Missing[i-1] == p:
			return refuse("each position once")
		case p < len(d.Code.InCircuit) && len(d.Code.InCircuit[p]) > 0:
			return refuse("none that the code puts elements in circuit for")
		}
	}
	return nil
}

// checkNames refuses two dials of one name, and one that is named like the whole box:
// their sources of error could not be told apart.
func (s *Spec) checkNames(op string) error {
	first := make(map[string]int)
	for i, d := range s.Decades {
		if d.Name == boxName {
			return &Error{Op: op, Name: "decades[" + strconv.Itoa(i) + "]: name",
				Err: unit.Errorf(ErrName, "%q stands for the whole box in budgets; expected "+
					"another name", d.Name)}
		}
		if j, ok := first[d.Name]; ok {
			return &Error{Op: op, Name: "decades[" + strconv.Itoa(i) + "]: name",
				Err: unit.Errorf(ErrName, "%q like decades[%d]; expected different names (those "+
					"left out are made from the step)", d.Name, j)}
		}
		first[d.Name] = i
	}
	return nil
}
