// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"encoding/json"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// lawFile is a law as it is written: numbers in °C, 1/K and 1/K².
type lawFile struct {
	Reference *float64 `json:"reference,omitempty"`
	Alpha     float64  `json:"alpha,omitempty"`
	Beta      float64  `json:"beta,omitempty"`
	Low       *float64 `json:"low,omitempty"`
	High      *float64 `json:"high,omitempty"`
}

// MarshalJSON writes the law as an object with the keys reference in °C, alpha in 1/K,
// beta in 1/K² and, where the law has limits, low and high in °C. The zero Law is an
// empty object. A law with a bad value is an error.
func (l Law) MarshalJSON() ([]byte, error) {
	if l.IsZero() {
		return []byte("{}"), nil
	}
	if err := l.checkLaw("thermal.Law.MarshalJSON"); err != nil {
		return nil, err
	}
	f := lawFile{Reference: &l.reference, Alpha: l.alpha, Beta: l.beta}
	if l.limited {
		f.Low, f.High = &l.low, &l.high
	}
	return json.Marshal(f)
}

// UnmarshalJSON reads what MarshalJSON writes. It refuses unknown keys, a coefficient
// without its reference, and one limit without the other.
func (l *Law) UnmarshalJSON(text []byte) error {
	const op = "thermal.Law.UnmarshalJSON"
	refuse := func(given, want string) error {
		return &Error{Op: op, Name: "law", Err: unit.Errorf(ErrSyntax, "%s; %s", given, want)}
	}
	if l == nil {
		return &Error{Op: op, Err: unit.Errorf(unit.ErrNotStated, "nil; expected the address of "+
			"a Law")}
	}
	var f lawFile
	if err := file.DecodePart(op, text, &f); err != nil {
		return err
	}
	switch {
	case f.Reference == nil && f == (lawFile{}):
		*l = Law{}
		return nil
	// It would be 0 °C, which is hardly ever meant.
	case f.Reference == nil:
		return refuse("no reference", "expected the temperature in °C that the coefficients are "+
			"stated for")
	case (f.Low == nil) != (f.High == nil):
		return refuse("one limit", "expected low and high, or neither")
	}
	read := NewLaw(*f.Reference, f.Alpha, f.Beta)
	if f.Low != nil {
		read = read.Within(*f.Low, *f.High)
	}
	if err := read.checkLaw(op); err != nil {
		return err
	}
	*l = read
	return nil
}
