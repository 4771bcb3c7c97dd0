// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// refused returns a check that a result is 0 with an error of this cause about
// that argument.
func refused(t *testing.T, cause error, name string) func(v float64, err error) {
	return func(v float64, err error) {
		t.Helper()
		e, ok := errors.AsType[*Error](err)
		switch {
		case !ok || !errors.Is(err, cause) || e.Name != name:
			t.Errorf("got %v; want %v about %s", err, cause, name)
		case v != 0:
			t.Errorf("got %v beside the error", v)
		case !strings.HasPrefix(err.Error(), "thermal.") || strings.Contains(err.Error(), "%!"):
			t.Errorf("error text %q", err)
		}
	}
}

// refusedOf is refused for quantities.
func refusedOf(t *testing.T, cause error, q uncertainty.Quantity) {
	t.Helper()
	if err := q.Err(); !errors.Is(err, cause) {
		t.Errorf("got %v; want %v", err, cause)
	}
}
