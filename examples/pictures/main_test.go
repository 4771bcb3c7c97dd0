// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestRunWritesWhatItNames(t *testing.T) {
	to := filepath.Join(t.TempDir(), "new")
	var out bytes.Buffer
	if err := run([]string{"-out", to, "-only", "budget, drift"}, &out); err != nil {
		t.Fatal(err)
	}
	names := strings.Fields(out.String())
	if len(names) != 4 {
		t.Fatalf("files %q, want two pictures in two formats", names)
	}
	for _, name := range names {
		if info, err := os.Stat(name); err != nil || info.Size() < 1000 || filepath.Dir(name) != to {
			t.Errorf("%s: %v, error %v", name, info, err)
		}
	}
}

func TestRunRefuses(t *testing.T) {
	for _, test := range []struct{ flag, value, want string }{
		{"-format", "gif", `format "gif"; expected svg, png or both`},
		{"-only", "budget,wire", `picture "wire"; expected some of deviations, montecarlo, trials, budget, alloys, impedance, drift`},
		{"-format", "svg extra", `format "svg extra"; expected svg, png or both`},
	} {
		if err := run([]string{test.flag, test.value}, &bytes.Buffer{}); err == nil || err.Error() != test.want {
			t.Errorf("%s %s: error %v; want %q", test.flag, test.value, err, test.want)
		}
	}
	if err := run([]string{"budget"}, &bytes.Buffer{}); err == nil ||
		!strings.Contains(err.Error(), `argument "budget"`) {
		t.Errorf("error %v; want one about the argument", err)
	}
}
