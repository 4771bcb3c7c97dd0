// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"fmt"
	"io"
	"os"

	"example.com/ohmwright/thermal/material"
)

// run finds the material, in a file of one's own first, and plans the resistor.
func run(out io.Writer, ohms float64, name, file string) error {
	var table material.Table // that of the library
	if file != "" {
		f, err := os.Open(file)
		if err != nil {
			return err
		}
		defer f.Close()
		if table, err = material.Read(f); err != nil {
			return fmt.Errorf("%s: %w", file, err)
		}
	}
	m, err := table.Find(name)
	if err != nil {
		return err
	}
	return plan(out, ohms, m)
}
