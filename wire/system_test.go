// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"testing"

	"example.com/ohmwright/uncertainty/unit"
	"example.com/ohmwright/wire"
)

// The systems of a file come back equal; what is no system is neither written nor read.
func TestSystemRoundTrip(t *testing.T) {
	for want, name := range map[wire.System]string{wire.American: "AWG",
		wire.AmericanRounded: "AWG B258", wire.Imperial: "SWG", wire.MetricSizes: "metric"} {
		text, err := json.Marshal(want)
		if err != nil || string(text) != `"`+name+`"` || want.String() != name {
			t.Errorf("%v is written %s, %v; expected %s", want, text, err, name)
		}
		var got wire.System
		if err := json.Unmarshal(text, &got); err != nil || got != want {
			t.Errorf("%s is read %v, %v", text, got, err)
		}
	}
	var none wire.System
	for _, text := range []string{`"none"`, `"cwg"`, `""`} {
		if err := json.Unmarshal([]byte(text), &none); !errors.Is(err, unit.ErrUnknown) {
			t.Errorf("%s: %v", text, err)
		}
	}
	for _, s := range []wire.System{0, 9} {
		if _, err := json.Marshal(s); !errors.Is(err, wire.ErrDomain) {
			t.Errorf("%v is written: %v", s, err)
		}
	}
	if got := fmt.Sprint(none, " ", wire.System(9)); got != "none System(9)" {
		t.Errorf("no systems print %q", got)
	}
}
