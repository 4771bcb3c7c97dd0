// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package file_test

import (
	"fmt"
	"strings"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// A reader of a small file: a name, and a resistance with or without its unit. A slip of the
// pen is named with its place.
func Example() {
	read := func(text string) (name string, ohms float64, err error) {
		o, err := file.Read("shunt.Read", strings.NewReader(text), 1<<20)
		if err != nil {
			return "", 0, err
		}
		o.Require("resistance")
		o.Text("name", &name)
		o.Quantity("resistance", unit.Ohm, &ohms)
		return name, ohms, o.Close()
	}
	fmt.Println(read(`{"name": "shunt 2", "resistance": "10 mΩ"}`))
	_, _, err := read(`{"name": "shunt 2", "resistence": 0.01}`)
	fmt.Println(err)
	// Output:
	// shunt 2 0.01 <nil>
	// shunt.Read: line 1, column 21: resistence: unknown key "resistence"; did you mean "resistance"?
}
