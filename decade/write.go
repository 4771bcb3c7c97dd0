// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"encoding/json"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty/unit"
)

// A box is written as [ReadBox] reads it: what is read back makes an equal description. Numbers
// are text with their unit, in the shortest digits that read back as the same float64: "5 mΩ" is
// what a data sheet says, and 0.005 is not. What is not stated has no key.
//
// The order of the fields below is the order of the keys in a file, for people alone: no reader
// may depend on it (RFC 8259, section 4). A key that is added here must be read in read.go.

// The shape of the file.
type (
	fileBox struct {
		Name                 string       `json:"name,omitempty"`
		Serial               string       `json:"serial,omitempty"`
		Residual             string       `json:"residual,omitempty"`
		ResidualTolerance    string       `json:"residualTolerance,omitempty"`
		ResidualIncluded     bool         `json:"residualIncluded,omitempty"`
		Tolerance            string       `json:"tolerance,omitempty"`
		Floor                string       `json:"floor,omitempty"`
		Contact              string       `json:"contact,omitempty"`
		Capacitance          string       `json:"capacitance,omitempty"`
		StrayTolerance       string       `json:"strayTolerance,omitempty"`
		ReferenceTemperature string       `json:"referenceTemperature,omitempty"`
		ResidualTemperature  *fileLaw     `json:"residualTemperature,omitempty"`
		Decades              []fileDecade `json:"decades"`
	}
	fileDecade struct {
		Name              string    `json:"name,omitempty"`
		Step              string    `json:"step"`
		Positions         int       `json:"positions"` // always: a file says how far a dial goes
		Missing           []int     `json:"missing,omitempty"`
		Code              *fileCode `json:"code,omitempty"`
		Tolerance         string    `json:"tolerance,omitempty"`
		Floor             string    `json:"floor,omitempty"`
		Spread            string    `json:"spread,omitempty"`
		Switch            string    `json:"switch,omitempty"`
		WiperFirst        bool      `json:"wiperFirst,omitempty"`
		Temperature       *fileLaw  `json:"temperature,omitempty"`
		Spool             string    `json:"spool,omitempty"`
		BatchTolerance    string    `json:"batchTolerance,omitempty"`
		ElementPower      string    `json:"elementPower,omitempty"`
		MaxVoltage        string    `json:"maxVoltage,omitempty"`
		ThermalResistance string    `json:"thermalResistance,omitempty"`
		Inductance        string    `json:"inductance,omitempty"`
		Capacitance       string    `json:"capacitance,omitempty"`
		DialInductance    string    `json:"dialInductance,omitempty"`
		DialCapacitance   string    `json:"dialCapacitance,omitempty"`
	}
	fileCode struct {
		Weights   []int   `json:"weights"`
		InCircuit [][]int `json:"inCircuit"` // by position, from 0 on
		Contacts  []int   `json:"contacts,omitempty"`
	}
	fileLaw struct {
		Reference      string `json:"reference,omitempty"`
		Alpha          string `json:"alpha,omitempty"`
		Beta           string `json:"beta,omitempty"`
		Low            string `json:"low,omitempty"`
		High           string `json:"high,omitempty"`
		AlphaTolerance string `json:"alphaTolerance,omitempty"`
		BetaTolerance  string `json:"betaTolerance,omitempty"`
	}
)

// MarshalJSON writes the description as [ReadBox] reads it; a calibration is not in it. The names
// and positions that New filled in are.
func (b *Box) MarshalJSON() ([]byte, error) {
	const op = "decade.Box.MarshalJSON"
	if b == nil {
		return nil, noBox(op)
	}
	if err := b.spec.checkWritten(op); err != nil {
		return nil, err
	}
	return json.Marshal(b.spec.file())
}

// UnmarshalJSON makes a zero Box the one that the text describes, as [ReadBox] does. A box
// does not change: one that is described already is an error.
func (b *Box) UnmarshalJSON(text []byte) error {
	const op = "decade.Box.UnmarshalJSON"
	if b == nil {
		return noBox(op)
	}
	if b.NumDecades() > 0 {
		return &Error{Op: op,
			Err: unit.Errorf(ErrDomain, "the box is described already; expected a zero Box")}
	}
	// The whole box or nothing: after an error the zero Box is still zero.
	made, err := unmarshal(op, text)
	if err == nil {
		*b = *made
	}
	return err
}

// MarshalJSON checks the description as [New] does and writes it as [ReadBox] reads it.
func (s Spec) MarshalJSON() ([]byte, error) {
	const op = "decade.Spec.MarshalJSON"
	// Checked first: a file that ReadBox refuses is not written.
	b, err := build(op, s)
	if err != nil {
		return nil, err
	}
	if err := b.spec.checkWritten(op); err != nil {
		return nil, err
	}
	return json.Marshal(b.spec.file())
}

// checkWritten refuses what New takes and ReadBox does not.
func (s *Spec) checkWritten(op string) error {
	checkOne := func(c checker, tolerance float64) error {
		if tolerance <= tooTolerant {
			return nil
		}
		return c.refuse("tolerance", tolerance, unit.Errorf(ErrDomain, "%v, that is %v %%; "+
			"expected at most %v, which is all that a file may state", tolerance, 100*tolerance,
			tooTolerant))
	}
	if err := checkOne(checker{op: op}, s.Tolerance); err != nil {
		return err
	}
	for i := range s.Decades {
		d := &s.Decades[i]
		if err := checkOne(checker{op, d.where(i)}, d.Tolerance); err != nil {
			return err
		}
	}
	return nil
}

// UnmarshalJSON reads what [ReadBox] reads; what the text leaves out gets the value that
// [New] gives it.
func (s *Spec) UnmarshalJSON(text []byte) error {
	if s == nil {
		return &Error{Op: "decade.Spec.UnmarshalJSON", Err: unit.Errorf(unit.ErrNotStated,
			"nil; expected the address of a Spec")}
	}
	// By way of a box, so that a description has passed the same checks wherever it was read.
	b, err := unmarshal("decade.Spec.UnmarshalJSON", text)
	if err == nil {
		*s = b.Spec()
	}
	return err
}

// file is the description as it is written, of a Spec with its defaults filled in.
func (s *Spec) file() fileBox {
	f := fileBox{
		Name: s.Name, Serial: s.Serial,
		Residual:            ifStated(s.Residual, unit.Ohm),
		ResidualTolerance:   ifStated(s.ResidualTolerance, unit.Ohm),
		ResidualIncluded:    s.ResidualIncluded,
		Tolerance:           ifStated(s.Tolerance, unit.Fraction),
		Floor:               ifStated(s.Floor, unit.Ohm),
		Contact:             ifStated(s.Contact, unit.Ohm),
		Capacitance:         ifStated(s.Capacitance, unit.Farad),
		StrayTolerance:      ifStated(s.StrayTolerance, unit.Fraction),
		ResidualTemperature: lawFile(s.ResidualLaw, 0, 0),
	}
	// 0 °C is a temperature: here nil and not 0 means that none is stated.
	if s.ReferenceTemperature != nil {
		f.ReferenceTemperature = unit.Format(*s.ReferenceTemperature, unit.Celsius)
	}
	for i := range s.Decades {
		f.Decades = append(f.Decades, s.Decades[i].file())
	}
	return f
}

// ifStated writes a figure with its unit; 0 is "not stated" and stays out of the file.
func ifStated(v float64, d unit.Dimension) string {
	if v == 0 {
		return ""
	}
	return unit.Format(v, d)
}

// file is the decade as it is written. Step and positions stand in every file, with their defaults
// filled in, so that a reader need not know these.
func (d *Decade) file() fileDecade {
	f := fileDecade{
		Name: d.Name, Step: unit.Format(d.Step, unit.Ohm), Positions: d.Positions,
		Missing: d.Missing, Code: d.Code.file(),
		Tolerance: ifStated(d.Tolerance, unit.Fraction), Floor: ifStated(d.Floor, unit.Ohm),
		Switch: d.Switch, WiperFirst: d.WiperFirst,
		Temperature: lawFile(d.Law, d.AlphaTolerance, d.BetaTolerance),
		Spool:       d.Spool, BatchTolerance: ifStated(d.BatchTolerance, unit.Fraction),
		ElementPower:      ifStated(d.ElementPower, unit.Watt),
		MaxVoltage:        ifStated(d.MaxVoltage, unit.Volt),
		ThermalResistance: ifStated(d.ThermalResistance, unit.KelvinPerWatt),
		Inductance:        ifStated(d.Inductance, unit.Henry),
		Capacitance:       ifStated(d.Capacitance, unit.Farad),
		DialInductance:    ifStated(d.DialInductance, unit.Henry),
		DialCapacitance:   ifStated(d.DialCapacitance, unit.Farad),
	}
	// The first level is what a file without the key means.
	if d.Spread != LevelDecade {
		f.Spread = d.Spread.String()
	}
	return f
}

// file is the code as it is written; elements of a position without any are an empty list. A preset
// is written out like any other code: that it was named in a file is not kept. nil stands for a
// ladder.
func (c Code) file() *fileCode {
	if c.IsZero() {
		return nil
	}
	f := &fileCode{c.Weights, make([][]int, len(c.InCircuit)), c.Contacts}
	for p, e := range c.InCircuit {
		f.InCircuit[p] = append([]int{}, e...) // never nil, which JSON would write as null
	}
	return f
}

// lawFile is the law as it is written, nil where nothing is stated. alpha and beta are the ± limits
// of its coefficients in 1/K and 1/K²; they may be stated without a law, of a wire whose
// coefficient is about 0.
func lawFile(l thermal.Law, alpha, beta float64) *fileLaw {
	if l.IsZero() && alpha == 0 && beta == 0 {
		return nil
	}
	f := &fileLaw{
		Alpha: ifStated(l.Alpha(), unit.PerKelvin), Beta: ifStated(l.Beta(), unit.PerKelvinSquared),
		AlphaTolerance: ifStated(alpha, unit.PerKelvin),
		BetaTolerance:  ifStated(beta, unit.PerKelvinSquared),
	}
	// The reference may be 0 °C, and is written even so: beside a coefficient a file must have one.
	if !l.IsZero() {
		f.Reference = unit.Format(l.Reference(), unit.Celsius)
	}
	if low, high, ok := l.Limits(); ok {
		f.Low, f.High = unit.Format(low, unit.Celsius), unit.Format(high, unit.Celsius)
	}
	return f
}
