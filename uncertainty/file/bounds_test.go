// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package file

import (
	"errors"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty/unit"
)

// The limit is the size of the largest file that is read.
func TestLargestFile(t *testing.T) {
	const text = `{"a":1}`
	if _, err := Read("file.Read", strings.NewReader(text), int64(len(text))); err != nil {
		t.Errorf("file as large as the limit: %v", err)
	}
	if _, err := Read("file.Read", strings.NewReader(text), int64(len(text)-1)); !errors.Is(err, ErrSize) {
		t.Errorf("file a byte larger than the limit: %v; want ErrSize", err)
	}
}

// Numbers begin with any of the ten digits, or a minus sign.
func TestNumbersOfEachDigit(t *testing.T) {
	for text, want := range map[string]float64{"0.5": 0.5, "1": 1, "9": 9, "9e2": 900, "-9": -9} {
		o, err := Read("file.Read", strings.NewReader(`{"x":`+text+`}`), 100)
		if err != nil {
			t.Fatal(err)
		}
		var got float64
		if ok := o.Quantity("x", unit.Volt, &got); !ok || got != want || o.Close() != nil {
			t.Errorf("%s: %v, %v; want %v", text, got, o.Close(), want)
		}
	}
}

// Messages quote up to 40 bytes whole and cut what is longer.
func TestQuotedText(t *testing.T) {
	key40 := strings.Repeat("k", 40)
	_, err := read(`{"` + key40 + `":1}`)
	if err == nil || !strings.Contains(err.Error(), `unknown key "`+key40+`";`) ||
		!strings.Contains(err.Error(), " "+key40+": ") {
		t.Errorf("key of 40 bytes: %v; want it whole", err)
	}
	_, err = read(`{"` + key40 + `k":1}`)
	if err == nil || !strings.Contains(err.Error(), `unknown key "`+key40+`"…`) ||
		!strings.Contains(err.Error(), " "+key40+"…: ") {
		t.Errorf("key of 41 bytes: %v; want it cut", err)
	}
	value40 := `"` + strings.Repeat("v", 38) + `"`
	_, err = read(`{"on":` + value40 + `}`)
	if err == nil || !strings.Contains(err.Error(), "on: "+value40+"; expected true or false") {
		t.Errorf("value of 40 bytes: %v; want it whole", err)
	}
	_, err = read(`{"on":"v` + value40[1:] + `}`)
	if err == nil || !strings.Contains(err.Error(), `on: "`+strings.Repeat("v", 39)+"…; expected true or false") {
		t.Errorf("value of 41 bytes: %v; want it cut", err)
	}
}
