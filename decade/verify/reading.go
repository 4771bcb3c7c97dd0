// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/unit"
)

// Stage is the state of the box when a reading was taken: before anything was touched, or after.
// Cleaning and exercising a switch is an adjustment already. Any number of goroutines may use one
// at once.
type Stage uint8

const (
	StageAsFound Stage = iota // first dialling on receipt
	StageAsLeft               // after cleaning, adjustment or repair
)

// String returns "as found" or "as left".
func (s Stage) String() string { return stages.String(s) }

// A Reading is one dialling of a setting: what the meter showed, once or several times,
// without a dial being turned in between. Any number of goroutines may read one at once.
type Reading struct {
	Setting  decade.Setting
	Dialling int // 1, 2, … of this setting in its stage; 0: counted in order

	Values   []float64 // Ω, as displayed; repeats of one dialling
	Reversed []float64 // Ω, the same with the current reversed
	Overload bool      // the meter showed that the reading is above its range; then no values

	// Turned lists the dials, counted from 0, that were turned since the reading before: of
	// the others the contacts are as they were. Nil: all.
	Turned []int

	Range   string // of the meter; empty: the smallest that can show the reading
	Session string // one setting-up of the meter; empty: one for all
	Stage   Stage

	Temperature      *float64 // °C of the box; nil: not recorded
	MeterTemperature *float64 // °C at the meter; nil: not recorded
	Approach         string   // direction from which the dial was turned: "up", "down" or empty
	Time             time.Time
	Remarks          string // on this dialling, in a line
	Line             int    // in the file it was read from, else 0

	// Known is set where a resistor of known value was read in the place of the box. Then
	// there is no Setting.
	Known *Known

	object string // what was read in the place of the box, such as a standard
	copied int    // line of the file that looks like a copy of another one of this dialling, or 0
}

// Label names the dialling in budgets and messages: the dials, which dialling if there
// are several, and whether it is as left.
func (r *Reading) Label() string {
	r = cmp.Or(r, &Reading{})
	s := cmp.Or(r.subjectName(), r.Setting.String())
	// The first dialling is left out, since most settings have one.
	if r.Dialling > 1 {
		s += " (dialling " + strconv.Itoa(r.Dialling) + ")"
	}
	if r.Stage == StageAsLeft {
		s += " as left"
	}
	return s
}

// subjectName is what was read in the place of the box, if anything: the name of a standard or of a
// known resistor; "" for a reading of the box. object is set while a Standard is evaluated.
func (r *Reading) subjectName() string {
	if r.Known != nil {
		return cmp.Or(r.object, r.Known.Name, "known resistor")
	}
	return r.object
}

// place names the reading in an error, with its line where it comes from a file: "line 12:
// setting 4-6-3-9", "setting 4-6-3-9", "line 3: standard 100 Ω".
func (r *Reading) place() string {
	if thing := r.subjectName(); thing != "" {
		if r.Line > 0 {
			return fmt.Sprintf("line %d: %s", r.Line, thing)
		}
		return thing
	}
	if r.Line > 0 {
		return fmt.Sprintf("line %d: setting %v", r.Line, r.Setting)
	}
	return fmt.Sprintf("setting %v", r.Setting)
}

// value is the estimate of what the meter showed in Ω, exact in the decimals displayed: the mean
// of the repeats, and of the two polarities. 0.021 and 0.019 Ω, of either polarity, are 0.020 Ω,
// and an EMF of 1 µV at 1 mA has left.
func (r *Reading) value() exact {
	switch {
	case len(r.Reversed) == 0:
		return mean(r.Values)
	case len(r.Values) == 0:
		return mean(r.Reversed)
	}
	// Each polarity counts as one, whatever the number of its repeats: thermal EMFs cancel.
	return mean(r.Values).plus(mean(r.Reversed)).per(2)
}

// mean is the arithmetic mean, exact in the decimals (GUM 4.2.1): of 100.01, 100.02 and 100.04
// it is 300.07/3, a fraction that is rounded when it is used. Of no values it is 0.
func mean(values []float64) exact {
	var sum exact
	for _, v := range values {
		sum = sum.plus(decimal(v))
	}
	return sum.per(max(1, len(values)))
}

// checkReading refuses a reading that makes no sense for box b. Whether it is plausible is asked
// later, and never an error: a wrong box is a mistake of the program, a wrong value one of the
// bench.
func (r *Reading) checkReading(b *decade.Box) error {
	const op = "verify.Evaluate"
	if !r.Setting.IsValid() {
		return &Error{Op: op, Name: r.place(),
			Err: unit.Errorf(ErrEmpty, "no setting; expected one of the box")}
	}
	if r.Setting.Box() != b {
		return &Error{Op: op, Name: r.place(),
			Err: unit.Errorf(ErrContradiction,
				"setting of another box; expected one of %q (see Setting.On)", b.Name())}
	}
	if r.Stage > StageAsLeft {
		return &Error{Op: op, Name: r.place(), Value: float64(r.Stage),
			Err: unit.Errorf(ErrUnknown, "stage %d; expected as found or as left", r.Stage)}
	}
	// Nobody reads again without turning a dial and calls it a new dialling; repeats are in
	// Values.
	if r.Turned != nil && len(r.Turned) == 0 {
		return &Error{Op: op, Name: r.place(),
			Err: unit.Errorf(ErrEmpty, "no dial turned; expected at least one, or nil for all")}
	}
	for i, d := range r.Turned {
		if d < 0 || d >= b.NumDecades() || slices.Contains(r.Turned[:i], d) {
			return &Error{Op: op, Name: r.place(), Value: float64(d),
				Err: unit.Errorf(ErrDomain,
					"dial %d turned; expected dials from 0 to %d, each once", d, b.NumDecades()-1)}
		}
	}
	return r.checkNumbers(op)
}

// checkNumbers refuses values and temperatures that are no numbers of their kind, and no
// value at all.
func (r *Reading) checkNumbers(op string) error {
	all := slices.Concat(r.Values, r.Reversed)
	for _, v := range all {
		if !finite(v) {
			return &Error{Op: op, Name: r.place(), Value: v,
				Err: unit.Errorf(ErrNotFinite, "reading is %v; expected a finite number of ohms, "+
					"or an overload", v)}
		}
	}
	switch {
	case r.Overload && len(all) > 0:
		return &Error{Op: op, Name: r.place(), Value: all[0],
			Err: unit.Errorf(ErrContradiction, "above range and a value of %v Ω in one dialling; "+
				"expected one of the two", all[0])}
	case !r.Overload && len(all) == 0:
		return &Error{Op: op, Name: r.place(),
			Err: unit.Errorf(ErrEmpty, "no value; expected at least one")}
	}
	for _, t := range []*float64{r.Temperature, r.MeterTemperature} {
		// Written as "not inside", so that NaN is refused as well.
		if t != nil && !(*t > -273.15 && *t < 1000) {
			return &Error{Op: op, Name: r.place(), Value: *t,
				Err: unit.Errorf(ErrDomain, "temperature is %v °C; expected more than -273.15 "+
					"and less than 1000", *t)}
		}
	}
	return nil
}
