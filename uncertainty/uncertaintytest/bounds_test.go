// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertaintytest

import (
	"fmt"
	"strings"
	"testing"
)

// The largest and smallest exponents are read; those beyond are refused (TestAgreesRefuses).
func TestAgreesAtTheLargestExponents(t *testing.T) {
	for printed, want := range map[string]bool{"0e400": true, "1e400": false, "0e-400": true, "1e-400": false} {
		got, err := Agrees(0, printed)
		if err != nil || got != want {
			t.Errorf("Agrees(0, %q) = %v, %v; want %v, nil", printed, got, err, want)
		}
	}
}

// texts keeps the messages of failures.
type texts struct {
	recorder
	all []string
}

func (r *texts) Errorf(format string, args ...any) {
	r.all = append(r.all, fmt.Sprintf(format, args...))
}

// A failure shows both numbers with all their digits, and the source.
func TestCheckSaysWhatDiffers(t *testing.T) {
	r := &texts{recorder: recorder{TB: t}}
	Published{Name: "t", Source: "JCGM 100:2008", Place: "Table G.2", Printed: "12.71",
		Provenance: Seen}.Check(r, 12.345678901234567)
	if len(r.all) != 1 {
		t.Fatalf("%d failures; want 1", len(r.all))
	}
	for _, part := range []string{"12.345678901234567", "12.71", "JCGM 100:2008", "Table G.2", "seen"} {
		if !strings.Contains(r.all[0], part) {
			t.Errorf("failure %q does not say %q", r.all[0], part)
		}
	}
}
