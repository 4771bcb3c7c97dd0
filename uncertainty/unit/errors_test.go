// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit_test

import (
	"errors"
	"fmt"
	"testing"

	"example.com/ohmwright/uncertainty/unit"
)

func ExampleError() {
	err := fmt.Errorf("bench check: %w", &unit.Error{
		Op: "decade.New", Name: "residual", Value: -0.02,
		Err: unit.Errorf(unit.ErrDomain, "-0.02 Ω; expected 0 or more"),
	})
	if e, ok := errors.AsType[*unit.Error](err); ok {
		fmt.Println(e.Op, "refused", e.Name, e.Value)
	}
	fmt.Println(err)
	// Output:
	// decade.New refused residual -0.02
	// bench check: decade.New: residual: -0.02 Ω; expected 0 or more
}

func ExampleErrorf() {
	err := unit.Errorf(unit.ErrUnit, "%q; expected Ω with a prefix", "10 Ohmm")
	fmt.Println(err, errors.Is(err, unit.ErrUnit))
	// Output: "10 Ohmm"; expected Ω with a prefix true
}

func TestErrorWithoutCauseOrName(t *testing.T) {
	if got := (&unit.Error{Op: "decade.New"}).Error(); got != "decade.New: unknown cause" {
		t.Errorf("text is %q", got)
	}
	if got := (&unit.Error{Op: "decade.New",
		Err: unit.ErrSyntax}).Error(); got != "decade.New: not of the expected form" {
		t.Errorf("text is %q", got)
	}
}
