// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/uncertainty/unit"
)

// A description is checked as a whole before a box is made of it: everything after New relies on
// it. Errors name the field as it stands in a file, with the place of the decade, and are those of
// the first field that makes no sense, in the order of the checks below.

// Bounds of a description.
const (
	maxDials         = 16       // a byte of positions for each, a bit in sets of dials
	maxPosition      = 255      // the largest that a byte holds
	defaultPositions = 10       // 1 to 10 and 0: the dial of a decade box
	longestName      = 200      // bytes, so that a line of a report stays one
	boxName          = "box"    // of its sources of error, which a dial must not have
	wireOfSpool      = "spool " // before the label, in the names of what its dials share
	absoluteZero     = -273.15  // °C
)

// Bounds of a resistance in a description, in Ω: a millionth of the smallest contact and a
// million times the largest resistor there are. A value beyond them is a slip of the pen, and
// its square would leave no digits to compute with.
const (
	smallestOhms = 1e-12
	largestOhms  = 1e18
)

// Bounds of the other figures of a description, in their SI units: far beyond what there is, and
// near enough for their products to stay numbers.
const (
	smallestFigure = 1e-30
	largestFigure  = 1e18
)

// checker refuses fields of one part of a description: of the box, or of one decade. The values
// that may be left out are 0 where they are not stated, which every check lets pass.
type checker struct {
	op    string // of the error
	where string // in front of the field: nothing for the box, else the place of the decade
}

// refuse is the error about a field. value is what was given, nil where it is no number or text
// of its own; the cause ends with what was expected.
func (c checker) refuse(name string, value any, cause error) error {
	return &Error{Op: c.op, Name: c.where + name, Value: value, Err: cause}
}

// text refuses what would break a line of a report or not come back from a file. The length comes
// first: a whole file in the place of a name is not repeated in the message.
func (c checker) text(name, s string) error {
	switch {
	case len(s) > longestName:
		return c.refuse(name, float64(len(s)),
			unit.Errorf(ErrName, "text of %d bytes; expected at most %d", len(s), longestName))
	case !utf8.ValidString(s):
		return c.refuse(name, nil,
			unit.Errorf(ErrName, "%q is not UTF-8; expected printable text", s))
	case strings.ContainsFunc(s, unicode.IsControl):
		return c.refuse(name, nil,
			unit.Errorf(ErrName, "%q has a control character; expected printable text", s))
	}
	return nil
}

// ohms refuses resistances that are negative or beyond the bounds above.
func (c checker) ohms(name string, v float64) error {
	if err := c.stated(name, " Ω", v); err != nil {
		return err
	}
	if v != 0 && (v < smallestOhms || v > largestOhms) {
		return c.refuse(name, v, unit.Errorf(ErrDomain, "%v Ω; expected 0 or %.0e to %.0e Ω", v,
			smallestOhms, largestOhms))
	}
	return nil
}

// stated refuses a number that is negative or not finite; symbol is its unit, with a blank.
func (c checker) stated(name, symbol string, v float64) error {
	return numbers.NotNegative(c.op, c.where+name, symbol, v)
}

// figure refuses a rating, reactance or coefficient that is negative or beyond the bounds above:
// with 1e308 W and 1e308 V a box would bear infinite currents.
func (c checker) figure(name, symbol string, v float64) error {
	if err := c.stated(name, symbol, v); err != nil {
		return err
	}
	if v != 0 && (v < smallestFigure || v > largestFigure) {
		return c.refuse(name, v, unit.Errorf(ErrDomain, "%v%s; expected 0 or %.0e to %.0e%s", v,
			symbol, smallestFigure, largestFigure, symbol))
	}
	return nil
}

// fraction refuses one below 0 or from 1 on, where per cent must have been meant.
func (c checker) fraction(name string, v float64) error {
	return numbers.Fraction(c.op, c.where+name, v)
}

// stated is a number of an argument that may not be negative.
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

// checkSpec completes the defaults of s and returns the first thing that makes no sense. All
// checks are made, from the first to the last, and the first error of the list is the answer. Of
// the checks only checkNames wants something of one before: the names that checkDecades fills in.
func (s *Spec) checkSpec(op string) error {
	c := checker{op: op}
	return cmp.Or(
		c.text("name", s.Name),
		c.text("serial", s.Serial),
		s.checkDecades(c),
		s.checkNames(op),
		s.checkSpools(op),
		c.ohms("residual", s.Residual),
		c.ohms("residualTolerance", s.ResidualTolerance),
		c.ohms("floor", s.Floor),
		c.ohms("contact", s.Contact),
		c.figure("capacitance", " F", s.Capacitance),
		s.checkStray(c),
		c.fraction("tolerance", s.Tolerance),
	)
}

// checkStray takes 1 for a stray reactance that is known by its order of magnitude alone, unlike a
// class, of which 1 would be 100 %.
func (s *Spec) checkStray(c checker) error {
	// Negated, so that NaN does not pass.
	if !(s.StrayTolerance >= 0 && s.StrayTolerance <= 1) {
		return c.refuse("strayTolerance", s.StrayTolerance,
			unit.Errorf(ErrDomain, "%v; expected a fraction from 0 to 1", s.StrayTolerance))
	}
	return nil
}

// where names a decade in a message: by its place and, where it has one, its name. The name has
// not been checked yet and may be long; %q makes what does not print visible.
func (d *Decade) where(i int) string {
	if d.Name == "" {
		return "decades[" + strconv.Itoa(i) + "]: "
	}
	return fmt.Sprintf("decades[%d] %.40q: ", i, d.Name)
}

// checkDecades counts the decades and checks each by itself; c is that of the box.
func (s *Spec) checkDecades(c checker) error {
	if n := len(s.Decades); n < 1 || n > maxDials {
		return c.refuse("decades", float64(n),
			unit.Errorf(ErrDomain, "%d decades; expected 1 to %d", n, maxDials))
	}
	for i := range s.Decades {
		d := &s.Decades[i]
		if err := d.checkDecade(checker{c.op, d.where(i)}); err != nil {
			return err
		}
	}
	return nil
}

// checkDecade completes the defaults of a decade, in its copy, and refuses the first thing that
// makes no sense. Two decades that contradict each other are left to checkNames and checkSpools.
func (d *Decade) checkDecade(c checker) error {
	if err := cmp.Or(
		c.text("name", d.Name),
		c.text("switch", d.Switch),
		c.text("spool", d.Spool),
		// A dial without a step is none, unlike other values that are 0.
		numbers.Positive(c.op, c.where+"step", " Ω", d.Step),
		c.ohms("step", d.Step),
		c.ohms("floor", d.Floor),
		d.checkPositions(c),
		c.fraction("tolerance", d.Tolerance),
		d.checkSpread(c),
		c.figure("alphaTolerance", " 1/K", d.AlphaTolerance),
		c.figure("betaTolerance", " 1/K²", d.BetaTolerance),
		c.figure("elementPower", " W", d.ElementPower),
		c.figure("maxVoltage", " V", d.MaxVoltage),
		c.figure("thermalResistance", " K/W", d.ThermalResistance),
		c.figure("inductance", " H", d.Inductance),
		c.figure("capacitance", " F", d.Capacitance),
		c.figure("dialInductance", " H", d.DialInductance),
		c.figure("dialCapacitance", " F", d.DialCapacitance),
		c.fraction("batchTolerance", d.BatchTolerance),
		d.checkBatch(c),
	); err != nil {
		return err
	}
	if d.Name == "" {
		d.Name = "×" + unit.Format(d.Step, unit.Ohm)
	}
	return nil
}

// checkSpread refuses a level that is none of the constants: a Spec written in Go may hold any
// byte.
func (d *Decade) checkSpread(c checker) error {
	if levels.Has(d.Spread) {
		return nil
	}
	return c.refuse("spread", float64(d.Spread), unit.Errorf(ErrDomain,
		"level %d; expected per decade, per element or per box", d.Spread))
}

// checkBatch refuses a batch tolerance that is no part of a tolerance with its own source. With
// tolerance t and batch part b the elements keep √(t² − b²) of their own (see inputMaker.dial).
func (d *Decade) checkBatch(c checker) error {
	var cause error
	switch b := d.BatchTolerance; {
	case b > d.Tolerance:
		cause = unit.Errorf(ErrDomain, "%v, above the tolerance of %v; expected at most that, of "+
			"which it is a part", b, d.Tolerance)
	case b > 0 && d.Spool == "":
		cause = unit.Errorf(ErrDomain, "%v without a spool; expected the label of the spool that "+
			"dials share", b)
	// One error for the whole box leaves nothing that only the dials of a spool have in common.
	case b > 0 && d.Spread == LevelBox:
		cause = unit.Errorf(ErrDomain, "%v of a tolerance that is common to the box; expected none",
			b)
	default:
		return nil
	}
	return c.refuse("batchTolerance", d.BatchTolerance, cause)
}

// checkSpools refuses a spool whose dials state different wire. Each is compared with the first
// dial of its spool, which makes the inputs that all of them use (see newSources).
func (s *Spec) checkSpools(op string) error {
	first := make(map[string]int)
	for i := range s.Decades {
		d := &s.Decades[i]
		if d.Spool == "" {
			continue
		}
		j, ok := first[d.Spool]
		if !ok {
			first[d.Spool] = i
			continue
		}
		if e := &s.Decades[j]; d.Law != e.Law || d.AlphaTolerance != e.AlphaTolerance ||
			d.BetaTolerance != e.BetaTolerance || d.BatchTolerance != e.BatchTolerance {
			return checker{op, d.where(i)}.refuse("spool", d.Spool, unit.Errorf(ErrDomain,
				"%.40q with another temperature law, tolerance of it or batch tolerance than "+
					"decades[%d]; expected the same for all dials of one spool", d.Spool, j))
		}
	}
	return nil
}

// checkPositions takes the positions from the code where they are left out, and refuses others.
func (d *Decade) checkPositions(c checker) error {
	if !d.Code.IsZero() {
		if err := d.Code.checkCode(d.Missing); err != nil {
			return c.refuse("code", nil, err)
		}
		// A code lists its positions: a number beside it can only repeat or contradict it.
		if n := len(d.Code.InCircuit) - 1; d.Positions != 0 && d.Positions != n {
			return c.refuse("positions", float64(d.Positions), unit.Errorf(ErrCode,
				"%d, and a code with %d; expected the same, or 0 for that of the code",
				d.Positions, n))
		}
	}
	d.Positions = d.highest()
	if d.Positions < 1 || d.Positions > maxPosition {
		return c.refuse("positions", float64(d.Positions),
			unit.Errorf(ErrDomain, "%d; expected 1 to %d", d.Positions, maxPosition))
	}
	return d.checkMissing(c)
}

// checkMissing brings the missing positions into order. Zero and the highest position are
// always there: without them the switch would have another zero, or fewer positions.
func (d *Decade) checkMissing(c checker) error {
	slices.Sort(d.Missing)
	for i, p := range d.Missing {
		expected := ""
		switch {
		case p < 1 || p >= d.Positions:
			expected = fmt.Sprintf("positions between 0 and %d, the highest", d.Positions)
		// In order, equal ones are neighbours.
		case i > 0 && d.Missing[i-1] == p:
			expected = "each position once"
		case p < len(d.Code.InCircuit) && len(d.Code.InCircuit[p]) > 0:
			expected = "none that the code puts elements in circuit for"
		default:
			continue
		}
		return c.refuse("missing", float64(p),
			unit.Errorf(ErrDomain, "position %d; expected %s", p, expected))
	}
	return nil
}

// checkNames refuses two dials of one name, and one that is named like the whole box or the wire
// of a spool: their sources of error could not be told apart, and with a serial number would be
// one. It comes after the names that are made from steps, of which two dials of 100 Ω have the
// same.
func (s *Spec) checkNames(op string) error {
	first := make(map[string]int)
	for i, d := range s.Decades {
		c := checker{op, "decades[" + strconv.Itoa(i) + "]: "}
		if d.Name == boxName {
			return c.refuse("name", nil, unit.Errorf(ErrName,
				"%q stands for the whole box in budgets; expected another name", d.Name))
		}
		if j, ok := first[d.Name]; ok {
			return c.refuse("name", nil, unit.Errorf(ErrName, "%q like decades[%d]; expected "+
				"different names (those left out are made from the step)", d.Name, j))
		}
		first[d.Name] = i
	}
	for i, d := range s.Decades {
		wire := wireOfSpool + d.Spool
		if j, ok := first[wire]; ok && d.Spool != "" {
			return checker{op, "decades[" + strconv.Itoa(j) + "]: "}.refuse("name", nil,
				unit.Errorf(ErrName, "%q stands for the spool of decades[%d] in budgets; expected "+
					"another name", wire, i))
		}
	}
	return nil
}
